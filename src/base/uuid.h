/* The number by which a command is known again when it is sent twice. */
#ifndef BASE_UUID_H
#define BASE_UUID_H

#include "base/arena.h"
#include "base/result.h"
#include "base/world.h"

/* A new one: the time in ms, then chance (version 7, RFC 9562 section 5.7 - published (abstract
 * only)). Those made one after the other stand side by side in the record's index, so that a new
 * entry does not touch an old page of it. Any UUID is taken from others. */
void uuid_make(struct world world, uint8_t out[16]);
/* 36 characters with hyphens, or 32 hex digits. UUID_BAD with field. */
MUST_USE struct result uuid_read(const char *text, const char *field, uint8_t out[16]);
/* With hyphens, in small letters. */
const char *uuid_text(struct arena *a, const uint8_t uuid[16]);
/* uuid_make as text. */
const char *uuid_new(struct arena *a, struct world world);

#endif

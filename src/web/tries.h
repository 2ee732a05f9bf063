/* Wrong tries by address, in memory: one address may not try the secrets of everybody in turn. What
 * is counted for a person stands in the record (service/people.h). Any thread. */
#ifndef WEB_TRIES_H
#define WEB_TRIES_H

#include <stdint.h>

#include "base/world.h"

struct tries;

struct tries *tries_new(struct world world);
void tries_free(struct tries *t);
/* Counts one try, as a wrong one until tries_good. -> 0: go on; else seconds to wait. */
int64_t tries_count(struct tries *t, const char *address);
void tries_good(struct tries *t, const char *address);

#endif

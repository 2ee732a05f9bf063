/* gzip. */
#ifndef WEB_SQUEEZE_H
#define WEB_SQUEEZE_H

#include "base/arena.h"

/* The bytes in gzip form, in the arena; NULL when they are few or hardly get fewer. */
const char *squeeze(struct arena *a, const char *bytes, size_t len, size_t *out_len);

#endif

/* What commands that only read need from an open plant. */
#ifndef SERVICE_READING_H
#define SERVICE_READING_H

#include "service/plant.h"

/* The profile in force at a moment; the caller frees it. PROFILE_MISSING. */
MUST_USE struct result profile_of(struct store *s, int64_t now_ms, struct profile **out);
/* The profile in force now; the caller frees it. PROFILE_MISSING. */
MUST_USE struct result profile_now(struct plant *plant, struct profile **out);

#endif

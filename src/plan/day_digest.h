/* What stands for a day's problem: two of one digest have the same sequences. Codes are names and
 * do not count. */
#ifndef PLAN_DAY_DIGEST_H
#define PLAN_DAY_DIGEST_H

#include "base/digest.h"
#include "plan/day.h"

/* SHA-256 over all its numbers. The problem must have passed day_check. */
struct hash day_digest(const struct day_problem *p);

#endif

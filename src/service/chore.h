/* What a serving program looks after by itself, in a thread of its own. */
#ifndef SERVICE_CHORE_H
#define SERVICE_CHORE_H

#include "base/result.h"

struct chore;

/* Looks at once and then every so many seconds; failed begins the line on stderr when a look fails:
 * "no copy was made". The arena of a look is dropped after it. */
struct chore *chore_start(int every_s, struct result (*look)(void *self, struct arena *a),
                          void *self, const char *failed);
/* Waits for a look under way. */
void chore_stop(struct chore *c);

#endif

/* Signing in and what a browser is told about itself. */
#ifndef WEB_ME_H
#define WEB_ME_H

#include "web/call.h"

/* Me of the seat in c. */
MUST_USE struct result me_compose(struct call *c, const struct view *v, json_t **out);
/* Compares a person's password or PIN ("how") after it was counted as a try, by address and by
 * person. Fills *out_role. Sets Retry-After where it helps. TRIES_LOCKED, PIN_LOCKED,
 * PASSWORD_WRONG, PIN_WRONG: nobody learns whether there is such a person. */
MUST_USE struct result secret_try(struct call *c, int64_t person, const char *how,
                                  const char *secret);
/* It was right: the counts go back. station NULL: not at one. */
MUST_USE struct result secret_good(struct call *c, int64_t person, const char *how,
                                   const char *station);
/* Opens a new session, whatever the browser had before, and answers Me. */
MUST_USE struct result sit_down(struct call *c, int64_t person, const char *how,
                                const char *station);
/* The enrolled station whose cookie the browser sent; NULL: none. */
MUST_USE struct result station_of(struct call *c, const char **out);

#endif

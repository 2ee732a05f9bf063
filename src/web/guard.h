/* What is asked of a request before anything else: that it was meant for us and comes from a page
 * of ours. And the headers that every answer carries. */
#ifndef WEB_GUARD_H
#define WEB_GUARD_H

#include "web/call.h"

/* HOST_WRONG (a name that is not ours: somebody points a name of theirs at this machine),
 * ORIGIN_WRONG, HEADER_MISSING, MEDIA_TYPE_WRONG. */
MUST_USE struct result guard_check(struct call *c, const char *const *names, size_t name_count);
/* Called for each header of an answer. */
void guard_headers(const struct call *c,
                   void (*put)(void *self, const char *name, const char *value), void *self);
/* The name of a cookie, safer over TLS, and the text that sets it. max_age_s 0: takes it away; -1:
 * for as long as the browser runs. */
const char *cookie_name(bool secure, const char *name, struct arena *a);
const char *cookie_text(struct arena *a, bool secure, const char *name, const char *value,
                        int64_t max_age_s);

#endif

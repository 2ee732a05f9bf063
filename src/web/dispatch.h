/* From a request to its answer. */
#ifndef WEB_DISPATCH_H
#define WEB_DISPATCH_H

#include "web/call.h"

/* Once the headers are there, before any body: finds the route and refuses what would be refused
 * anyway. body_len: what Content-Length says, -1: unknown. True when the call goes on; else the
 * answer stands in c. */
bool dispatch_head(struct call *c, int64_t body_len);
/* The longest body the call may bring. */
int64_t dispatch_body_max(const struct call *c);
/* True when the call is to be run by a worker. */
bool dispatch_waits(const struct call *c);
/* Answers from what was kept of an earlier answer; false: there is none, and the call is to be run.
 */
bool dispatch_again(struct call *c);
/* Runs it. The answer stands in c. */
void dispatch_run(struct call *c);
/* Keeps the answer, its bytes ready to be sent, when that may be. */
void dispatch_keep(struct call *c);
/* Makes the answer a problem. */
void dispatch_fail(struct call *c, const struct result *r);

#endif

/* The page that says how a phone or tablet comes to trust this house's certificate, and the
 * certificate itself. Read without signing in. */
#ifndef WEB_TRUST_H
#define WEB_TRUST_H

#include "web/call.h"

/* *out_is false: the address is none of these. ROUTE_UNKNOWN when this program serves its own
 * machine only. */
MUST_USE struct result trust_answer(struct call *c, bool *out_is);

#endif

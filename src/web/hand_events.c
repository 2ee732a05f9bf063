#include "web/events.h"
#include "web/web_inner.h"

struct result hand_events(struct call *c)
{
    int64_t heard = 0;
    if (c->asked.last_event_id != NULL) {
        TRY(call_number(c->asked.last_event_id, "Last-Event-ID", 0, INT64_C(1) << 50, &heard));
    } else {
        heard = INT64_MAX; /* a new page has just read everything */
    }
    c->content_type = "text/event-stream";
    return listener_open(c->web->events, c->arena, c->seat.token, heard, &c->listener);
}

/* News for pages: after each group of commands that has become durable, the size of the record and
 * the kinds that came. As text/event-stream; a page that fell behind names the last size it heard.
 */
#ifndef WEB_EVENTS_H
#define WEB_EVENTS_H

#include "web/call.h"

struct events;
struct listener;

/* Starts the thread that listens to the writer's bell. */
struct events *events_start(struct web *web);
/* Ends every stream; no new one begins. */
void events_end(struct events *e);
/* After the server that carried them is gone. */
void events_free(struct events *e);

/* A new listener for the session of a token, who has heard of `heard` entries (0: of none).
 * SERVER_BUSY when there are too many; one too many of the same session ends its oldest. */
MUST_USE struct result listener_open(struct events *e, struct arena *a, const char *token,
                                     int64_t heard, struct listener **out);
void listener_close(struct listener *l);
/* How the carrier is put to sleep while there is nothing to say, and woken; both are called with
 * the news locked, so that no wake is lost. */
void listener_carry(struct listener *l, void (*sleep)(void *self), void (*wake)(void *self),
                    void *self);
/* Bytes of news; 0: nothing now, sleep was called; -1: the stream is over. */
long listener_read(struct listener *l, char *out, size_t size);

#endif

/* HTTP itself: connections, bodies, threads. Its .c is the only file that sees libmicrohttpd. */
#ifndef WEB_SERVER_H
#define WEB_SERVER_H

#include "base/result.h"

struct web;
struct server;

struct listen_at {
    const char *address;           /* of this machine, as text */
    int port;                      /* 0: any that is free */
    const char *certificate, *key; /* PEM; NULL: plain HTTP */
};

/* FILE_OPEN when the address or the port cannot be had. */
MUST_USE struct result server_start(struct web *web, const struct listen_at *at,
                                    struct server **out);
int server_port(const struct server *s);
/* Takes no more, answers what was asked, ends every connection. */
void server_stop(struct server *s);

#endif

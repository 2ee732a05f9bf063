/* The routes: what can be asked of this server, as a table (routes.def). From it come the dispatch,
 * the answers 404 and 405, and the description of the interface (openapi.h). */
#ifndef WEB_ROUTE_H
#define WEB_ROUTE_H

#include "web/call.h"

enum {
    ROUTE_READS = 1,   /* runs inside a transaction of a reader, with c->view; has an ETag */
    ROUTE_TICKS = 2,   /* its answer changes with time: the ETag holds a minute at most */
    ROUTE_WORKS = 4,   /* waits for the writer or works long: done by a worker */
    ROUTE_BODY = 8,    /* takes a JSON body */
    ROUTE_BIG = 16,    /* the body may hold a file */
    ROUTE_GRAPH = 32,  /* reads the genealogy */
    ROUTE_SEAT = 64,   /* anyone may, but it matters who it is */
    ROUTE_FRESH = 128, /* its answer hangs on more than the record: no ETag */
};

struct route {
    enum method method;
    const char *path;  /* with {names} */
    const char *name;  /* of the operation, unique */
    const char *who;   /* "anyone", "signed-in", or a comma list of roles */
    int flags;         /* ROUTE_* */
    const char *query; /* comma list of parameters (schema/parameters.json) */
    const char *body;  /* schema of the body; "": none */
    const char *out;   /* schema of the answer, or a media type for what is no JSON */
    int status;        /* of a good answer */
    const char *what;  /* one line for people who write against it */
    struct result (*run)(struct call *c);
};

size_t route_count(void);
const struct route *route_at(size_t index);
/* The route of a request; its path's parts go to parts. ROUTE_UNKNOWN, METHOD_WRONG: then *allow
 * lists the methods the path has (in the arena). */
MUST_USE struct result route_find(struct arena *a, enum method method, const struct target *target,
                                  const struct route **out, const char *parts[2],
                                  const char **allow);
const char *method_text(enum method method);

#define ROUTE(method, path, name, who, flags, query, body, out, status, what, function) \
    struct result function(struct call *c);
#include "web/routes.def"
#undef ROUTE

#endif

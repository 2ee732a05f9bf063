/* Inside this room: what the parts of the server share. */
#ifndef WEB_WEB_INNER_H
#define WEB_WEB_INNER_H

#include "web/certificate.h"
#include "web/kept.h"
#include "web/readers.h"
#include "web/route.h"
#include "web/session.h"
#include "web/tries.h"
#include "web/web.h"

enum { WEB_NAMES_MAX = 40 };

struct web {
    struct serving *serving;
    struct world world;
    struct readers *readers;
    struct sessions *sessions;
    struct kept *kept;
    struct tries *tries;
    struct events *events;
    struct plan_jobs *plans;
    struct pages *pages;
    const char *program;              /* that reads files; NULL: the running one */
    struct server *server;            /* for this machine */
    struct server *outside;           /* for others, over TLS; NULL: none */
    struct arena arena;               /* of what follows */
    const char *names[WEB_NAMES_MAX]; /* by which a browser may call this house, in small letters */
    size_t name_count;
    struct certificate certificate;       /* fingerprint NULL: none */
    const char *addresses[WEB_NAMES_MAX]; /* "https://10.0.0.7:8443/", for people */
    size_t address_count;
    char salt[24]; /* tells the tags of this run from those of another */
};

#endif

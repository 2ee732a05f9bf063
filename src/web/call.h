/* One request and its answer, without a word of the library that carries them. */
#ifndef WEB_CALL_H
#define WEB_CALL_H

#include "base/json.h"
#include "web/kept.h"

struct web;
struct listener;
struct plant;
struct route;
struct view;

enum method { METHOD_GET, METHOD_POST, METHOD_DELETE, METHOD_OTHER };

/* Headers that count; NULL: not sent. */
struct asked {
    const char *host, *origin, *fetch_site, *fetch_mode, *content_type, *cookie, *accept_language,
        *accept_encoding, *if_none_match, *plumule, *queue, *last_event_id;
};

/* Who sits at the other end, as the session table knew it when the request came. */
struct seat {
    int64_t person;      /* 0: nobody */
    const char *how;     /* "password", "pin", "badge"; NULL: nobody */
    const char *role;    /* NULL: nobody */
    const char *station; /* code of the enrolled browser; NULL: none */
    const char *token;   /* of the session's cookie; NULL: none */
    int64_t idle_s;
};

enum { CALL_HEADERS_MAX = 16 };

struct call {
    struct web *web;
    struct arena *arena;
    /* the request */
    enum method method;
    struct target target;
    struct asked asked;
    const char *peer; /* the client's address as text */
    int socket;       /* of the client's connection; -1: none */
    bool secure;      /* came over TLS */
    const char *body;
    size_t body_len;
    json_t *json; /* the body, for routes that take one */
    /* what was found out about it */
    const struct route *route;
    const char *part[2]; /* of the path, where the route has {names} */
    const char *lang;
    struct seat seat;
    struct view *view;          /* for routes that read, inside a transaction */
    struct plant *reader;       /* behind view */
    int64_t size;               /* entries of the record then */
    uint64_t rung;              /* how often the writer had answered when this came */
    const struct kept_key *key; /* under which its answer may be kept; NULL: it may not */
    /* the answer */
    int status; /* 0: the route's own */
    json_t *out;
    const char *bytes; /* instead of out */
    size_t bytes_len;
    const char *content_type;
    const char *etag;
    const char *cache_control;
    bool page; /* an HTML page of ours */
    bool gzipped;
    const struct kept_answer *kept; /* behind bytes; NULL: worked out just now */
    struct listener *listener;      /* instead of bytes: news follow (events.h) */
    struct pair headers[CALL_HEADERS_MAX];
    size_t header_count;
};

/* Both texts must live as long as the call. */
void call_header(struct call *c, const char *name, const char *value);
/* Members of the JSON body as in base/json.h; path is key. */
MUST_USE struct result call_text(struct call *c, const char *key, enum json_need need,
                                 const char **out);
MUST_USE struct result call_int(struct call *c, const char *key, enum json_need need, int64_t low,
                                int64_t high, int64_t *out);
/* A whole number in the query or the path. FIELD_RANGE. */
MUST_USE struct result call_number(const char *text, const char *field, int64_t low, int64_t high,
                                   int64_t *out);
/* A house day of the query, today without one. Errors of day_read. */
MUST_USE struct result call_day(struct call *c, const char *key, int32_t *out);
/* "limit" of the query, 1 to 200; *out stays as it is without one. */
MUST_USE struct result call_limit(struct call *c, int64_t *out);
/* Says in a Link header where the answer's "next" leads, when it has one. */
void call_next(struct call *c);
/* The problem document of a failed result (RFC 9457), its status beside it. */
json_t *call_problem(struct arena *a, const char *lang, const struct result *r, int status);
/* "in 20 s" for the time when a client may try again. */
void call_retry_after(struct call *c, int64_t seconds);

#endif

/* Reading what stands in a request line and its headers. Pure text; nothing here is trusted. */
#ifndef WEB_PARSE_H
#define WEB_PARSE_H

#include "base/result.h"

enum { PARSE_SEGMENTS_MAX = 8, PARSE_QUERY_MAX = 16 };

struct pair {
    const char *name, *value;
};

/* A request target: "/api/v1/lots/M250?lang=en" with its parts decoded. */
struct target {
    const char *path; /* as it came, without the query */
    const char *segment[PARSE_SEGMENTS_MAX];
    size_t segment_count;
    struct pair query[PARSE_QUERY_MAX];
    size_t query_count;
};

/* TARGET_BAD: no absolute path, a bad %, a zero byte or a byte that is no UTF-8 text, an empty,
 * "." or ".." segment, a slash inside a segment, too many segments or query names, a name given
 * twice. The path "/" has no segments. */
MUST_USE struct result target_read(struct arena *a, const char *text, struct target *out);
/* NULL: not given. */
const char *target_query(const struct target *t, const char *name);

/* The value of one cookie of a Cookie header; NULL when it is not there, stands there twice or
 * holds bytes that ours never do (letters, digits, - and _). */
const char *cookie_find(struct arena *a, const char *header, const char *name);
/* Whether an If-None-Match header names this tag (weakly compared). */
bool etag_matches(const char *header, const char *etag);
/* Whether an Accept-Encoding header takes gzip. */
bool takes_gzip(const char *header);
/* The first language of an Accept-Language header that is among the two we speak; NULL: none. */
const char *language_wanted(const char *header);
/* Host without its port, in small letters, brackets of an IPv6 address kept off. NULL: not a host.
 */
const char *host_name(struct arena *a, const char *header);

#endif

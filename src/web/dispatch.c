#include "web/dispatch.h"

#include <string.h>

#include "base/check.h"
#include "ledger/view.h"
#include "service/station.h"
#include "service/view.h"
#include "web/guard.h"
#include "web/limits.h"
#include "web/pages.h"
#include "web/trust.h"
#include "web/web_inner.h"

void dispatch_fail(struct call *c, const struct result *r)
{
    json_decref(c->out);
    int status = c->status >= 400 ? c->status : code_http(r->code);
    c->out = call_problem(c->arena, c->lang, r, status);
    c->status = status;
    c->bytes = NULL;
    c->etag = NULL;
    c->content_type = "application/problem+json";
    c->cache_control = "no-store";
}

static bool is_api(const struct call *c)
{
    return c->target.segment_count > 0 && strcmp(c->target.segment[0], "api") == 0;
}

int64_t dispatch_body_max(const struct call *c)
{
    if (c->route == NULL || (c->route->flags & ROUTE_BODY) == 0) {
        return 0;
    }
    return (c->route->flags & ROUTE_BIG) != 0 ? WEB_BODY_FILE_MAX : WEB_BODY_MAX;
}

bool dispatch_waits(const struct call *c)
{
    return c->route != NULL && (c->route->flags & ROUTE_WORKS) != 0;
}

static struct result check_query(const struct call *c)
{
    for (size_t i = 0; i < c->target.query_count; i++) {
        const char *name = c->target.query[i].name;
        if (strcmp(name, "lang") != 0 && !list_has(c->route->query, name)) {
            return FAIL1(FIELD_UNKNOWN, name, c->route->path);
        }
    }
    return RESULT_OK;
}

static struct result check_language(struct call *c)
{
    const char *named = target_query(&c->target, "lang");
    if (named != NULL && strcmp(named, "en") != 0 && strcmp(named, "es") != 0) {
        return FAIL2(FIELD_CHOICE, "lang", named, "en, es");
    }
    const char *wanted = language_wanted(c->asked.accept_language);
    c->lang = named != NULL ? named : wanted != NULL ? wanted : "en";
    return RESULT_OK;
}

static struct result head(struct call *c, int64_t body_len)
{
    TRY(guard_check(c, c->web->names, c->web->name_count));
    TRY(check_language(c));
    if (!is_api(c)) {
        if (c->method != METHOD_GET) {
            call_header(c, "Allow", "GET, HEAD");
            return FAIL1(METHOD_WRONG, "", "GET, HEAD");
        }
        return RESULT_OK;
    }
    const char *allow = NULL;
    struct result r = route_find(c->arena, c->method, &c->target, &c->route, c->part, &allow);
    if (r.code == CODE_METHOD_WRONG) {
        call_header(c, "Allow", allow);
    }
    TRY(r);
    TRY(check_query(c));
    if (body_len > dispatch_body_max(c)) {
        return FAIL1(INPUT_LARGE, "body",
                     arena_printf(c->arena, "%lld", (long long)dispatch_body_max(c)));
    }
    return RESULT_OK;
}

bool dispatch_head(struct call *c, int64_t body_len)
{
    c->rung = serving_rung(c->web->serving);
    struct result r = head(c, body_len);
    if (r.code != CODE_OK) {
        dispatch_fail(c, &r);
        return false;
    }
    return true;
}

static const char *cookie_of(struct call *c, const char *name)
{
    return cookie_find(c->arena, c->asked.cookie, cookie_name(c->secure, name, c->arena));
}

/* Who sits there now: somebody who has left the house since is nobody. */
static struct result take_seat(struct call *c, struct store *store)
{
    struct sitting sitting;
    const char *role;
    bool active, found;
    const char *station_token = cookie_of(c, "plumule_station");
    if (station_token != NULL) {
        TRY(station_by_token(store, c->arena, station_token, &c->seat.station));
    }
    c->seat.token = cookie_of(c, "plumule_session");
    if (!session_find(c->web->sessions, c->seat.token, c->asked.last_event_id != NULL, &sitting)) {
        return RESULT_OK;
    }
    bool moved = sitting.station[0] != '\0' &&
                 (c->seat.station == NULL || strcmp(sitting.station, c->seat.station) != 0);
    if (moved) { /* the station was withdrawn, or its session carried elsewhere */
        session_close(c->web->sessions, c->seat.token);
        return RESULT_OK;
    }
    TRY(person_role(store, c->arena, sitting.person, &role, &active, &found));
    if (!found || !active) {
        session_close_all(c->web->sessions, sitting.person, NULL);
        return RESULT_OK;
    }
    c->seat.person = sitting.person;
    c->seat.how = sitting.how;
    c->seat.role = role;
    c->seat.idle_s = sitting.idle_s;
    return RESULT_OK;
}

static struct result check_who(struct call *c)
{
    const char *who = c->route->who;
    if (strcmp(who, "anyone") == 0) {
        return RESULT_OK;
    }
    if (c->seat.person == 0) {
        return FAIL0(SIGN_IN_NEEDED, "");
    }
    if (strcmp(who, "signed-in") != 0 && !list_has(who, c->seat.role)) {
        return FAIL3(ROLE_MISSING, "", arena_printf(c->arena, "%lld", (long long)c->seat.person),
                     c->seat.role, who);
    }
    return RESULT_OK;
}

/* Only what hangs on the record alone, and on who asks. */
static bool is_kept(const struct call *c)
{
    return c->route != NULL && c->method == METHOD_GET &&
           (c->route->flags & (ROUTE_READS | ROUTE_FRESH)) == ROUTE_READS &&
           strcmp(c->route->who, "anyone") != 0;
}

/* Lengths keep apart what stands behind each other. */
static const char *with_query(struct call *c, const char *about)
{
    for (size_t i = 0; i < c->target.query_count; i++) {
        const struct pair *p = &c->target.query[i];
        about = arena_printf(c->arena, "%s?%s=%zu:%s", about, p->name, strlen(p->value), p->value);
    }
    return about;
}

/* Weak: the same state of the record says the same in other bytes too. */
static const char *tag_of(struct call *c, const struct reading *reading)
{
    const char *about = arena_printf(
        c->arena, "%s|%s|%lld|%s|%s", c->lang, c->seat.role != NULL ? c->seat.role : "",
        (long long)c->seat.person, c->target.path, c->seat.how != NULL ? c->seat.how : "");
    about = with_query(c, about);
    struct hash hash = digest_sha256(about, strlen(about));
    bool ticks = (c->route->flags & ROUTE_TICKS) != 0;
    return arena_printf(c->arena, "W/\"%lld-%llu-%s-%lld-%.16s\"", (long long)reading->size,
                        (unsigned long long)c->rung, c->web->salt,
                        ticks ? (long long)(reading->now_ms / 60000) : 0,
                        hex_text(c->arena, hash.b, 8));
}

static struct result run_reading(struct call *c, struct reading *reading)
{
    struct view view = {.store = reading->plant->store,
                        .arena = c->arena,
                        .profile = reading->profile,
                        .now_ms = reading->now_ms,
                        .lang = c->lang,
                        .person = c->seat.person,
                        .role = c->seat.role,
                        .graph = reading->graph,
                        .sentences = reading->sentences,
                        .day_orders = reading->day_orders,
                        .warmth = reading->warmth};
    c->size = reading->size;
    if ((c->route->flags & ROUTE_FRESH) == 0) {
        c->etag = tag_of(c, reading);
        c->cache_control = "private, no-cache";
    }
    if (c->etag != NULL && etag_matches(c->asked.if_none_match, c->etag)) {
        c->status = 304;
        return RESULT_OK;
    }
    c->view = &view;
    c->reader = reading->plant;
    struct result r = c->route->run(c);
    c->view = NULL;
    return r;
}

static struct result run_route(struct call *c)
{
    struct reading reading;
    bool reads = (c->route->flags & ROUTE_READS) != 0;
    if (!reads && (c->route->flags & ROUTE_SEAT) == 0 && strcmp(c->route->who, "anyone") == 0) {
        return c->route->run(c);
    }
    struct result r =
        reading_begin(c->web->readers, (c->route->flags & ROUTE_GRAPH) != 0, &reading);
    if (r.code == CODE_OK) {
        r = take_seat(c, reading.plant->store);
    }
    if (r.code == CODE_OK) {
        r = check_who(c);
    }
    if (r.code == CODE_OK && reads) {
        r = run_reading(c, &reading);
    }
    reading_end(&reading);
    if (r.code == CODE_OK && !reads) {
        r = c->route->run(c);
    }
    return r;
}

/* Roles, people and stations are part of the record: while nothing is told, the one who asks may
 * what they might before. */
static const struct kept_key *key_of(struct call *c, const struct sitting *who, const char *station)
{
    bool ticks = (c->route->flags & ROUTE_TICKS) != 0;
    const char *about =
        arena_printf(c->arena, "%s|%d|%lld|%s|%s|%zu:%s|%s", c->lang,
                     takes_gzip(c->asked.accept_encoding), (long long)who->person, who->how,
                     station, strlen(who->station), who->station, c->target.path);
    about = with_query(c, about);
    struct kept_key *key = ARENA_NEW(c->arena, struct kept_key);
    *key = (struct kept_key){.rung = c->rung,
                             .minute = ticks ? c->web->world.now_ms(c->web->world.self) / 60000 : 0,
                             .asked = digest_sha256(about, strlen(about))};
    return key;
}

bool dispatch_again(struct call *c)
{
    struct sitting who;
    if (!is_kept(c) || !session_find(c->web->sessions, cookie_of(c, "plumule_session"),
                                     c->asked.last_event_id != NULL, &who)) {
        return false;
    }
    const char *station = cookie_of(c, "plumule_station");
    c->key = key_of(c, &who, station != NULL ? station : "");
    c->kept = kept_find(c->web->kept, c->key);
    if (c->kept == NULL) {
        return false;
    }
    c->etag = c->kept->etag;
    c->cache_control = "private, no-cache";
    c->content_type = "application/json";
    c->status = etag_matches(c->asked.if_none_match, c->etag) ? 304 : c->route->status;
    c->bytes = c->kept->bytes;
    c->bytes_len = c->kept->len;
    c->gzipped = c->kept->gzipped;
    for (size_t i = 0; i < c->kept->header_count; i++) {
        call_header(c, c->kept->headers[i].name, c->kept->headers[i].value);
    }
    return true;
}

void dispatch_keep(struct call *c)
{
    if (c->key == NULL || c->out == NULL || c->status != c->route->status) {
        return;
    }
    struct kept_answer answer = {.bytes = c->bytes,
                                 .len = c->bytes_len,
                                 .gzipped = c->gzipped,
                                 .etag = c->etag,
                                 .headers = c->headers,
                                 .header_count = c->header_count};
    kept_put(c->web->kept, c->key, &answer);
}

static struct result read_body(struct call *c)
{
    if ((c->route->flags & ROUTE_BODY) == 0) {
        return RESULT_OK;
    }
    TRY(json_read(c->body, c->body_len, (size_t)dispatch_body_max(c), &c->json));
    return json_is_object(c->json) ? RESULT_OK : FAIL2(FIELD_TYPE, "body", "an object", "that");
}

static struct result page(struct call *c)
{
    bool is;
    struct result r = trust_answer(c, &is);
    return is ? r : pages_answer(c->web->pages, c);
}

void dispatch_run(struct call *c)
{
    struct result r = RESULT_OK;
    if (c->route == NULL) {
        r = page(c);
    } else {
        r = read_body(c);
        if (r.code == CODE_OK) {
            r = run_route(c);
        }
    }
    if (r.code != CODE_OK) {
        dispatch_fail(c, &r);
    } else if (c->status == 0) {
        c->status = c->route != NULL ? c->route->status : 200;
    }
    if (c->content_type == NULL && c->out != NULL) {
        c->content_type = "application/json";
    }
}

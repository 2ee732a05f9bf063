#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/view.h"
#include "service/may.h"
#include "service/people.h"
#include "service/shift.h"
#include "service/station.h"
#include "service/stops.h"
#include "service/view.h"
#include "web/guard.h"
#include "web/limits.h"
#include "web/me.h"
#include "web/web_inner.h"

/* The shift in force; null before there is a profile. */
static json_t *shift_json(struct call *c, const struct view *v)
{
    if (v->profile == NULL) {
        return json_null();
    }
    struct shift s = shift_at(v->profile, c->arena, v->now_ms);
    json_t *o = json_pack("{s:s,s:s,s:I,s:I}", "name", s.name, "day", day_text(c->arena, s.day),
                          "start_ms", (json_int_t)s.start_ms, "end_ms", (json_int_t)s.end_ms);
    CHECK(o != NULL);
    return o;
}

struct result me_compose(struct call *c, const struct view *v, json_t **out)
{
    const struct seat *s = &c->seat;
    struct access access = {0};
    bool found;
    int starts_min = v->profile != NULL ? v->profile->day_starts_min : 0;
    if (s->person != 0) {
        TRY(access_read(v->store, c->arena, s->person, &access, &found));
    }
    json_t *may = NULL;
    TRY(may_list(&(struct may_asking){.store = v->store,
                                      .profile = v->profile,
                                      .role = s->role,
                                      .person = s->person,
                                      .at_ms = v->now_ms},
                 &may));
    json_t *person = s->person != 0 ? json_integer(s->person) : json_null();
    int32_t day = day_of_house(v->now_ms, civil_offset_min(v->now_ms), starts_min);
    json_t *stops = json_array();
    if (s->person != 0 || s->station != NULL) {
        json_decref(stops);
        TRY(stops_json(v, &stops));
    }
    bool receives = v->profile != NULL && v->profile->planning.received.given;
    *out = json_pack("{s:o,s:s?,s:s?,s:s?,s:s?,s:I,s:s,s:o,s:s,s:s,s:I,s:I,s:o,s:o,s:b}", "person",
                     person, "name", access.name, "role", s->role, "how", s->how, "station",
                     s->station, "idle_s", (json_int_t)s->idle_s, "language",
                     access.language != NULL ? access.language : c->lang, "may", may, "zone",
                     civil_zone(), "plant_day", day_text(c->arena, day), "now_ms",
                     (json_int_t)v->now_ms, "size", (json_int_t)c->size, "shift", shift_json(c, v),
                     "stops", stops, "receives", receives);
    CHECK(*out != NULL);
    return RESULT_OK;
}

struct result hand_me(struct call *c)
{
    return me_compose(c, c->view, &c->out);
}

static const char *cookie_of(struct call *c, const char *name)
{
    return cookie_find(c->arena, c->asked.cookie, cookie_name(c->secure, name, c->arena));
}

struct result station_of(struct call *c, const char **out)
{
    struct reading reading;
    const char *token = cookie_of(c, "plumule_station");
    *out = NULL;
    if (token == NULL) {
        return RESULT_OK;
    }
    struct result r = reading_begin(c->web->readers, false, &reading);
    if (r.code == CODE_OK) {
        r = station_by_token(reading.plant->store, c->arena, token, out);
    }
    reading_end(&reading);
    return r;
}

static struct result tell(struct call *c, json_t *request)
{
    json_t *answer = NULL;
    CHECK(request != NULL);
    struct result r = serving_ask(c->web->serving, request, &answer);
    json_decref(answer);
    json_decref(request);
    return r;
}

/* The stored text of a secret; NULL: there is none, or the person is not of this house any more. */
static struct result stored_of(struct call *c, int64_t person, bool pin, const char **out)
{
    struct reading reading;
    struct access access;
    bool here = false, known = false;
    struct result r = reading_begin(c->web->readers, false, &reading);
    if (r.code == CODE_OK) {
        r = person_is_here(reading.plant->store, c->arena, person, &here);
    }
    if (r.code == CODE_OK) {
        r = access_read(reading.plant->store, c->arena, person, &access, &known);
    }
    reading_end(&reading);
    *out = r.code == CODE_OK && here && known ? (pin ? access.pin : access.password) : NULL;
    return r;
}

struct result secret_try(struct call *c, int64_t person, const char *how, const char *secret)
{
    const char *stored, *number = arena_printf(c->arena, "%lld", (long long)person);
    bool pin = strcmp(how, "pin") == 0;
    int64_t wait_s = tries_count(c->web->tries, c->peer);
    if (wait_s > 0) {
        call_retry_after(c, wait_s);
        return FAIL1(TRIES_LOCKED, "", arena_printf(c->arena, "%lld", (long long)wait_s));
    }
    TRY(stored_of(c, person, pin, &stored));
    if (stored != NULL) {
        struct result r = tell(c, json_pack("{s:s,s:I,s:s}", "do", "attempt", "number",
                                            (json_int_t)person, "how", how));
        if (r.code == CODE_TRIES_LOCKED) {
            int64_t locked_s = 1;
            TRY(call_number(r.value[0], "", 0, INT32_MAX, &locked_s));
            call_retry_after(c, locked_s);
        }
        TRY(r);
    } else {
        /* as long as for somebody who is there (hashing a new one takes what comparing takes) */
        const char *unused;
        TRY(password_hash(c->arena, secret, &unused));
    }
    if (stored == NULL || !password_holds(stored, secret)) {
        c->status = 401;
        return pin ? FAIL0(PIN_WRONG, "pin") : FAIL1(PASSWORD_WRONG, "password", number);
    }
    return RESULT_OK;
}

struct result secret_good(struct call *c, int64_t person, const char *how, const char *station)
{
    tries_good(c->web->tries, c->peer);
    return tell(c, json_pack("{s:s,s:I,s:s,s:s*}", "do", "attempt-good", "number",
                             (json_int_t)person, "how", how, "station", station));
}

static struct result answer_me(struct call *c)
{
    struct reading reading;
    bool active, found;
    struct result r = reading_begin(c->web->readers, false, &reading);
    if (r.code == CODE_OK) {
        r = person_role(reading.plant->store, c->arena, c->seat.person, &c->seat.role, &active,
                        &found);
    }
    if (r.code == CODE_OK) {
        struct view view = {.store = reading.plant->store,
                            .arena = c->arena,
                            .profile = reading.profile,
                            .now_ms = reading.now_ms,
                            .lang = c->lang};
        c->size = reading.size;
        r = me_compose(c, &view, &c->out);
    }
    reading_end(&reading);
    return r;
}

struct result sit_down(struct call *c, int64_t person, const char *how, const char *station)
{
    struct sitting who = {.person = person,
                          .how = how,
                          .idle_s = station != NULL ? WEB_IDLE_STATION_S : WEB_IDLE_PASSWORD_S};
    snprintf(who.station, sizeof who.station, "%s", station != NULL ? station : "");
    session_close(c->web->sessions, cookie_of(c, "plumule_session"));
    const char *token = session_open(c->web->sessions, c->arena, &who);
    call_header(c, "Set-Cookie", cookie_text(c->arena, c->secure, "plumule_session", token, -1));
    c->seat = (struct seat){
        .person = person, .how = how, .station = station, .token = token, .idle_s = who.idle_s};
    return answer_me(c);
}

struct result hand_sign_in(struct call *c)
{
    static const char *const names[] = {"person", "password", NULL};
    int64_t person = 0;
    const char *password = NULL, *station;
    TRY(json_only(c->json, "", "a sign-in", names));
    TRY(call_int(c, "person", JSON_NEEDED, 1, 999999, &person));
    TRY(call_text(c, "password", JSON_NEEDED, &password));
    TRY(secret_try(c, person, "password", password));
    TRY(station_of(c, &station));
    TRY(secret_good(c, person, "password", station));
    return sit_down(c, person, "password", station);
}

struct result hand_sign_out(struct call *c)
{
    session_close(c->web->sessions, cookie_of(c, "plumule_session"));
    call_header(c, "Set-Cookie", cookie_text(c->arena, c->secure, "plumule_session", "", 0));
    c->out = json_object();
    return RESULT_OK;
}

#include <string.h>

#include "base/check.h"
#include "base/uuid.h"
#include "service/people.h"
#include "service/station.h"
#include "service/view.h"
#include "service/view_house.h"
#include "web/guard.h"
#include "web/limits.h"
#include "web/me.h"
#include "web/web_inner.h"

static struct result ask(struct call *c, json_t *request)
{
    json_t *answer = NULL;
    CHECK(request != NULL);
    struct result r = serving_ask(c->web->serving, request, &answer);
    json_decref(answer);
    json_decref(request);
    return r;
}

/* The one who sits there proves to be who they are, once more. */
static struct result prove_self(struct call *c, const char *key)
{
    const char *password = NULL;
    TRY(call_text(c, key, JSON_NEEDED, &password));
    TRY(secret_try(c, c->seat.person, "password", password));
    return secret_good(c, c->seat.person, "password", NULL);
}

static struct result done(struct call *c)
{
    c->out = json_object();
    return RESULT_OK;
}

static struct result number_of(struct call *c, int64_t *out)
{
    return call_number(c->part[0], "number", 1, 999999, out);
}

/* ---- stepping up at a station */

static struct result step_by_badge(struct call *c, const char *station, const char *badge)
{
    struct reading reading;
    int64_t person = 0, wait_s = tries_count(c->web->tries, c->peer);
    if (wait_s > 0) {
        call_retry_after(c, wait_s);
        return FAIL1(TRIES_LOCKED, "", arena_printf(c->arena, "%lld", (long long)wait_s));
    }
    struct result r = reading_begin(c->web->readers, false, &reading);
    if (r.code == CODE_OK) {
        r = badge_owner(reading.plant->store, badge, &person);
    }
    bool here = false;
    if (r.code == CODE_OK && person != 0) {
        r = person_is_here(reading.plant->store, c->arena, person, &here);
    }
    reading_end(&reading);
    TRY(r);
    if (!here) {
        c->status = 401;
        return FAIL0(PIN_WRONG, "badge");
    }
    TRY(secret_good(c, person, "badge", station));
    return sit_down(c, person, "badge", station);
}

struct result hand_step_up(struct call *c)
{
    static const char *const names[] = {"person", "pin", "badge", NULL};
    const char *station, *pin = NULL, *badge = NULL;
    int64_t person = 0;
    TRY(json_only(c->json, "", "stepping up", names));
    TRY(station_of(c, &station));
    if (station == NULL) {
        return FAIL0(STATION_NEEDED, "");
    }
    TRY(call_text(c, "badge", JSON_OPTIONAL, &badge));
    if (badge != NULL) {
        return step_by_badge(c, station, badge);
    }
    TRY(call_int(c, "person", JSON_NEEDED, 1, 999999, &person));
    TRY(call_text(c, "pin", JSON_NEEDED, &pin));
    TRY(secret_try(c, person, "pin", pin));
    TRY(secret_good(c, person, "pin", station));
    return sit_down(c, person, "pin", station);
}

/* ---- stations */

struct result hand_stations(struct call *c)
{
    json_t *stations = json_array();
    c->out = json_pack("{s:o}", "stations", stations);
    struct statement *q = store_prepare(c->view->store, Q_STATION_LIST);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        json_t *last = store_is_null(q, 4) ? json_null() : json_integer(store_int(q, 4));
        json_array_append_new(stations, json_pack("{s:s,s:s?,s:I,s:I,s:o}", "code",
                                                  store_text(q, 0), "place", store_text(q, 1),
                                                  "enrolled_ms", (json_int_t)store_int(q, 2), "by",
                                                  (json_int_t)store_int(q, 3), "last_ms", last));
    }
}

struct result hand_station_enrol(struct call *c)
{
    static const char *const names[] = {"code", "place", NULL};
    const char *code = NULL, *place = NULL;
    TRY(json_only(c->json, "", "a station", names));
    TRY(call_text(c, "code", JSON_NEEDED, &code));
    TRY(call_text(c, "place", JSON_OPTIONAL, &place));
    const char *token = token_new(c->arena, c->web->world);
    struct hash hash = digest_sha256(token, strlen(token));
    TRY(ask(c, json_pack("{s:s,s:s,s:s*,s:s,s:I}", "do", "station-enrol", "code", code, "place",
                         place, "token_sha256", hex_text(c->arena, hash.b, sizeof hash.b), "by",
                         (json_int_t)c->seat.person)));
    session_close_all(c->web->sessions, 0, code);
    call_header(c, "Set-Cookie",
                cookie_text(c->arena, c->secure, "plumule_station", token, WEB_STATION_S));
    c->out = json_pack("{s:s}", "code", code);
    return RESULT_OK;
}

struct result hand_station_revoke(struct call *c)
{
    TRY(ask(c, json_pack("{s:s,s:s,s:I}", "do", "station-revoke", "code", c->part[0], "by",
                         (json_int_t)c->seat.person)));
    session_close_all(c->web->sessions, 0, c->part[0]);
    return done(c);
}

/* ---- people */

static json_t *person_command(struct call *c, int64_t number, const char *role, bool active)
{
    return json_pack("{s:s,s:s,s:I,s:I,s:s,s:b}", "kind", "person", "uuid",
                     uuid_new(c->arena, c->web->world), "person", (json_int_t)c->seat.person,
                     "number", (json_int_t)number, "role", role, "active", (int)active);
}

/* First the entry: who may not make it changes no name either. */
struct result hand_person_put(struct call *c)
{
    static const char *const names[] = {"number",   "role",   "name",        "contact",
                                        "password", "active", "by_password", NULL};
    int64_t number = 0;
    const char *role = NULL, *name = NULL, *contact = "", *password = NULL, *stored = NULL;
    bool active = true;
    TRY(json_only(c->json, "", "a person", names));
    TRY(call_int(c, "number", JSON_NEEDED, 1, 999999, &number));
    TRY(call_text(c, "role", JSON_NEEDED, &role));
    TRY(call_text(c, "name", JSON_NEEDED, &name));
    TRY(call_text(c, "contact", JSON_OPTIONAL, &contact));
    TRY(call_text(c, "password", JSON_OPTIONAL, &password));
    TRY(json_get_bool(c->json, "active", "active", JSON_OPTIONAL, &active));
    if (password != NULL) {
        TRY(password_check(password));
        TRY(password_hash(c->arena, password, &stored));
    }
    TRY(prove_self(c, "by_password"));
    TRY(ask(c, json_pack("{s:s,s:o}", "do", "take", "command",
                         person_command(c, number, role, active))));
    TRY(ask(c, json_pack("{s:s,s:I,s:s,s:s,s:s*,s:I}", "do", "person", "number", (json_int_t)number,
                         "name", name, "contact", contact, "stored_password", stored, "by",
                         (json_int_t)c->seat.person)));
    if (!active || stored != NULL) {
        session_close_all(c->web->sessions, number, NULL);
    }
    c->out = json_pack("{s:I}", "number", (json_int_t)number);
    return RESULT_OK;
}

struct result hand_person_pin(struct call *c)
{
    static const char *const names[] = {"pin", "password", NULL};
    int64_t number;
    const char *pin = NULL, *stored;
    TRY(json_only(c->json, "", "a PIN", names));
    TRY(number_of(c, &number));
    if (number != c->seat.person) {
        return FAIL2(PERSON_OTHER, "number",
                     arena_printf(c->arena, "%lld", (long long)c->seat.person), c->part[0]);
    }
    TRY(call_text(c, "pin", JSON_NEEDED, &pin));
    TRY(pin_check(pin));
    TRY(prove_self(c, "password"));
    TRY(password_hash(c->arena, pin, &stored));
    TRY(ask(c, json_pack("{s:s,s:I,s:s,s:I}", "do", "pin", "number", (json_int_t)number,
                         "stored_pin", stored, "by", (json_int_t)number)));
    return done(c);
}

struct result hand_person_badge(struct call *c)
{
    static const char *const names[] = {"badge", "password", NULL};
    int64_t number;
    const char *badge = NULL;
    TRY(json_only(c->json, "", "a badge", names));
    TRY(number_of(c, &number));
    TRY(call_text(c, "badge", JSON_NEEDED, &badge));
    TRY(prove_self(c, "password"));
    TRY(ask(c, json_pack("{s:s,s:I,s:s,s:I}", "do", "badge", "number", (json_int_t)number, "badge",
                         badge, "by", (json_int_t)c->seat.person)));
    return done(c);
}

struct result hand_person_language(struct call *c)
{
    static const char *const names[] = {"language", NULL};
    int64_t number;
    const char *language = NULL;
    TRY(json_only(c->json, "", "a language", names));
    TRY(number_of(c, &number));
    TRY(call_text(c, "language", JSON_NEEDED, &language));
    TRY(ask(c, json_pack("{s:s,s:I,s:s,s:I}", "do", "language", "number", (json_int_t)number,
                         "language", language, "by", (json_int_t)c->seat.person)));
    return done(c);
}

struct result hand_person_unlock(struct call *c)
{
    static const char *const names[] = {"password", NULL};
    int64_t number;
    TRY(json_only(c->json, "", "unlocking", names));
    TRY(number_of(c, &number));
    TRY(prove_self(c, "password"));
    TRY(ask(c, json_pack("{s:s,s:I,s:I}", "do", "unlock", "number", (json_int_t)number, "by",
                         (json_int_t)c->seat.person)));
    return done(c);
}

struct result hand_person_erase(struct call *c)
{
    int64_t number;
    TRY(number_of(c, &number));
    TRY(prove_self(c, "password"));
    TRY(ask(c, json_pack("{s:s,s:I,s:I}", "do", "erase-person", "number", (json_int_t)number, "by",
                         (json_int_t)c->seat.person)));
    session_close_all(c->web->sessions, number, NULL);
    return done(c);
}

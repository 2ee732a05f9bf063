#include "service/people.h"

#include <string.h>

#include "base/check.h"
#include "ledger/view.h"
#include "service/may.h"

static struct result run(struct statement *q)
{
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static const char *number_text(struct arena *a, int64_t number)
{
    return arena_printf(a, "%lld", (long long)number);
}

struct result pin_check(const char *pin)
{
    size_t len = strlen(pin);
    bool digits = strspn(pin, "0123456789") == len, same = true, up = true, down = true;
    for (size_t i = 1; i < len; i++) {
        same = same && pin[i] == pin[0];
        up = up && pin[i] == pin[i - 1] + 1;
        down = down && pin[i] == pin[i - 1] - 1;
    }
    if (!digits || len < PIN_DIGITS_MIN || len > PIN_DIGITS_MAX || same || up || down) {
        return FAIL2(FIELD_RANGE, "pin", "too easy or no number",
                     "4 to 12 digits, not all the same and not counting up or down");
    }
    return RESULT_OK;
}

struct result password_check(const char *password)
{
    return strlen(password) >= PASSWORD_LEN_MIN
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, "password", "too short", "at least 8 characters");
}

struct result person_is_here(struct store *s, struct arena *a, int64_t number, bool *out)
{
    const char *role;
    bool active, found;
    TRY(person_role(s, a, number, &role, &active, &found));
    *out = found && active;
    return RESULT_OK;
}

struct result access_read(struct store *s, struct arena *a, int64_t number, struct access *out,
                          bool *out_found)
{
    struct statement *q = store_prepare(s, Q_ACCESS_GET);
    bool row;
    *out = (struct access){0};
    store_bind_int(q, 1, number);
    TRY(store_step(q, &row));
    *out_found = row;
    if (!row) {
        return RESULT_OK;
    }
    const char *texts[4];
    static const int columns[4] = {0, 1, 7, 5};
    for (size_t i = 0; i < 4; i++) {
        const char *text = store_text(q, columns[i]);
        texts[i] = text != NULL ? arena_copy(a, text) : NULL;
    }
    *out = (struct access){.password = texts[0],
                           .pin = texts[1],
                           .name = texts[2],
                           .language = texts[3],
                           .password_failed = store_int(q, 2),
                           .pin_failed = store_int(q, 3),
                           .locked_until_ms = store_int(q, 4),
                           .has_badge = store_int(q, 6) != 0};
    return run(q);
}

struct result badge_owner(struct store *s, const char *badge, int64_t *out_number)
{
    struct hash hash = digest_sha256(badge, strlen(badge));
    struct statement *q = store_prepare(s, Q_ACCESS_BY_BADGE);
    bool row;
    *out_number = 0;
    store_bind_bytes(q, 1, hash.b, sizeof hash.b);
    TRY(store_step(q, &row));
    if (row) {
        *out_number = store_int(q, 0);
        return run(q);
    }
    return RESULT_OK;
}

/* The one who asks is a manager, or (own) the person it is about. */
static struct result check_by(struct plant *plant, const json_t *request, int64_t number, bool own,
                              struct arena *a)
{
    int64_t by;
    const char *role;
    bool active, found;
    TRY(json_get_int(request, "by", "by", JSON_NEEDED, 1, INT32_MAX, &by));
    TRY(person_role(plant->store, a, by, &role, &active, &found));
    if (!found || !active || !((own && by == number) || list_has(may_people, role))) {
        return FAIL3(ROLE_MISSING, "by", number_text(a, by), found ? role : "unknown", may_people);
    }
    return RESULT_OK;
}

static struct result read_number(const json_t *request, int64_t *out)
{
    return json_get_int(request, "number", "number", JSON_NEEDED, 1, 999999, out);
}

static struct result do_person(struct plant *plant, const json_t *request, struct arena *a)
{
    int64_t number;
    const char *name = NULL, *contact = "", *password = NULL, *stored = NULL;
    TRY(read_number(request, &number));
    TRY(check_by(plant, request, number, true, a));
    TRY(json_get_text(request, "name", "name", JSON_NEEDED, &name));
    TRY(json_get_text(request, "contact", "contact", JSON_OPTIONAL, &contact));
    TRY(json_get_text(request, "stored_password", "stored_password", JSON_OPTIONAL, &stored));
    TRY(json_get_text(request, "password", "password", JSON_OPTIONAL, &password));
    if (password != NULL) {
        TRY(password_check(password));
        TRY(password_hash(a, password, &stored));
    }
    struct statement *q = store_prepare(plant->store, Q_PERSON_SECRET_PUT);
    store_bind_int(q, 1, number);
    store_bind_text(q, 2, name);
    store_bind_text(q, 3, contact);
    store_bind_text(q, 4, stored);
    return run(q);
}

static struct result do_erase(struct plant *plant, const json_t *request, struct arena *a)
{
    int64_t number;
    TRY(read_number(request, &number));
    TRY(check_by(plant, request, number, true, a));
    struct statement *q = store_prepare(plant->store, Q_STATION_PERSON_ERASE);
    store_bind_int(q, 1, number);
    TRY(run(q));
    q = store_prepare(plant->store, Q_PERSON_SECRET_ERASE);
    store_bind_int(q, 1, number);
    return run(q);
}

/* PERSON_UNKNOWN when there is nothing to keep a secret beside. */
static struct result known(struct plant *plant, struct arena *a, int64_t number, struct access *out)
{
    bool found;
    TRY(access_read(plant->store, a, number, out, &found));
    return found ? RESULT_OK : FAIL1(PERSON_UNKNOWN, "number", number_text(a, number));
}

static struct result do_pin(struct plant *plant, const json_t *request, struct arena *a)
{
    int64_t number, by;
    struct access access;
    const char *stored = NULL;
    TRY(read_number(request, &number));
    TRY(json_get_int(request, "by", "by", JSON_NEEDED, number, number, &by));
    TRY(json_get_text(request, "stored_pin", "stored_pin", JSON_NEEDED, &stored));
    TRY(known(plant, a, number, &access));
    struct statement *q = store_prepare(plant->store, Q_ACCESS_PIN);
    store_bind_int(q, 1, number);
    store_bind_text(q, 2, stored);
    return run(q);
}

static struct result do_badge(struct plant *plant, const json_t *request, struct arena *a)
{
    int64_t number, owner;
    struct access access;
    const char *badge = NULL;
    TRY(read_number(request, &number));
    TRY(check_by(plant, request, number, true, a));
    TRY(json_get_text(request, "badge", "badge", JSON_NEEDED, &badge));
    size_t len = strlen(badge);
    if (len < BADGE_LEN_MIN || len > BADGE_LEN_MAX) {
        return FAIL2(FIELD_RANGE, "badge", len < BADGE_LEN_MIN ? "too short" : "too long",
                     "8 to 128 characters");
    }
    TRY(known(plant, a, number, &access));
    TRY(badge_owner(plant->store, badge, &owner));
    if (owner != 0 && owner != number) {
        return FAIL0(BADGE_TAKEN, "badge");
    }
    struct hash hash = digest_sha256(badge, len);
    struct statement *q = store_prepare(plant->store, Q_ACCESS_BADGE);
    store_bind_int(q, 1, number);
    store_bind_bytes(q, 2, hash.b, sizeof hash.b);
    return run(q);
}

static struct result do_language(struct plant *plant, const json_t *request, struct arena *a)
{
    int64_t number;
    struct access access;
    const char *language = NULL;
    TRY(read_number(request, &number));
    TRY(check_by(plant, request, number, true, a));
    TRY(json_get_text(request, "language", "language", JSON_NEEDED, &language));
    if (!list_has("en,es", language)) {
        return FAIL2(FIELD_CHOICE, "language", language, "en, es");
    }
    TRY(known(plant, a, number, &access));
    struct statement *q = store_prepare(plant->store, Q_ACCESS_LANGUAGE);
    store_bind_int(q, 1, number);
    store_bind_text(q, 2, language);
    return run(q);
}

static struct result put_count(struct plant *plant, int64_t number, const struct access *access)
{
    struct statement *q = store_prepare(plant->store, Q_ACCESS_COUNT);
    store_bind_int(q, 1, number);
    store_bind_int(q, 2, access->password_failed);
    store_bind_int(q, 3, access->pin_failed);
    store_bind_int(q, 4, access->locked_until_ms);
    return run(q);
}

static struct result do_unlock(struct plant *plant, const json_t *request, struct arena *a)
{
    int64_t number;
    struct access access;
    TRY(read_number(request, &number));
    TRY(check_by(plant, request, number, false, a));
    TRY(known(plant, a, number, &access));
    return put_count(plant, number, &(struct access){0});
}

static struct result read_how(const json_t *request, bool *out_pin)
{
    const char *how = NULL;
    TRY(json_get_text(request, "how", "how", JSON_NEEDED, &how));
    *out_pin = strcmp(how, "pin") == 0;
    return *out_pin || strcmp(how, "password") == 0 || strcmp(how, "badge") == 0
               ? RESULT_OK
               : FAIL2(FIELD_CHOICE, "how", how, "password, pin, badge");
}

/* The fifth try in a row still counts; whoever is wrong then is locked. */
static struct result do_attempt(struct plant *plant, const json_t *request, struct arena *a)
{
    int64_t number, now_ms = plant->world.now_ms(plant->world.self);
    struct access access;
    bool pin;
    TRY(read_number(request, &number));
    TRY(read_how(request, &pin));
    TRY(known(plant, a, number, &access));
    if (pin) {
        if (access.pin_failed >= PEOPLE_TRIES) {
            return FAIL1(PIN_LOCKED, "pin", number_text(a, number));
        }
        access.pin_failed++;
    } else {
        if (access.locked_until_ms > now_ms) {
            return FAIL1(TRIES_LOCKED, "",
                         number_text(a, (access.locked_until_ms - now_ms + 999) / 1000));
        }
        access.password_failed++;
        if (access.password_failed >= PEOPLE_TRIES) {
            access.password_failed = 0;
            access.locked_until_ms = now_ms + PEOPLE_LOCKED_MS;
        }
    }
    return put_count(plant, number, &access);
}

static struct result used_at(struct plant *plant, const char *station, int64_t number)
{
    int64_t now_ms = plant->world.now_ms(plant->world.self);
    struct statement *q = store_prepare(plant->store, Q_STATION_USED);
    store_bind_text(q, 1, station);
    store_bind_int(q, 2, now_ms);
    TRY(run(q));
    q = store_prepare(plant->store, Q_STATION_PERSON_PUT);
    store_bind_text(q, 1, station);
    store_bind_int(q, 2, number);
    store_bind_int(q, 3, now_ms);
    return run(q);
}

/* The right password also opens the PIN again; a right PIN says nothing of the password. */
static struct result do_attempt_good(struct plant *plant, const json_t *request, struct arena *a)
{
    int64_t number;
    struct access access;
    const char *station = NULL, *how = NULL;
    bool pin;
    TRY(read_number(request, &number));
    TRY(read_how(request, &pin));
    TRY(json_get_text(request, "how", "how", JSON_NEEDED, &how));
    TRY(json_get_text(request, "station", "station", JSON_OPTIONAL, &station));
    TRY(known(plant, a, number, &access));
    if (strcmp(how, "badge") != 0) {
        access.pin_failed = 0;
    }
    if (strcmp(how, "password") == 0) {
        access.password_failed = 0;
        access.locked_until_ms = 0;
    }
    TRY(put_count(plant, number, &access));
    return station != NULL ? used_at(plant, station, number) : RESULT_OK;
}

static const struct {
    const char *what;
    struct result (*run)(struct plant *plant, const json_t *request, struct arena *a);
    bool proves;
} requests[] = {
    {"person", do_person, true},
    {"erase-person", do_erase, true},
    {"pin", do_pin, true},
    {"badge", do_badge, true},
    {"language", do_language, false},
    {"unlock", do_unlock, true},
    {"attempt", do_attempt, false},
    {"attempt-good", do_attempt_good, false},
};

struct result people_do(struct plant *plant, const char *what, const json_t *request,
                        struct arena *a, json_t **out_answer, bool *out_is)
{
    for (size_t i = 0; i < sizeof requests / sizeof requests[0]; i++) {
        if (strcmp(requests[i].what, what) == 0) {
            *out_is = true;
            TRY(requests[i].run(plant, request, a));
            *out_answer = json_object();
            return RESULT_OK;
        }
    }
    *out_is = false;
    return RESULT_OK;
}

bool people_proves(const char *what)
{
    for (size_t i = 0; i < sizeof requests / sizeof requests[0]; i++) {
        if (strcmp(requests[i].what, what) == 0) {
            return requests[i].proves;
        }
    }
    return false;
}

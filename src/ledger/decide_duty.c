#include <string.h>

#include "base/decimal.h"
#include "ledger/duty.h"
#include "ledger/quantity.h"
#include "ledger/view.h"

static const char duty_kinds[] = "clean,swab,check,calibrate,inspect,maintenance,pest,glass,blades,"
                                 "water,training,review,exercise,other";
static const char duty_bys[] = "told,clean,swab,check,calibrate,instrument-check,register-count";
/* A tenth and a half of the interval: common practice in master cleaning schedules. */
enum { LATE_TENTHS = 1, OVERDUE_TENTHS = 5, TITLE_MAX = 120, NOTED_FROM = 100 };

enum duty_state duty_state_at(int64_t due_ms, int64_t every_ms, int64_t now_ms)
{
    int64_t past_ms = now_ms - due_ms;
    return past_ms <= 0                               ? DUTY_DONE
           : past_ms > every_ms / 10 * OVERDUE_TENTHS ? DUTY_OVERDUE
           : past_ms > every_ms / 10 * LATE_TENTHS    ? DUTY_LATE
                                                      : DUTY_DUE;
}

const char *duty_state_text(enum duty_state state)
{
    static const char *const texts[] = {"done", "due", "late", "overdue"};
    return texts[state];
}

static struct duty duty_of(struct arena *a, const struct listed *l)
{
    const char *role = listed_text(l, "role"), *by = listed_text(l, "by");
    return (struct duty){.code = l->code,
                         .title = arena_copy(a, listed_text(l, "title")),
                         .kind = arena_copy(a, listed_text(l, "kind")),
                         .by = arena_copy(a, by),
                         .role = arena_copy(a, role),
                         .source = arena_copy(a, listed_text(l, "source")),
                         .place = l->place,
                         .about = l->about,
                         .every_ms = listed_int(l, "every_ms"),
                         .blocks = json_is_true(json_object_get(l->data, "blocks"))};
}

struct result duties_at(struct store *s, struct arena *a, int64_t now_ms, struct duty **out,
                        size_t *out_count)
{
    struct listed *list;
    TRY(listed_all(s, a, "duty", &list, out_count));
    *out = ARENA_ARRAY(a, struct duty, *out_count + 1);
    struct result r = RESULT_OK;
    for (size_t i = 0; i < *out_count && r.code == CODE_OK; i++) {
        struct duty *duty = &(*out)[i];
        *duty = duty_of(a, &list[i]);
        r = noted_good(s, "duty", duty->code, now_ms, &duty->last_ms);
        duty->due_ms = duty->last_ms != 0 ? duty->last_ms + duty->every_ms : list[i].at_ms;
        duty->state = duty_state_at(duty->due_ms, duty->every_ms, now_ms);
    }
    listed_free(list, *out_count);
    return r;
}

static bool same_or_any(const char *wanted, const char *is)
{
    return wanted == NULL || (is != NULL && strcmp(wanted, is) == 0);
}

struct result duties_met(struct draft *d, const char *by, const char *place, const char *about)
{
    struct listed *duties;
    size_t count;
    int64_t n = NOTED_FROM;
    TRY(listed_all(d->store, d->arena, "duty", &duties, &count));
    for (size_t i = 0; i < count; i++) {
        const struct listed *duty = &duties[i];
        if (strcmp(listed_text(duty, "by"), by) == 0 && same_or_any(duty->place, place) &&
            same_or_any(duty->about, about)) {
            noted_add(
                d, n++,
                &(struct noting){.kind = "duty", .code = duty->code, .place = place, .ok = true});
        }
    }
    listed_free(duties, count);
    return RESULT_OK;
}

/* Is place the one, or does it stand in it? */
static struct result stands_in(struct draft *d, const char *place, const char *in, bool *out)
{
    struct statement *q = store_prepare(d->store, Q_PLACES_AROUND);
    store_bind_text(q, 1, place);
    *out = false;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        *out = *out || strcmp(store_text(q, 0), in) == 0;
    }
}

struct result duty_blocking(struct draft *d, const char *place, struct duty *out, bool *out_found)
{
    struct duty *duties;
    size_t count;
    *out_found = false;
    TRY(duties_at(d->store, d->arena, d->cmd->happened_ms, &duties, &count));
    for (size_t i = 0; i < count && !*out_found; i++) {
        if (!duties[i].blocks || duties[i].place == NULL || duties[i].state != DUTY_OVERDUE) {
            continue;
        }
        TRY(stands_in(d, place, duties[i].place, out_found));
        *out = duties[i];
    }
    return RESULT_OK;
}

/* What it speaks of must be known, so that the record can fulfil it. */
static struct result read_about(struct draft *d, const char *by, const char **place,
                                const char **about)
{
    const json_t *o = d->cmd->body;
    struct place p = {0};
    TRY(place_named(d, "place", JSON_OPTIONAL, &p));
    *place = p.code;
    const char *key = list_has("calibrate,instrument-check", by) ? "instrument"
                      : strcmp(by, "check") == 0                 ? "check"
                      : strcmp(by, "swab") == 0                  ? "site"
                      : strcmp(by, "register-count") == 0        ? "register"
                                                                 : NULL;
    static const char *const keys[] = {"instrument", "check", "site", "register"};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        const json_t *given = json_object_get(o, keys[i]);
        if (given != NULL && !json_is_null(given) && (key == NULL || strcmp(key, keys[i]) != 0)) {
            return FAIL1(FIELD_UNKNOWN, keys[i], "a duty that is done so");
        }
    }
    *about = NULL;
    if (key != NULL) {
        TRY(json_get_text(o, key, key, JSON_NEEDED, about));
    }
    if (key != NULL && strcmp(key, "instrument") == 0) {
        struct instrument instrument;
        bool found;
        TRY(instrument_on(d->store, d->arena, *about, d->cmd->happened_ms, &instrument, &found));
        return found ? RESULT_OK : FAIL1(INSTRUMENT_UNKNOWN, key, *about);
    }
    return strcmp(by, "clean") != 0 || *place != NULL
               ? RESULT_OK
               : FAIL1(FIELD_MISSING, "place", "Name the place that is cleaned.");
}

struct result decide_duty(struct draft *d)
{
    static const char *const names[] = {"code",       "title",  "duty_kind", "by",       "place",
                                        "instrument", "check",  "site",      "register", "every",
                                        "role",       "blocks", "source",    "active",   NULL};
    const json_t *o = d->cmd->body;
    const char *code, *title, *kind, *by = "told", *every, *role, *source, *place, *about;
    int64_t every_ms;
    bool blocks = false, active = true;
    TRY(draft_only(d, "a duty", names));
    TRY(listed_code(o, "code", JSON_NEEDED, &code));
    TRY(listed_words(o, "title", TITLE_MAX, JSON_NEEDED, &title));
    TRY(listed_choice(o, "duty_kind", duty_kinds, JSON_NEEDED, &kind));
    TRY(listed_choice(o, "by", duty_bys, JSON_OPTIONAL, &by));
    TRY(read_about(d, by, &place, &about));
    TRY(json_get_text(o, "every", "every", JSON_NEEDED, &every));
    TRY(duration_read(every, "every", &every_ms));
    if (every_ms < 3600000) {
        return FAIL2(FIELD_RANGE, "every", every, "an hour or more");
    }
    TRY(listed_choice(o, "role", profile_roles, JSON_NEEDED, &role));
    TRY(json_get_bool(o, "blocks", "blocks", JSON_OPTIONAL, &blocks));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    if (blocks && place == NULL) {
        return FAIL1(FIELD_MISSING, "place", "Name the place at which nothing may start.");
    }
    TRY(listed_words(o, "source", 200, JSON_NEEDED, &source));
    json_t *data = json_pack("{s:s,s:s,s:s,s:I,s:s,s:b,s:s}", "title", title, "kind", kind, "by",
                             by, "every_ms", (json_int_t)every_ms, "role", role, "blocks",
                             (int)blocks, "source", source);
    listed_add(d, "duty", code, place, about, 0, active, data);
    json_object_set_new(d->answer, "duty", json_string(code));
    return RESULT_OK;
}

struct result decide_duty_done(struct draft *d)
{
    static const char *const names[] = {"duty", "ok", "what", NULL};
    const json_t *o = d->cmd->body;
    const char *code, *what = "";
    struct listed duty;
    bool ok = true, found;
    TRY(draft_only(d, "a duty that is done", names));
    TRY(json_get_text(o, "duty", "duty", JSON_NEEDED, &code));
    TRY(listed_one(d->store, d->arena, "duty", code, &duty, &found));
    if (!found) {
        return FAIL1(DUTY_UNKNOWN, "duty", code);
    }
    const char *by = arena_copy(d->arena, listed_text(&duty, "by"));
    const char *title = arena_copy(d->arena, listed_text(&duty, "title"));
    listed_free(&duty, 1);
    if (strcmp(by, "told") != 0) {
        return FAIL2(DUTY_BY_RECORD, "duty", code, by);
    }
    TRY(json_get_bool(o, "ok", "ok", JSON_NEEDED, &ok));
    TRY(listed_words(o, "what", 500, ok ? JSON_OPTIONAL : JSON_NEEDED, &what));
    noted_add(d, 0,
              &(struct noting){.kind = "duty",
                               .code = code,
                               .place = duty.place,
                               .ok = ok,
                               .data = json_pack("{s:s}", "what", what)});
    json_object_set_new(d->answer, "duty", json_string(code));
    return ok ? RESULT_OK
              : draft_deviation(d, "duty-failed", 0, duty.place, 0, 0,
                                FAIL3(DUTY_FAILED, "ok", code, title, what));
}

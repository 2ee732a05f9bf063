/* Environmental actions: 21 CFR 112.146, published (seen); times and the rule for closing are
 * common practice and only ever ask for more. */
#include <string.h>

#include "base/civil.h"
#include "ledger/environment.h"
#include "ledger/finding.h"

#define HOUR_MS INT64_C(3600000)
enum { SWABS_TO_CLOSE = 3, NICHE_HOURS = 72 }; /* negative in a row on the site: common practice */

/* What a detection of Listeria asks for at least, and within how many hours: the six of 112.146
 * (published (seen)); the hours are common practice (cleaned and swabbed again within 1 to 3 days).
 */
static const struct {
    const char *kind;
    int hours;
} listeria_tasks[] = {
    {"listeria-test-around", 24},  /* (a) surfaces and areas around, niches */
    {"listeria-clean", 24},        /* (b) affected and surrounding surfaces */
    {"listeria-show-gone", 72},    /* (c) sampling that shows elimination */
    {"listeria-test-product", 24}, /* (d) finished product where appropriate */
    {"listeria-prevent", 72},      /* (e) against recurrence */
    {"listeria-keep-back", 0},     /* (f) nothing adulterated enters commerce */
};

int64_t environment_open(struct draft *d, const struct environment_opening *opening)
{
    json_t *data = json_pack("{s:I}", "from_ms", (json_int_t)opening->from_ms);
    if (opening->organism != NULL) {
        json_object_set_new(data, "organism", json_string(opening->organism));
    }
    if (opening->sample != NULL) {
        json_object_set_new(data, "sample", json_string(opening->sample));
    }
    if (opening->site != NULL) {
        json_object_set_new(data, "site", json_string(opening->site));
        json_object_set_new(data, "zone", json_integer(opening->zone));
        json_object_set_new(data, "clear", json_integer(opening->clear));
    }
    const char *text = json_canonical(d->arena, data);
    json_decref(data);
    int64_t id = draft_id(d);
    draft_add(d, EFFECT_ENVIRONMENT, "itiint", id, opening->place, (int64_t)opening->product_hold,
              d->cmd->happened_ms, text);
    bool listeria = opening->organism != NULL && strncmp(opening->organism, "Listeria", 8) == 0;
    for (size_t i = 0; listeria && i < sizeof listeria_tasks / sizeof listeria_tasks[0]; i++) {
        draft_task(d, listeria_tasks[i].kind,
                   opening->sample != NULL ? opening->sample : opening->organism, 0, opening->place,
                   d->cmd->recorded_ms + listeria_tasks[i].hours * HOUR_MS);
    }
    if (listeria && opening->repeated) { /* it lives somewhere near: take things apart */
        draft_task(d, "listeria-niche", opening->site, 0, opening->place,
                   d->cmd->recorded_ms + NICHE_HOURS * HOUR_MS);
    }
    json_object_set_new(d->answer, "environment", json_integer(id));
    json_object_set_new(d->answer, "product_hold", json_boolean(opening->product_hold));
    return id;
}

static struct result open_action(struct draft *d)
{
    const json_t *o = d->cmd->body;
    struct environment_opening opening = {.from_ms = d->cmd->happened_ms};
    const char *from = NULL, *code = NULL;
    struct place place;
    bool found;
    TRY(json_get_text(o, "place", "place", JSON_NEEDED, &code));
    TRY(place_by_code(d->store, d->arena, code, &place, &found));
    if (!found) {
        return FAIL1(PLACE_UNKNOWN, "place", code);
    }
    opening.place = place.code;
    TRY(json_get_bool(o, "product_hold", "product_hold", JSON_NEEDED, &opening.product_hold));
    TRY(json_get_text(o, "organism", "organism", JSON_OPTIONAL, &opening.organism));
    TRY(json_get_text(o, "from", "from", JSON_OPTIONAL, &from));
    if (from != NULL) {
        TRY(civil_read(from, "from", &opening.from_ms));
        if (opening.from_ms > d->cmd->happened_ms) {
            return FAIL2(TIME_FUTURE, "from", from, civil_short(d->arena, d->cmd->happened_ms));
        }
    }
    environment_open(d, &opening);
    return RESULT_OK;
}

struct action {
    int64_t id, opened_ms, clear;
    const char *place, *organism, *site; /* organism, site NULL: none named */
    const char *data;
    bool product_hold;
};

static struct result open_one(struct draft *d, const char *field, int64_t id, struct action *out)
{
    json_t *data = NULL;
    struct statement *q = store_prepare(d->store, Q_ENVIRONMENT_BY_ID);
    store_bind_int(q, 1, id);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL1(ENVIRONMENT_UNKNOWN, field, arena_printf(d->arena, "%lld", (long long)id));
    }
    *out = (struct action){.id = id,
                           .place = arena_copy(d->arena, store_text(q, 0)),
                           .product_hold = store_int(q, 1) != 0,
                           .opened_ms = store_int(q, 2),
                           .data = arena_copy(d->arena, store_text(q, 3))};
    TRY(json_read_stored(out->data, &data));
    const char *organism = json_string_value(json_object_get(data, "organism"));
    out->organism = organism != NULL ? arena_copy(d->arena, organism) : NULL;
    const char *site = json_string_value(json_object_get(data, "site"));
    out->site = site != NULL ? arena_copy(d->arena, site) : NULL;
    int64_t clear = json_integer_value(json_object_get(data, "clear"));
    out->clear = clear > SWABS_TO_CLOSE ? clear : SWABS_TO_CLOSE;
    json_decref(data);
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* The swabs of the place since it was opened, newest first. */
static struct result swabs_since(struct draft *d, const struct action *action,
                                 struct evidence_sample **out, size_t *out_count)
{
    struct statement *q = store_prepare(d->store, Q_SWABS_OF_PLACE);
    store_bind_text(q, 1, action->place);
    store_bind_int(q, 2, action->opened_ms);
    *out = NULL;
    *out_count = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_sample *s = evidence_grow(d->arena, out, out_count, sizeof **out);
        *s = (struct evidence_sample){.id = store_int(q, 0),
                                      .code = arena_copy(d->arena, store_text(q, 1)),
                                      .location = arena_copy(d->arena, store_text(q, 2))};
    }
}

static struct result is_negative(struct draft *d, const struct evidence_sample *swab,
                                 const char *organism, bool *out)
{
    struct evidence e;
    TRY(evidence_of_sample(d->store, d->arena, swab->id, swab->code, &e));
    struct standing s = finding_standing(&e, 0, organism, "");
    *out = s.stand == STAND_NEGATIVE && s.row->report && (!s.row->by_hand || s.second != NULL);
    return RESULT_OK;
}

static bool newest_of_its_place(const struct evidence_sample *swabs, size_t i)
{
    for (size_t k = 0; k < i; k++) {
        if (strcmp(swabs[k].location, swabs[i].location) == 0) {
            return false;
        }
    }
    return true;
}

/* How many of the newest swabs are finally negative, in a row: of its site, where the action has
 * one, and then the newest swab of every other spot of the place has to be negative as well. */
static struct result swabs_in_a_row(struct draft *d, const struct action *action, int64_t *out)
{
    struct evidence_sample *swabs;
    size_t count;
    bool over = false, around = true;
    TRY(swabs_since(d, action, &swabs, &count));
    *out = 0;
    for (size_t i = 0; i < count; i++) {
        bool here = action->site == NULL || strcmp(swabs[i].location, action->site) == 0, negative;
        TRY(is_negative(d, &swabs[i], action->organism, &negative));
        over = over || (here && !negative);
        *out += here && !over;
        around = around && (here || negative || !newest_of_its_place(swabs, i));
    }
    *out = around || *out < action->clear ? *out : action->clear - 1;
    return RESULT_OK;
}

static struct result close_action(struct draft *d, int64_t id)
{
    struct action action;
    TRY(open_one(d, "close", id, &action));
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say what was found and done.");
    }
    if (d->cmd->happened_ms < action.opened_ms) {
        return FAIL2(END_BEFORE_START, "at", civil_short(d->arena, action.opened_ms),
                     civil_short(d->arena, d->cmd->happened_ms));
    }
    if (action.organism != NULL) {
        int64_t row;
        TRY(swabs_in_a_row(d, &action, &row));
        if (row < action.clear) {
            return FAIL3(ENVIRONMENT_SWABS, "close", action.place,
                         arena_printf(d->arena, "%lld", (long long)row),
                         arena_printf(d->arena, "%lld", (long long)action.clear));
        }
    }
    draft_add(d, EFFECT_ENVIRONMENT_CLOSED, "iin", id, d->cmd->happened_ms);
    json_object_set_new(d->answer, "environment", json_integer(id));
    json_object_set_new(d->answer, "place", json_string(action.place));
    return RESULT_OK;
}

/* Whether product is held is a decision (112.146(f), published (seen)): quality or a manager takes
 * it, with a reason. The action goes on as a row of its own, from the same moment. */
static struct result decide_hold_of(struct draft *d, int64_t id)
{
    struct action action;
    const char *role;
    bool active, found, hold = false;
    TRY(open_one(d, "decide", id, &action));
    TRY(json_get_bool(d->cmd->body, "product_hold", "product_hold", JSON_NEEDED, &hold));
    TRY(person_role(d->store, d->arena, d->cmd->person, &role, &active, &found));
    if (!hold && !list_has("quality,manager", role)) {
        const char *number = arena_printf(d->arena, "%lld", (long long)d->cmd->person);
        return FAIL3(ROLE_MISSING, "person", number, role, "quality,manager");
    }
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say why product is held or not.");
    }
    int64_t next = id;
    if (hold != action.product_hold) {
        next = draft_id(d);
        draft_add(d, EFFECT_ENVIRONMENT_CLOSED, "iin", id, d->cmd->happened_ms);
        draft_add(d, EFFECT_ENVIRONMENT, "itiint", next, action.place, (int64_t)hold,
                  action.opened_ms, action.data);
    }
    json_object_set_new(d->answer, "environment", json_integer(next));
    json_object_set_new(d->answer, "product_hold", json_boolean(hold));
    return RESULT_OK;
}

struct result decide_environment(struct draft *d)
{
    static const char *const names[] = {"place",  "product_hold", "open", "close",
                                        "decide", "organism",     "from", NULL};
    const json_t *o = d->cmd->body;
    const int64_t most = INT64_C(1) << 52;
    int64_t close = 0, decide = 0;
    bool open = true;
    TRY(draft_only(d, "an action on the environment", names));
    TRY(json_get_int(o, "close", "close", JSON_OPTIONAL, 1, most, &close));
    TRY(json_get_int(o, "decide", "decide", JSON_OPTIONAL, 1, most, &decide));
    TRY(json_get_bool(o, "open", "open", JSON_OPTIONAL, &open));
    if (close == 0 && decide == 0 && !open) {
        return FAIL1(FIELD_MISSING, "close", "Name the action that is closed.");
    }
    return close != 0    ? close_action(d, close)
           : decide != 0 ? decide_hold_of(d, decide)
                         : open_action(d);
}

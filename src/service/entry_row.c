#include "service/entry_row.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/fold.h"
#include "ledger/hold.h"
#include "ledger/touch.h"
#include "ledger/view.h"
#include "service/sentence.h"

/* Where an effect names a lot and a place: places in its array; 0: it names none. */
static const struct speaking {
    const char *effect;
    size_t lot, place;
} speaking[] = {
    {"lot", 1, 5},         {"movement", 2, 0},   {"edge", 1, 0},        {"edge", 2, 0},
    {"packed", 1, 0},      {"step", 8, 4},       {"step_lot", 2, 0},    {"run", 0, 3},
    {"seed_test", 1, 0},   {"seed_state", 1, 0}, {"treatment", 1, 0},   {"clean", 0, 1},
    {"sample", 3, 4},      {"reading", 4, 3},    {"environment", 0, 2}, {"paper", 3, 0},
    {"hold_on", 2, 0},     {"release", 1, 0},    {"scope", 1, 0},       {"shipped", 2, 0},
    {"chamber_use", 1, 2}, {"lot_place", 1, 2},  {"lot_closed", 1, 0},
};

struct spoken {
    struct view *v;
    int64_t ids[ENTRY_ROW_LOTS];
    size_t count;
    const char *place; /* borrowed from the effects; NULL: none yet */
};

static void add_lot(struct spoken *s, int64_t id)
{
    for (size_t i = 0; i < s->count; i++) {
        if (s->ids[i] == id) {
            return;
        }
    }
    if (id != 0 && s->count < ENTRY_ROW_LOTS) {
        s->ids[s->count++] = id;
    }
}

/* What was set aside touches nothing; its task says what it is about. */
static void look_at_task(struct spoken *s, const json_t *effect)
{
    if (effect_is(effect, "task")) {
        add_lot(s, effect_int(effect, 4));
        s->place = effect_text(effect, 5);
    }
}

static void look_at(struct spoken *s, const json_t *effect)
{
    for (size_t i = 0; i < sizeof speaking / sizeof speaking[0]; i++) {
        const struct speaking *row = &speaking[i];
        if (!effect_is(effect, row->effect)) {
            continue;
        }
        if (row->lot != 0) {
            add_lot(s, effect_int(effect, row->lot));
        }
        if (row->place != 0 && s->place == NULL) {
            s->place = effect_text(effect, row->place);
        }
    }
}

/* A lot that was struck has no row any more; the entry that made it still says its code. */
static const char *made_code(const json_t *effects, int64_t id)
{
    size_t i;
    json_t *effect;
    json_array_foreach(effects, i, effect)
    {
        if (effect_is(effect, "lot") && effect_int(effect, 1) == id) {
            return effect_text(effect, 2);
        }
    }
    return NULL;
}

static struct result lots_json(struct spoken *s, const json_t *effects, json_t *list)
{
    for (size_t i = 0; i < s->count; i++) {
        const char *code = made_code(effects, s->ids[i]);
        if (code == NULL) {
            struct lot lot;
            bool found;
            TRY(lot_by_id(s->v->store, s->v->arena, s->ids[i], &lot, &found));
            code = found ? lot.code : NULL;
        }
        if (code != NULL) {
            json_array_append_new(list, json_string(code));
        }
    }
    return RESULT_OK;
}

/* A finding names its sample alone. */
static struct result add_samples(struct spoken *s, const json_t *effects)
{
    size_t i;
    json_t *effect;
    json_array_foreach(effects, i, effect)
    {
        if (!effect_is(effect, "finding")) {
            continue;
        }
        struct statement *q = store_prepare(s->v->store, Q_PAGE_SAMPLE_OF);
        store_bind_int(q, 1, effect_int(effect, 1));
        bool row;
        TRY(store_step(q, &row));
        if (row) {
            const char *place = store_text(q, 1);
            add_lot(s, store_int(q, 0));
            s->place =
                s->place == NULL && place != NULL ? arena_copy(s->v->arena, place) : s->place;
        }
        while (row) {
            TRY(store_step(q, &row));
        }
    }
    return RESULT_OK;
}

static struct result name_of(struct view *v, int64_t person, const char **out)
{
    struct statement *q = store_prepare(v->store, Q_PERSON_SECRET_GET);
    store_bind_int(q, 1, person);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? arena_copy(v->arena, store_text(q, 0)) : NULL;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static json_t *number_or_null(int64_t n)
{
    return n != 0 ? json_integer(n) : json_null();
}

static struct result row_json(struct view *v, const struct entry *e, const json_t *body,
                              struct spoken *s, json_t *lots, json_t **out)
{
    const json_t *effects = json_object_get(body, "effects"), *did = json_object_get(body, "did");
    const char *name;
    int64_t struck, strikes = strcmp(e->kind, "strike") == 0
                                  ? json_integer_value(json_object_get(did, "entry"))
                                  : 0;
    TRY(add_samples(s, effects));
    TRY(lots_json(s, effects, lots));
    TRY(name_of(v, e->person, &name));
    TRY(struck_by(v->store, e->seq, &struck));
    *out = json_pack(
        "{s:I,s:I,s:I,s:s,s:s,s:s,s:s,s:I,s:s?,s:O,s:s?,s:o,s:o}", "entry", (json_int_t)e->seq,
        "at_ms", (json_int_t)e->happened_ms, "recorded_ms", (json_int_t)e->recorded_ms, "day",
        day_text(v->arena, e->day), "kind", e->kind, "title",
        sentence_title(v->arena, v->profile, v->lang, e->kind), "sentence",
        sentence_of(v->arena, v->profile, v->lang, e->kind, did, json_object_get(body, "answer")),
        "by", (json_int_t)e->person, "name", name, "lots", lots, "place", s->place, "struck_by",
        number_or_null(struck), "strikes", number_or_null(strikes));
    CHECK(*out != NULL);
    return RESULT_OK;
}

struct result entry_row(struct view *v, const struct entry *e, const json_t *body, json_t **out)
{
    struct spoken s = {.v = v};
    json_t *own = NULL, *lots = json_array(), *effect;
    size_t i;
    if (body == NULL) {
        TRY(json_read_stored(e->body, &own));
        body = own;
    }
    json_array_foreach(json_object_get(body, "effects"), i, effect)
    {
        look_at(&s, effect);
        if (strcmp(e->kind, "set-aside") == 0) {
            look_at_task(&s, effect);
        }
    }
    struct result r = row_json(v, e, body, &s, lots, out);
    json_decref(lots);
    json_decref(own);
    return r;
}

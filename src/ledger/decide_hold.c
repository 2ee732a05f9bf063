/* A hold names what it stops, what it covers and what would lift it. What it covers is listed lot
 * by lot in the entry. */
#include <string.h>

#include "base/civil.h"
#include "ledger/inputs.h"
#include "ledger/kin.h"

/* "positive" may be placed by hand as well: that only stops more. */
static const char hold_kinds[] = "laboratory,quality,positive,environment,foreign-body,label,seal,"
                                 "cold,damage,supplier,recall,other";
static const char stops_in_order[] = "use,mix,pack,release,load";
/* each with a comma before it */
static const char needs_known[] = ""
#define NEED(name, NAME, sentence) "," #name
#include "ledger/needs.def"
#undef NEED
    ;

struct hold_window {
    struct run run;
    int64_t from_ms, to_ms;
};

static struct result read_stops(struct draft *d, const char **out)
{
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "stops", "stops", JSON_NEEDED, &list));
    size_t i;
    json_t *value;
    json_array_foreach(list, i, value)
    {
        const char *stop = json_string_value(value);
        if (stop == NULL || !list_has(stops_in_order, stop)) {
            const char *path = arena_printf(d->arena, "stops[%zu]", i);
            return FAIL2(FIELD_CHOICE, path, stop != NULL ? stop : "", stops_in_order);
        }
    }
    *out = "";
    const char *at = stops_in_order;
    char word[16];
    while (list_next(&at, word, sizeof word)) {
        bool named = false;
        json_array_foreach(list, i, value)
        {
            named = named || strcmp(json_string_value(value), word) == 0;
        }
        if (named) {
            *out = arena_printf(d->arena, "%s%s%s", *out, (*out)[0] != '\0' ? "," : "", word);
        }
    }
    return (*out)[0] != '\0' ? RESULT_OK : FAIL1(FIELD_MISSING, "stops", "Say what it stops.");
}

/* The codes of what is covered go into the answer, the ids into the effects. */
static struct result cover(struct draft *d, int64_t hold, int64_t id, const char *via)
{
    struct lot lot;
    bool found;
    TRY(lot_by_id(d->store, d->arena, id, &lot, &found));
    if (found) {
        draft_hold_on(d, hold, id, 0, via);
        json_array_append_new(json_object_get(d->answer, "lots"), json_string(lot.code));
    }
    return RESULT_OK;
}

static struct result cover_set(struct draft *d, int64_t hold, struct id_set *lots,
                               const char *first_via)
{
    size_t first = lots->count;
    TRY(kin_onward(d->store, lots));
    for (size_t i = 0; i < lots->count; i++) {
        TRY(cover(d, hold, lots->id[i], i < first ? first_via : "grown-from"));
    }
    return RESULT_OK;
}

/* A lot alone; what was made from it before is named, so that whoever holds can hold that as well.
 */
static struct result cover_lot(struct draft *d, int64_t hold, const struct lot *lot)
{
    TRY(cover(d, hold, lot->id, "named"));
    struct id_set lots = id_set_new(d->arena);
    id_set_add(&lots, lot->id);
    TRY(kin_onward(d->store, &lots));
    json_t *onward = json_array();
    json_object_set_new(d->answer, "not_covered", onward);
    for (size_t i = 1; i < lots.count; i++) {
        struct lot made;
        bool found;
        TRY(lot_by_id(d->store, d->arena, lots.id[i], &made, &found));
        if (found) {
            json_array_append_new(onward, json_string(made.code));
        }
    }
    return RESULT_OK;
}

static struct result cover_seed(struct draft *d, int64_t hold, const char *key, const char *kind)
{
    struct lot lot;
    TRY(lot_named(d, d->cmd->body, key, key, &lot));
    if (strcmp(lot.kind, kind) != 0) {
        return FAIL3(LOT_KIND, key, lot.code, lot.kind, kind);
    }
    struct id_set lots = id_set_new(d->arena);
    id_set_add(&lots, lot.id);
    return cover_set(d, hold, &lots, "named");
}

/* A pallet covers the cases on it. */
static struct result cover_units(struct draft *d, int64_t hold)
{
    struct unit *units;
    size_t count;
    int64_t covered = 0;
    struct id_set seen = id_set_new(d->arena);
    TRY(units_named(d, d->cmd->body, "units", JSON_NEEDED, &units, &count));
    for (size_t i = 0; i < count; i++) {
        struct statement *q = store_prepare(d->store, Q_HOLD_UNITS_INSIDE);
        store_bind_int(q, 1, units[i].id);
        bool row;
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            int64_t id = store_int(q, 0);
            if (id_set_add(&seen, id)) {
                draft_hold_on(d, hold, store_int(q, 1), id, id == units[i].id ? "named" : "inside");
                covered++;
            }
        }
    }
    json_object_set_new(d->answer, "units", json_integer(covered));
    return RESULT_OK;
}

static struct result read_window(struct draft *d, struct hold_window *out)
{
    const char *from = NULL, *to = NULL;
    TRY(run_named(d, &out->run));
    TRY(json_get_text(d->cmd->body, "from", "from", JSON_NEEDED, &from));
    TRY(json_get_text(d->cmd->body, "to", "to", JSON_NEEDED, &to));
    TRY(civil_read(from, "from", &out->from_ms));
    TRY(civil_read(to, "to", &out->to_ms));
    return out->to_ms >= out->from_ms ? RESULT_OK : FAIL2(END_BEFORE_START, "to", from, to);
}

/* What is told later for the same run and time is covered when it is told (window_holds). */
static struct result cover_window(struct draft *d, int64_t hold, const struct hold_window *w)
{
    struct id_set lots = id_set_new(d->arena);
    struct statement *q = store_prepare(d->store, Q_HOLD_RUN_WINDOW);
    store_bind_int(q, 1, w->run.id);
    store_bind_int(q, 2, w->from_ms);
    store_bind_int(q, 3, w->to_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        id_set_add(&lots, store_int(q, 0));
    }
    bool outside = w->to_ms < w->run.start_ms || (w->run.end_ms != 0 && w->from_ms > w->run.end_ms);
    if (lots.count == 0 && outside) {
        return FAIL1(HOLD_NOTHING, "run", w->run.code);
    }
    return cover_set(d, hold, &lots, "run-window");
}

static const char *what_is_covered(const struct draft *d)
{
    static const char *const keys[] = {"lot", "seed_lot", "supplier_lot", "units", "run"};
    const char *named = NULL;
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (json_object_get(d->cmd->body, keys[i]) != NULL) {
            if (named != NULL) {
                return NULL;
            }
            named = keys[i];
        }
    }
    return named;
}

struct result decide_hold(struct draft *d)
{
    static const char *const names[] = {"hold_kind", "lot",   "seed_lot", "supplier_lot",
                                        "units",     "run",   "from",     "to",
                                        "stops",     "needs", NULL};
    const json_t *o = d->cmd->body;
    const char *kind = NULL, *needs = NULL, *stops, *what = what_is_covered(d);
    struct hold_window window = {0};
    struct lot lot = {0};
    int64_t hold;
    TRY(draft_only(d, "a hold", names));
    if (what == NULL) {
        return FAIL0(HOLD_COVERS, "");
    }
    TRY(json_get_text(o, "hold_kind", "hold_kind", JSON_NEEDED, &kind));
    if (!list_has(hold_kinds, kind)) {
        return FAIL2(FIELD_CHOICE, "hold_kind", kind, hold_kinds);
    }
    TRY(read_stops(d, &stops));
    TRY(json_get_text(o, "needs", "needs", JSON_NEEDED, &needs));
    if (!list_has(needs_known + 1, needs)) {
        return FAIL2(FIELD_CHOICE, "needs", needs, needs_known + 1);
    }
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say why it is held.");
    }
    if (strcmp(what, "run") == 0) {
        TRY(read_window(d, &window));
    } else if (strcmp(what, "lot") == 0) {
        TRY(lot_named(d, o, "lot", "lot", &lot));
    }
    const char *code = draft_hold(d, kind, stops, needs, d->cmd->reason, window.run.id,
                                  window.from_ms, window.to_ms, &hold);
    json_object_set_new(d->answer, "hold", json_string(code));
    json_object_set_new(d->answer, "lots", json_array());
    switch (what[0]) {
    case 'l':
        return cover_lot(d, hold, &lot);
    case 'u':
        return cover_units(d, hold);
    case 'r':
        return cover_window(d, hold, &window);
    default:
        return strcmp(what, "seed_lot") == 0 ? cover_seed(d, hold, what, "seed")
                                             : cover_seed(d, hold, what, "supplier");
    }
}

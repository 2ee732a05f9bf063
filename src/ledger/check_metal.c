/* The metal detector with its three test pieces. When one of them passes, nothing that went through
 * between the good checks before and after is known to be free of metal: all of it is held in the
 * same entry (common practice: back to the last good check, not only from the failed one). */
#include <string.h>

#include "base/civil.h"
#include "ledger/check.h"
#include "ledger/kin.h"

enum { AROUND_MAX = 32 };

struct suspect {
    int64_t lot, run; /* run 0: none */
};

/* What came out of one place meanwhile, and the runs that were at work there. */
struct stretch {
    const char *place;
    int64_t from_ms, to_ms; /* from 0: there was no good check before */
    struct suspect *suspects;
    size_t count, room;
    struct id_set runs;
};

struct metal {
    struct check *c;
    struct id_set named; /* passed again: lots */
    const char *missed;  /* the pieces that were, in words; "" none */
    json_t *holds, *lots;
    int64_t since_ms; /* the earliest good check; 0: some place had none */
};

static struct result read_pieces(struct draft *d, struct metal *m, json_t *data)
{
    static const char *const pieces[] = {"fe", "non_fe", "steel"};
    m->missed = "";
    for (size_t i = 0; i < sizeof pieces / sizeof pieces[0]; i++) {
        const char *found = NULL;
        TRY(json_get_text(d->cmd->body, pieces[i], pieces[i], JSON_NEEDED, &found));
        if (!list_has("rejected,missed", found)) {
            return FAIL2(FIELD_CHOICE, pieces[i], found, "rejected, missed");
        }
        json_object_set_new(data, pieces[i], json_string(found));
        if (strcmp(found, "missed") == 0) {
            m->missed = arena_printf(d->arena, "%s%s%s", m->missed,
                                     m->missed[0] != '\0' ? ", " : "", pieces[i]);
        }
    }
    return RESULT_OK;
}

/* Lots that were passed through the detector again with this check: "lot" or "lots". */
static struct result read_lots(struct draft *d, struct metal *m)
{
    json_t *list = NULL;
    m->named = id_set_new(d->arena);
    if (m->c->lot.id != 0) {
        id_set_add(&m->named, m->c->lot.id);
    }
    TRY(json_get_array(d->cmd->body, "lots", "lots", JSON_OPTIONAL, &list));
    if (json_array_size(list) > INPUTS_MAX) {
        return FAIL2(FIELD_RANGE, "lots", "too long", "at most 200 lots");
    }
    for (size_t i = 0; i < json_array_size(list); i++) {
        const char *path = arena_printf(d->arena, "lots[%zu]", i);
        const char *code = json_string_value(json_array_get(list, i));
        struct lot lot;
        bool found = false;
        if (code != NULL) {
            TRY(lot_by_code(d->store, d->arena, code, &lot, &found));
        }
        if (!found) {
            return FAIL1(LOT_UNKNOWN, path, code != NULL ? code : "");
        }
        id_set_add(&m->named, lot.id);
    }
    return RESULT_OK;
}

static struct result one_moment(struct draft *d, enum query query, const char *place,
                                int64_t *out_ms)
{
    struct statement *q = store_prepare(d->store, query);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, d->cmd->happened_ms);
    bool row;
    TRY(store_step(q, &row));
    *out_ms = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static void add_suspect(struct draft *d, struct stretch *s, struct suspect one)
{
    if (s->count == s->room) {
        s->room = s->room != 0 ? s->room * 2 : 32;
        struct suspect *grown = ARENA_ARRAY(d->arena, struct suspect, s->room);
        if (s->count > 0) {
            memcpy(grown, s->suspects, s->count * sizeof *grown);
        }
        s->suspects = grown;
    }
    s->suspects[s->count++] = one;
}

static struct result read_suspects(struct draft *d, struct stretch *s)
{
    static const enum query queries[] = {Q_METAL_OUTPUTS, Q_METAL_RUNS};
    for (size_t i = 0; i < 2; i++) {
        struct statement *q = store_prepare(d->store, queries[i]);
        store_bind_text(q, 1, s->place);
        store_bind_int(q, 2, s->from_ms);
        store_bind_int(q, 3, s->to_ms);
        for (;;) {
            bool row;
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            id_set_add(&s->runs, store_int(q, 0));
            if (queries[i] == Q_METAL_OUTPUTS) {
                add_suspect(d, s, (struct suspect){.run = store_int(q, 0), .lot = store_int(q, 1)});
            }
        }
    }
    return RESULT_OK;
}

static struct result cover(struct draft *d, struct metal *m, int64_t hold, struct id_set *lots)
{
    size_t direct = lots->count;
    TRY(kin_onward(d->store, lots));
    for (size_t i = 0; i < lots->count; i++) {
        struct lot lot;
        bool found;
        draft_hold_on(d, hold, lots->id[i], 0, i < direct ? "run-window" : "made-from");
        TRY(lot_by_id(d->store, d->arena, lots->id[i], &lot, &found));
        if (found) {
            json_array_append_new(m->lots, json_string(lot.code));
        }
    }
    return RESULT_OK;
}

static int64_t place_hold(struct draft *d, struct metal *m, int64_t run, int64_t from_ms,
                          int64_t to_ms)
{
    int64_t hold;
    const char *code =
        draft_hold(d, "foreign-body", "use,mix,pack,release,load", "re-passed",
                   "a metal test piece was not rejected", run, from_ms, to_ms, &hold);
    json_array_append_new(m->holds, json_string(code));
    return hold;
}

/* One hold a run, so that what is told later of its window is held as well; one more for what came
 * out of no run. */
static struct result hold_stretch(struct draft *d, struct metal *m, struct stretch *s)
{
    TRY(read_suspects(d, s));
    for (size_t i = 0; i < s->runs.count; i++) {
        struct id_set lots = id_set_new(d->arena);
        for (size_t k = 0; k < s->count; k++) {
            if (s->suspects[k].run == s->runs.id[i]) {
                id_set_add(&lots, s->suspects[k].lot);
            }
        }
        int64_t from_ms = s->from_ms > 0 ? s->from_ms : 1; /* a window needs a beginning */
        TRY(cover(d, m, place_hold(d, m, s->runs.id[i], from_ms, s->to_ms), &lots));
    }
    return RESULT_OK;
}

/* The place, those it stands in, and that of the run: a detector checks what leaves its line. */
static struct result places_around(struct draft *d, const struct check *c,
                                   const char *places[AROUND_MAX + 1], size_t *out_count)
{
    *out_count = 0;
    struct statement *q = store_prepare(d->store, Q_PLACES_AROUND);
    store_bind_text(q, 1, c->place.code);
    bool of_run = c->run.id == 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (*out_count < AROUND_MAX) {
            places[*out_count] = arena_copy(d->arena, store_text(q, 0));
            of_run = of_run || strcmp(places[*out_count], c->run.place) == 0;
            (*out_count)++;
        }
    }
    if (!of_run) {
        places[(*out_count)++] = c->run.place;
    }
    return RESULT_OK;
}

static struct result hold_everything(struct draft *d, struct metal *m)
{
    const char *places[AROUND_MAX + 1];
    size_t count;
    TRY(places_around(d, m->c, places, &count));
    m->since_ms = INT64_MAX;
    for (size_t i = 0; i < count; i++) {
        struct stretch s = {.place = places[i], .runs = id_set_new(d->arena)};
        TRY(one_moment(d, Q_METAL_GOOD_BEFORE, s.place, &s.from_ms));
        TRY(one_moment(d, Q_METAL_GOOD_AFTER, s.place, &s.to_ms));
        s.to_ms = s.to_ms != 0 ? s.to_ms : d->cmd->recorded_ms;
        m->since_ms = s.from_ms < m->since_ms ? s.from_ms : m->since_ms;
        TRY(hold_stretch(d, m, &s));
    }
    if (m->named.count > 0) { /* what was passed again is not freed by it */
        TRY(cover(d, m, place_hold(d, m, 0, 0, 0), &m->named));
    }
    return RESULT_OK;
}

static void readings(struct draft *d, struct metal *m, json_t *data)
{
    bool good = m->missed[0] == '\0';
    if (m->named.count == 0) {
        check_reading(d, m->c, "", false, 0, good, json_incref(data));
    }
    for (size_t i = 0; i < m->named.count; i++) {
        m->c->lot.id = m->named.id[i];
        check_reading(d, m->c, "", false, 0, good, json_incref(data));
    }
    m->c->lot.id = m->named.count == 1 ? m->named.id[0] : 0;
}

struct result check_metal(struct draft *d, struct check *c)
{
    struct metal m = {.c = c};
    TRY(read_lots(d, &m));
    json_t *data = json_object();
    struct result r = read_pieces(d, &m, data);
    if (r.code == CODE_OK) {
        readings(d, &m, data);
    }
    json_decref(data);
    TRY(r);
    if (m.missed[0] == '\0') {
        return RESULT_OK;
    }
    m.holds = json_array();
    m.lots = json_array();
    json_object_set_new(d->answer, "holds", m.holds);
    json_object_set_new(d->answer, "lots", m.lots);
    TRY(hold_everything(d, &m));
    const char *since = m.since_ms > 0 ? civil_short(d->arena, m.since_ms) : "the beginning";
    json_object_set_new(d->answer, "since", json_string(since));
    return draft_deviation(d, "metal-missed", 0, c->place.code, m.since_ms, d->cmd->happened_ms,
                           FAIL3(METAL_MISSED, "fe", m.missed, c->place.code, since));
}

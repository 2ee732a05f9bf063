/* The metal detector with its three test pieces. When one of them passes, nothing that went through
 * between the good checks before and after is known to be free of metal: all of it is held in the
 * same entry (common practice: back to the last good check, not only from the failed one). */
#include <string.h>

#include "base/civil.h"
#include "ledger/check.h"
#include "ledger/window.h"

enum { AROUND_MAX = 32 };

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

static struct window metal_window(const struct metal *m)
{
    return (struct window){.kind = "foreign-body",
                           .needs = "re-passed",
                           .reason = "a metal test piece was not rejected",
                           .holds = m->holds,
                           .lots = m->lots};
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
        struct window w = metal_window(m);
        w.place = places[i];
        TRY(one_moment(d, Q_METAL_GOOD_BEFORE, w.place, &w.from_ms));
        TRY(one_moment(d, Q_METAL_GOOD_AFTER, w.place, &w.to_ms));
        w.to_ms = w.to_ms != 0 ? w.to_ms : d->cmd->recorded_ms;
        m->since_ms = w.from_ms < m->since_ms ? w.from_ms : m->since_ms;
        TRY(window_hold(d, &w));
    }
    if (m->named.count > 0) { /* what was passed again is not freed by it */
        struct window w = metal_window(m);
        TRY(window_hold_lots(d, &w, &m->named));
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

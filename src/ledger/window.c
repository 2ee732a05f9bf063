#include "ledger/window.h"

#include <string.h>

#include "ledger/view.h"

struct suspect {
    int64_t lot, run; /* run 0: none */
};

/* What came out of the place meanwhile, and the runs that were at work there. */
struct stretch {
    struct suspect *suspects;
    size_t count, room;
    struct id_set runs;
};

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

static struct result read_suspects(struct draft *d, const struct window *w, struct stretch *s)
{
    static const enum query queries[] = {Q_METAL_OUTPUTS, Q_METAL_RUNS};
    for (size_t i = 0; i < 2; i++) {
        struct statement *q = store_prepare(d->store, queries[i]);
        store_bind_text(q, 1, w->place);
        store_bind_int(q, 2, w->from_ms);
        store_bind_int(q, 3, w->to_ms);
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

static int64_t place_hold(struct draft *d, const struct window *w, int64_t run, int64_t from_ms,
                          int64_t to_ms)
{
    int64_t hold;
    const char *code = draft_hold(d, w->kind, "use,mix,pack,release,load", w->needs, w->reason, run,
                                  from_ms, to_ms, &hold);
    json_array_append_new(w->holds, json_string(code));
    return hold;
}

static struct result cover(struct draft *d, const struct window *w, int64_t hold,
                           struct id_set *lots)
{
    size_t direct = lots->count;
    TRY(kin_onward(d->store, lots));
    for (size_t i = 0; i < lots->count; i++) {
        struct lot lot;
        bool found;
        draft_hold_on(d, hold, lots->id[i], 0, i < direct ? "run-window" : "made-from");
        TRY(lot_by_id(d->store, d->arena, lots->id[i], &lot, &found));
        if (found) {
            json_array_append_new(w->lots, json_string(lot.code));
        }
    }
    return RESULT_OK;
}

struct result window_hold_lots(struct draft *d, const struct window *w, struct id_set *lots)
{
    return cover(d, w, place_hold(d, w, 0, 0, 0), lots);
}

struct result window_hold(struct draft *d, const struct window *w)
{
    struct stretch s = {.runs = id_set_new(d->arena)};
    TRY(read_suspects(d, w, &s));
    for (size_t i = 0; i < s.runs.count; i++) {
        struct id_set lots = id_set_new(d->arena);
        for (size_t k = 0; k < s.count; k++) {
            if (s.suspects[k].run == s.runs.id[i]) {
                id_set_add(&lots, s.suspects[k].lot);
            }
        }
        int64_t from_ms = w->from_ms > 0 ? w->from_ms : 1; /* a window needs a beginning */
        TRY(cover(d, w, place_hold(d, w, s.runs.id[i], from_ms, w->to_ms), &lots));
    }
    return RESULT_OK;
}

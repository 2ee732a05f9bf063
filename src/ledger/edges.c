/* Which input an output can hold. Time decides: nothing can leave a line that had not entered it. */
#include <string.h>

#include "base/check.h"
#include "ledger/inputs.h"

struct candidate {
    int64_t lot;
    int64_t mg;
    int64_t from_ms, to_ms;
};

/* measured, possible, unknown, or NULL when the input can't be in the output */
static const char *basis_of(const struct candidate *in, int64_t out_from, int64_t out_to, int64_t carry_ms)
{
    if (in->from_ms > out_to) {
        return NULL;
    }
    if (in->to_ms >= out_from) {
        return "measured";
    }
    if (carry_ms < 0) {
        return "unknown";
    }
    return in->to_ms + carry_ms >= out_from ? "possible" : NULL;
}

/* The part of an input's mass that went in while the output came out; all of it when it went in at one moment. */
static int64_t overlap_mg(const struct candidate *in, int64_t out_from, int64_t out_to)
{
    int64_t from = in->from_ms > out_from ? in->from_ms : out_from;
    int64_t to = in->to_ms < out_to ? in->to_ms : out_to;
    int64_t span = in->to_ms - in->from_ms;
    if (span <= 0 || to <= from) {
        return in->mg;
    }
    return (int64_t)((__int128)in->mg * (to - from) / span);
}

/* Shares out_mg among candidates in proportion; the last measured one takes what rounding leaves. */
static struct result share(struct draft *d, const struct candidate *list, size_t count, int64_t out_from, int64_t out_to,
                           int64_t carry_ms, int64_t child, int64_t out_mg)
{
    __int128 total = 0;
    size_t last = count;
    for (size_t i = 0; i < count; i++) {
        const char *basis = basis_of(&list[i], out_from, out_to, carry_ms);
        if (basis != NULL && basis[0] == 'm') {
            total += overlap_mg(&list[i], out_from, out_to);
            last = i;
        }
    }
    int64_t given = 0;
    for (size_t i = 0; i < count; i++) {
        const char *basis = basis_of(&list[i], out_from, out_to, carry_ms);
        if (basis == NULL || list[i].lot == child) {
            continue;
        }
        int64_t mg = 0; /* how much a carry-over brings is not known: the output can hold it, its expected share is nothing */
        if (basis[0] == 'm' && total > 0) {
            mg = i == last ? out_mg - given : (int64_t)((__int128)out_mg * overlap_mg(&list[i], out_from, out_to) / total);
            given += mg;
        }
        TRY(draft_edge(d, list[i].lot, child, mg, basis));
    }
    return RESULT_OK;
}

static size_t merge(struct candidate *list, size_t count, const struct candidate *more)
{
    for (size_t i = 0; i < count; i++) {
        if (list[i].lot == more->lot && list[i].from_ms == more->from_ms && list[i].to_ms == more->to_ms) {
            return count;
        }
    }
    list[count] = *more;
    return count + 1;
}

/* Inputs that earlier entries told for the same place, as far back as this run can reach. */
static struct result earlier_inputs(struct draft *d, const struct run *run, const struct output *output, struct candidate *list,
                                    size_t room, size_t *count)
{
    int64_t reach_ms = output->from_ms - (run->carry_ms > 0 ? run->carry_ms : 0);
    if (run->carry_ms < 0) {
        struct statement *q = store_prepare(d->store, Q_CLEAN_BEFORE);
        store_bind_text(q, 1, run->place);
        store_bind_int(q, 2, output->from_ms);
        bool row;
        TRY(store_step(q, &row));
        reach_ms = row ? store_int(q, 0) : INT64_MIN / 2;
        while (row) {
            TRY(store_step(q, &row));
        }
    }
    struct statement *q = store_prepare(d->store, Q_PLACE_INPUTS);
    store_bind_text(q, 1, run->place);
    store_bind_int(q, 2, reach_ms);
    store_bind_int(q, 3, output->to_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct candidate c = {.lot = store_int(q, 0), .mg = store_int(q, 1), .from_ms = store_int(q, 2),
                              .to_ms = store_int(q, 3)};
        if (*count < room) {
            *count = merge(list, *count, &c);
        }
    }
}

struct result edges_to_output(struct draft *d, const struct input *inputs, size_t input_count, const struct run *run,
                              const struct output *output)
{
    enum { EARLIER_MAX = 2000 }; /* more than a line takes in between two cleanings */
    size_t room = input_count + EARLIER_MAX, count = 0;
    struct candidate *list = ARENA_ARRAY(d->arena, struct candidate, room);
    for (size_t i = 0; i < input_count; i++) {
        list[count++] = (struct candidate){.lot = inputs[i].lot.id, .mg = inputs[i].amount.value,
                                           .from_ms = inputs[i].from_ms, .to_ms = inputs[i].to_ms};
    }
    if (run->id == 0) {
        for (size_t i = 0; i < count; i++) { /* one batch through: every input reaches every output */
            list[i].from_ms = output->from_ms;
            list[i].to_ms = output->to_ms;
        }
        return share(d, list, count, output->from_ms, output->to_ms, 0, output->lot, output->amount.value);
    }
    TRY(earlier_inputs(d, run, output, list, room, &count));
    return share(d, list, count, output->from_ms, output->to_ms, run->carry_ms, output->lot, output->amount.value);
}

struct result edges_to_earlier(struct draft *d, const struct input *inputs, size_t input_count, const struct run *run)
{
    if (run->id == 0) {
        return RESULT_OK;
    }
    for (size_t i = 0; i < input_count; i++) {
        struct candidate in = {.lot = inputs[i].lot.id, .mg = inputs[i].amount.value, .from_ms = inputs[i].from_ms,
                               .to_ms = inputs[i].to_ms};
        struct statement *q = store_prepare(d->store, Q_PLACE_OUTPUTS);
        store_bind_text(q, 1, run->place);
        store_bind_int(q, 2, in.from_ms);
        store_bind_int(q, 3, in.lot);
        enum { LATER_MAX = 500 };
        struct { int64_t lot, from_ms, to_ms; } later[LATER_MAX];
        size_t count = 0;
        bool row;
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            if (count < LATER_MAX) {
                later[count].lot = store_int(q, 0);
                later[count].from_ms = store_int(q, 1);
                later[count++].to_ms = store_int(q, 2);
            }
        }
        for (size_t k = 0; k < count; k++) {
            const char *basis = basis_of(&in, later[k].from_ms, later[k].to_ms, run->carry_ms);
            if (basis != NULL && later[k].lot != in.lot) {
                TRY(draft_edge(d, in.lot, later[k].lot, 0, basis));
            }
        }
    }
    return RESULT_OK;
}

struct result window_holds(struct draft *d, const struct run *run, const struct output *output)
{
    if (run->id == 0) {
        return RESULT_OK;
    }
    struct statement *q = store_prepare(d->store, Q_HOLDS_ON_RUN);
    store_bind_int(q, 1, run->id);
    store_bind_int(q, 2, output->from_ms);
    store_bind_int(q, 3, output->to_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        draft_hold_on(d, store_int(q, 0), output->lot, 0, "run-window");
    }
}

/* Which input an output can hold. Time decides: nothing can leave a line that had not entered it.
 */
#include <stdlib.h>
#include <string.h>

#include "base/civil.h"
#include "ledger/inputs.h"
#include "ledger/kin.h"

/* The surer of two bases of one lot is the one that is written. */
enum basis { BASIS_NONE, BASIS_UNKNOWN, BASIS_POSSIBLE, BASIS_MEASURED };
static const char *const basis_names[] = {"", "unknown", "possible", "measured"};

struct candidate {
    int64_t lot;
    int64_t mg;
    int64_t from_ms, to_ms;
};

/* A list that grows: nothing that may be in a lot is ever left out for want of room. */
struct candidates {
    struct arena *arena;
    struct candidate *at;
    size_t count, room;
};

static void add(struct candidates *list, struct candidate c)
{
    if (list->count == list->room) {
        size_t room = list->room != 0 ? list->room * 2 : 64;
        struct candidate *grown = ARENA_ARRAY(list->arena, struct candidate, room);
        if (list->count > 0) {
            memcpy(grown, list->at, list->count * sizeof *grown);
        }
        list->at = grown;
        list->room = room;
    }
    list->at[list->count++] = c;
}

static int by_lot(const void *x, const void *y)
{
    const struct candidate *a = x, *b = y;
    return a->lot < b->lot ? -1 : a->lot > b->lot;
}

/* Two stretches that only touch share no product: one was over when the other began. */
static enum basis basis_of(const struct candidate *in, int64_t out_from, int64_t out_to,
                           int64_t carry_ms)
{
    bool stretches = in->to_ms > in->from_ms && out_to > out_from;
    if (in->from_ms > out_to || (stretches && in->from_ms == out_to)) {
        return BASIS_NONE;
    }
    if (in->to_ms > out_from || (in->to_ms == out_from && !stretches)) {
        return BASIS_MEASURED;
    }
    if (carry_ms < 0) {
        return BASIS_UNKNOWN;
    }
    return in->to_ms + carry_ms >= out_from ? BASIS_POSSIBLE : BASIS_NONE;
}

/* The part of a measured input's mass that went in while the output came out; all of it where one
 * of the two is a moment. */
static int64_t overlap_mg(const struct candidate *in, int64_t out_from, int64_t out_to)
{
    int64_t from = in->from_ms > out_from ? in->from_ms : out_from;
    int64_t to = in->to_ms < out_to ? in->to_ms : out_to;
    int64_t span = in->to_ms - in->from_ms;
    if (span <= 0 || out_to <= out_from) {
        return in->mg;
    }
    return (int64_t)((__int128)in->mg * (to - from) / span);
}

/* What one lot brings to an output: its surest basis and the mass that went in meanwhile. */
struct parent {
    int64_t lot;
    enum basis basis;
    __int128 mg;
};

static size_t parents_of(const struct candidates *in, const struct output *out, int64_t carry_ms,
                         struct parent *parents)
{
    size_t count = 0;
    for (size_t i = 0; i < in->count; i++) {
        const struct candidate *c = &in->at[i];
        enum basis basis = basis_of(c, out->from_ms, out->to_ms, carry_ms);
        if (basis == BASIS_NONE || c->lot == out->lot) {
            continue;
        }
        if (count == 0 || parents[count - 1].lot != c->lot) {
            parents[count++] = (struct parent){.lot = c->lot};
        }
        struct parent *p = &parents[count - 1];
        p->basis = basis > p->basis ? basis : p->basis;
        p->mg += basis == BASIS_MEASURED ? overlap_mg(c, out->from_ms, out->to_ms) : 0;
    }
    return count;
}

/* Shares the output's mass among its parents by what each brought; the last of them takes what
 * rounding leaves. How much a carry-over brings is not known: the output can hold it, its expected
 * share is nothing. */
static struct result share(struct draft *d, struct candidates *in, const struct output *out,
                           int64_t carry_ms, size_t *out_parents)
{
    qsort(in->at, in->count, sizeof *in->at, by_lot);
    struct parent *parents = ARENA_ARRAY(d->arena, struct parent, in->count + 1);
    size_t count = parents_of(in, out, carry_ms, parents), last = 0;
    __int128 total = 0;
    for (size_t i = 0; i < count; i++) {
        total += parents[i].mg;
        last = parents[i].mg > 0 ? i : last;
    }
    int64_t given = 0;
    for (size_t i = 0; i < count; i++) {
        int64_t mg = 0;
        if (total > 0 && parents[i].mg > 0) {
            mg = i == last ? out->amount.value - given
                           : (int64_t)(out->amount.value * parents[i].mg / total);
            given += mg;
        }
        TRY(draft_edge(d, parents[i].lot, out->lot, mg, basis_names[parents[i].basis]));
    }
    *out_parents = count;
    return RESULT_OK;
}

/* The end of the last valid clean before a moment; INT64_MIN / 2 where there is none. */
static struct result last_clean(struct draft *d, const char *place, int64_t before_ms, int64_t *out)
{
    struct statement *q = store_prepare(d->store, Q_CLEAN_BEFORE);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, before_ms);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : INT64_MIN / 2;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result inputs_between(struct draft *d, const char *place, int64_t from_ms,
                                    int64_t to_ms, struct candidates *list)
{
    struct statement *q = store_prepare(d->store, Q_PLACE_INPUTS);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        add(list, (struct candidate){.lot = store_int(q, 0),
                                     .mg = store_int(q, 1),
                                     .from_ms = store_int(q, 2),
                                     .to_ms = store_int(q, 3)});
    }
}

/* Inputs that earlier entries told for the same place, as far back as this run can reach. */
static struct result earlier_inputs(struct draft *d, const struct run *run,
                                    const struct output *output, struct candidates *list)
{
    int64_t reach_ms = output->from_ms - (run->carry_ms > 0 ? run->carry_ms : 0);
    if (run->carry_ms < 0) {
        TRY(last_clean(d, run->place, output->from_ms, &reach_ms));
    }
    return inputs_between(d, run->place, reach_ms, output->to_ms, list);
}

/* The times told leave no way for anything to have got in. The lot came from somewhere: everything
 * that the step names may be in it. */
static struct result no_parent(struct draft *d, const struct candidates *in,
                               const struct output *out)
{
    const char *field = arena_printf(d->arena, "%s%sfrom", out->path != NULL ? out->path : "",
                                     out->path != NULL ? "." : "");
    TRY(draft_break(d, "output-before-input", out->lot, NULL, out->from_ms, out->to_ms,
                    FAIL2(OUTPUT_EARLY, field, out->lot_code, civil_short(d->arena, out->to_ms))));
    for (size_t i = 0; i < in->count; i++) {
        if (in->at[i].lot != out->lot && (i == 0 || in->at[i - 1].lot != in->at[i].lot)) {
            TRY(draft_edge(d, in->at[i].lot, out->lot, 0, basis_names[BASIS_UNKNOWN]));
        }
    }
    return RESULT_OK;
}

struct result edges_to_output(struct draft *d, const struct input *inputs, size_t input_count,
                              const struct run *run, const struct output *output)
{
    struct candidates list = {.arena = d->arena};
    size_t parents;
    for (size_t i = 0; i < input_count; i++) {
        struct candidate c = {.lot = inputs[i].lot.id,
                              .mg = inputs[i].amount.value,
                              .from_ms = inputs[i].from_ms,
                              .to_ms = inputs[i].to_ms};
        if (run->id == 0) { /* one batch through: every input reaches every output */
            c.from_ms = output->from_ms;
            c.to_ms = output->to_ms;
        }
        add(&list, c);
    }
    if (run->id != 0) {
        TRY(earlier_inputs(d, run, output, &list));
    }
    TRY(share(d, &list, output, run->id != 0 ? run->carry_ms : 0, &parents));
    return parents > 0 ? RESULT_OK : no_parent(d, &list, output);
}

/* Outputs already told for the place of the run that may hold a lot that is told only now. An
 * empty-and-clean ends what even an unknown carry-over can bring. */
static struct result later_outputs(struct draft *d, const char *place, int64_t lot, int64_t from_ms,
                                   int64_t to_ms, struct candidates *list)
{
    struct statement *q = store_prepare(d->store, Q_PLACE_OUTPUTS);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, lot);
    store_bind_int(q, 4, to_ms);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        add(list, (struct candidate){.lot = store_int(q, 0),
                                     .from_ms = store_int(q, 1),
                                     .to_ms = store_int(q, 2)});
    }
}

/* A parent that is told late brings its holds to what was made in the meantime as well. */
static struct result edge_late(struct draft *d, int64_t parent, int64_t child, enum basis basis)
{
    struct id_set onward = id_set_new(d->arena);
    struct hold *holds;
    size_t count;
    id_set_add(&onward, child);
    TRY(kin_onward(d->store, &onward));
    if (id_set_has(&onward, parent)) {
        return RESULT_OK; /* it came out of that very lot: it can't have been in it before */
    }
    TRY(draft_edge(d, parent, child, 0, basis_names[basis]));
    TRY(holds_on(d->store, d->arena, parent, 0, "", &holds, &count));
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 1; k < onward.count; k++) {
            draft_hold_on(d, holds[i].id, onward.id[k], 0, "made-from");
        }
    }
    return RESULT_OK;
}

/* All stretches of one lot, so that an output it can be in gets one edge from it. */
static struct result lot_to_earlier(struct draft *d, const struct candidates *stretches,
                                    const struct run *run)
{
    struct candidates outputs = {.arena = d->arena};
    const struct candidate *first = &stretches->at[0];
    int64_t from_ms = first->from_ms, to_ms = first->to_ms;
    for (size_t i = 1; i < stretches->count; i++) {
        from_ms = stretches->at[i].from_ms < from_ms ? stretches->at[i].from_ms : from_ms;
        to_ms = stretches->at[i].to_ms > to_ms ? stretches->at[i].to_ms : to_ms;
    }
    TRY(later_outputs(d, run->place, first->lot, from_ms, to_ms, &outputs));
    for (size_t n = 0; n < outputs.count; n++) {
        const struct candidate *out = &outputs.at[n];
        enum basis surest = BASIS_NONE;
        for (size_t i = 0; i < stretches->count; i++) {
            enum basis basis = basis_of(&stretches->at[i], out->from_ms, out->to_ms, run->carry_ms);
            surest = basis > surest ? basis : surest;
        }
        if (surest != BASIS_NONE && out->lot != first->lot) {
            TRY(edge_late(d, first->lot, out->lot, surest));
        }
    }
    return RESULT_OK;
}

struct result edges_to_earlier(struct draft *d, const struct input *inputs, size_t input_count,
                               const struct run *run)
{
    struct id_set done = id_set_new(d->arena);
    for (size_t i = 0; i < input_count && run->id != 0; i++) {
        struct candidates stretches = {.arena = d->arena};
        if (!id_set_add(&done, inputs[i].lot.id)) {
            continue;
        }
        for (size_t k = i; k < input_count; k++) {
            if (inputs[k].lot.id == inputs[i].lot.id) {
                add(&stretches, (struct candidate){.lot = inputs[k].lot.id,
                                                   .from_ms = inputs[k].from_ms,
                                                   .to_ms = inputs[k].to_ms});
            }
        }
        TRY(lot_to_earlier(d, &stretches, run));
    }
    return RESULT_OK;
}

/* What came out of a place since a clean that was none, of one lot that had gone in before it;
 * where no carry-over was told for the run, it can hold some of that lot. */
static struct result lot_over_clean(struct draft *d, const char *place, int64_t clean_ms,
                                    const struct candidate *in)
{
    struct candidates outputs = {.arena = d->arena};
    TRY(later_outputs(d, place, in->lot, clean_ms, in->to_ms, &outputs));
    for (size_t n = 0; n < outputs.count; n++) {
        const struct candidate *out = &outputs.at[n];
        struct run run = {0};
        TRY(run_under_way(d, place, out->from_ms, out->to_ms, &run));
        if (run.id != 0 && run.carry_ms < 0 && out->lot != in->lot &&
            basis_of(in, out->from_ms, out->to_ms, run.carry_ms) != BASIS_NONE) {
            TRY(edge_late(d, in->lot, out->lot, BASIS_UNKNOWN));
        }
    }
    return RESULT_OK;
}

struct result edges_over_clean(struct draft *d, const char *place, int64_t clean_ms)
{
    struct candidates list = {.arena = d->arena};
    struct id_set done = id_set_new(d->arena);
    int64_t since_ms;
    TRY(last_clean(d, place, clean_ms, &since_ms));
    TRY(inputs_between(d, place, since_ms, clean_ms, &list));
    for (size_t i = list.count; i > 0; i--) { /* the last stretch of a lot reaches furthest */
        if (id_set_add(&done, list.at[i - 1].lot)) {
            TRY(lot_over_clean(d, place, clean_ms, &list.at[i - 1]));
        }
    }
    return RESULT_OK;
}

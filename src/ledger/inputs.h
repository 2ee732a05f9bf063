/* What goes into a step and what comes out of it, with the rules every step shares: kinds, holds,
 * closed lots, balance, and which input each output can hold. */
#ifndef LEDGER_INPUTS_H
#define LEDGER_INPUTS_H

#include "ledger/view.h"

enum { INPUTS_MAX = 200 };

struct input {
    struct lot lot;
    struct amount amount;
    int64_t from_ms, to_ms; /* when it went in */
    bool all;               /* no mass was given: all that was left */
    const char *path;       /* "inputs[0]" */
};

/* Reads the array "inputs" ([{lot, mass?, how?.., from?, to?}]). Without a mass all that is left is
 * taken. Broken rules (kind, closed, held, held mixed with free) refuse an ask and are booked as
 * deviations of a telling. */
MUST_USE struct result inputs_read(struct draft *d, int64_t start_ms, int64_t end_ms,
                                   struct input **out, size_t *out_count);
/* One lot as the only input, checked by the same rules. */
MUST_USE struct result input_of_lot(struct draft *d, const struct lot *lot, const char *path,
                                    int64_t from_ms, int64_t to_ms, struct input *out);
/* Takes every input's amount out of its lot, and closes the lots of which nothing is left. */
MUST_USE struct result inputs_take(struct draft *d, const struct input *inputs, size_t count);
/* The rules of one lot: the kinds the step takes, not closed; no hold on it that stops any of a
 * comma list. Broken: see draft_break. */
MUST_USE struct result lot_fits(struct draft *d, const struct lot *lot, const char *field);
MUST_USE struct result lot_not_held(struct draft *d, const struct lot *lot, const char *field,
                                    const char *stops, const char *rule);
/* Held goods with free ones. */
MUST_USE struct result inputs_not_mixed(struct draft *d, const struct input *inputs, size_t count);
/* The mass that is left of a lot, known as its own mass was. Never below zero. */
MUST_USE struct result all_of_lot(struct draft *d, int64_t lot, struct amount *out);
/* Closes a lot whose balances have come to zero in this draft; never a growing lot, which is closed
 * when its chamber is emptied, nor a supplier's. */
MUST_USE struct result lot_close_when_empty(struct draft *d, const struct lot *lot);
int64_t inputs_total(const struct input *inputs, size_t count);

struct output {
    const struct step_out *spec;
    const char *code; /* as given, may be NULL */
    struct amount amount;
    bool by_difference;
    int64_t from_ms, to_ms;
    int64_t lot;
    const char *lot_code;
    const char *path;
};

/* Reads the array "outputs" ([{role, mass.., lot?, from?, to?}]) against the step's outs. */
MUST_USE struct result outputs_read(struct draft *d, int64_t start_ms, int64_t end_ms,
                                    struct output **out, size_t *out_count);
/* Books what is left over of a step (in less out, either sign) by the step's rule: to its account
 * by difference, or to unexplained where every other leg was weighed or counted. Beyond the
 * tolerance: a deviation. */
MUST_USE struct result step_residual(struct draft *d, const struct input *inputs,
                                     size_t input_count, int64_t out_total, bool all_known);
/* Edges from the inputs to one output. Outside a run each input reaches each output. In a run time
 * decides: what was going in when the output came out is measured, what went in no longer than the
 * carry-over before is possible, and with an unknown carry-over everything since the place was last
 * clean is unknown. Earlier entries of the same place count too. */
MUST_USE struct result edges_to_output(struct draft *d, const struct input *inputs,
                                       size_t input_count, const struct run *run,
                                       const struct output *output);
/* A late telling: inputs of a run that outputs already told can hold. */
MUST_USE struct result edges_to_earlier(struct draft *d, const struct input *inputs,
                                        size_t input_count, const struct run *run);
/* A clean of a place that was struck: what had gone in since the clean before it can be in what
 * came out after that moment, on runs of unknown carry-over, and brings its holds. The view no
 * longer has that clean. */
MUST_USE struct result edges_over_clean(struct draft *d, const char *place, int64_t clean_ms);
/* Holds on a time window of the run cover what came out inside it. */
MUST_USE struct result window_holds(struct draft *d, const struct run *run,
                                    const struct output *output);
/* The run named by "run"; out->id 0 when none is named. RUN_UNKNOWN. */
MUST_USE struct result run_named(struct draft *d, struct run *out);
/* The run that was under way at a place; out->id stays where there was none. */
MUST_USE struct result run_under_way(struct draft *d, const char *place, int64_t from_ms,
                                     int64_t to_ms, struct run *out);
/* The run of a step at a place: the one named, which must be of that place (RUN_PLACE) and at work
 * then (a rule), or the one under way there at that time; out->id 0 when there is none. */
MUST_USE struct result run_of_step(struct draft *d, const struct place *place, int64_t from_ms,
                                   int64_t to_ms, struct run *out);
/* A moment at a key of an object, not in the future; *out_ms stays when there is none. */
MUST_USE struct result read_moment(struct draft *d, const json_t *o, const char *path,
                                   const char *key, int64_t *out_ms);

#endif

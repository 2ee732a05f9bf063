/* What goes into a step and what comes out of it, with the rules every step shares: kinds, holds, closed lots, balance, and which
 * input each output can hold. */
#ifndef LEDGER_INPUTS_H
#define LEDGER_INPUTS_H

#include "ledger/view.h"

enum { INPUTS_MAX = 200 };

struct input {
    struct lot lot;
    struct amount amount;
    int64_t from_ms, to_ms; /* when it went in */
    bool held;              /* a hold on it stops use */
    const char *path;       /* "inputs[0]" */
};

/* Reads the array "inputs" ([{lot, mass?, how?.., from?, to?}]). Without a mass all that is left is taken. Broken rules
 * (kind, closed, held, held mixed with free) refuse an ask and are booked as deviations of a telling. */
MUST_USE struct result inputs_read(struct draft *d, int64_t start_ms, int64_t end_ms, struct input **out, size_t *out_count);
/* One lot as the only input, checked by the same rules. */
MUST_USE struct result input_of_lot(struct draft *d, const struct lot *lot, const char *path, struct input *out);
/* Takes every input's amount out of its lot. */
MUST_USE struct result inputs_take(struct draft *d, const struct input *inputs, size_t count);
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
MUST_USE struct result outputs_read(struct draft *d, int64_t start_ms, int64_t end_ms, struct output **out, size_t *out_count);
/* Books what is left over of a step (in less out, either sign) by the step's rule: to its account by difference, or to
 * unexplained where every other leg was weighed or counted. Beyond the tolerance: a deviation. */
MUST_USE struct result step_residual(struct draft *d, const struct input *inputs, size_t input_count, int64_t out_total,
                                     bool all_known);
/* Edges from the inputs to one output. Outside a run each input reaches each output. In a run time decides: what was going in
 * when the output came out is measured, what went in no longer than the carry-over before is possible, and with an unknown
 * carry-over everything since the place was last clean is unknown. Earlier entries of the same place count too. */
MUST_USE struct result edges_to_output(struct draft *d, const struct input *inputs, size_t input_count, const struct run *run,
                                       const struct output *output);
/* A late telling: inputs of a run that outputs already told can hold. */
MUST_USE struct result edges_to_earlier(struct draft *d, const struct input *inputs, size_t input_count, const struct run *run);
/* Holds on a time window of the run cover what came out inside it. */
MUST_USE struct result window_holds(struct draft *d, const struct run *run, const struct output *output);
/* The run named by "run"; out->id 0 when none is named. RUN_UNKNOWN. */
MUST_USE struct result run_named(struct draft *d, struct run *out);

#endif

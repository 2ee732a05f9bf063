/* The run that a step belongs to, and what a hold on a stretch of it covers. */
#include <string.h>

#include "base/civil.h"
#include "ledger/inputs.h"

struct result run_named(struct draft *d, struct run *out)
{
    const char *code = NULL;
    *out = (struct run){0};
    TRY(json_get_text(d->cmd->body, "run", "run", JSON_OPTIONAL, &code));
    if (code == NULL) {
        return RESULT_OK;
    }
    bool found;
    TRY(run_by_code(d->store, d->arena, code, out, &found));
    return found ? RESULT_OK : FAIL1(RUN_UNKNOWN, "run", code);
}

/* What came before on it is not forgotten because nobody named it. */
struct result run_under_way(struct draft *d, const char *place, int64_t from_ms, int64_t to_ms,
                            struct run *out)
{
    struct statement *q = store_prepare(d->store, Q_RUN_UNDER_WAY);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    bool row, found;
    TRY(store_step(q, &row));
    const char *code = row ? arena_copy(d->arena, store_text(q, 0)) : NULL;
    while (row) {
        TRY(store_step(q, &row));
    }
    return code != NULL ? run_by_code(d->store, d->arena, code, out, &found) : RESULT_OK;
}

struct result run_of_step(struct draft *d, const struct place *place, int64_t from_ms,
                          int64_t to_ms, struct run *out)
{
    TRY(run_named(d, out));
    if (out->id == 0) {
        return run_under_way(d, place->code, from_ms, to_ms, out);
    }
    if (strcmp(out->place, place->code) != 0) {
        return FAIL3(RUN_PLACE, "run", out->code, out->place, place->code);
    }
    if (from_ms < out->start_ms || (out->end_ms != 0 && to_ms > out->end_ms)) {
        int64_t when_ms = from_ms < out->start_ms ? from_ms : to_ms;
        TRY(draft_break(d, "outside-run", 0, place->code, from_ms, to_ms,
                        FAIL2(RUN_IDLE, "run", out->code, civil_short(d->arena, when_ms))));
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
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        draft_hold_on(d, store_int(q, 0), output->lot, 0, "run-window");
    }
}

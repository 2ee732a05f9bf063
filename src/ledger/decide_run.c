/* A continuous line at work: started and stopped, with its family and what it carries over. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/inputs.h"

struct result decide_run_start(struct draft *d)
{
    static const char *const names[] = {"place", "run", "family", "allergens", "carry_over", NULL};
    const json_t *o = d->cmd->body;
    const char *code = NULL, *family = NULL, *allergens = "", *carry = NULL;
    struct place place;
    int64_t carry_ms = -1;
    TRY(draft_only(d, "the start of a run", names));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(json_get_text(o, "family", "family", JSON_NEEDED, &family));
    TRY(json_get_text(o, "allergens", "allergens", JSON_OPTIONAL, &allergens));
    TRY(json_get_text(o, "carry_over", "carry_over", JSON_NEEDED, &carry));
    if (strcmp(carry, "unknown") != 0) {
        TRY(duration_read(carry, "carry_over", &carry_ms));
    }
    int64_t id = draft_id(d);
    code = arena_printf(d->arena, "R%lld", (long long)d->seq);
    TRY(json_get_text(o, "run", "run", JSON_OPTIONAL, &code));
    struct run other;
    bool found;
    TRY(run_by_code(d->store, d->arena, code, &other, &found));
    if (found) {
        return FAIL1(LOT_EXISTS, "run", code);
    }
    struct statement *q = store_prepare(d->store, Q_RUN_OPEN_AT);
    store_bind_text(q, 1, place.code);
    TRY(store_step(q, &found));
    const char *open = found ? arena_copy(d->arena, store_text(q, 1)) : NULL;
    while (found) {
        TRY(store_step(q, &found));
    }
    if (open != NULL) {
        TRY(draft_break(d, "run-still-open", 0, place.code, 0, 0,
                        FAIL2(RUN_OPEN, "place", place.code, open)));
    }
    draft_add(d, EFFECT_RUN, carry_ms < 0 ? "ittttinn" : "ittttini", id, code, place.code, family,
              allergens, d->cmd->happened_ms, carry_ms);
    json_object_set_new(d->answer, "run", json_string(code));
    return RESULT_OK;
}

struct result decide_run_end(struct draft *d)
{
    static const char *const names[] = {"run", NULL};
    struct run run;
    TRY(draft_only(d, "the end of a run", names));
    TRY(run_named(d, &run));
    if (run.id == 0) {
        return FAIL1(FIELD_MISSING, "run", "Name the run that ends.");
    }
    if (run.end_ms != 0) {
        return FAIL1(RUN_ENDED, "run", run.code);
    }
    if (d->cmd->happened_ms < run.start_ms) {
        return FAIL2(END_BEFORE_START, "at", civil_short(d->arena, run.start_ms),
                     civil_short(d->arena, d->cmd->happened_ms));
    }
    draft_add(d, EFFECT_RUN_END, "iin", run.id, d->cmd->happened_ms);
    return RESULT_OK;
}

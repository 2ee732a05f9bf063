#include "ledger/fit.h"

#include <string.h>

#include "base/civil.h"
#include "ledger/duty.h"
#include "ledger/view.h"
#include "ledger/water_stop.h"

#define DAY_MS INT64_C(86400000)

/* The newest note about a person of a kind and code, no later than a moment. */
static struct result newest(struct store *s, const char *kind, const char *code, int64_t person,
                            int64_t at_ms, bool *out_ok, int64_t *out_at_ms, int64_t *out_until_ms,
                            bool *out_found)
{
    struct statement *q = store_prepare(s, Q_NOTED_OF_PERSON);
    store_bind_text(q, 1, kind);
    store_bind_int(q, 2, person);
    store_bind_int(q, 3, at_ms);
    store_bind_text(q, 4, code);
    bool row;
    TRY(store_step(q, &row));
    *out_found = row;
    if (row) {
        *out_ok = store_int(q, 0) != 0;
        *out_at_ms = store_int(q, 1);
        *out_until_ms = store_int(q, 2);
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result training_valid(struct store *s, const struct profile *p, const char *step,
                             int64_t person, int64_t at_ms, const char **out_name, bool *out_valid)
{
    *out_name = NULL;
    *out_valid = true;
    for (size_t i = 0; p != NULL && i < p->training_count; i++) {
        if (!list_has(p->trainings[i].steps, step)) {
            continue;
        }
        bool ok = false, found;
        int64_t when_ms = 0, until_ms = 0;
        TRY(newest(s, "training", p->trainings[i].name, person, at_ms, &ok, &when_ms, &until_ms,
                   &found));
        if (*out_valid) {
            *out_name = p->trainings[i].name;
            *out_valid = found && ok && until_ms > at_ms;
        }
    }
    return RESULT_OK;
}

static struct result person_trained(struct draft *d)
{
    const char *name;
    bool valid;
    TRY(training_valid(d->store, d->profile, d->cmd->kind, d->cmd->person, d->cmd->happened_ms,
                       &name, &valid));
    if (valid) {
        return RESULT_OK;
    }
    const char *number = arena_printf(d->arena, "%lld", (long long)d->cmd->person);
    return draft_break(d, "untrained", 0, NULL, 0, 0,
                       FAIL3(TRAINING_MISSING, "person", number, name, d->cmd->kind));
}

/* A step at a place with a surface class touches open product. A check that was not passed keeps
 * its person away until one is passed, for a day at least; so does a certificate of fitness that
 * ran out, until there is a new one. */
static struct result person_well(struct draft *d)
{
    bool ok = true, found, open = false;
    int64_t at_ms = 0, until_ms = 0;
    for (size_t i = 0; d->profile != NULL && i < d->profile->surface_count; i++) {
        const char *at = d->profile->surfaces[i].place_kinds;
        char kind[64];
        while (list_next(&at, kind, sizeof kind)) {
            open = open || list_has(d->cmd->step->place_kinds, kind);
        }
    }
    if (!open) {
        return RESULT_OK;
    }
    const char *number = arena_printf(d->arena, "%lld", (long long)d->cmd->person);
    TRY(newest(d->store, "health", "fitness", d->cmd->person, d->cmd->happened_ms, &ok, &at_ms,
               &until_ms, &found));
    if (found && ok && until_ms <= d->cmd->happened_ms) {
        TRY(draft_break(d, "fitness-ended", 0, NULL, 0, 0,
                        FAIL2(FITNESS_ENDED, "person", number, civil_short(d->arena, until_ms))));
    }
    TRY(newest(d->store, "health", NULL, d->cmd->person, d->cmd->happened_ms, &ok, &at_ms,
               &until_ms, &found));
    if (!found || ok || d->cmd->happened_ms - at_ms > DAY_MS) {
        return RESULT_OK;
    }
    return draft_break(d, "kept-from-product", 0, NULL, 0, 0,
                       FAIL2(KEPT_FROM_PRODUCT, "person", number, civil_short(d->arena, at_ms)));
}

static struct result work_order_at(struct draft *d, const char *place, const char **out_code)
{
    struct listed *orders;
    size_t count;
    *out_code = NULL;
    TRY(listed_all(d->store, d->arena, "work-order", &orders, &count));
    for (size_t i = 0; i < count; i++) {
        bool here = orders[i].place != NULL && strcmp(orders[i].place, place) == 0;
        if (here && orders[i].at_ms <= d->cmd->happened_ms) {
            *out_code = orders[i].code;
        }
    }
    listed_free(orders, count);
    return RESULT_OK;
}

static struct result place_ready(struct draft *d)
{
    const char *place = json_string_value(json_object_get(d->cmd->body, "chamber")), *order;
    place = place != NULL ? place : json_string_value(json_object_get(d->cmd->body, "place"));
    if (place == NULL) {
        return RESULT_OK;
    }
    TRY(work_order_at(d, place, &order));
    if (order != NULL) {
        TRY(draft_break(d, "place-under-work", 0, place, 0, 0,
                        FAIL2(PLACE_UNDER_WORK, "place", place, order)));
    }
    struct duty duty;
    bool found;
    TRY(duty_blocking(d, place, &duty, &found));
    return !found ? RESULT_OK
                  : draft_break(d, "duty-overdue", 0, place, 0, 0,
                                FAIL3(DUTY_OVERDUE_BLOCKS, "place", place, duty.title,
                                      civil_short(d->arena, duty.due_ms)));
}

/* Nothing passes through water that is stopped. */
static struct result water_runs(struct draft *d)
{
    const char *place = json_string_value(json_object_get(d->cmd->body, "place"));
    return place != NULL && list_has("treat,pass,process,run-start", d->cmd->act)
               ? water_stop_check(d, place, "place")
               : RESULT_OK;
}

struct result draft_fit(struct draft *d)
{
    TRY(person_trained(d));
    if (d->cmd->step == NULL) {
        return RESULT_OK;
    }
    TRY(person_well(d));
    TRY(water_runs(d));
    return list_has("treat,pass,grow,run-start", d->cmd->act) ? place_ready(d) : RESULT_OK;
}

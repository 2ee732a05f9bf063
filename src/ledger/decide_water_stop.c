/* A stop of water, heard and ended. */
#include <string.h>

#include "base/civil.h"
#include "ledger/water_credit.h"
#include "ledger/water_stop.h"

/* The stop of the place that is named: WATER_RUNS where none stands. */
static struct result read_stop(struct draft *d, struct place *place, struct listed *stop)
{
    bool stands;
    TRY(place_named(d, "place", JSON_NEEDED, place));
    TRY(water_stop_at(d->store, d->arena, place->code, stop, &stands));
    return stands ? RESULT_OK : FAIL1(WATER_RUNS, "place", place->code);
}

struct result decide_stop_heard(struct draft *d)
{
    static const char *const names[] = {"place", NULL};
    struct place place;
    struct listed stop;
    TRY(draft_only(d, "that a stop was heard", names));
    TRY(read_stop(d, &place, &stop));
    noted_add(d, 0,
              &(struct noting){.kind = "stop-heard",
                               .code = place.code,
                               .place = place.code,
                               .person = d->cmd->person,
                               .ok = true,
                               .data = json_pack("{s:I}", "stop", (json_int_t)stop.entry)});
    listed_free(&stop, 1);
    json_object_set_new(d->answer, "place", json_string(place.code));
    return RESULT_OK;
}

/* The newest reading since the stop, good in all, and worth what is asked by itself. */
static struct result good_reading(struct draft *d, const char *place, const struct listed *stop,
                                  int64_t *out_ms)
{
    struct statement *q = store_prepare(d->store, Q_WATER_READ_LAST);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, stop->at_ms);
    store_bind_int(q, 3, d->cmd->happened_ms);
    store_bind_int(q, 4, stop->entry);
    bool row;
    TRY(store_step(q, &row));
    bool good = row && store_int(q, 2) != 0;
    *out_ms = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    if (!good) {
        return FAIL2(WATER_RESTART, "place", place, civil_short(d->arena, stop->at_ms));
    }
    struct water_book book;
    struct water_credit credit;
    TRY(water_book_read(d->store, d->arena, place, *out_ms, *out_ms, &book));
    water_credit(&book, d->profile, *out_ms, *out_ms, *out_ms + 1, 0, &credit);
    return !credit.asked || (credit.known && !credit.low)
               ? RESULT_OK
               : FAIL2(WATER_RESTART_CONTACT, "place", place, credit.rule->name);
}

static struct result good_result(struct draft *d, const char *place, const struct listed *stop)
{
    struct statement *q = store_prepare(d->store, Q_WATER_FINDING_SINCE);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, stop->at_ms);
    bool row;
    TRY(store_step(q, &row));
    bool good = row && list_has("negative,confirmed-negative", store_text(q, 0));
    while (row) {
        TRY(store_step(q, &row));
    }
    return good ? RESULT_OK : FAIL1(WATER_RESTART_RESULT, "place", place);
}

/* The tasks to stop are done with it; what was in the water has its deviation. */
static struct result tasks_done(struct draft *d, const char *place)
{
    struct statement *q = store_prepare(d->store, Q_WATER_TASKS_OPEN);
    store_bind_text(q, 1, place);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        draft_add(d, EFFECT_TASK_DONE, "iin", store_int(q, 0), d->cmd->happened_ms);
    }
}

struct result decide_water_restart(struct draft *d)
{
    static const char *const names[] = {"place", NULL};
    struct place place;
    struct listed stop;
    int64_t reading_ms = d->cmd->happened_ms;
    TRY(draft_only(d, "letting water run again", names));
    TRY(read_stop(d, &place, &stop));
    const char *why = arena_copy(d->arena, listed_text(&stop, "why"));
    const char *told = arena_copy(d->arena, listed_text(&stop, "told"));
    listed_free(&stop, 1);
    TRY(strcmp(why, "result") == 0 ? good_result(d, place.code, &stop)
                                   : good_reading(d, place.code, &stop, &reading_ms));
    listed_add(
        d, "stop", place.code, place.code, NULL, 0, false,
        json_pack("{s:s,s:s,s:I}", "why", why, "told", told, "reading_ms", (json_int_t)reading_ms));
    json_object_set_new(d->answer, "place", json_string(place.code));
    return tasks_done(d, place.code);
}

#include "ledger/water_stop.h"

#include "base/civil.h"
#include "ledger/water_book.h"

struct result water_stop_at(struct store *s, struct arena *a, const char *place, struct listed *out,
                            bool *out_found)
{
    TRY(listed_one(s, a, "stop", place, out, out_found));
    if (*out_found && !out->active) {
        listed_free(out, 1);
        *out_found = false;
    }
    return RESULT_OK;
}

/* Told late: has it been read and found good since? */
static struct result good_since(struct draft *d, const char *place, bool *out)
{
    struct statement *q = store_prepare(d->store, Q_WATER_READ_LAST);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, d->cmd->happened_ms + 1);
    store_bind_int(q, 3, INT64_MAX);
    store_bind_int(q, 4, 0);
    bool row;
    TRY(store_step(q, &row));
    *out = row && store_int(q, 2) != 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result told_roles(struct draft *d, const char *place, const char *place_kind,
                                const char **out)
{
    struct water_book book;
    TRY(water_book_read(d->store, d->arena, place, 0, 0, &book));
    const struct water_rule *rule =
        water_rule_of(d->profile, water_loop_at(&book, d->cmd->happened_ms), place_kind);
    *out = rule != NULL ? rule->told : "";
    return RESULT_OK;
}

struct result water_stop_put(struct draft *d, const char *place, const char *place_kind,
                             const char *why)
{
    struct listed stop;
    const char *told;
    bool stands, good;
    TRY(water_stop_at(d->store, d->arena, place, &stop, &stands));
    if (stands) {
        listed_free(&stop, 1);
        return RESULT_OK;
    }
    TRY(good_since(d, place, &good));
    if (good) {
        return RESULT_OK;
    }
    TRY(told_roles(d, place, place_kind, &told));
    listed_add(d, "stop", place, place, NULL, 0, true,
               json_pack("{s:s,s:s}", "why", why, "told", told));
    json_object_set_new(d->answer, "stopped", json_string(place));
    return RESULT_OK;
}

struct result water_stop_check(struct draft *d, const char *place, const char *field)
{
    struct listed stop;
    bool stands;
    TRY(water_stop_at(d->store, d->arena, place, &stop, &stands));
    if (!stands) {
        return RESULT_OK;
    }
    listed_free(&stop, 1);
    return stop.at_ms > d->cmd->happened_ms
               ? RESULT_OK
               : draft_break(d, "water-stopped", 0, place, stop.at_ms, d->cmd->happened_ms,
                             FAIL2(WATER_STOPPED, field, place, civil_short(d->arena, stop.at_ms)));
}

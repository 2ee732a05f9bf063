#include "service/chamber.h"

#include <math.h>
#include <string.h>

#include "base/civil.h"
#include "base/json.h"
#include "ledger/closing.h"
#include "ledger/evidence.h"
#include "service/shift.h"

enum { HOUR_MS = 3600000, DAY_MS = 24 * HOUR_MS, HEAT_MAX_MC_H = 100000000 };

static struct result read_runs(const struct chamber_ask *ask, struct chamber_run **out,
                               size_t *out_count)
{
    struct arena *a = ask->arena;
    struct statement *q = store_prepare(ask->store, Q_PLANNING_RUNNING);
    bool row;
    *out = NULL;
    *out_count = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct chamber_run *r = evidence_grow(a, out, out_count, sizeof **out);
        *r = (struct chamber_run){.lot = store_int(q, 0),
                                  .code = arena_copy(a, store_text(q, 1)),
                                  .place = arena_copy(a, store_text(q, 2)),
                                  .item = arena_copy(a, store_text(q, 3)),
                                  .start_ms = store_int(q, 4),
                                  .seed_mg = store_int(q, 5),
                                  .shares_ppm = store_int(q, 6),
                                  .markets = arena_copy(a, store_text(q, 7)),
                                  .held = store_int(q, 8)};
        TRY(chamber_off_days(store_text(q, 9), &r->off_days));
    }
}

struct warmth_ask chamber_warmth_ask(const struct chamber_ask *ask, const struct crop *crop,
                                     const struct chamber_run *run)
{
    return (struct warmth_ask){.store = ask->store,
                               .arena = ask->arena,
                               .kept = ask->kept,
                               .lot = run->lot,
                               .place = run->place,
                               .from_ms = run->start_ms + ask->profile->planning.lead_ms,
                               .now_ms = ask->now_ms,
                               .crop = chamber_crop(crop),
                               .set_point_mc = (int32_t)crop->set_point_mc};
}

struct warmth chamber_no_log(const struct profile *p, int64_t start_ms)
{
    return (struct warmth){.until_ms = start_ms + p->planning.lead_ms};
}

struct result chamber_runs(const struct chamber_ask *ask, struct chamber_run **out,
                           size_t *out_count)
{
    int64_t struck = 0;
    TRY(read_runs(ask, out, out_count));
    TRY(*out_count > 0 ? warmth_struck(ask->store, &struck) : RESULT_OK);
    for (size_t i = 0; i < *out_count; i++) {
        struct chamber_run *run = &(*out)[i];
        const struct crop *crop = profile_crop(ask->profile, run->item);
        run->warmth = chamber_no_log(ask->profile, run->start_ms);
        if (crop != NULL) {
            struct warmth_ask of = chamber_warmth_ask(ask, crop, run);
            of.struck = struck;
            TRY(warmth_read(&of, &run->warmth));
        }
    }
    return RESULT_OK;
}

struct result chamber_off_days(const char *noted, int *out)
{
    json_t *data = NULL;
    *out = 0;
    if (noted[0] == '\0') {
        return RESULT_OK;
    }
    TRY(json_read_stored(noted, &data));
    *out = (int)json_integer_value(json_object_get(data, "off_days"));
    json_decref(data);
    return RESULT_OK;
}

struct heat_sum_crop chamber_crop(const struct crop *crop)
{
    return (struct heat_sum_crop){.base_mc = (int32_t)crop->heat_base_mc,
                                  .optimum_mc = (int32_t)crop->heat_best_mc,
                                  .goal_mc_h = crop->heat_goal_ch};
}

int64_t chamber_heat(const struct crop *crop, const struct warmth *w, int64_t now_ms)
{
    struct heat_sum_crop heat = chamber_crop(crop);
    int64_t rate = warmth_rate(&heat, (int32_t)crop->set_point_mc);
    int64_t ahead_ms = now_ms > w->until_ms ? now_ms - w->until_ms : 0;
    int64_t done = w->heat_mc_h + (int64_t)((__int128)ahead_ms * rate / HOUR_MS);
    return done < HEAT_MAX_MC_H ? done : HEAT_MAX_MC_H;
}

struct result chamber_ready(const struct crop *crop, const struct warmth *w, int64_t *out_ms)
{
    struct heat_sum_crop heat = chamber_crop(crop);
    struct set_point kept = {.from_ms = w->until_ms, .temp_mc = (int32_t)crop->set_point_mc};
    struct harvest_forecast f;
    TRY(harvest_forecast(&heat, w->heat_mc_h, kept.from_ms, &kept, 1, &f));
    *out_ms = f.never ? 0 : f.ready_ms;
    return RESULT_OK;
}

static int32_t day_at(const struct profile *p, int64_t ms)
{
    return day_of_house(ms, civil_offset_min(ms), p->day_starts_min);
}

struct result chamber_own_day(const struct profile *p, const struct crop *crop,
                              const struct warmth *w, int32_t *out_day)
{
    int64_t ready_ms, hour_ms = p->planning.harvest_ms - (int64_t)p->day_starts_min * 60000;
    TRY(chamber_ready(crop, w, &ready_ms));
    /* past the hour of harvest it waits for the next */
    *out_day = ready_ms != 0 ? day_at(p, ready_ms - hour_ms + DAY_MS - 1) : INT32_MIN;
    return RESULT_OK;
}

struct result chamber_later_days(const struct profile *p, const struct crop *crop,
                                 const struct chamber_run *run, int *out)
{
    struct warmth none = chamber_no_log(p, run->start_ms);
    int32_t logged, kept;
    TRY(chamber_own_day(p, crop, &run->warmth, &logged));
    TRY(chamber_own_day(p, crop, &none, &kept));
    *out = logged != INT32_MIN && kept != INT32_MIN ? logged - kept : 0;
    return RESULT_OK;
}

int64_t chamber_harvest_min(const struct profile *p)
{
    int64_t at_min = p->planning.harvest_ms / 60000;
    return at_min + (at_min < p->day_starts_min ? 1440 : 0);
}

/* The day itself or the first after it on which a chamber can be emptied; a house that is closed
 * for longer than a year is taken to open then. */
static int32_t open_day(const struct profile *p, int32_t day)
{
    int32_t last = day + 366;
    while (day < last && (closing_of(p, day) & (CLOSES_HARVEST | CLOSES_PACK)) != 0) {
        day++;
    }
    return day;
}

struct result chamber_due(const struct profile *p, const struct crop *crop,
                          const struct chamber_run *run, int64_t now_ms, int64_t *out_ms)
{
    int64_t ready_ms;
    int32_t own_day, today = day_at(p, now_ms);
    TRY(chamber_ready(crop, &run->warmth, &ready_ms));
    TRY(chamber_own_day(p, crop, &run->warmth, &own_day));
    *out_ms = 0;
    if (ready_ms == 0) {
        return RESULT_OK;
    }
    bool is_ready = run->off_days == 0 && ready_ms <= now_ms;
    int32_t day = is_ready ? day_at(p, ready_ms) : own_day + run->off_days;
    int32_t wanted = day > today ? day : today, open = open_day(p, wanted);
    bool by_hour = is_ready || day_at(p, ready_ms) == own_day;
    *out_ms = open != wanted || !by_hour
                  ? shift_wall_ms(open != wanted ? open : day, chamber_harvest_min(p))
                  : ready_ms + (int64_t)run->off_days * DAY_MS;
    return RESULT_OK;
}

struct result chamber_seed_factor(int64_t purity_milli, int64_t germination_milli, double *out)
{
    static const int64_t reference_ppm = 990000 * 96 / 100;
    struct mass_chain chain = mass_chain_default();
    int64_t pls_ppm = purity_milli * germination_milli / 10000;
    *out = 0;
    return pls_ppm > 0 ? yield_lot_factor(&chain, pls_ppm, reference_ppm, out) : RESULT_OK;
}

struct result chamber_seed_of(struct store *s, int64_t growing, int64_t *out_lot,
                              double *out_factor)
{
    struct statement *q = store_prepare(s, Q_PLANNING_GROWN_FROM);
    int64_t purity = 0, germination = 0;
    int lots = 0;
    bool row;
    store_bind_int(q, 1, growing);
    *out_lot = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        *out_lot = store_int(q, 0);
        purity = store_int(q, 1);
        germination = store_int(q, 2);
        lots++;
    }
    TRY(chamber_seed_factor(purity, germination, out_factor));
    *out_lot = lots == 1 && *out_factor > 0 ? *out_lot : 0;
    return RESULT_OK;
}

/* The mean is that of the last batches; what lots differ by shows only over several lots. */
enum { BATCHES_MAX = 180, BATCHES_OF_MEAN = 60 };

struct grown {
    double actual_kg[BATCHES_MAX], standard_kg[BATCHES_MAX];
    int64_t lot[BATCHES_MAX];
    int count;
};

double chamber_off_yield(const struct profile *p, const char *item, int off_days)
{
    const struct planning *pl = &p->planning;
    for (size_t i = 0; i < pl->early_late_count; i++) {
        if (strcmp(pl->early_late[i].item, item) == 0 && pl->early_late[i].days == off_days) {
            return (double)pl->early_late[i].yield / 1000.0;
        }
    }
    return off_days == 0 ? 1 : 0;
}

struct result chamber_days_off(const struct profile *p, const struct crop *crop, int64_t start_ms,
                               int64_t harvest_ms, int *out)
{
    int64_t ready_ms;
    int32_t own_day;
    struct warmth w = chamber_no_log(p, start_ms);
    TRY(chamber_ready(crop, &w, &ready_ms));
    TRY(chamber_own_day(p, crop, &w, &own_day));
    int off_days = own_day != INT32_MIN ? day_at(p, harvest_ms) - own_day : 0;
    *out = off_days < 0 && harvest_ms >= ready_ms ? 0 : off_days;
    return RESULT_OK;
}

/* What was cut early or late counts as what it would have borne on its own day: left out, a house
 * that often cuts early would learn nothing of its seed lots any more. It is left out only where
 * the plan meant it so and the profile no longer says what such a day bears; what nobody meant and
 * the profile says nothing of counts as it is. */
static struct result read_batch(const struct profile *p, const struct crop *crop,
                                struct statement *q, struct grown *out)
{
    int meant, off_days;
    TRY(chamber_off_days(store_text(q, 3), &meant));
    TRY(chamber_days_off(p, crop, store_int(q, 4), store_int(q, 5), &off_days));
    double off_yield = chamber_off_yield(p, crop->item, off_days);
    off_yield = off_yield > 0 || meant != 0 ? off_yield : 1;
    if (off_yield > 0) {
        int i = out->count++;
        out->standard_kg[i] = (double)store_int(q, 0) * 1e-6 * (double)crop->expansion_std / 1000.0;
        out->actual_kg[i] = (double)store_int(q, 1) * 1e-6 / off_yield;
        out->lot[i] = store_int(q, 2);
    }
    return RESULT_OK;
}

static struct result read_grown(struct store *s, const struct profile *p, const struct crop *crop,
                                int most, struct grown *out)
{
    struct statement *q = store_prepare(s, Q_PLANNING_HISTORY);
    store_bind_text(q, 1, crop->item);
    store_bind_int(q, 2, most);
    bool row;
    out->count = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (out->count < BATCHES_MAX && store_int(q, 0) > 0 && store_int(q, 1) > 0) {
            TRY(read_batch(p, crop, q, out));
        }
    }
}

struct result chamber_history(struct store *s, const struct profile *p, const struct crop *crop,
                              struct yield_history *out)
{
    struct grown g;
    TRY(read_grown(s, p, crop, BATCHES_OF_MEAN, &g));
    *out = yield_history_of(g.actual_kg, g.standard_kg, g.count);
    return RESULT_OK;
}

struct result chamber_seed_lots(struct store *s, struct arena *a, const struct profile *p,
                                const struct crop *crop, struct yield_lots *out)
{
    struct grown g;
    TRY(read_grown(s, p, crop, BATCHES_MAX, &g));
    struct yield_batch *batches = ARENA_ARRAY(a, struct yield_batch, (size_t)g.count + 1);
    int count = 0;
    for (int i = 0; i < g.count; i++) {
        int64_t lot;
        double factor;
        TRY(chamber_seed_of(s, g.lot[i], &lot, &factor));
        if (lot != 0) {
            batches[count++] =
                (struct yield_batch){lot, g.actual_kg[i] / g.standard_kg[i] / factor};
        }
    }
    *out = yield_lots_of(a, batches, count);
    return RESULT_OK;
}

struct result chamber_yield(const struct profile *p, const struct chamber_run *run,
                            const struct crop *crop, const struct yield_history *history,
                            int64_t now_ms, struct chamber_yield *out)
{
    int32_t own_day, today = day_at(p, now_ms);
    TRY(chamber_own_day(p, crop, &run->warmth, &own_day));
    int overdue = own_day != INT32_MIN ? today - own_day : 0;
    int off_days = overdue > 0 && overdue > run->off_days ? overdue : run->off_days;
    double off_yield = chamber_off_yield(p, crop->item, off_days);
    double seed_mg = (double)run->seed_mg * (double)(1000000 - run->shares_ppm) / 1e6;
    double standard_mg = seed_mg * (double)crop->expansion_std / 1000.0;
    standard_mg *= off_yield > 0 ? off_yield : 1; /* the house says nothing of such a day */
    double low = yield_cautious(standard_mg, history, 1), mean = standard_mg * history->mean_ratio;
    *out = (struct chamber_yield){
        .low_mg = llround(low), .mg = llround(mean), .high_mg = llround(2 * mean - low)};
    return RESULT_OK;
}

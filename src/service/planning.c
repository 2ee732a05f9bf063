#include "service/planning.h"

#include <math.h>
#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/file.h"
#include "ledger/closing.h"
#include "plan/mix.h"
#include "service/planning_inner.h"

enum { HISTORY_DAYS = 200 };

/* An order told after its day says nothing of what was known before. */
static int days_ahead(int64_t days)
{
    return days < 0 ? 0 : days > PICKUP_AHEAD_MAX ? PICKUP_AHEAD_MAX : (int)days;
}

static struct result read_past(struct reading *r, struct demand_input *in, struct demand_past *past)
{
    struct statement *q = store_prepare(r->store, Q_PLANNING_FIRST_ORDER_DAY);
    bool row;
    TRY(store_step(q, &row));
    int32_t first = row && !store_is_null(q, 0) ? (int32_t)store_int(q, 0) : r->first_day;
    while (row) {
        TRY(store_step(q, &row));
    }
    in->history_to = r->first_day - 1;
    in->history_from = first > r->first_day - HISTORY_DAYS ? first : r->first_day - HISTORY_DAYS;
    if (in->history_from > in->history_to) {
        in->history_from = in->history_to;
    }
    q = store_prepare(r->store, Q_PLANNING_PAST);
    store_bind_int(q, 1, in->history_from);
    store_bind_int(q, 2, in->history_to + CLOSING_BACK_DAYS);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int group = planning_group_of(r, store_text(q, 0), store_text(q, 1)),
            product = planning_product_of(r, store_text(q, 2));
        int32_t wanted = (int32_t)store_int(q, 3);
        int32_t day = closing_leaves(r->profile, wanted, in->history_from);
        if (group >= 0 && product >= 0 && day <= in->history_to &&
            in->past_count < PLANNING_LINES_MAX) {
            past[in->past_count++] =
                (struct demand_past){.product = product,
                                     .group = group,
                                     .day = day,
                                     .pieces = store_int(q, 4),
                                     .ahead_days = days_ahead(store_int(q, 5) - (wanted - day))};
        }
    }
    in->past = past;
    r->out->history_from = in->history_from;
    r->out->history_to = in->history_to;
    return RESULT_OK;
}

static struct result read_orders(struct reading *r, struct demand_input *in)
{
    struct demand_order *orders = ARENA_ARRAY(r->arena, struct demand_order, PLANNING_LINES_MAX);
    struct statement *q = store_prepare(r->store, Q_PLANNING_ORDERS);
    store_bind_int(q, 1, r->first_day);
    store_bind_int(q, 2, r->first_day + in->day_count - 1 + CLOSING_BACK_DAYS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int group = planning_group_of(r, store_text(q, 1), store_text(q, 2)),
            product = planning_product_of(r, store_text(q, 3));
        int32_t wanted = (int32_t)store_int(q, 4);
        int32_t day = closing_leaves(r->profile, wanted, r->first_day);
        if (group >= 0 && product >= 0 && day < r->first_day + in->day_count &&
            store_int(q, 5) > 0 && in->order_count < PLANNING_LINES_MAX) {
            orders[in->order_count++] =
                (struct demand_order){.key = arena_copy(r->arena, store_text(q, 0)),
                                      .product = product,
                                      .group = group,
                                      .day = day,
                                      .moved_days = wanted - day,
                                      .pieces = store_int(q, 5),
                                      .told_day = (int32_t)store_int(q, 6)};
        }
    }
    in->orders = orders;
    return RESULT_OK;
}

static void read_holidays(struct reading *r, struct demand_input *in)
{
    const struct planning *pl = &r->profile->planning;
    struct demand_holiday *list =
        ARENA_ARRAY(r->arena, struct demand_holiday, pl->holiday_count + 1);
    for (size_t i = 0; i < pl->holiday_count; i++) {
        list[i] = (struct demand_holiday){.day = pl->holidays[i].day,
                                          .group = PLAN_NONE,
                                          .factor = (double)pl->holidays[i].factor / 1000.0};
    }
    in->holiday_count = (int)pl->holiday_count;
    in->holidays = planning_closed_days(r, in->history_from, r->first_day + in->day_count - 1, list,
                                        &in->holiday_count);
}

struct result planning_read_demand(struct reading *r)
{
    struct plan_problem *o = &r->out->problem;
    struct demand_input in = {.first_day = r->first_day,
                              .day_count = o->day_count,
                              .product_count = o->product_count,
                              .group_count = o->group_count};
    struct demand_past *past = ARENA_ARRAY(r->arena, struct demand_past, PLANNING_LINES_MAX);
    TRY(read_past(r, &in, past));
    TRY(read_orders(r, &in));
    TRY(planning_read_standing(r, &in, past));
    read_holidays(r, &in);
    TRY(demand_make(r->arena, &in, &r->out->demand));
    double *value = ARENA_ARRAY(r->arena, double, (size_t)o->product_count + 1);
    for (int i = 0; i < o->product_count; i++) {
        double usual = (double)r->profile->planning.value_per_kg / 1000.0;
        value[i] = (r->value_per_kg != NULL ? r->value_per_kg[i] : usual) * plan_pack_kg(o, i);
    }
    demand_rank(r->groups, value, r->out->demand.lines, r->out->demand.line_count);
    o->lines = r->out->demand.lines;
    o->line_count = r->out->demand.line_count;
    return RESULT_OK;
}

/* What still stands at the end is worth what it can be sold for, up to a growing time of the demand
 * seen. */
static void value_the_end(struct reading *r)
{
    const struct plan_problem *o = &r->out->problem;
    for (int c = 0; c < o->crop_count; c++) {
        double kg = 0;
        for (int i = 0; i < o->line_count; i++) {
            kg += (double)o->lines[i].pieces * plan_crop_kg(o, o->lines[i].product, c);
        }
        r->crops[c].end_kg_wanted = kg / o->day_count * (r->crops[c].ways[0].grow_days + 1);
        r->crops[c].end_value_per_kg = (double)r->profile->planning.value_per_kg / 1000.0 * 0.5;
    }
}

struct result planning_read(struct store *s, struct warmth_kept *kept, const struct profile *p,
                            int64_t now_ms, struct arena *a, struct planning_case *out)
{
    *out = (struct planning_case){.now_ms = now_ms};
    if (p->planning.received.given) {
        return FAIL1(PLAN_FIELD, "planning.received",
                     "this house receives fruit and has no chambers; plumule plan plans it");
    }
    struct reading r = {.store = s,
                        .kept = kept,
                        .profile = p,
                        .arena = a,
                        .now_ms = now_ms,
                        .offset_min = civil_offset_min(now_ms),
                        .out = out};
    double starts_h = p->day_starts_min / 60.0;
    r.first_day = day_of_house(now_ms, r.offset_min, p->day_starts_min);
    out->problem = (struct plan_problem){
        .first_day = r.first_day,
        .day_count = (int)p->planning.horizon_days,
        .frozen_days = (int)p->planning.frozen_days,
        .cleaning_days = (int)p->planning.cleaning_days,
        .soak_hour = (double)p->planning.soak_ms / 3600000.0 - starts_h,
        .dispatch_hour = (double)p->planning.dispatch_ms / 3600000.0 - starts_h,
        .change_cost = (double)p->planning.change_cost / 1000.0};
    out->change_cost = out->problem.change_cost;
    TRY(planning_read_house(&r));
    TRY(planning_read_goods(&r));
    TRY(planning_read_demand(&r));
    value_the_end(&r);
    TRY(planning_read_chance(&r));
    return plan_problem_check(&out->problem);
}

const char *planning_solver(struct arena *a)
{
    char own[4096];
    ssize_t n = readlink("/proc/self/exe", own, sizeof own - 1);
    if (n <= 0) {
        return "plumule-solve";
    }
    own[n] = '\0';
    char *slash = strrchr(own, '/');
    CHECK(slash != NULL);
    *slash = '\0';
    const char *beside = arena_printf(a, "%s/plumule-solve", own);
    /* in the build tree it has a folder of its own */
    return file_exists(beside) ? beside : arena_printf(a, "%s/../../solve/plumule-solve", own);
}

struct result planning_at_once(const struct planning_case *c, struct arena *a,
                               struct plan_outcome *out)
{
    return plan_make(a, &c->problem, NULL, out);
}

/* Starts taken on later days, and harvests told, that are not kept. */
static int not_kept(const struct plan_problem *p, const struct plan_outcome *outcome)
{
    int count = 0;
    for (int i = 0; i < p->taken_count; i++) {
        count += p->taken[i].day >= p->frozen_days;
    }
    for (int i = 0; i < outcome->start_count; i++) {
        int taken = outcome->starts[i].taken;
        count -= taken != PLAN_NONE && p->taken[taken].day >= p->frozen_days;
    }
    for (int i = 0; i < p->running_count; i++) {
        count += outcome->improvement.plan->choices[i] != p->running[i].told;
    }
    return count;
}

/* What the search is told beyond it, so that more is kept, is no cost to the house. */
static void tell_cost(const struct planning_case *c, struct plan_outcome *outcome)
{
    struct improvement *x = &outcome->improvement;
    double more = (c->problem.change_cost - c->change_cost) * not_kept(&c->problem, outcome);
    if (more <= 0) {
        return;
    }
    x->cost -= more;
    x->bound -= x->has_bound ? more : 0;
    x->gap = x->has_bound ? fmax(0, x->cost - x->bound) / fmax(1e-9, fabs(x->cost)) : 0;
}

struct telling {
    const struct planning_case *c;
    const struct planning_ask *ask;
    const struct safety *safety;
    const struct imposed *imposed;
    const struct tonight *tonight;
    double told_s;
};

/* The best so far as a whole plan; one that can't be judged is not shown. */
static void tell_on(void *self, const struct improve_progress *progress)
{
    struct telling *t = self;
    if (progress->seconds < t->told_s + 1) {
        return;
    }
    t->told_s = progress->seconds;
    struct arena scratch;
    struct safety_choice choice = {.safety = *t->safety, .tonight = t->tonight};
    struct improvement x = {.plan = progress->plan,
                            .is_improved = true,
                            .cost = progress->cost,
                            .has_bound = progress->has_bound,
                            .bound = progress->bound,
                            .gap = progress->gap,
                            .solver = RESULT_OK};
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    plan_outcome_make(&scratch, progress->plan->f, &x, &choice.outcome);
    impose_tell(&scratch, t->imposed, &choice.outcome);
    tell_cost(t->c, &choice.outcome);
    struct result r = safety_finish(&scratch, &t->c->problem, &t->c->model, &choice);
    if (r.code == CODE_OK) {
        t->ask->tell(t->ask->self, &choice, &scratch);
    }
    arena_release(&scratch);
}

struct result planning_choose(struct arena *a, const struct planning_case *c,
                              const struct planning_ask *ask, struct safety_choice *out)
{
    struct safety_wish wish = {
        .service = ask->service, .least = c->least_level, .trial_futures = SAFETY_TRIALS};
    struct imposed imposed;
    struct telling telling = {c, ask, &out->safety, &imposed, NULL, 0};
    struct improve_options options = {.solver = {.path = planning_solver(a),
                                                 .seconds = ask->seconds,
                                                 .gap = PLANNING_GAP,
                                                 .stop = ask->stop},
                                      .seed = 1,
                                      .tell = ask->tell != NULL ? tell_on : NULL,
                                      .self = &telling};
    *out = (struct safety_choice){.safety = {NULL}};
    TRY(safety_levels(a, &c->problem, &c->model, &wish, &out->safety, NULL));
    TRY(planning_rehearse(a, c, ask, &out->safety, &imposed, &out->tonight));
    telling.tonight = out->tonight;
    TRY(plan_make(a, imposed.p, ask->seconds > 0 ? &options : NULL, &out->outcome));
    impose_tell(a, &imposed, &out->outcome);
    tell_cost(c, &out->outcome);
    return safety_finish(a, &c->problem, &c->model, out);
}

#include "future_policy.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "plan/construct.h"
#include "plan/demand.h"
#include "plan/tonight.h"
#include "plan/yield.h"

enum { BATCHES_SEEN = 180, TRIAL_FUTURES = 100, CHOOSE_EVERY = 28 };
static const uint64_t MODEL_SEED = 20261126; /* the planner's own futures, not the world's */

/* A problem with room for what it points to. */
struct evening {
    struct plan_problem p;
    struct plan_market market;
    struct plan_group groups[GROUPS];
    struct plan_crop crops[PRODUCTS];
    struct plan_way ways[PRODUCTS];
    struct plan_fill fill;
    struct plan_product products[PRODUCTS];
    struct plan_class class_;
    struct plan_chamber chambers[CHAMBERS];
    struct plan_outage being_cleaned;
    struct plan_running running[CHAMBERS];
    struct plan_stock stock[STOCK_MAX];
    struct plan_seed_lot seed[PRODUCTS];
    struct plan_day days[AHEAD_DAYS];
    const char *seed_items[PRODUCTS];
    int ready_day[PLAN_MARKETS_MAX];
    struct tonight_known known[CHAMBERS];
};

/* What the record says of batches harvested until the day: the last of each crop. */
struct record {
    struct yield_history yields[PRODUCTS];
    struct yield_batch batches[PRODUCTS][BATCHES_SEEN];
    int shifts[PRODUCTS][BATCHES_SEEN], count[PRODUCTS], barred[PRODUCTS];
};

static void read_record(const struct world *w, int day, struct record *r)
{
    *r = (struct record){.count = {0}};
    for (int k = 0; k < PRODUCTS; k++) {
        double ratios[BATCHES_SEEN], ones[BATCHES_SEEN];
        for (int s = day; s >= 0 && r->count[k] < BATCHES_SEEN; s--) {
            if (s + grow_days[k] + w->late_days[k][s] > day) continue;
            int n = r->count[k]++;
            ratios[n] = w->ratio[k][s];
            r->batches[k][n] = (struct yield_batch){w->lot[k][s], w->ratio[k][s]};
            ones[n] = 1;
            r->shifts[k][n] = w->late_days[k][s];
            r->barred[k] += w->barred[k][s];
        }
        r->yields[k] = yield_history_of(ratios, ones, r->count[k]);
    }
}

static void fill_running(const struct world *w, const struct house *h, int day, struct evening *e)
{
    for (int c = 0; c < CHAMBERS; c++) {
        const struct batch *b = &h->batches[c];
        if (!b->runs) continue;
        int planned = b->start_day + grow_days[b->crop];
        /* warmth shows two days before whether it will be late, the laboratory answers on the
         * fourth */
        int ready = day >= planned - 2 ? batch_harvest_day(w, b) : planned;
        bool barred = day >= b->start_day + 4 && w->barred[b->crop][b->start_day];
        e->known[e->p.running_count] =
            (struct tonight_known){day >= planned - 2, day >= b->start_day + 4};
        double kg = b->seed_kg * e->ways[b->crop].packed_kg_per_seed_kg;
        e->running[e->p.running_count++] =
            (struct plan_running){.chamber = c,
                                  .crop = b->crop,
                                  .harvest_day = ready > day ? ready - day : 1,
                                  .packed_kg = barred ? 0 : kg,
                                  .markets = 1,
                                  .ready_day = e->ready_day};
    }
}

static void fill_house(const struct world *w, const struct house *h, int day,
                       const double yield[PRODUCTS], struct evening *e)
{
    for (int g = 0; g < GROUPS; g++)
        e->groups[g] = (struct plan_group){
            .code = "group", .remaining_days = group_remaining[g], .priority = group_priority[g]};
    e->fill = (struct plan_fill){SEED_MIN_KG, SEED_MAX_KG};
    for (int k = 0; k < PRODUCTS; k++) {
        e->ways[k] =
            (struct plan_way){"steady", grow_days[k], STANDARD_KG_PER_KG * yield[k], NULL, 0, 0};
        e->crops[k] = (struct plan_crop){.code = "crop",
                                         .seed_item = k,
                                         .ways = &e->ways[k],
                                         .way_count = 1,
                                         .fills = &e->fill,
                                         .bed_kg_per_packed_kg = 1.2,
                                         .start_cost = START_COST,
                                         .waste_cost_per_kg = WASTE_PER_KG,
                                         .hold_cost_per_kg_day = HOLD_PER_KG_DAY};
        e->products[k] = (struct plan_product){"pack", k, NET_KG, LIFE_DAYS, 0, NULL, 0};
        e->seed[k] = (struct plan_seed_lot){"lot", k, 1e6, 0, PLAN_NEVER, 1, 1, SEED_PRICE, 0};
        e->seed_items[k] = "seed";
    }
    for (int d = 0; d < AHEAD_DAYS; d++)
        e->days[d] =
            (struct plan_day){INFINITY, INFINITY, INFINITY, INFINITY, INFINITY, INT_MAX, INT_MAX};
    e->being_cleaned = (struct plan_outage){0, 0};
    for (int c = 0; c < CHAMBERS; c++)
        e->chambers[c] = (struct plan_chamber){
            .code = "radicle", .outages = &e->being_cleaned, .outage_count = h->free_from[c] > day};
    fill_running(w, h, day, e);
    for (int i = 0; i < h->stock_count; i++)
        e->stock[e->p.stock_count++] = (struct plan_stock){NULL,           h->stock[i].crop,
                                                           PLAN_NONE,      h->stock[i].day - day,
                                                           h->stock[i].kg, 1,
                                                           e->ready_day,   NULL,
                                                           NULL,           NULL};
}

static void fill_problem(const struct world *w, const struct house *h, int day,
                         const double yield[PRODUCTS], struct evening *e)
{
    e->p = (struct plan_problem){.first_day = day,
                                 .day_count = AHEAD_DAYS,
                                 .cleaning_days = 1,
                                 .soak_hour = 20,
                                 .dispatch_hour = 5,
                                 .seed_items = e->seed_items,
                                 .markets = &e->market,
                                 .groups = e->groups,
                                 .crops = e->crops,
                                 .products = e->products,
                                 .classes = &e->class_,
                                 .chambers = e->chambers,
                                 .running = e->running,
                                 .stock = e->stock,
                                 .seed_lots = e->seed,
                                 .days = e->days,
                                 .seed_item_count = PRODUCTS,
                                 .market_count = 1,
                                 .group_count = GROUPS,
                                 .crop_count = PRODUCTS,
                                 .product_count = PRODUCTS,
                                 .class_count = 1,
                                 .chamber_count = CHAMBERS,
                                 .seed_lot_count = PRODUCTS};
    e->market = (struct plan_market){.code = "home"};
    e->class_ = (struct plan_class){"chambers"};
    memset(e->ready_day, 0, sizeof e->ready_day);
    fill_house(w, h, day, yield, e);
}

/* demand */

/* Our own: orders so far and what plan/demand adds to them. Days count from tomorrow there. */
static void our_lines(struct planner *x, int day, struct plan_problem *p, double *shared_part)
{
    struct arena *a = &x->arena;
    struct demand_past *past = ARENA_ARRAY(a, struct demand_past, SERIES * DAYS * LEADS);
    struct demand_order *orders = ARENA_ARRAY(a, struct demand_order, SERIES * AHEAD_DAYS);
    struct demand_holiday *holidays = ARENA_ARRAY(a, struct demand_holiday, DAYS);
    struct demand_input in = {.history_from = 0,
                              .history_to = day,
                              .past = past,
                              .orders = orders,
                              .holidays = holidays,
                              .first_day = day + 1,
                              .day_count = AHEAD_DAYS - 1,
                              .product_count = PRODUCTS,
                              .group_count = GROUPS};
    for (int t = 0; t < day + AHEAD_DAYS; t++)
        if (x->w->factor[t] != 1)
            holidays[in.holiday_count++] = (struct demand_holiday){t, PLAN_NONE, x->w->factor[t]};
    for (int s = 0; s < SERIES; s++) {
        for (int t = 0; t <= day; t++)
            for (int l = 0; l < LEADS; l++) {
                int64_t earlier = l + 1 < LEADS ? x->w->booked[s][t][l + 1] : 0;
                int64_t pieces = x->w->booked[s][t][l] - earlier;
                if (pieces > 0)
                    past[in.past_count++] =
                        (struct demand_past){s / GROUPS, s % GROUPS, t, pieces, l};
            }
        for (int d = 1; d < AHEAD_DAYS; d++)
            orders[in.order_count++] = (struct demand_order){
                "order", s / GROUPS, s % GROUPS, day + d, x->w->booked[s][day + d][d], day, 0};
    }
    struct demand out;
    struct result r = demand_make(a, &in, &out);
    CHECK(r.code == CODE_OK);
    for (int i = 0; i < out.line_count; i++)
        out.lines[i].day++;
    p->lines = out.lines;
    p->line_count = out.line_count;
    *shared_part = out.shared_part;
}

static double weekday_mean(const struct world *w, int series, int day, int of_day, int most)
{
    double sum = 0;
    int count = 0;
    for (int t = of_day - 7; t >= 0 && count < most; t -= 7) {
        if (t > day) continue;
        sum += (double)w->booked[series][t][0];
        count++;
    }
    return count > 0 ? sum / count : 0;
}

/* Orders so far, and the mean of same weekdays with its buffer less them; the rule looks at no
 * orders. */
static void plain_lines(struct planner *x, int day, struct plan_problem *p)
{
    struct plan_line *lines = ARENA_ARRAY(&x->arena, struct plan_line, SERIES * AHEAD_DAYS * 2);
    for (int s = 0; s < SERIES; s++)
        for (int d = 1; d < AHEAD_DAYS; d++) {
            int most = x->policy == POLICY_AVERAGES ? DAYS : 4;
            double mean = weekday_mean(x->w, s, day, day + d, most);
            int64_t booked = x->policy == POLICY_RULE ? 0 : x->w->booked[s][day + d][d];
            int64_t more = llround(mean * (1 + x->buffer[s / GROUPS])) - booked;
            struct plan_line line = {.key = "order",
                                     .product = s / GROUPS,
                                     .group = s % GROUPS,
                                     .day = d,
                                     .pieces = booked};
            lines[p->line_count++] = line;
            if (more <= 0) continue;
            line.key = NULL;
            line.pieces = more;
            lines[p->line_count++] = line;
        }
    p->lines = lines;
}

static void count_misses(struct planner *x, int day, const struct plan_problem *p)
{
    double expected[SERIES][AHEAD_DAYS] = {{0}};
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        expected[l->product * GROUPS + l->group][l->day] += (double)l->pieces;
    }
    for (int s = 0; s < SERIES; s++)
        for (int d = 1; d < AHEAD_DAYS; d++) {
            double real = (double)x->w->booked[s][day + d][0];
            x->misses->wanted[d] += real;
            x->misses->missed[d] += fabs(expected[s][d] - real);
            x->misses->over[d] += expected[s][d] - real;
        }
}

/* the evening */

static void start_one(struct planner *x, struct house *h, const struct course_start *s)
{
    house_start(h, s->chamber, s->crop, s->day, s->seed_kg);
    if (x->course && x->course->count < STARTS_MAX) x->course->starts[x->course->count++] = *s;
}

static void start_today(struct planner *x, struct house *h, int day, const struct plan_problem *p)
{
    struct arena *a = &x->arena;
    struct plan_placed *starts;
    struct result r = plan_problem_check(p);
    CHECK(r.code == CODE_OK);
    int count = plan_place(a, plan_construct(a, plan_frame_make(a, p)), &starts);
    for (int i = 0; i < count && starts[i].day == 0; i++) {
        const struct plan_placed *s = &starts[i];
        start_one(x, h, &(struct course_start){day, s->chamber, s->crop, s->seed_kg});
    }
}

/* The same, rehearsed from the house as it stands. */
static void start_rehearsed(struct planner *x, struct house *h, int day, const struct evening *e,
                            const struct chance_model *model, const struct safety *safety)
{
    struct arena *a = &x->arena;
    const struct plan_problem *q = safety_problem(a, &e->p, model, safety);
    struct tonight_ask ask = {.p = &e->p,
                              .model = model,
                              .safety = safety,
                              .running = e->known,
                              .future_count = TONIGHT_FUTURES};
    struct plan_placed *planned;
    struct tonight tonight;
    ask.planned_count = plan_place(a, plan_construct(a, plan_frame_make(a, q)), &planned);
    ask.planned = planned;
    tonight_choose(a, &ask, &tonight);
    for (int i = 0; i < tonight.start_count; i++) {
        const struct plan_taken *s = &tonight.starts[i];
        start_one(x, h, &(struct course_start){day, s->chamber, s->crop, s->seed_kg});
    }
}

/* What grows and what is soaked today gives as its seed lot did; kg by the mean of lots. */
static void tell_lots(struct planner *x, const struct house *h, int day, const struct record *r,
                      struct evening *e, struct chance_crop *crops)
{
    for (int k = 0; k < PRODUCTS; k++) {
        struct yield_lots lots = yield_lots_of(&x->arena, r->batches[k], r->count[k]);
        if (lots.odd_part <= 0) continue;
        for (int i = 0; i < e->p.running_count; i++) {
            const struct batch *b = &h->batches[e->running[i].chamber];
            if (b->crop == k)
                e->running[i].packed_kg *= yield_lot_ratio(&lots, x->w->lot[k][b->start_day],
                                                           &e->running[i].seed_relative);
        }
        double deviation, ratio = yield_lot_ratio(&lots, x->w->lot[k][day], &deviation);
        e->seed[k].yield_factor = ratio;
        crops[k].yield_mean = lots.mean;
        crops[k].yield_relative = sqrt(lots.within) / lots.mean;
        crops[k].mean_relative = deviation;
    }
}

static struct chance_crop *crops_of(struct arena *a, struct record *r)
{
    struct chance_crop *crops = ARENA_ARRAY(a, struct chance_crop, PRODUCTS);
    for (int k = 0; k < PRODUCTS; k++)
        crops[k] =
            (struct chance_crop){.yield_mean = r->yields[k].mean_ratio,
                                 .yield_relative = r->yields[k].relative_spread,
                                 .mean_relative = r->yields[k].relative_spread / sqrt(r->count[k]),
                                 .shift_days = r->shifts[k],
                                 .shift_count = r->count[k],
                                 .barred = CHANCE_BARRED_BEFORE + r->barred[k],
                                 .passed = CHANCE_PASSED_BEFORE + r->count[k] - r->barred[k]};
    return crops;
}

static void our_evening(struct planner *x, struct house *h, int day)
{
    const double standard[PRODUCTS] = {1, 1};
    double value[PRODUCTS] = {VALUE_PER_KG, VALUE_PER_KG};
    struct evening e = {0};
    struct record record;
    read_record(x->w, day, &record);
    struct chance_crop *crops = crops_of(&x->arena, &record);
    struct chance_model model = {crops, 0, MODEL_SEED, TRIAL_FUTURES};
    fill_problem(x->w, h, day, standard, &e);
    tell_lots(x, h, day, &record, &e, crops);
    our_lines(x, day, &e.p, &model.shared_part);
    demand_rank(e.groups, value, (struct plan_line *)e.p.lines, e.p.line_count);
    if (x->misses) count_misses(x, day, &e.p);
    if (x->chosen_on == 0 || day - x->chosen_on >= CHOOSE_EVERY) {
        struct safety_wish wish = {.trial_futures = TRIAL_FUTURES};
        struct safety chosen;
        struct result r = safety_levels(&x->arena, &e.p, &model, &wish, &chosen, NULL);
        CHECK(r.code == CODE_OK);
        memcpy(x->buffer, chosen.level, sizeof x->buffer);
        x->chosen_on = day;
    }
    struct safety safety = {x->buffer};
    start_rehearsed(x, h, day, &e, &model, &safety);
}

static void plain_evening(struct planner *x, struct house *h, int day)
{
    double value[PRODUCTS] = {VALUE_PER_KG, VALUE_PER_KG};
    struct evening e = {0};
    struct record record;
    read_record(x->w, day, &record);
    const double mean[PRODUCTS] = {record.yields[0].mean_ratio, record.yields[1].mean_ratio};
    fill_problem(x->w, h, day, mean, &e);
    if (x->misses) {
        const double buffer[PRODUCTS] = {x->buffer[0], x->buffer[1]};
        memset(x->buffer, 0, sizeof x->buffer);
        plain_lines(x, day, &e.p);
        count_misses(x, day, &e.p);
        memcpy(x->buffer, buffer, sizeof buffer);
        e.p.line_count = 0;
    }
    plain_lines(x, day, &e.p);
    demand_rank(e.groups, value, (struct plan_line *)e.p.lines, e.p.line_count);
    start_today(x, h, day, &e.p);
}

void policy_evening(struct planner *x, struct house *h, int day)
{
    if (x->policy == POLICY_OURS)
        our_evening(x, h, day);
    else
        plain_evening(x, h, day);
    arena_clear(&x->arena);
}

void policy_play(struct planner *x, struct house *h, int from, int counted, int to,
                 struct score *score)
{
    struct score before = {0};
    for (int day = from; day < to; day++) {
        house_day(x->w, h, day, day < counted ? &before : score);
        policy_evening(x, h, day);
    }
    house_close(h, score);
}

/* The last six weeks before the test, after two to fill the house. */
static double history_cost(struct planner *rule)
{
    struct house h = {0};
    struct score score = {0};
    policy_play(rule, &h, TEST_FROM - 56, TEST_FROM - 42, TEST_FROM, &score);
    return score.cost;
}

/* Tries a level for the products of the mask; keeps it where it costs less. */
static void try_level(struct planner *rule, int products, double level, double best[PRODUCTS],
                      double *best_cost)
{
    memcpy(rule->buffer, best, PRODUCTS * sizeof *best);
    for (int k = 0; k < PRODUCTS; k++)
        if (products & 1 << k) rule->buffer[k] = level;
    double cost = history_cost(rule);
    if (cost >= *best_cost) return;
    *best_cost = cost;
    memcpy(best, rule->buffer, PRODUCTS * sizeof *best);
}

void policy_tune(struct planner *rule)
{
    static const double levels[] = {0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4};
    double best_cost = INFINITY, best[PRODUCTS] = {0};
    for (size_t i = 0; i < sizeof levels / sizeof levels[0]; i++)
        try_level(rule, (1 << PRODUCTS) - 1, levels[i], best, &best_cost);
    for (int k = 0; k < PRODUCTS; k++) {
        double from = best[k];
        try_level(rule, 1 << k, fmax(0, from - 0.1), best, &best_cost);
        try_level(rule, 1 << k, from + 0.1, best, &best_cost);
    }
    memcpy(rule->buffer, best, sizeof best);
}

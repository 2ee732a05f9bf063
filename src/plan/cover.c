#include "plan/cover.h"

#include <math.h>
#include <string.h>

#include "plan/draw.h"

/* Days played before counting, and days counted. */
enum { WARM_DAYS = 28, COUNTED_DAYS = 42, PLAYED_DAYS = WARM_DAYS + COUNTED_DAYS };
enum { OF_NEWS = 50, OF_DAY_NEWS, OF_BATCH, OF_CROP };
/* A start is asked for when this much is missing. */
static const double NOTHING_KG = 1e-6;

double cover_deviation_kg(const struct chance_crop *crop, const double *spread_kg, int day_count,
                          const double *batch_kg, int batch_count)
{
    double variance = 0, kg = 0;
    double barred = crop->barred > 0 ? crop->barred / (crop->barred + crop->passed) : 0;
    double of_batch = pow(crop->yield_relative, 2) * (1 - barred) + barred * (1 - barred);
    for (int i = 0; i < day_count; i++)
        variance += spread_kg[i] * spread_kg[i];
    for (int i = 0; i < batch_count; i++) {
        variance += of_batch * batch_kg[i] * batch_kg[i];
        kg += batch_kg[i];
    }
    return sqrt(variance + pow(crop->mean_relative * kg, 2));
}

/* What happens in one future, whatever is planned. */
struct future {
    double *news;  /* evening * (ahead + 1) + days ahead: kg by which the day's orders are moved */
    double *order; /* by day */
    double *ratio; /* by day of soaking */
    int *late;
};

struct rehearsal {
    const struct cover_case *c;
    struct future now;
    double mean_of_day[PLAYED_DAYS + COVER_AHEAD_MAX + 1];
    double *expected; /* by day, as known this evening */
    double *made;     /* by day of harvest: kg left */
    double *soaked;   /* by day of soaking: kg by the mean yield, not yet harvested */
    double *coming;   /* the same by expected day of harvest, not yet harvested */
    double overdue_kg;
    double *plan;               /* by day of harvest: what is left of goods as expected */
    double soon_kg[COVER_WEEK]; /* expected from that weekday on, as long as goods keep: a chamber
                                   is filled for the days after as well */
    int reach_days;             /* from soaking to the latest harvest */
    double deviation_kg;
    double cost, wanted, met;
};

/* A harvest comes after soaking, and within the days looked at. */
static int kept_within(const struct cover_case *c, int shift)
{
    if (shift < 1 - c->grow_days) return 1 - c->grow_days;
    return shift > COVER_AHEAD_MAX - c->grow_days ? COVER_AHEAD_MAX - c->grow_days : shift;
}

static void draw_future(const struct rehearsal *r, uint32_t number)
{
    const struct cover_case *c = r->c;
    const struct future *x = &r->now;
    struct draw d;
    int days = PLAYED_DAYS + c->grow_days + 1, ahead = c->grow_days;
    memcpy(x->order, r->mean_of_day, (size_t)days * sizeof *x->order);
    for (int t = 0; t < days; t++) {
        draw_begin(&d, c->seed, number, draw_thing(OF_NEWS, t, 0, 0));
        double all = draw_normal(&d);
        for (int l = 0; l < ahead; l++) {
            if (t + l >= days) continue;
            double part = sqrt(fmax(0, pow(c->relative[l + 1], 2) - pow(c->relative[l], 2)));
            double own = draw_normal(&d);
            double kg = r->mean_of_day[t + l] * part *
                        (sqrt(c->shared_part) * all + sqrt(1 - c->shared_part) * own);
            x->news[t * (ahead + 1) + l] = kg;
            x->order[t + l] += kg;
        }
    }
    draw_begin(&d, c->seed, number, draw_thing(OF_CROP, 0, 0, 0));
    double mean = draw_lognormal(&d, c->crop->mean_relative);
    double barred = c->crop->barred > 0 ? draw_beta(&d, c->crop->barred, c->crop->passed) : 0;
    for (int t = 0; t < PLAYED_DAYS; t++) {
        draw_begin(&d, c->seed, number, draw_thing(OF_BATCH, t, 0, 0));
        double own = draw_lognormal(&d, c->crop->yield_relative);
        x->ratio[t] = draw_unit(&d) < barred ? 0 : mean * own;
        int shift = c->crop->shift_count > 0
                        ? c->crop->shift_days[(int)(draw_unit(&d) * c->crop->shift_count)]
                        : 0;
        x->late[t] = kept_within(c, shift);
    }
}

/* Oldest first; what is too old goes. */
static void serve_day(struct rehearsal *r, int day, bool counted)
{
    const struct cover_case *c = r->c;
    double want = fmax(0, r->now.order[day]), left = want, cost = 0;
    for (int h = day > c->keep_days ? day - c->keep_days : 0; h <= day && left > NOTHING_KG; h++) {
        double kg = fmin(left, r->made[h]);
        r->made[h] -= kg;
        left -= kg;
        cost += kg * (day - h) * c->hold_cost_per_kg_day;
    }
    if (day >= c->keep_days) {
        cost += r->made[day - c->keep_days] * c->waste_cost_per_kg;
        r->made[day - c->keep_days] = 0;
    }
    if (!counted) return;
    r->cost += cost + left * c->short_cost_per_kg;
    r->wanted += want;
    r->met += want - left;
}

/* What is missing on the day a start of this evening is harvested, when all goes as expected until
 * then: of that day's orders, and of the cover behind them. */
static double missing_kg(struct rehearsal *r, int day, double cover_kg)
{
    const struct cover_case *c = r->c;
    int last = day + c->grow_days, oldest = day > c->keep_days ? day - c->keep_days : 0;
    double left = 0;
    for (int h = oldest; h <= last; h++)
        r->plan[h] = h <= day ? r->made[h] : r->coming[h];
    r->plan[day + 1] += r->overdue_kg;
    for (int d = day + 1; d <= last; d++) {
        left = fmax(0, r->expected[d]) + (d == last ? cover_kg : 0);
        for (int h = d > c->keep_days ? d - c->keep_days : 0; h <= d && left > NOTHING_KG; h++) {
            double kg = fmin(left, r->plan[h]);
            r->plan[h] -= kg;
            left -= kg;
        }
    }
    return left;
}

static void start_evening(struct rehearsal *r, int day, double level, bool counted)
{
    const struct cover_case *c = r->c;
    int harvest_day = day + c->grow_days;
    double missing = missing_kg(r, day, level * r->deviation_kg);
    while (missing > NOTHING_KG) {
        double kg = fmin(c->chamber_max_kg, fmax(c->chamber_min_kg, missing));
        kg = fmax(kg, fmin(c->chamber_max_kg, r->soon_kg[harvest_day % COVER_WEEK]));
        missing -= kg;
        r->soaked[day] += kg;
        r->coming[harvest_day] += kg;
        if (counted) r->cost += c->start_cost + kg * c->made_cost_per_kg;
    }
}

/* What was soaked grow_days and its lateness ago comes out. */
static void harvest(struct rehearsal *r, int day)
{
    const struct cover_case *c = r->c;
    r->overdue_kg += r->coming[day];
    r->coming[day] = 0;
    for (int s = day > r->reach_days ? day - r->reach_days : 0; s < day; s++) {
        if (r->soaked[s] <= 0 || s + c->grow_days + r->now.late[s] != day) continue;
        r->made[day] += r->soaked[s] * r->now.ratio[s];
        if (s + c->grow_days > day)
            r->coming[s + c->grow_days] -= r->soaked[s];
        else
            r->overdue_kg -= r->soaked[s];
        r->soaked[s] = 0;
    }
}

static void play(struct rehearsal *r, double level)
{
    const struct cover_case *c = r->c;
    int days = PLAYED_DAYS + c->grow_days + 1, ahead = c->grow_days;
    size_t room = PLAYED_DAYS + 2 * COVER_AHEAD_MAX + 2;
    memset(r->made, 0, room * sizeof *r->made);
    memset(r->soaked, 0, room * sizeof *r->soaked);
    memset(r->coming, 0, room * sizeof *r->coming);
    r->overdue_kg = 0;
    memcpy(r->expected, r->mean_of_day, (size_t)days * sizeof *r->expected);
    for (int day = 0; day < PLAYED_DAYS; day++) {
        bool counted = day >= WARM_DAYS;
        for (int l = 0; l < ahead && day + l < days; l++)
            r->expected[day + l] += r->now.news[day * (ahead + 1) + l];
        harvest(r, day);
        serve_day(r, day, counted);
        start_evening(r, day, level, counted);
    }
}

static void prepare(struct arena *a, const struct cover_case *c, struct rehearsal *r)
{
    size_t room = PLAYED_DAYS + 2 * COVER_AHEAD_MAX + 2;
    *r = (struct rehearsal){.c = c};
    r->now.news = ARENA_ARRAY(a, double, room *(size_t)(c->grow_days + 1));
    r->now.order = ARENA_ARRAY(a, double, room);
    r->now.ratio = ARENA_ARRAY(a, double, room);
    r->now.late = ARENA_ARRAY(a, int, room);
    r->expected = ARENA_ARRAY(a, double, room);
    r->made = ARENA_ARRAY(a, double, room);
    r->soaked = ARENA_ARRAY(a, double, room);
    r->coming = ARENA_ARRAY(a, double, room);
    r->plan = ARENA_ARRAY(a, double, room);
    double mean = 0;
    for (int t = 0; t <= PLAYED_DAYS + COVER_AHEAD_MAX; t++)
        r->mean_of_day[t] = c->mean_kg[t % COVER_WEEK];
    for (int j = 0; j < COVER_WEEK; j++)
        mean += c->mean_kg[j] / COVER_WEEK;
    for (int j = 0; j < COVER_WEEK; j++)
        for (int d = 0; d <= c->keep_days; d++)
            r->soon_kg[j] += c->mean_kg[(j + d) % COVER_WEEK];
    double spread[COVER_AHEAD_MAX], batch[COVER_AHEAD_MAX];
    for (int l = 0; l < c->grow_days; l++) {
        spread[l] = c->relative[l + 1] * mean;
        batch[l] = mean;
    }
    for (int i = 0; i < c->crop->shift_count; i++) {
        int days = c->grow_days + kept_within(c, c->crop->shift_days[i]);
        if (days > r->reach_days) r->reach_days = days;
    }
    if (r->reach_days < c->grow_days) r->reach_days = c->grow_days;
    r->deviation_kg = cover_deviation_kg(c->crop, spread, c->grow_days, batch, c->grow_days);
}

void cover_rehearse(struct arena *a, const struct cover_case *c, const double *levels,
                    int level_count, struct cover_score *out)
{
    struct rehearsal r;
    prepare(a, c, &r);
    double *sums = ARENA_ARRAY(a, double, (size_t)level_count * 3);
    for (int f = 0; f < c->future_count; f++) {
        draw_future(&r, (uint32_t)f);
        for (int i = 0; i < level_count; i++) {
            r.cost = r.wanted = r.met = 0;
            play(&r, levels[i]);
            sums[i * 3] += r.cost;
            sums[i * 3 + 1] += r.wanted;
            sums[i * 3 + 2] += r.met;
        }
    }
    for (int i = 0; i < level_count; i++) {
        double wanted = fmax(NOTHING_KG, sums[i * 3 + 1]);
        out[i] = (struct cover_score){sums[i * 3] / wanted, sums[i * 3 + 2] / wanted};
    }
}

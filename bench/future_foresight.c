/* What could have been done by somebody who knew everything. */
#include <math.h>
#include <string.h>

#include "base/random.h"
#include "future_policy.h"

/* Tries, and the cost by which a try may be worse at the beginning: little by little less, 0 for
 * the last quarter. */
enum { TRIES = 12000 };
static const double WORSE = 40;

/* Cost of a course, INFINITY when a chamber isn't free. Starts stand by day. */
static double course_cost(const struct world *w, const struct house *at_start,
                          const struct course *c, struct score *score)
{
    struct house h = *at_start;
    *score = (struct score){0};
    int next = 0;
    for (int day = TEST_FROM; day < TEST_TO; day++) {
        house_day(w, &h, day, score);
        for (; next < c->count && c->starts[next].day == day; next++) {
            const struct course_start *s = &c->starts[next];
            int chamber = 0;
            while (chamber < CHAMBERS && (h.batches[chamber].runs || h.free_from[chamber] > day))
                chamber++;
            if (chamber == CHAMBERS) return INFINITY;
            house_start(&h, chamber, s->crop, day, s->seed_kg);
        }
    }
    house_close(&h, score);
    return score->cost;
}

static void insert(struct course *c, struct course_start s)
{
    int at = c->count++;
    for (; at > 0 && c->starts[at - 1].day > s.day; at--)
        c->starts[at] = c->starts[at - 1];
    c->starts[at] = s;
}

static void take_out(struct course *c, int index)
{
    memmove(&c->starts[index], &c->starts[index + 1],
            (size_t)(c->count - index - 1) * sizeof *c->starts);
    c->count--;
}

static struct course_start any_start(struct random *r)
{
    return (struct course_start){TEST_FROM + (int)random_below(r, TEST_DAYS), 0,
                                 (int)random_below(r, PRODUCTS),
                                 SEED_MIN_KG + (SEED_MAX_KG - SEED_MIN_KG) * random_unit(r)};
}

static double within(double kg)
{
    return fmin(SEED_MAX_KG, fmax(SEED_MIN_KG, kg));
}

/* One change: a start more or less, another day, another crop, more or less seed; or two at once.
 */
static void change(struct course *c, struct random *r)
{
    uint64_t kind = random_below(r, 6);
    if ((kind == 0 || c->count == 0) && c->count < STARTS_MAX) {
        insert(c, any_start(r));
        return;
    }
    int at = (int)random_below(r, (uint64_t)c->count);
    struct course_start s = c->starts[at];
    take_out(c, at);
    if (kind == 1) return;
    if (kind == 2) s.day += random_below(r, 2) ? 1 : -1;
    if (kind == 3) s.seed_kg = within(s.seed_kg + 20 * (random_unit(r) - 0.5));
    if (kind == 4) s.seed_kg = random_below(r, 2) ? SEED_MIN_KG : SEED_MAX_KG;
    if (kind == 5) s = any_start(r);
    if (s.day < TEST_FROM) s.day = TEST_FROM;
    if (s.day >= TEST_TO) s.day = TEST_TO - 1;
    insert(c, s);
}

void foresight(const struct world *w, const struct house *at_start, const struct course *from,
               uint32_t future, struct score *score)
{
    struct course now = *from, trial;
    struct random r;
    struct score trial_score;
    random_seed(&r, future);
    double cost = course_cost(w, at_start, &now, score), best = cost;
    for (int i = 0; i < TRIES; i++) {
        double worse = fmax(0, WORSE * (1 - i / (0.75 * TRIES)));
        trial = now;
        change(&trial, &r);
        if (random_below(&r, 3) == 0) change(&trial, &r);
        double found = course_cost(w, at_start, &trial, &trial_score);
        if (found > cost - worse * log(1 - random_unit(&r))) continue;
        now = trial;
        cost = found;
        if (found >= best) continue;
        best = found;
        *score = trial_score;
    }
}

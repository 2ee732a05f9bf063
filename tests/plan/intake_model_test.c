#include "plan/intake_model.h"

#include "base/random.h"
#include "intake_support.h"
#include "other_solvers.h"
#include "plan/solver.h"
#include "support.h"

/* Everything that can be done with whole kilograms, tried: a house in which fruit and packs live
 * two days, so that what stands in the evening is of one birth each. */
struct tried {
    const struct small *s;
    double best[4][5][5]; /* day, fruit and packs of the day before */
    bool known[4][5][5];
};

static double from_day(struct tried *t, int day, int fruit, int packs);

/* The evening: what to keep of today's fruit and packs; yesterday's must go. */
static double evening(struct tried *t, int day, int fruit, int packs, int old)
{
    const struct small *s = t->s;
    double best = INFINITY;
    for (int f = 0; f <= fruit && f <= 4; f++)
        for (int k = 0; k <= packs && k <= 4; k++) {
            if (f + k > s->limit[day]) continue;
            if (s->store.tank_size > 0 &&
                (int)ceil(f / s->store.tank_size) + (int)ceil(k / s->store.tank_size) >
                    s->store.tank_count)
                continue;
            double cost = (fruit - f) * s->goods[0].out_cost_per_kg +
                          (packs - k) * s->goods[1].out_cost_per_kg +
                          f * s->goods[0].hold_cost_per_kg_day +
                          k * s->goods[1].hold_cost_per_kg_day + from_day(t, day + 1, f, k);
            best = fmin(best, cost);
        }
    return best + old * s->goods[1].out_cost_per_kg;
}

/* fruit and packs: of today and of yesterday, after packing. */
static double sell(struct tried *t, int day, int fruit, int old_fruit, int packs, int old_packs)
{
    const struct small *s = t->s;
    int want = (int)s->lines[day].pieces;
    double best = INFINITY;
    for (int x = 0; x <= packs && x <= want; x++)
        for (int y = 0; y <= old_packs && x + y <= want; y++) {
            if (y > 0 && s->group.remaining_days > 0) continue;
            double cost = (want - x - y) * s->lines[day].shortage_cost_per_kg +
                          evening(t, day, fruit, packs - x, old_packs - y);
            best = fmin(best, cost);
        }
    return best + old_fruit * s->goods[0].out_cost_per_kg;
}

static double from_day(struct tried *t, int day, int old_fruit, int old_packs)
{
    const struct small *s = t->s;
    if (day == s->p.day_count) return 0;
    if (t->known[day][old_fruit][old_packs]) return t->best[day][old_fruit][old_packs];
    int come = (int)s->deliveries[day].kg,
        offered = day >= s->offer.lead_days ? (int)s->offer.kg_a_day : 0;
    double best = INFINITY;
    for (int turned = 0; turned <= come; turned++)
        for (int bought = 0; bought <= offered; bought++) {
            int fruit = come - turned + bought;
            for (int pack = 0; pack <= fruit; pack++)
                for (int pack_old = 0; pack_old <= old_fruit; pack_old++) {
                    if (pack + pack_old > s->hours[day]) continue;
                    double cost = turned * s->deliveries[day].turn_cost_per_kg +
                                  bought * s->offer.price_per_kg +
                                  (pack + pack_old) * s->use.cost_per_kg +
                                  sell(t, day, fruit - pack, old_fruit - pack_old, pack,
                                       old_packs + pack_old);
                    best = fmin(best, cost);
                }
        }
    t->known[day][old_fruit][old_packs] = true;
    return t->best[day][old_fruit][old_packs] = best;
}

static void make_small(struct small *s, uint64_t seed, bool tanks)
{
    struct random r;
    random_seed(&r, seed);
    small_init(s, 4);
    s->goods[0].keep_days = s->goods[1].keep_days = 1;
    s->goods[0].hold_cost_per_kg_day = 0.01 * (double)random_below(&r, 5);
    s->goods[1].hold_cost_per_kg_day = 0.02;
    s->use.cost_per_kg = 0.1;
    s->group.remaining_days = (int)random_below(&r, 2);
    s->offer = (struct intake_offer){.good = 0,
                                     .lead_days = (int)random_below(&r, 3),
                                     .kg_a_day = (double)random_below(&r, 3),
                                     .kg_in_all = INFINITY,
                                     .price_per_kg = 0.5 + 0.1 * (double)random_below(&r, 8)};
    s->p.offer_count = 1;
    s->p.delivery_count = s->p.line_count = 4;
    for (int d = 0; d < 4; d++) {
        s->limit[d] = 1 + (double)random_below(&r, 5);
        s->hours[d] = 1 + (double)random_below(&r, 4);
        s->deliveries[d] = (struct intake_delivery){
            .good = 0, .day = d, .kg = (double)random_below(&r, 4), .turn_cost_per_kg = 0.15};
        s->lines[d] = (struct plan_line){.key = "1",
                                         .day = d,
                                         .pieces = (int64_t)random_below(&r, 5),
                                         .shortage_cost_per_kg = 1 + (double)random_below(&r, 3)};
    }
    if (!tanks) return;
    s->store.tank_size = 2;
    s->store.tank_count = 1 + (int)random_below(&r, 2);
}

static double best_of(struct arena *a, const struct intake_problem *p)
{
    struct intake_model *m = intake_model_make(a, intake_frame_make(a, p), true);
    struct solver_options o = {.path = SOLVE_PATH, .seconds = 20};
    struct solver_answer answer;
    struct intake_plan *plan;
    assert_int_equal(solver_run(a, &o, lp_text(a, m->lp), m->lp->column_count, &answer).code,
                     CODE_OK);
    assert_int_equal(answer.status, SOLVER_SOLVED);
    assert_int_equal(intake_model_read(a, m, answer.values, &plan).code, CODE_OK);
    intake_feasible(p, m->f, plan);
    double cost = intake_cost(a, plan);
    assert_close(cost, lp_objective(m->lp, answer.values), 1e-7);
    return cost;
}

/* Parts of kilograms can only do better; these problems are flows, which rarely gain by parts. */
static void the_program_finds_what_trying_everything_finds(void **state)
{
    int same = 0, cases = 0, short_of = 0;
    for (int tanks = 0; tanks < 2; tanks++)
        for (uint64_t seed = 1; seed <= 20; seed++) {
            struct small s;
            make_small(&s, seed, tanks == 1);
            static struct tried t;
            memset(&t, 0, sizeof t);
            t.s = &s;
            double tried = from_day(&t, 0, 0, 0), found = best_of(*state, &s.p);
            assert_true(found <= tried + 1e-6);
            same += found >= tried - 1e-6;
            short_of += tried > 2;
            cases++;
            arena_clear(*state);
        }
    assert_true(same >= cases - 2);
    assert_true(short_of > cases / 2);
}

/* The text means the same to other solvers. */
static void other_solvers_find_the_same(void **state)
{
    for (uint64_t seed = 1; seed <= 2; seed++) {
        static struct hall h;
        hall_init(&h, seed);
        struct intake_model *m = intake_model_make(*state, intake_frame_make(*state, &h.p), true);
        assert_true(m->is_exact);
        double found = best_of(*state, &h.p);
        assert_close(highs_cost(*state, lp_text(*state, m->lp)), found, 1e-6);
        arena_clear(*state);
    }
}

static void tanks_make_it_whole(void **state)
{
    static struct hall h;
    hall_init(&h, 1);
    h.stores[HALL_TANKS].tank_size = 500;
    h.stores[HALL_TANKS].tank_count = 3;
    struct intake_frame *f = intake_frame_make(*state, &h.p);
    struct intake_model *whole = intake_model_make(*state, f, true),
                        *relaxed = intake_model_make(*state, f, false);
    assert_true(whole->is_exact);
    assert_false(relaxed->is_exact);
    assert_int_equal(whole->lp->column_count, relaxed->lp->column_count);
    int integers = 0;
    for (int c = 0; c < whole->lp->column_count; c++) {
        integers += whole->lp->columns[c].is_integer;
        assert_false(relaxed->lp->columns[c].is_integer);
    }
    assert_true(integers > 0);
}

/* Nothing done at all stands for nothing: what comes must be somewhere. */
static void values_that_break_a_row_are_refused(void **state)
{
    static struct hall h;
    hall_init(&h, 1);
    struct intake_model *m = intake_model_make(*state, intake_frame_make(*state, &h.p), true);
    double *values = ARENA_ARRAY(*state, double, (size_t)m->lp->column_count);
    struct intake_plan *plan;
    struct result r = intake_model_read(*state, m, values, &plan);
    assert_int_equal(r.code, CODE_SOLVER_GARBLED);
    assert_null(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(the_program_finds_what_trying_everything_finds),
        EACH(other_solvers_find_the_same),
        EACH(tanks_make_it_whole),
        EACH(values_that_break_a_row_are_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "intake_support.h"
#include "plan/intake_construct.h"
#include "support.h"

static void made(struct arena *a, const struct intake_problem *p,
                 const struct improve_options *options, struct intake_outcome *x)
{
    struct result r = intake_make(a, p, options, x);
    if (r.code != CODE_OK) fail_msg("%s", result_sentence(a, &r));
    intake_feasible(p, x->frame, x->plan);
    assert_close(intake_unexplained(p, x->frame, x->plan), 0, 1e-4);
    assert_close(intake_cost(a, x->plan), x->cost, 1e-9);
}

static void made_up_halls_are_planned_to_the_bound(void **state)
{
    double first = 0, best = 0;
    for (uint64_t seed = 11; seed <= 14; seed++) {
        static struct hall h;
        hall_init(&h, seed);
        struct improve_options options = solving(60, 0);
        struct intake_outcome at_once, x;
        made(*state, &h.p, NULL, &at_once);
        assert_false(at_once.has_bound);
        assert_false(at_once.is_improved);
        made(*state, &h.p, &options, &x);
        assert_int_equal(x.solver.code, CODE_OK);
        assert_true(x.has_bound && x.is_improved);
        assert_true(x.cost < at_once.cost);
        assert_true(x.bound <= x.cost);
        assert_close(x.gap, 0, 1e-6); /* no tanks: the relaxed program is the program */
        first += at_once.cost;
        best += x.cost;
        int shorts = 0;
        for (int i = 0; i < h.p.line_count; i++)
            shorts += x.met_pieces[i] < h.p.lines[i].pieces;
        assert_int_equal(x.short_count, shorts);
        arena_clear(*state);
    }
    assert_true(best < 0.95 * first);
}

static void whole_tanks_are_kept(void **state)
{
    for (uint64_t seed = 21; seed <= 22; seed++) {
        static struct hall h;
        hall_init(&h, seed);
        h.stores[HALL_TANKS].tank_size = 400;
        h.stores[HALL_TANKS].tank_count = 3;
        h.stores[HALL_TANKS].cleaned_next_day = true;
        struct improve_options options = solving(20, 0.02);
        struct intake_outcome at_once, x;
        made(*state, &h.p, NULL, &at_once);
        made(*state, &h.p, &options, &x);
        assert_true(x.has_bound);
        assert_true(x.cost <= at_once.cost);
        assert_true(x.bound <= x.cost + 1e-6);
        for (int d = 0; d < HALL_DAYS; d++)
            assert_true(x.tanks[HALL_TANKS * HALL_DAYS + d] <= 3);
        arena_clear(*state);
    }
}

static double cost_of(struct arena *a, const struct intake_problem *p)
{
    struct improve_options options = solving(60, 0);
    struct intake_outcome x;
    made(a, p, &options, &x);
    assert_int_equal(x.solver.code, CODE_OK);
    return x.cost;
}

static void tight_hall(struct hall *h)
{
    hall_init(h, 31);
    for (int d = 0; d < HALL_DAYS; d++) {
        h->limits[HALL_COLD][d] = 3000;
        h->limits[HALL_TANKS][d] = 150;
        h->hours[HALL_PACK][d] *= 0.6;
    }
}

/* More of anything never costs more; and in this hall more of something costs less. */
static void more_never_costs_more(void **state)
{
    static struct hall h;
    int cheaper = 0;
    tight_hall(&h);
    double cost = cost_of(*state, &h.p);
    for (int change = 0; change < 6; change++) {
        tight_hall(&h);
        for (int d = 0; d < HALL_DAYS; d++) {
            if (change == 0) h.limits[HALL_COLD][d] += 500;
            if (change == 1) h.limits[HALL_TANKS][d] += 500;
            if (change == 2) h.hours[HALL_PACK][d] += 1;
            if (change == 3) h.hours[HALL_PRESS][d] += 1;
        }
        if (change == 4) h.offers[0].kg_in_all += 1000;
        if (change == 5) h.goods[HALL_NORTH].keep_days += 2;
        double more = cost_of(*state, &h.p);
        assert_true(more <= cost + 1e-6 * fabs(cost));
        cheaper += more < cost - 1;
        arena_clear(*state);
    }
    assert_true(cheaper >= 2);
}

/* A grade split whose best is known: supply 4200, 2600, 2000 and 1200 kg of four classes; export
 * takes the first alone, home three, juice all. Value 6406.00, and what a kg more of each class is
 * worth: 0.44, 0.29, 0.14, 0.09 (computed here, by an exact simplex and checked by its dual:
 * 4200 * 0.44 + 2600 * 0.29 + 2000 * 0.14 + 1200 * 0.09 + 3600 * 0.66 + 4000 * 0.26 = 6406). */
static void a_split_with_a_known_best_is_found(void **state)
{
    static const double kg[] = {4200, 2600, 2000, 1200}, worth[] = {0.44, 0.29, 0.14, 0.09};
    static const struct {
        int good, product;
        double cost; /* what it brings less than the best of that product */
    } ways[] = {{0, 0, 0}, {0, 1, 0}, {1, 1, 0.15}, {2, 1, 0.30},
                {0, 2, 0}, {1, 2, 0}, {2, 2, 0},    {3, 2, 0.05}};
    struct intake_good goods[7];
    struct intake_lot lots[4];
    struct intake_use uses[8];
    struct intake_part parts[8];
    struct intake_product products[3];
    struct plan_line lines[3];
    struct plan_group group = {.code = "all", .priority = 1};
    for (int g = 0; g < 7; g++)
        goods[g] = (struct intake_good){
            .code = "good", .store = PLAN_NONE, .out_cost_per_kg = g < 4 ? 0.02 : 0};
    for (int i = 0; i < 4; i++)
        lots[i] = (struct intake_lot){"lot", i, 0, kg[i]};
    for (int i = 0; i < 8; i++) {
        parts[i] = (struct intake_part){4 + ways[i].product, 1};
        uses[i] = (struct intake_use){.code = "way",
                                      .good = ways[i].good,
                                      .parts = &parts[i],
                                      .part_count = 1,
                                      .cost_per_kg = ways[i].cost};
    }
    static const double value[] = {1.10, 0.70, 0.14}, want[] = {3600, 4000, 2500};
    double all = 0;
    for (int i = 0; i < 3; i++) {
        products[i] = (struct intake_product){"product", 4 + i, 1};
        lines[i] = (struct plan_line){
            .key = "1", .product = i, .pieces = (int64_t)want[i], .shortage_cost_per_kg = value[i]};
        all += value[i] * want[i];
    }
    struct intake_problem p = {.day_count = 1,
                               .goods = goods,
                               .good_count = 7,
                               .uses = uses,
                               .use_count = 8,
                               .lots = lots,
                               .lot_count = 4,
                               .products = products,
                               .product_count = 3,
                               .groups = &group,
                               .group_count = 1,
                               .lines = lines,
                               .line_count = 3};
    struct improve_options options = solving(20, 0);
    struct intake_outcome x;
    made(*state, &p, &options, &x);
    assert_close(all - x.cost, 6406, 1e-9);
    assert_int_equal(x.met_pieces[0], 3600);
    assert_int_equal(x.met_pieces[1], 4000);
    assert_int_equal(x.met_pieces[2], 2400);
    assert_int_equal(x.short_count, 1);
    assert_int_equal(x.shorts[0].bar.limit, INTAKE_FRUIT);
    assert_int_equal(x.gain_count, 4);
    for (int i = 0; i < 4; i++) {
        assert_int_equal(x.gains[i].bar.index, i);
        assert_close(x.gains[i].saved_cost, 100 * worth[i], 1e-6);
    }
}

static void script(const char *path, const char *text)
{
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fprintf(f, "#!/bin/sh\n%s\n", text);
    fclose(f);
    assert_int_equal(chmod(path, 0700), 0);
}

/* Whatever becomes of the solver, there is the plan made at once, and it is told why. */
static void a_solver_that_fails_costs_nothing(void **state)
{
    static const struct {
        const char *text;
        enum code code;
    } ways[] = {
        {"exec sleep 60", CODE_SOLVER_LATE},
        {"kill -SEGV $$", CODE_SOLVER_CRASHED},
        {"echo hello", CODE_SOLVER_GARBLED},
        {"printf 'status infeasible\\nend\\n'", CODE_SOLVER_GARBLED},
        {"printf 'status unbounded\\nend\\n'", CODE_SOLVER_GARBLED},
        {"printf 'status solved\\nobjective 1\\nbound 1\\ngap 0\\nend\\n'", CODE_SOLVER_GARBLED},
        /* better than anything could be: a bound above a plan that exists */
        {"printf 'status solved\\nobjective 1\\nbound 1e12\\ngap 0\\nend\\n'", CODE_SOLVER_GARBLED},
    };
    static struct hall h;
    hall_init(&h, 41);
    struct intake_outcome at_once, x;
    made(*state, &h.p, NULL, &at_once);
    char path[] = "/tmp/intake-solver-XXXXXX";
    int fd = mkstemp(path);
    assert_true(fd >= 0);
    close(fd);
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        struct improve_options options = solving(0.5, 0);
        script(path, ways[i].text);
        options.solver.path = path;
        made(*state, &h.p, &options, &x);
        assert_int_equal(x.solver.code, ways[i].code);
        assert_close(x.cost, at_once.cost, 1e-9);
        assert_false(x.is_improved || x.has_bound);
        assert_int_equal(x.short_count, at_once.short_count);
    }
    unlink(path);
    struct improve_options options = solving(1, 0);
    options.solver.path = "/nowhere/plumule-solve";
    made(*state, &h.p, &options, &x);
    assert_int_equal(x.solver.code, CODE_SOLVER_START);
    assert_close(x.cost, at_once.cost, 1e-9);
    options.solver.path = FAKE_PATH;
    made(*state, &h.p, &options, &x);
    assert_int_equal(x.solver.code, CODE_SOLVER_GARBLED);
    assert_close(x.cost, at_once.cost, 1e-9);
}

static void a_problem_that_is_none_is_refused(void **state)
{
    static struct hall h;
    struct intake_outcome x;
    hall_init(&h, 1);
    h.lots[0].kg = -1;
    assert_int_equal(intake_make(*state, &h.p, NULL, &x).code, CODE_PLAN_FIELD);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(made_up_halls_are_planned_to_the_bound),
        EACH(whole_tanks_are_kept),
        EACH(more_never_costs_more),
        EACH(a_split_with_a_known_best_is_found),
        EACH(a_solver_that_fails_costs_nothing),
        EACH(a_problem_that_is_none_is_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

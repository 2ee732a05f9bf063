#include "instance.h"
#include "support.h"

/* The problem is short on its line 0, and only there. */
static struct plan_outcome short_one(struct arena *a, struct handmade *h)
{
    struct improve_options options = solving(10, 0);
    struct plan_outcome x;
    plan_of(a, &h->p, &options, &x);
    assert_int_equal(x.improvement.solver.code, CODE_OK);
    assert_true(x.short_count >= 1);
    assert_int_equal(x.shorts[0].line, 0);
    return x;
}

static int64_t all_short(struct arena *a, struct handmade *h)
{
    struct improve_options options = solving(10, 0);
    struct plan_outcome x;
    plan_of(a, &h->p, &options, &x);
    int64_t pieces = 0;
    for (int i = 0; i < x.short_count; i++)
        pieces += x.shorts[i].pieces;
    return pieces;
}

/* One start brings at most 100 kg. */

static void too_late_to_grow(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 3, 40);
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].pieces, 40);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_TOO_LATE);
    assert_int_equal(x.shorts[0].from_day, 4);
    assert_string_equal(plan_short_sentence(*state, "en", &h.p, "shops", &x.shorts[0]),
                        "pack for shops on Thu 19 Feb is 40 pieces short: nothing soaked now is "
                        "ready before Fri 20 Feb.");
    h.ways[0].grow_days = 3;
    assert_int_equal(all_short(*state, &h), 0);
}

/* What grows could be cut for it, as a fifth of what it gives for a later order. */
static void too_late_and_what_grows_is_worth_more(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 2, 40);
    handmade_want(&h, 5, 80);
    h.lots[0].kg = 0;
    h.p.running_count = 1;
    h.others[0][0] = (struct plan_other){2, 0.2, -3};
    h.running[0] = (struct plan_running){
        "lot", 1, 0, 5, 80, 1, h.ready_day, h.others[0], 1, 0, 0, NULL, NULL, false, 0};
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.short_count, 1);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_TOO_LATE);
    assert_int_equal(x.shorts[0].from_day, 4);
    assert_true(x.shorts[0].has_dearer);
    assert_string_equal(plan_short_sentence(*state, "en", &h.p, "shops", &x.shorts[0]),
                        "pack for shops on Wed 18 Feb is 40 pieces short: nothing soaked now is "
                        "ready before Fri 20 Feb. What stands or grows already could serve it, but "
                        "that costs more than this shortage.");
    h.running[0].other_count = 0;
    x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_TOO_LATE);
    assert_false(x.shorts[0].has_dearer);
    h.running[0].other_count = 1;
    h.days[2].harvests_max = 0; /* nor can it be cut then */
    x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_HARVESTS);
    assert_false(x.shorts[0].has_dearer);
}

static void too_late_while_days_are_frozen(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 5, 40);
    h.p.frozen_days = 10;
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_TOO_LATE);
    h.p.frozen_days = 2;
    x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_TOO_LATE);
    assert_int_equal(x.shorts[0].from_day, 6);
    h.p.frozen_days = 1;
    assert_int_equal(all_short(*state, &h), 0);
}

static void late_where_the_group_takes_it(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 3, 40);
    h.group.remaining_days = 3;
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_TOO_LATE);
    h.group.late_days = 1;
    h.group.late_cost_per_kg_day = 2;
    struct improve_options options = solving(10, 0);
    plan_of(*state, &h.p, &options, &x);
    assert_int_equal(x.short_count, 0);
    assert_int_equal(x.met_days[0], 4);
    /* a start at 10, ten kg of seed at 2, 40 kg a day late at 2, ten kg wasted at 0.5 */
    assert_close(x.improvement.cost, 10 + 10 * 2 + 40 * 2 + 10 * 0.5, 1e-6);
    h.group.late_cost_per_kg_day = 11; /* dearer than being short */
    x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_WORTH);
}

/* A line of a day when nothing leaves, and starts that would be harvested while the house is shut.
 */
static void closed_days_are_named(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 5, 40);
    h.group.remaining_days = 2;
    h.is_shut[5] = true;
    h.p.is_shut = h.is_shut;
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_DISPATCH);
    assert_string_equal(plan_limit_id(x.shorts[0].limit), "dispatch");
    assert_string_equal(plan_short_sentence(*state, "en", &h.p, "shops", &x.shorts[0]),
                        "pack for shops on Sat 21 Feb is 40 pieces short: nothing is dispatched "
                        "on Sat 21 Feb.");
    h.group.late_days = 1;
    struct improve_options options = solving(10, 0);
    plan_of(*state, &h.p, &options, &x);
    assert_int_equal(x.short_count, 0);
    assert_int_equal(x.met_days[0], 6);
    h.is_shut[6] = true;
    x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_DISPATCH);
    h.p.is_shut = NULL;
    h.group.late_days = 0;
    h.lines[0].moved_days = 1;
    h.days[4].harvests_max = h.days[5].harvests_max = 0;
    x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_HARVESTS);
    assert_true(plan_short_is_closed(&h.p, &x.shorts[0]));
    assert_string_equal(plan_short_sentence(*state, "en", &h.p, "shops", &x.shorts[0]),
                        "pack for shops on Sat 21 Feb (wanted on Sun 22 Feb, when nothing is "
                        "dispatched) is 40 pieces short: the house is closed between Fri 20 Feb "
                        "and Sat 21 Feb.");
    h.days[5].harvests_max = 1;
    assert_int_equal(all_short(*state, &h), 0);
}

static void too_old_for_the_group(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 8, 40);
    h.group.remaining_days = 4;
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_SHELF_LIFE);
    h.group.remaining_days = 3;
    assert_int_equal(all_short(*state, &h), 0);
}

static void waiting_for_the_laboratory(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 4, 40);
    h.market = (struct plan_market){"home", 48, 2, 60, 0};
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_LABORATORY);
    assert_int_equal(x.shorts[0].from_day, 5);
    h.market.laboratory_h = 48;
    assert_int_equal(all_short(*state, &h), 0);
}

static void every_chamber_taken(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 5, 250);
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].pieces, 50);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_CHAMBERS);
    assert_true(x.shorts[0].everywhere);
    /* both grow from day 1 and are cleaned on day 5 */
    assert_int_equal(x.shorts[0].from_day, 1);
    assert_int_equal(x.shorts[0].to_day, 5);
    h.p.chamber_count = 3;
    assert_int_equal(all_short(*state, &h), 0);
}

static void no_chamber_for_the_crop(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 40);
    h.fills[0] = (struct plan_fill){0, 0};
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_NO_CHAMBER);
}

static void no_seed_left(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 90);
    h.lots[0].kg = 12;
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].pieces, 30);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_SEED);
    h.lots[0].kg = 18;
    assert_int_equal(all_short(*state, &h), 0);
    /* there is enough, but past its last day */
    h.lots[0] = (struct plan_seed_lot){"lot-a", 0, 500, -9, -1, 1, 1, 2, 1};
    x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_SEED);
}

static void seed_without_approval(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 90);
    h.lots[0].markets = 2;
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_APPROVAL);
    h.lots[0].markets = 3;
    assert_int_equal(all_short(*state, &h), 0);
}

/* A limit of one kind on every day, and the same limit lifted. */
static void day_limit(struct arena *a, enum plan_limit limit, struct plan_day tight,
                      struct plan_day wide)
{
    struct handmade h;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 6, 150);
    for (int d = 0; d < h.p.day_count; d++)
        h.days[d] = tight;
    struct plan_outcome x = short_one(a, &h);
    if (x.shorts[0].limit != limit)
        fail_msg("%s, not %s", plan_limit_id(x.shorts[0].limit), plan_limit_id(limit));
    assert_true(x.shorts[0].everywhere);
    for (int d = 0; d < h.p.day_count; d++)
        h.days[d] = wide;
    assert_int_equal(all_short(a, &h), 0);
}

static void each_daily_limit_is_named(void **state)
{
    struct handmade h;
    handmade_init(&h);
    const struct plan_day wide = h.days[0];
    struct plan_day tight = wide;
    tight.treat_seed_kg = 20;
    day_limit(*state, PLAN_LIMIT_TREATMENT, tight, wide);
    tight = wide;
    tight.soak_seed_kg = 20;
    day_limit(*state, PLAN_LIMIT_SOAKING, tight, wide);
    tight = wide;
    tight.starts_max = 1;
    day_limit(*state, PLAN_LIMIT_STARTS, tight, wide);
    tight = wide;
    tight.harvests_max = 1;
    day_limit(*state, PLAN_LIMIT_HARVESTS, tight, wide);
    tight = wide;
    tight.harvest_bed_kg = 125;
    day_limit(*state, PLAN_LIMIT_HARVEST, tight, wide);
    tight = wide;
    tight.wash_bed_kg = 125;
    day_limit(*state, PLAN_LIMIT_WASHING, tight, wide);
    tight = wide;
    tight.pack_kg = 100;
    day_limit(*state, PLAN_LIMIT_PACKING, tight, wide);
}

static void work_of_the_harvest_day_is_named(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.product.life_days = 1;
    handmade_want(&h, 6, 150);
    h.p.work_count = 1;
    h.work_per_kg = 0.02;
    for (int d = 0; d < h.p.day_count; d++)
        h.work_limit[d] = 2; /* hours: for 100 kg */
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_WORK);
    assert_int_equal(x.shorts[0].pieces, 50);
    assert_non_null(strstr(plan_short_sentence(*state, "en", &h.p, "shops", &x.shorts[0]),
                           "no more hours can be had on"));
    for (int d = 0; d < h.p.day_count; d++)
        h.work_limit[d] = 3;
    assert_int_equal(all_short(*state, &h), 0);
}

/* Sesame for 20 dishes of 50. */
static void an_ingredient_that_runs_out_is_named(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.products = h.products;
    h.p.product_count = 2;
    h.p.ingredient_count = 1;
    h.ingredient_per_piece[1] = 0.1;
    h.ingredient.lot_count = 1;
    h.ingredient_lots[0] = (struct plan_ingredient_lot){2, -5, 90};
    handmade_want(&h, 6, 50);
    handmade_want(&h, 6, 60);
    h.lines[0].product = 1;
    struct plan_outcome x = short_one(*state, &h);
    assert_int_equal(x.shorts[0].pieces, 30);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_INGREDIENT);
    assert_int_equal(x.shorts[0].ingredient, 0);
    assert_non_null(strstr(plan_short_sentence(*state, "en", &h.p, "shops", &x.shorts[0]),
                           "30 pieces short: sesame runs out"));
    h.ingredient.lot_count = 2;
    h.ingredient_lots[1] = (struct plan_ingredient_lot){3, 5, 90};
    assert_int_equal(all_short(*state, &h), 0);
    h.ingredient_lots[1].from_day = 7; /* packed on day 6 at the latest */
    assert_int_equal(all_short(*state, &h), 30);
}

static void not_worth_a_chamber(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 2);
    struct plan_outcome x = short_one(*state, &h);
    /* ten kg of seed at 2, a start at 10 and 48 kg wasted against two kg short at 10 */
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_WORTH);
    h.lines[0].shortage_cost_per_kg = 100;
    assert_int_equal(all_short(*state, &h), 0);
}

static void mixed_reasons_say_so(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.product.life_days = 2;
    handmade_want(&h, 5, 300);
    /* on day 0 no seed may be treated, from day 1 on no chamber may be harvested by day 5 */
    h.days[0].treat_seed_kg = 0;
    h.days[5].harvests_max = 0;
    struct plan_outcome x = short_one(*state, &h);
    assert_false(x.shorts[0].everywhere);
    assert_int_equal(x.shorts[0].also, 0);
    assert_non_null(
        strstr(plan_short_sentence(*state, "en", &h.p, "shops", &x.shorts[0]), "in most ways"));
}

static void each_start_says_what_it_is_for(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 5, 60);
    handmade_want(&h, 6, 30);
    h.p.running_count = 1;
    h.running[0] = (struct plan_running){"lot", 1, 0,    4,    20,    1, h.ready_day, NULL, 0,
                                         0,     0, NULL, NULL, false, 0};
    struct improve_options options = solving(10, 0);
    struct plan_outcome x;
    plan_of(*state, &h.p, &options, &x);
    assert_int_equal(x.start_count, 1);
    assert_int_equal(x.short_count, 0);
    double kg[2] = {0}, all = 0;
    for (int i = 0; i < x.purpose_count; i++) {
        assert_int_equal(x.purposes[i].start, 0);
        kg[x.purposes[i].line] += x.purposes[i].kg;
        all += x.purposes[i].kg;
    }
    /* the running lot gives 20 of the 90 kg */
    assert_close(all, 70, 1e-6);
    assert_true(kg[0] >= 40 - 1e-6 && kg[1] >= 10 - 1e-6);
}

static void every_limit_has_its_word(void **state)
{
    (void)state;
    for (int i = 0; i <= PLAN_LIMIT_WORK; i++) {
        assert_non_null(plan_limit_id((enum plan_limit)i));
        for (int j = 0; j < i; j++)
            assert_string_not_equal(plan_limit_id((enum plan_limit)i),
                                    plan_limit_id((enum plan_limit)j));
    }
}

/* Lifting every limit that is named must help: the reason given is one. */
static void what_is_named_helps_when_lifted(void **state)
{
    int lifted = 0;
    for (uint64_t seed = 80; seed < 92; seed++) {
        struct plan_problem *p = instance_make(*state, seed, &instance_plain);
        struct plan_seed_lot plenty = p->seed_lots[0];
        plenty.kg = 5000;
        plenty.last_day = 99;
        p->seed_lots = &plenty;
        struct improve_options options = solving(10, 0.001);
        struct plan_outcome x;
        plan_of(*state, p, &options, &x);
        /* a shortage worth more than a whole chamber costs */
        bool chambers = false;
        double chamber_cost = p->crops[0].start_cost + 2.2 * p->crops[0].fills[0].seed_max_kg;
        for (int i = 0; i < x.short_count; i++) {
            const struct plan_line *line = &p->lines[x.shorts[i].line];
            double kg = (double)x.shorts[i].pieces * p->products[0].net_kg;
            chambers =
                chambers || (x.shorts[i].everywhere && x.shorts[i].limit == PLAN_LIMIT_CHAMBERS &&
                             kg * line->shortage_cost_per_kg > chamber_cost);
        }
        if (!chambers) continue;
        struct plan_chamber *more =
            ARENA_ARRAY(*state, struct plan_chamber, (size_t)p->chamber_count + 1);
        memcpy(more, p->chambers, (size_t)p->chamber_count * sizeof *more);
        more[p->chamber_count] = p->chambers[0];
        more[p->chamber_count].code = "radicle-new";
        p->chambers = more;
        p->chamber_count++;
        struct plan_outcome y;
        plan_of(*state, p, &options, &y);
        assert_true(y.improvement.cost < x.improvement.cost * (1 - 0.002));
        lifted++;
    }
    assert_true(lifted >= 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(too_late_to_grow),
        EACH(too_late_and_what_grows_is_worth_more),
        EACH(too_late_while_days_are_frozen),
        EACH(late_where_the_group_takes_it),
        EACH(closed_days_are_named),
        EACH(too_old_for_the_group),
        EACH(waiting_for_the_laboratory),
        EACH(every_chamber_taken),
        EACH(no_chamber_for_the_crop),
        EACH(no_seed_left),
        EACH(seed_without_approval),
        EACH(each_daily_limit_is_named),
        EACH(work_of_the_harvest_day_is_named),
        EACH(an_ingredient_that_runs_out_is_named),
        EACH(not_worth_a_chamber),
        EACH(mixed_reasons_say_so),
        EACH(each_start_says_what_it_is_for),
        EACH(every_limit_has_its_word),
        EACH(what_is_named_helps_when_lifted),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_explain", tests, NULL, NULL);
}

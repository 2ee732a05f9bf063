#include "instance.h"
#include "support.h"

static void ready_days_follow_the_laboratory(void **state)
{
    (void)state;
    struct handmade h;
    handmade_init(&h);
    /* soaked at 8:00; 48 h + 4 h + 24 h = 76 h later it is 12:00 on the third day, before the 14:00
     * dispatch */
    h.market = (struct plan_market){"home", 48, 4, 24, 0};
    assert_int_equal(plan_ready_day(&h.p, 0, 2), 5);
    /* 78 h: 14:00 sharp, in time; 78.1 h: the day after */
    h.market.laboratory_h = 26;
    assert_int_equal(plan_ready_day(&h.p, 0, 2), 5);
    h.market.laboratory_h = 26.1;
    assert_int_equal(plan_ready_day(&h.p, 0, 2), 6);
    /* a second test of 25 h more: 103.1 h, the seventh day; counted where it is planned */
    h.market.retest_h = 25;
    assert_int_equal(plan_ready_day(&h.p, 0, 2), 6);
    assert_int_equal(plan_ready_day_tested(&h.p, 0, 2, true), 7);
    h.p.retest_planned = true;
    assert_int_equal(plan_ready_day(&h.p, 0, 2), 7);
    assert_int_equal(plan_ready_day_tested(&h.p, 0, 2, false), 6);
    h.p.retest_planned = false;
    h.market = (struct plan_market){"free", 0, 0, 0, 0};
    assert_int_equal(plan_ready_day(&h.p, 0, 2), 2);
    /* soaked after the hour of dispatch: not the same day, however quick the result */
    h.p.soak_hour = 20;
    h.market.laboratory_h = 1;
    assert_int_equal(plan_ready_day(&h.p, 0, 2), 3);
}

static void life_bounds_the_harvest_day(void **state)
{
    (void)state;
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 100);
    assert_int_equal(plan_oldest_harvest_day(&h.p, &h.lines[0]), 4);
    h.group.remaining_days = 2;
    assert_int_equal(plan_oldest_harvest_day(&h.p, &h.lines[0]), 5);
    h.product.net_kg = 0.25;
    assert_close(plan_line_kg(&h.p, &h.lines[0]), 25, 0);
}

static void a_chamber_is_free_after_lots_cleaning_and_outages(void **state)
{
    (void)state;
    struct handmade h;
    handmade_init(&h);
    assert_int_equal(plan_chamber_free_day(&h.p, 0, NULL), 0);
    h.p.running_count = 1;
    h.running[0] = (struct plan_running){"lot", 0, 0,    3,    50,    1, h.ready_day, NULL, 0,
                                         0,     0, NULL, NULL, false, 0};
    assert_int_equal(plan_chamber_free_day(&h.p, 0, NULL), 4);
    assert_int_equal(plan_chamber_free_day(&h.p, 1, NULL), 0);
    h.outage = (struct plan_outage){4, 6};
    h.chambers[0].outages = &h.outage;
    h.chambers[0].outage_count = 1;
    assert_int_equal(plan_chamber_free_day(&h.p, 0, NULL), 7);
    /* later on it is free for a while first */
    h.outage.from_day = 5;
    assert_int_equal(plan_chamber_free_day(&h.p, 0, NULL), 4);
}

static void a_way_in_parts_has_a_harvest_for_each(void **state)
{
    (void)state;
    struct plan_part parts[3] = {{0, 0.5, 1}, {1, 0.3, 1}, {3, 0.2, 1.5}};
    struct plan_way w = {"parts", 4, 5, parts, 3, 0};
    assert_int_equal(plan_way_harvests(&w), 3);
    assert_int_equal(plan_way_harvest_days(&w, 2), 7);
    assert_int_equal(plan_way_days(&w), 7);
    assert_close(plan_way_yield(&w), 5 * 1.1, 1e-12);
    assert_close(plan_way_share(&w, 0), 0.5 / 1.1, 1e-12);
    assert_close(plan_way_share(&w, 2), 0.3 / 1.1, 1e-12);
    w.part_count = 0;
    assert_int_equal(plan_way_harvests(&w), 1);
    assert_int_equal(plan_way_days(&w), 4);
    assert_close(plan_way_yield(&w), 5, 0);
    assert_close(plan_way_share(&w, 0), 1, 0);
}

/* Each change makes one member wrong; the field told is that one's. */
#define WRONG(change, wanted)                       \
    do {                                            \
        struct handmade h;                          \
        handmade_init(&h);                          \
        handmade_want(&h, 5, 10);                   \
        change;                                     \
        struct result r = plan_problem_check(&h.p); \
        assert_int_equal(r.code, CODE_PLAN_FIELD);  \
        assert_string_equal(r.field, wanted);       \
    } while (0)

static void each_wrong_member_is_named(void **state)
{
    (void)state;
    struct handmade good;
    handmade_init(&good);
    handmade_want(&good, 5, 10);
    assert_int_equal(plan_problem_check(&good.p).code, CODE_OK);
    WRONG(h.p.day_count = 0, "day_count");
    WRONG(h.p.day_count = 121, "day_count");
    WRONG(h.p.frozen_days = 11, "frozen_days");
    WRONG(h.p.cleaning_days = 0, "cleaning_days");
    WRONG(h.p.soak_hour = 25, "soak_hour");
    WRONG(h.p.change_cost = NAN, "change_cost");
    WRONG(h.p.market_count = 9, "markets");
    WRONG(h.market.transit_h = -1, "markets[0].laboratory_h");
    WRONG(h.group.market = 1, "groups[0].market");
    WRONG(h.group.remaining_days = -1, "groups[0].remaining_days");
    WRONG(h.group.late_days = -1, "groups[0].late_days");
    WRONG(h.group.late_cost_per_kg_day = NAN, "groups[0].late_cost_per_kg_day");
    WRONG(h.group.priority = 10, "groups[0].priority");
    WRONG(h.crop.way_count = 0, "crops[0].ways");
    WRONG(h.ways[0].grow_days = 0, "crops[0].ways");
    WRONG(h.ways[0].packed_kg_per_seed_kg = 0, "crops[0].ways");
    WRONG(h.fills[0].seed_min_kg = 21, "crops[0].fills");
    WRONG(h.crop.seed_item = 1, "crops[0].seed_item");
    WRONG(h.crop.bed_kg_per_packed_kg = 0.9, "crops[0].bed_kg_per_packed_kg");
    WRONG(h.crop.waste_cost_per_kg = -1, "crops[0].start_cost");
    WRONG(h.product.crop = 1, "products[0].crop");
    WRONG(h.product.net_kg = INFINITY, "products[0].net_kg");
    WRONG(h.product.life_days = -1, "products[0].life_days");
    WRONG(h.chambers[1].class_index = 1, "chambers[1].class_index");
    WRONG((h.outage = (struct plan_outage){3, 2}, h.chambers[0].outages = &h.outage,
           h.chambers[0].outage_count = 1),
          "chambers[0].outages");
    WRONG(h.lots[0].kg = -1, "seed_lots[0].kg");
    WRONG(h.lots[0].yield_factor = 0, "seed_lots[0].yield_factor");
    WRONG((h.p.running_count = 1, h.running[0].harvest_day = -1), "running[0].harvest_day");
    WRONG((h.p.running_count = 1, h.running[0].chamber = 2), "running[0].chamber");
    WRONG((h.p.stock_count = 1, h.stock[0].harvest_day = 1), "stock[0].harvest_day");
    WRONG((h.p.stock_count = 1, h.stock[0].product = 1), "stock[0].product");
    WRONG((h.p.taken_count = 1, h.taken[0].day = 10), "taken[0].day");
    WRONG((h.p.taken_count = 1, h.taken[0].way = 1), "taken[0].way");
    WRONG(h.days[3].pack_kg = NAN, "days[3].pack_kg");
    WRONG(h.p.work_count = 9, "works[9].code");
    WRONG((h.p.work_count = 1, h.work_per_kg = -1), "works[0].per_packed_kg");
    WRONG((h.p.work_count = 1, h.work_limit[9] = NAN), "works[0].limit");
    WRONG(h.lines[0].group = 1, "lines[0].group");
    WRONG(h.lines[0].pieces = -1, "lines[0].pieces");
    WRONG(h.lines[0].day = 10, "lines[0].day");
}

static void wrong_parts_and_swaps_are_named(void **state)
{
    (void)state;
    struct plan_part parts[2] = {{0, 0.5, 1}, {2, 0.4, 1}};
    WRONG((h.ways[0].parts = parts, h.ways[0].part_count = 2), "crops[0].ways");
    parts[1] = (struct plan_part){0, 0.5, 1};
    WRONG((h.ways[0].parts = parts, h.ways[0].part_count = 2), "crops[0].ways");
    parts[1] = (struct plan_part){1, 0.5, 0};
    WRONG((h.ways[0].parts = parts, h.ways[0].part_count = 2), "crops[0].ways");
    WRONG((h.ways[0].parts = parts, h.ways[0].part_count = 7), "crops[0].ways");
    struct plan_swap swap = {0, 0, 1, NULL};
    WRONG((h.p.swap_count = 33, h.p.swaps = &swap), "swaps");
    WRONG((h.p.swap_count = 1, h.p.swaps = &swap), "swaps[0].to_product");
    swap.to_product = 1;
    WRONG((h.p.swap_count = 1, h.p.swaps = &swap), "swaps[0].to_product");
#undef WRONG
}

/* Packs of another crop may be given; dishes may not, of whatever crop. */
static void packs_alone_are_given_across_crops(void **state)
{
    struct plan_problem *p = instance_make(*state, 1, &instance_small);
    struct plan_swap swap = {0, 1, 0.2, NULL};
    p->swaps = &swap;
    p->swap_count = 1;
    assert_int_equal(plan_problem_check(p).code, CODE_OK);
    struct plan_product *products =
        ARENA_ARRAY(*state, struct plan_product, (size_t)p->product_count);
    memcpy(products, p->products, (size_t)p->product_count * sizeof *products);
    products[1].crop_kg = 0.1;
    p->products = products;
    struct result r = plan_problem_check(p);
    assert_int_equal(r.code, CODE_PLAN_FIELD);
    assert_string_equal(r.field, "swaps[0].to_product");
    assert_non_null(strstr(result_sentence(*state, &r), "dishes are not given instead"));
    products[1].crop_kg = 0;
    swap.cost_per_kg = -1;
    assert_string_equal(plan_problem_check(p).field, "swaps[0].cost_per_kg");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(ready_days_follow_the_laboratory),
        EACH(life_bounds_the_harvest_day),
        EACH(a_chamber_is_free_after_lots_cleaning_and_outages),
        EACH(a_way_in_parts_has_a_harvest_for_each),
        EACH(each_wrong_member_is_named),
        EACH(wrong_parts_and_swaps_are_named),
        EACH(packs_alone_are_given_across_crops),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_problem", tests, NULL, NULL);
}

/* What if: a problem changed, and the record as it was. */
#include <math.h>

#include "plans.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    plans_seed(&h);
    plans_order(&h, "O-1", 14, 1600);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static void each_change_changes_its_number_and_nothing_else(void **state)
{
    struct planning_case was, c;
    plans_read(&h, &was);
    const struct plan_problem *p = &c.problem;
    int64_t next = h.lg->next_seq;

    c = was;
    assert_ok(plans_change(&h, &c, "{'changes':[{'what':'chamber-out','chamber':'C2'}]}"));
    assert_int_equal(p->chambers[1].outage_count, 1);
    assert_int_equal(p->chambers[1].outages[0].from_day, 0);
    assert_int_equal(p->chambers[1].outages[0].to_day, PLAN_NEVER);
    assert_int_equal(was.problem.chambers[1].outage_count, 0);

    c = was;
    assert_ok(plans_change(&h, &c, "{'changes':[{'what':'chambers','count':2}]}"));
    assert_int_equal(p->chamber_count, 5);
    assert_string_equal(p->chambers[4].code, "+2");
    assert_int_equal(was.problem.chamber_count, 3);

    c = was;
    int mung = was.problem.products[0].crop;
    assert_ok(
        plans_change(&h, &c, "{'changes':[{'what':'temperature','item':'MUNG','temp_mc':24000}]}"));
    assert_true(p->crops[mung].ways[0].grow_days < was.problem.crops[mung].ways[0].grow_days);

    c = was;
    assert_ok(plans_change(&h, &c, "{'changes':[{'what':'life','item':'MUNG250','days':5}]}"));
    assert_int_equal(p->products[0].life_days, 5);
    assert_int_equal(was.problem.products[0].life_days, 8);

    c = was;
    assert_ok(plans_change(&h, &c, "{'changes':[{'what':'order','order':'O-1','pieces':10}]}"));
    assert_int_equal(p->lines[0].pieces, 10);
    assert_int_equal(was.problem.lines[0].pieces, 1600);

    c = was;
    assert_ok(plans_change(
        &h, &c,
        arena_printf(&h.arena,
                     "{'changes':[{'what':'order','item':'MUNG250','day':'%s','pieces':77}]}",
                     plans_day(&h, 12))));
    assert_int_equal(p->line_count, was.problem.line_count + 1);
    assert_int_equal(p->lines[was.problem.line_count].pieces, 77);
    assert_int_equal(p->lines[was.problem.line_count].day, 12);

    c = was;
    assert_ok(plans_change(&h, &c, "{'changes':[{'what':'seed','item':'MUNGSEED','g':90000}]}"));
    assert_int_equal(p->seed_lot_count, 2);
    assert_true(p->seed_lots[1].kg == 90);
    assert_int_equal(p->seed_lots[1].from_day, 0);

    c = was;
    assert_ok(plans_change(
        &h, &c,
        arena_printf(&h.arena,
                     "{'changes':[{'what':'seed','item':'MUNGSEED','g':90000,'day':'%s'}]}",
                     plans_day(&h, 6))));
    assert_int_equal(p->seed_lots[1].from_day, 6);

    c = was;
    assert_ok(plans_change(&h, &c, "{'changes':[{'what':'limit','name':'wash','g':250000}]}"));
    assert_true(p->days[7].wash_bed_kg == 250);
    assert_true(p->days[7].pack_kg == was.problem.days[7].pack_kg);
    assert_int_equal(h.lg->next_seq, next); /* nothing was written */
}

/* Hours of people, ingredients: 10 g of sesame in a pack, of which none is here. */
static void works_and_ingredients_are_changed_too(void **state)
{
    static struct pack_take takes[] = {{"SESAME", 10000}};
    static struct pack_recipe recipe = {
        .item = "MUNG250", .crop_mg = 200000, .takes = takes, .take_count = 1};
    struct profile with = *h.lg->profile;
    struct planning_case was, c;
    const struct plan_problem *p = &c.problem;
    struct closing shut = {(int32_t)(h.fixed.now_ms / PLANS_DAY_MS) + 3,
                           (int32_t)(h.fixed.now_ms / PLANS_DAY_MS) + 3, 127, CLOSES_PACK,
                           "inventory"};
    (void)state;
    house_take(&h, "{'kind':'item','code':'SESAME','item_kind':'ingredient'}");
    with.planning.recipes = &recipe;
    with.planning.recipe_count = 1;
    with.planning.closings = &shut;
    with.planning.closing_count = 1;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &was));
    assert_int_equal(was.problem.ingredient_count, 1);
    assert_int_equal(was.problem.ingredients[0].lot_count, 0);

    c = was;
    assert_ok(plans_change(
        &h, &c,
        arena_printf(&h.arena,
                     "{'changes':[{'what':'ingredient','item':'SESAME','g':4000,'day':'%s'},"
                     "{'what':'ingredient','item':'SESAME','g':1000}]}",
                     plans_day(&h, 5))));
    assert_int_equal(p->ingredients[0].lot_count, 2);
    assert_true(p->ingredients[0].lots[0].kg == 4);
    assert_int_equal(p->ingredients[0].lots[0].from_day, 5);
    assert_int_equal(p->ingredients[0].lots[1].from_day, 0);
    assert_int_equal(was.problem.ingredients[0].lot_count, 0);

    c = was;
    assert_true(was.problem.work_count > 0);
    const char *name = was.problem.works[0].code;
    double limit = was.problem.works[0].limit[7];
    assert_ok(plans_change(
        &h, &c,
        arena_printf(&h.arena, "{'changes':[{'what':'work','name':'%s','a_day_milli':12500}]}",
                     name)));
    assert_true(p->works[0].limit[7] == 12.5);
    assert_true(p->works[0].limit[3] == 0); /* closed all the same */
    assert_true(was.problem.works[0].limit[7] == limit);

    c = was;
    assert_ok(plans_change(&h, &c, "{'changes':[{'what':'limit','name':'pack','g':250000}]}"));
    assert_true(p->days[7].pack_kg == 250);
    assert_true(p->days[3].pack_kg == 0);
}

static void a_chamber_out_is_not_planned_for(void **state)
{
    struct planning_case c;
    struct plan_outcome outcome;
    plans_read(&h, &c);
    assert_ok(plans_change(&h, &c,
                           "{'changes':[{'what':'chamber-out','chamber':'C1'},"
                           "{'what':'chamber-out','chamber':'C3'}]}"));
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    assert_true(outcome.start_count >= 1);
    for (int i = 0; i < outcome.start_count; i++) {
        assert_string_equal(c.problem.chambers[outcome.starts[i].chamber].code, "C2");
    }
}

static void a_share_that_nobody_asks_for_is_the_profiles(void **state)
{
    (void)state;
    struct profile p = {.planning = {.service_ppm = 985000}}, none = {.name = "none"};
    struct planning_wish wish;
    json_t *asked = json_pack("{s:i}", "service_ppm", 0);
    assert_ok(planning_wish_read(NULL, &wish));
    assert_true(fabs(planning_service(&wish, &p) - 0.985) < 1e-12);
    assert_true(planning_service_of_profile(&wish, &p));
    assert_true(planning_service(&wish, &none) <= 0);
    assert_false(planning_service_of_profile(&wish, &none));
    assert_ok(planning_wish_read(asked, &wish)); /* the least cost is asked for */
    assert_true(planning_service(&wish, &p) <= 0);
    assert_false(planning_service_of_profile(&wish, &p));
    json_object_set_new(asked, "service_ppm", json_integer(900000));
    assert_ok(planning_wish_read(asked, &wish));
    assert_true(fabs(planning_service(&wish, &p) - 0.9) < 1e-12);
    json_decref(asked);
}

static void what_is_not_known_is_refused(void **state)
{
    static const struct {
        const char *wish;
        enum code code;
    } cases[] = {
        {"{'keep':'all'}", CODE_FIELD_CHOICE},
        {"{'service_ppm':1000001}", CODE_FIELD_RANGE},
        {"{'service_ppm':'98 %'}", CODE_FIELD_TYPE},
        {"{'changes':[{'what':'weather'}]}", CODE_FIELD_CHOICE},
        {"{'changes':[{'what':'chambers','count':1,'place':'C1'}]}", CODE_FIELD_UNKNOWN},
        {"{'changes':[7]}", CODE_FIELD_TYPE},
        {"{'changes':[{'what':'chamber-out','chamber':'C9'}]}", CODE_PLACE_UNKNOWN},
        {"{'changes':[{'what':'temperature','item':'HULLS','temp_mc':20000}]}", CODE_ITEM_UNKNOWN},
        {"{'changes':[{'what':'temperature','item':'MUNG','temp_mc':2000}]}", CODE_PLAN_FIELD},
        {"{'changes':[{'what':'temperature','item':'MUNG','temp_mc':45000}]}", CODE_FIELD_RANGE},
        {"{'changes':[{'what':'order','order':'O-9','pieces':1}]}", CODE_ORDER_UNKNOWN},
        {"{'changes':[{'what':'order','item':'MUNG250','pieces':1}]}", CODE_FIELD_MISSING},
        {"{'changes':[{'what':'seed','lot':'X','g':1}]}", CODE_LOT_UNKNOWN},
        {"{'changes':[{'what':'seed','g':1}]}", CODE_FIELD_MISSING},
        {"{'changes':[{'what':'limit','name':'sleep','g':1}]}", CODE_FIELD_CHOICE},
        {"{'changes':[{'what':'work','name':'sleep','a_day_milli':1}]}", CODE_FIELD_CHOICE},
        {"{'changes':[{'what':'ingredient','item':'SALT','g':1}]}", CODE_ITEM_UNKNOWN},
        {"{'changes':[{'what':'life','item':'MUNG250','days':-1}]}", CODE_FIELD_RANGE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct planning_case c;
        plans_read(&h, &c);
        struct result r = plans_change(&h, &c, cases[i].wish);
        if (r.code != cases[i].code) {
            fail_msg("%s: %s", cases[i].wish, code_id(r.code));
        }
    }
}

static void take(struct planning_case *c, struct plan_outcome *outcome)
{
    plans_read(&h, c);
    assert_ok(planning_at_once(c, &h.arena, outcome));
    assert_ok(house_send_json(&h, planning_take(c, outcome, NULL, 0, &h.arena)));
    plans_read(&h, c);
}

static void how_much_is_kept_is_a_choice(void **state)
{
    struct planning_case c, best, most;
    struct plan_outcome outcome;
    take(&c, &outcome);
    int taken = c.problem.taken_count;
    assert_int_equal(taken, outcome.start_count);
    best = most = c;
    assert_ok(plans_change(&h, &best, "{'keep':'best'}"));
    for (int i = 0; i < best.problem.taken_count; i++) {
        assert_true(best.problem.taken[i].day < best.problem.frozen_days);
    }
    assert_ok(plans_change(&h, &most, "{'keep':'most'}"));
    assert_int_equal(most.problem.taken_count, taken);
    assert_true(most.problem.change_cost > 100 * c.problem.change_cost);
    assert_ok(plans_change(&h, &c, "{'keep':'balance'}"));
    assert_int_equal(c.problem.taken_count, taken);
}

/* The plan in force gives what it gave when it was taken; without its only order it starts the same
 * and a second order finds nothing. */
static void the_standing_plan_starts_what_is_taken_and_nothing_else(void **state)
{
    struct planning_case c;
    struct plan_outcome outcome, standing;
    take(&c, &outcome);
    plans_order(&h, "O-2", 15, 4000);
    plans_read(&h, &c);
    c.problem = planning_standing(&c.problem);
    assert_ok(planning_at_once(&c, &h.arena, &standing));
    assert_int_equal(standing.start_count, outcome.start_count);
    for (int i = 0; i < standing.start_count; i++) {
        assert_int_equal(standing.starts[i].day, outcome.starts[i].day);
        assert_int_equal(standing.starts[i].chamber, outcome.starts[i].chamber);
    }
    int64_t met = 0;
    for (int i = 0; i < c.problem.line_count; i++) {
        met += standing.met_pieces[i];
    }
    assert_true(met >= 1600 && met < 5600);
}

/* Another chamber of its kind takes it where one is free; with none in service it is left out. */
static void a_taken_start_whose_chamber_is_out_goes_elsewhere_or_not_at_all(void **state)
{
    struct planning_case c, none;
    struct plan_outcome outcome, standing;
    take(&c, &outcome);
    none = c;
    assert_int_equal(outcome.start_count, 1);
    const char *chamber = c.problem.chambers[outcome.starts[0].chamber].code;
    assert_ok(plans_change(
        &h, &c,
        arena_printf(&h.arena, "{'changes':[{'what':'chamber-out','chamber':'%s'}]}", chamber)));
    c.problem = planning_standing(&c.problem);
    assert_ok(planning_at_once(&c, &h.arena, &standing));
    assert_int_equal(standing.start_count, 1);
    assert_string_not_equal(c.problem.chambers[standing.starts[0].chamber].code, chamber);
    assert_ok(plans_change(&h, &none,
                           "{'changes':[{'what':'chamber-out','chamber':'C1'},"
                           "{'what':'chamber-out','chamber':'C2'},"
                           "{'what':'chamber-out','chamber':'C3'}]}"));
    none.problem = planning_standing(&none.problem);
    assert_ok(planning_at_once(&none, &h.arena, &standing));
    assert_int_equal(standing.start_count, 0);
    assert_int_equal(standing.frame->drop_count, 1);
    assert_int_equal(standing.frame->drops[0].reason, PLAN_DROP_CHAMBER);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(each_change_changes_its_number_and_nothing_else),
        TEST(works_and_ingredients_are_changed_too),
        TEST(a_chamber_out_is_not_planned_for),
        TEST(a_share_that_nobody_asks_for_is_the_profiles),
        TEST(what_is_not_known_is_refused),
        TEST(how_much_is_kept_is_a_choice),
        TEST(the_standing_plan_starts_what_is_taken_and_nothing_else),
        TEST(a_taken_start_whose_chamber_is_out_goes_elsewhere_or_not_at_all),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

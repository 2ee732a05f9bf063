/* Planning problems read from a small record, and the plan made at once from them. */
#include "plans.h"

#include <math.h>

#include "plan/explain.h"

enum { HOUR_MS = 3600000, DAY_MS = 24 * HOUR_MS };

static void a_house_at_rest_is_a_problem_without_demand(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    plans_read(&h, &c);
    const struct plan_problem *p = &c.problem;
    assert_int_equal(p->first_day, h.fixed.now_ms / DAY_MS); /* four o'clock: the day begins */
    assert_int_equal(p->day_count, 21);
    assert_int_equal(p->market_count, 3);
    assert_int_equal(p->crop_count, 3);
    assert_int_equal(p->chamber_count, 3);
    assert_string_equal(p->chambers[2].code, "C3");
    assert_int_equal(p->product_count, 1);
    assert_string_equal(c.names.items[0], "MUNG250");
    assert_string_equal(p->crops[p->products[0].crop].code, "MUNG");
    assert_int_equal(p->products[0].life_days, 8);
    assert_int_equal(p->group_count, 2); /* one market each; the supplier is no group */
    assert_int_equal(p->running_count + p->stock_count + p->seed_lot_count + p->line_count, 0);
    assert_ok(plan_make(&h.arena, p, NULL, &outcome));
    assert_int_equal(outcome.start_count, 0);
    assert_int_equal(outcome.short_count, 0);
    house_close(&h);
}

/* 1950 C h at 19.5 C over a base of 10 C take 205.26 h, after 10 h without heat (computed here). */
static int32_t harvest_day_of(int64_t start_ms)
{
    double ready_h = (double)start_ms / HOUR_MS + 10 + 1950.0 / 9.5;
    int32_t day = (int32_t)(ready_h / 24);
    return ready_h <= 24.0 * day + 6 ? day : day + 1; /* harvests are at six */
}

static void what_grows_is_seen_with_its_day_and_its_yield(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    house_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    int64_t start_ms = h.fixed.now_ms;
    house_wait(&h, "1 d");
    plans_read(&h, &c);
    assert_int_equal(c.problem.running_count, 1);
    const struct plan_running *r = &c.problem.running[0];
    assert_string_equal(r->lot, lot);
    assert_string_equal(c.problem.chambers[r->chamber].code, "C2");
    assert_string_equal(c.problem.crops[r->crop].code, "MUNG");
    assert_int_equal(c.problem.first_day + r->harvest_day, harvest_day_of(start_ms));
    double each = c.problem.crops[r->crop].ways[0].packed_kg_per_seed_kg;
    assert_true(each > 4 && each < 8); /* below the expansion of the profile, by hulls and trim */
    assert_true(r->packed_kg > 99.99 * each && r->packed_kg < 100.01 * each);
    for (int m = 0; m < c.problem.market_count; m++) {
        assert_true(r->ready_day[m] >= 1); /* nobody has drawn a sample */
    }
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use','release'],"
               "'needs':'decision','reason':'smell'}",
               lot);
    plans_read(&h, &c);
    assert_int_equal(c.problem.running_count, 1); /* it takes its chamber and gives nothing */
    assert_true(c.problem.running[0].packed_kg == 0);
    house_close(&h);
}

static const char *grow_of(struct house *h, const char *seed, const char *chamber)
{
    house_wait(h, "1 h");
    house_take(h,
               "{'kind':'grow','mode':'tell','chamber':'%s','item':'MUNG','inputs':[{'lot':'%s',"
               "'mass':'60 kg'}]}",
               chamber, seed);
    return house_answer(h, "lot");
}

/* Three chambers of each of two usual lots and of one that gives two thirds: what grows of the poor
 * one, and the seed left of it, are planned with what it gave, drawn a little to the others. */
static void a_poor_seed_lot_is_planned_with_what_it_gave(void **state)
{
    (void)state;
    static const char *const harvests[3][3] = {{"470 kg", "480 kg", "490 kg"},
                                               {"465 kg", "480 kg", "495 kg"},
                                               {"310 kg", "320 kg", "330 kg"}};
    static const char *const chambers[3] = {"C1", "C2", "C3"};
    struct house h;
    struct planning_case c;
    const char *seed[3], *lot[3];
    house_open(&h);
    for (int i = 0; i < 3; i++) {
        seed[i] = plans_seed(&h);
        for (int k = 0; k < 3; k++) {
            lot[k] = grow_of(&h, seed[i], chambers[k]);
        }
        house_wait(&h, "9 d");
        for (int k = 0; k < 3; k++) {
            house_take(&h,
                       "{'kind':'harvest','mode':'tell','lot':'%s','share':'rest','mass':'%s',"
                       "'place':'WASH'}",
                       lot[k], harvests[i][k]);
        }
    }
    grow_of(&h, seed[0], "C1");
    grow_of(&h, seed[2], "C2");
    plans_read(&h, &c);
    const struct plan_problem *p = &c.problem;
    assert_int_equal(p->running_count, 2);
    assert_int_equal(p->seed_lot_count, 3);
    double usual = p->running[0].packed_kg, poor = p->running[1].packed_kg;
    assert_true(poor > 0.6666 * usual && poor < 0.7 * usual);
    double part = p->seed_lots[2].yield_factor / p->seed_lots[0].yield_factor;
    assert_true(fabs(part - poor / usual) < 1e-9);
    const struct chance_crop *mung = &c.model.crops[p->running[0].crop];
    assert_true(mung->yield_relative < 0.04); /* among the chambers of a lot */
    house_close(&h);
}

static const json_t *first_of(const json_t *plan, const char *list)
{
    const json_t *first = json_array_get(json_object_get(plan, list), 0);
    assert_non_null(first);
    return first;
}

/* What a day's sales and works say of each other: 14 hours a tonne of MUNG, by the profile. */
static void works_are_what_goods_ask_for(const struct planning_case *c,
                                         const struct plan_outcome *outcome, const json_t *plan)
{
    double kg = 0, hours = 0;
    size_t i;
    json_t *day;
    for (int k = 0; k < outcome->sale_count; k++) {
        kg += outcome->sales[k].kg;
    }
    assert_true(kg >= 400 - 1e-6); /* 1600 packs of 250 g */
    json_array_foreach(json_object_get(plan, "capacity"), i, day)
    {
        const json_t *work = json_array_get(json_object_get(day, "works"), 0);
        hours += (double)json_integer_value(json_object_get(work, "used_milli")) * 1e-3;
    }
    assert_int_equal(i, c->problem.day_count);
    assert_true(fabs(hours - kg * 0.014) < 0.002);
}

static void orders_are_planned_from_approved_seed(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    const char *seed = plans_seed(&h);
    plans_order(&h, "O-1", 14, 1600);
    plans_read(&h, &c);
    assert_int_equal(c.problem.seed_lot_count, 1);
    assert_int_equal(c.problem.seed_lots[0].markets, 7);
    assert_int_equal(c.problem.line_count, 1);
    assert_string_equal(c.problem.lines[0].key, "O-1");
    assert_int_equal(c.problem.lines[0].day, 14);
    assert_int_equal(c.problem.lines[0].pieces, 1600);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    assert_int_equal(json_array_size(json_object_get(plan, "shorts")), 0);
    const json_t *start = first_of(plan, "starts"), *demand = first_of(plan, "demand");
    assert_string_equal(json_string_value(json_object_get(first_of(start, "seed"), "lot")), seed);
    int64_t seed_g = json_integer_value(json_object_get(start, "seed_g"));
    assert_true(seed_g >= 60000 && seed_g <= 130000); /* what a chamber takes of the crop */
    const char *harvest = json_string_value(json_object_get(start, "harvest"));
    assert_true(strcmp(harvest, plans_day(&h, 14)) <= 0);
    assert_true(strcmp(harvest, plans_day(&h, 14 - 8)) >= 0);
    assert_int_equal(json_integer_value(json_object_get(demand, "booked")), 1600);
    const json_t *supply = first_of(plan, "supply");
    assert_string_equal(json_string_value(json_object_get(supply, "day")), plans_day(&h, 14));
    assert_int_equal(json_integer_value(json_object_get(supply, "booked")), 1600);
    assert_int_equal(json_integer_value(json_object_get(supply, "pieces")), 1600);
    assert_int_equal(json_integer_value(json_object_get(supply, "stock")), 0);
    assert_int_equal(json_integer_value(json_object_get(supply, "short")), 0);
    const json_t *day = first_of(plan, "capacity"), *chambers = json_object_get(day, "chambers");
    assert_string_equal(json_string_value(json_object_get(day, "day")), plans_day(&h, 0));
    assert_int_equal(json_integer_value(json_object_get(chambers, "limit")), 3);
    assert_int_equal(json_integer_value(json_object_get(json_object_get(day, "treat"), "limit_g")),
                     700000); /* the profile's treat_a_day */
    const json_t *work = first_of(day, "works");
    assert_string_equal(json_string_value(json_object_get(work, "name")), "hours of people");
    assert_int_equal(json_integer_value(json_object_get(work, "limit_milli")), 96000);
    works_are_what_goods_ask_for(&c, &outcome, plan);
    assert_false(json_is_true(json_object_get(plan, "by_solver")));
    json_decref(plan);
    house_close(&h);
}

/* A start that got 80 of 100 kg: chances count on 20 of 1100 kg less, after ten as planned. */
static void seed_that_starts_do_not_get_goes_into_chances(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    house_open(&h);
    plans_read(&h, &c);
    for (int k = 0; k < c.problem.crop_count; k++) {
        assert_true(c.model.crops[k].seed_less == 0);
    }
    house_take(&h,
               "{'kind':'plan-take','starts':[{'day':'%s','place':'C1','item':'MUNG','seed':"
               "'100 kg','grow_days':7}]}",
               plans_day(&h, 0));
    house_grow(&h, "C1", "80 kg");
    plans_read(&h, &c);
    for (int k = 0; k < c.problem.crop_count; k++) {
        bool mung = strcmp(c.problem.crops[k].code, "MUNG") == 0;
        assert_true(fabs(c.model.crops[k].seed_less - (mung ? 20.0 / 1100.0 : 0)) < 1e-9);
    }
    house_close(&h);
}

static void a_plan_taken_is_kept_when_planned_again(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    plans_seed(&h);
    plans_order(&h, "O-1", 14, 1600);
    plans_read(&h, &c);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    int starts = outcome.start_count;
    int day = outcome.starts[0].day, chamber = outcome.starts[0].chamber;
    assert_true(starts >= 1);
    assert_ok(house_send_json(&h, planning_take(&c, &outcome, NULL, 0, &h.arena)));
    house_wait(&h, "1 d");
    plans_read(&h, &c);
    assert_int_equal(c.problem.taken_count, starts);
    assert_int_equal(c.problem.taken[0].day, day - 1);
    assert_int_equal(c.problem.taken[0].seed_lot, 0);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    const json_t *start = first_of(plan, "starts");
    assert_true(json_is_true(json_object_get(start, "taken_before")));
    assert_string_equal(json_string_value(json_object_get(start, "chamber")),
                        c.problem.chambers[chamber].code);
    json_decref(plan);
    house_close(&h);
}

static void what_comes_too_late_is_short_with_its_reason(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    plans_seed(&h);
    plans_order(&h, "SOON", 3, 400);
    plans_read(&h, &c);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    const json_t *x = first_of(plan, "shorts");
    assert_string_equal(json_string_value(json_object_get(x, "order")), "SOON");
    assert_int_equal(json_integer_value(json_object_get(x, "pieces")), 400);
    assert_string_equal(json_string_value(json_object_get(x, "limit")),
                        plan_limit_id(PLAN_LIMIT_TOO_LATE));
    assert_false(json_is_true(json_object_get(x, "forecast")));
    assert_true(strlen(json_string_value(json_object_get(x, "sentence"))) > 20);
    json_decref(plan);
    house_close(&h);
}

static void seed_that_is_held_or_not_approved_serves_nobody(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    const char *seed = plans_seed(&h);
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],"
               "'needs':'decision','reason':'smell'}",
               seed);
    plans_order(&h, "O-1", 14, 1600);
    plans_read(&h, &c);
    assert_int_equal(c.problem.seed_lots[0].markets, 0);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    assert_int_equal(outcome.start_count, 0);
    assert_int_equal(outcome.short_count, 1);
    assert_int_equal(outcome.shorts[0].limit, PLAN_LIMIT_APPROVAL);
    house_close(&h);
}

static void a_chamber_out_of_service_is_planned_around(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    plans_seed(&h);
    house_take(&h, "{'kind':'place','code':'C1','place_kind':'chamber','in_service':false}");
    house_take(&h, "{'kind':'place','code':'C3','place_kind':'chamber','in_service':false}");
    plans_order(&h, "O-1", 14, 1600);
    plans_read(&h, &c);
    assert_int_equal(c.problem.chamber_count, 3);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    assert_true(outcome.start_count >= 1);
    for (int i = 0; i < outcome.start_count; i++) {
        assert_string_equal(c.problem.chambers[outcome.starts[i].chamber].code, "C2");
    }
    house_close(&h);
}

/* Four weeks of the same orders foretell the same; an order of the day is eaten out of it. */
static void past_orders_become_a_forecast(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    house_open(&h);
    for (int day = -28; day < 0; day++) {
        plans_order(&h, arena_printf(&h.arena, "P%d", -day), day, 200);
    }
    plans_order(&h, "O-1", 5, 150);
    plans_read(&h, &c);
    int64_t booked = 0, added = 0;
    for (int i = 0; i < c.problem.line_count; i++) {
        const struct plan_line *line = &c.problem.lines[i];
        if (line->day != 5) {
            continue;
        }
        if (line->key != NULL) {
            booked += line->pieces;
        } else {
            added += line->pieces;
        }
    }
    assert_int_equal(booked, 150);
    assert_int_equal(added, 50);
    assert_int_equal(c.history_to, c.problem.first_day - 1);
    assert_int_equal(c.history_from, c.problem.first_day - 28);
    house_close(&h);
}

static void a_plan_says_how_likely_each_order_is(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct safety_choice choice;
    house_open(&h);
    plans_seed(&h);
    plans_order(&h, "SOON", 3, 400);
    plans_order(&h, "LATER", 14, 1600);
    plans_read(&h, &c);
    /* no batch yet: the default spread, one batch's doubt, one barred in a hundred */
    const struct chance_crop *crop = &c.model.crops[0];
    assert_true(crop->yield_mean > 1);
    assert_true(crop->yield_relative > 0.07 && crop->yield_relative < 0.09);
    assert_int_equal(crop->shift_count, 0);
    assert_true(crop->barred / (crop->barred + crop->passed) > 0.009);
    assert_true(crop->barred / (crop->barred + crop->passed) < 0.011);
    assert_ok(planning_choose(&h.arena, &c, &(struct planning_ask){.seconds = 0}, &choice));
    json_t *x = planning_chance_json(&c, &choice, &h.arena, "en");
    assert_int_equal(json_integer_value(json_object_get(x, "futures")), 1000);
    const json_t *lines = json_object_get(x, "lines"), *soon = json_array_get(lines, 0),
                 *later = json_array_get(lines, 1);
    assert_int_equal(json_array_size(lines), 2);
    assert_string_equal(json_string_value(json_object_get(soon, "order")), "SOON");
    assert_string_equal(json_string_value(json_object_get(soon, "word")), "unlikely");
    assert_int_equal(json_integer_value(json_object_get(soon, "met_ppm")), 0);
    assert_string_equal(json_string_value(json_object_get(soon, "sentence")),
                        "unlikely: 0 % (expected: 0 % of it)");
    int64_t met = json_integer_value(json_object_get(later, "met_ppm"));
    assert_true(met > 500000 && met < 1000000);
    assert_true(json_integer_value(json_object_get(later, "share_ppm")) >= met);
    /* a share asked for that no cover reaches still gives a plan, with no less of it */
    assert_ok(planning_choose(&h.arena, &c, &(struct planning_ask){.service = 0.999}, &choice));
    json_t *more = planning_chance_json(&c, &choice, &h.arena, "es");
    assert_true(json_integer_value(json_object_get(more, "share_ppm")) >=
                json_integer_value(json_object_get(x, "share_ppm")));
    assert_string_equal(json_string_value(json_object_get(first_of(more, "lines"), "sentence")),
                        "improbable: 0 % (se espera: 0 % del pedido)");
    json_decref(x);
    json_decref(more);
    house_close(&h);
}

/* What the profile says of work and of late goods is in the problem, and an order met late says so.
 */
static void work_and_late_goods_are_planned_with(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct safety_choice choice;
    house_open(&h);
    plans_seed(&h);
    plans_order(&h, "SOON", 9, 400);
    struct late_group late = {
        .group = "", /* that of who has none */ .days = 3, .cost_per_kg_day = 100};
    struct profile with = *h.lg->profile;
    with.planning.late = &late;
    with.planning.late_count = 1;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.work_count, 1);
    assert_string_equal(c.problem.works[0].code, "hours of people");
    assert_float_equal(c.problem.works[0].per_packed_kg[0], 0.014, 1e-12);
    assert_float_equal(c.problem.works[0].limit[20], 96, 1e-12);
    int group = c.problem.lines[0].group;
    assert_string_equal(c.problem.groups[group].code, "");
    assert_int_equal(c.problem.groups[group].late_days, 3);
    assert_ok(planning_choose(&h.arena, &c, &(struct planning_ask){.seconds = 0}, &choice));
    assert_int_equal(choice.outcome.met_pieces[0], 400);
    assert_true(choice.outcome.met_days[0] > 9); /* nothing soaked today is ready on its day */
    json_t *chance = planning_chance_json(&c, &choice, &h.arena, "en");
    const json_t *line = first_of(chance, "lines");
    assert_int_equal(json_integer_value(json_object_get(line, "met_ppm")), 0);
    int64_t late_ppm = json_integer_value(json_object_get(line, "late_met_ppm"));
    assert_true(late_ppm > 500000);
    assert_true(json_integer_value(json_object_get(line, "late_share_ppm")) >= late_ppm);
    assert_non_null(strstr(json_string_value(json_object_get(line, "sentence")),
                           "unlikely: 0 % (expected: 0 % of it); up to 3 days late: "));
    assert_true(json_integer_value(json_object_get(chance, "late_g")) > 0);
    json_decref(chance);
    json_t *command = planning_take(&c, &choice.outcome, NULL, 0, &h.arena);
    const json_t *told = first_of(command, "promises");
    assert_string_equal(json_string_value(json_object_get(told, "day")),
                        plans_day(&h, choice.outcome.met_days[0]));
    json_decref(command);
    house_close(&h);
}

/* A pack that the house gives in place of another goes to an order, and both say so. */
static void a_pack_given_instead_is_told_at_the_order(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    house_take(&h, "{'kind':'item','code':'MUNG500','name':'Mung bean sprouts 500 g',"
                   "'item_kind':'packed','family':'mung','net':'500 "
                   "g','pieces_per_case':20,'life_days':8,'source_item':'MUNG'}");
    plans_order(&h, "SOON", 2, 400);
    struct item_swap swaps[] = {
        {.item = "MUNG250", .given = "MUNG500", .groups = "", .cost_per_kg = 300},
        {.item = "MUNG250", .given = "NOT-KNOWN", .groups = "", .cost_per_kg = 300}};
    struct profile with = *h.lg->profile;
    with.planning.swaps = swaps;
    with.planning.swap_count = 2;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.swap_count, 1);
    const struct plan_swap *x = &c.problem.swaps[0];
    assert_string_equal(c.names.items[x->from_product], "MUNG250");
    assert_string_equal(c.names.items[x->to_product], "MUNG500");
    assert_float_equal(x->cost_per_kg, 0.3, 1e-12);
    assert_true(x->groups[c.problem.lines[0].group]);
    static const int now[PLAN_MARKETS_MAX];
    struct plan_stock stock = {"LOT", 0, x->to_product, 0, 60, UINT32_MAX, now, NULL, NULL, NULL};
    stock.crop = c.problem.products[x->to_product].crop;
    c.problem.stock = &stock;
    c.problem.stock_count = 1;
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    /* 60 kg are 119 packs of 502.5 g */
    assert_int_equal(outcome.met_pieces[0], 119);
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    const json_t *told = first_of(plan, "instead");
    assert_string_equal(json_string_value(json_object_get(told, "order")), "SOON");
    assert_string_equal(json_string_value(json_object_get(told, "sentence")),
                        "119 pieces as MUNG500");
    struct planning_why why;
    planning_why(&c, &outcome, h.lg->profile, &h.arena, &why);
    planning_board(&c, &outcome, &why, &h.arena, "es", plan);
    told = first_of(first_of(plan, "orders"), "instead");
    assert_string_equal(json_string_value(json_object_get(told, "sentence")),
                        "119 piezas como MUNG500");
    json_decref(plan);
    json_t *take = planning_take(&c, &outcome, NULL, 0, &h.arena);
    told = first_of(first_of(take, "promises"), "instead");
    assert_string_equal(json_string_value(json_object_get(told, "item")), "MUNG500");
    assert_int_equal(json_integer_value(json_object_get(told, "pieces")), 119);
    json_decref(take);
    swaps[0].groups = "shops";
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_false(c.problem.swaps[0].groups[c.problem.lines[0].group]);
    house_close(&h);
}

/* A crop harvested in parts: what is started and what grows has a day for each, and a chamber
 * partly harvested keeps its rest. */
static void parts_of_a_harvest_keep_their_days(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    plans_seed(&h);
    house_grow(&h, "C2", "100 kg");
    int64_t start_ms = h.fixed.now_ms;
    struct item_part parts[] = {
        {.item = "MUNG", .after_days = 0, .share_ppm = 600000, .yield = 1000},
        {.item = "MUNG", .after_days = 2, .share_ppm = 400000, .yield = 1100}};
    struct profile with = *h.lg->profile;
    with.planning.parts = parts;
    with.planning.part_count = 2;
    house_wait(&h, "1 d");
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    const struct plan_way *way = &c.problem.crops[c.problem.products[0].crop].ways[0];
    assert_int_equal(plan_way_harvests(way), 2);
    double whole_kg = 100 * way->packed_kg_per_seed_kg;
    assert_int_equal(c.problem.running_count, 2);
    const struct plan_running *r = c.problem.running;
    assert_int_equal(c.problem.first_day + r[0].harvest_day, harvest_day_of(start_ms));
    assert_int_equal(r[1].harvest_day, r[0].harvest_day + 2);
    assert_int_equal(r[1].chamber, r[0].chamber);
    assert_true(fabs(r[0].packed_kg - 0.6 * whole_kg) < 1e-3 * whole_kg);
    assert_true(fabs(r[1].packed_kg - 0.44 * whole_kg) < 1e-3 * whole_kg);
    assert_int_equal(plan_chamber_free_day(&c.problem, r[1].chamber, NULL),
                     r[1].harvest_day + c.problem.cleaning_days);
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'70 %%','mass':'560 kg','place':'WASH'}",
               r[0].lot);
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.running_count, 1); /* the first part and some of the second */
    r = c.problem.running;
    assert_int_equal(c.problem.first_day + r->harvest_day, harvest_day_of(start_ms) + 2);
    assert_true(fabs(r->packed_kg - 0.33 * whole_kg) < 1e-3 * whole_kg);
    house_wait(&h, "8 d"); /* its heat is reached, and the second part's day does not move */
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.first_day + c.problem.running->harvest_day,
                     harvest_day_of(start_ms) + 2);
    plans_order(&h, "LATER", 16, 1600);
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    const json_t *start = first_of(plan, "starts"), *harvests = json_object_get(start, "harvests");
    assert_int_equal(json_array_size(harvests), 2);
    assert_string_equal(json_string_value(json_object_get(first_of(start, "harvests"), "day")),
                        json_string_value(json_object_get(start, "harvest")));
    json_decref(plan);
    /* what is taken is the chamber until its last harvest, and that is what luck is measured by */
    json_t *command = planning_take(&c, &outcome, NULL, 0, &h.arena);
    assert_int_equal(json_integer_value(json_object_get(first_of(command, "starts"), "grow_days")),
                     c.problem.crops[c.problem.products[0].crop].ways[0].grow_days + 2);
    json_decref(command);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_poor_seed_lot_is_planned_with_what_it_gave),
        cmocka_unit_test(work_and_late_goods_are_planned_with),
        cmocka_unit_test(parts_of_a_harvest_keep_their_days),
        cmocka_unit_test(a_pack_given_instead_is_told_at_the_order),
        cmocka_unit_test(a_house_at_rest_is_a_problem_without_demand),
        cmocka_unit_test(what_grows_is_seen_with_its_day_and_its_yield),
        cmocka_unit_test(orders_are_planned_from_approved_seed),
        cmocka_unit_test(seed_that_starts_do_not_get_goes_into_chances),
        cmocka_unit_test(a_plan_taken_is_kept_when_planned_again),
        cmocka_unit_test(what_comes_too_late_is_short_with_its_reason),
        cmocka_unit_test(seed_that_is_held_or_not_approved_serves_nobody),
        cmocka_unit_test(a_chamber_out_of_service_is_planned_around),
        cmocka_unit_test(past_orders_become_a_forecast),
        cmocka_unit_test(a_plan_says_how_likely_each_order_is),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

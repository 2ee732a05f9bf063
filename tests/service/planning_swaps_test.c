/* Packs of one crop given in place of another's, from the profile to what orders are told. */
#include "plans.h"

#include "base/file.h"
#include "evidence.h"
#include "service/view_orders.h"
#include "service/view_plan.h"
#include "view_support.h"

/* The project's profile with these swaps, taken in as any other. */
static void take_swaps(struct house *h, const char *swaps)
{
    char *text, *list = arena_copy(&h->arena, swaps);
    size_t len;
    json_t *profile, *x;
    for (char *at = list; *at != '\0'; at++) {
        *at = *at == '\'' ? '"' : *at;
    }
    assert_ok(file_read(&h->arena, PROFILE_FILE, 1 << 22, &text, &len));
    assert_ok(json_read(text, len, SIZE_MAX, &profile));
    assert_ok(json_read(list, strlen(list), SIZE_MAX, &x));
    json_object_set_new(json_object_get(profile, "planning"), "swaps", x);
    char *with = json_dumps(profile, JSON_INDENT(2));
    assert_ok(house_send_json(h, json_pack("{s:s,s:s}", "kind", "profile", "text", with)));
    free(with);
    json_decref(profile);
    assert_ok(ledger_reload(h->lg));
}

/* The house with a second crop, and packs of it given in place of the first's. */
static void open_house(struct house *h, const char *swaps)
{
    house_open(h);
    house_take(h, "{'kind':'item','code':'URDSEED','item_kind':'seed','family':'mung'}");
    house_take(h, "{'kind':'item','code':'URD','item_kind':'growing','family':'mung'}");
    house_take(h, "{'kind':'item','code':'URD250','item_kind':'packed','family':'mung',"
                  "'net':'250 g','pieces_per_case':40,'life_days':8,'source_item':'URD'}");
    house_take(h, "{'kind':'item','code':'MUNG500','item_kind':'packed','family':'mung',"
                  "'net':'500 g','pieces_per_case':20,'life_days':8,'source_item':'MUNG'}");
    take_swaps(h, swaps);
}

static const char CHEAP[] = "[{'item':'MUNG250','given':'URD250','cost_per_kg':'0.02'}]";

/* The plan that the search finds; no other program is asked. */
static void search_for(struct house *h, const struct planning_case *c, struct plan_outcome *out)
{
    struct improve_options options = {.solver = {.seconds = 60}, .seed = 1, .moves = 20000};
    assert_ok(plan_make(&h->arena, &c->problem, &options, out));
}

static const json_t *first_of(const json_t *o, const char *list)
{
    const json_t *first = json_array_get(at_key(o, list), 0);
    assert_non_null(first);
    return first;
}

/* Plan and board in a language. */
static json_t *told(struct house *h, const struct planning_case *c,
                    const struct plan_outcome *outcome, const char *lang)
{
    struct planning_why why;
    planning_why(c, outcome, h->lg->profile, &h->arena, &why);
    json_t *plan = planning_json(c, outcome, &h->arena, lang);
    planning_board(c, outcome, &why, &h->arena, lang, plan);
    return plan;
}

static int starts_of(const struct planning_case *c, const struct plan_outcome *outcome,
                     const char *item)
{
    int count = 0;
    for (int i = 0; i < outcome->start_count; i++) {
        count += strcmp(c->problem.crops[outcome->starts[i].crop].code, item) == 0;
    }
    return count;
}

/* The order's line in the order book of the next 21 days, in the arena's keeping. */
static json_t *book_of(struct house *h)
{
    struct view v = view_as(h, 9, "planner");
    int32_t today = (int32_t)(h->fixed.now_ms / PLANS_DAY_MS);
    json_t *book;
    assert_ok(view_orders(&v, today, today + 21, &book));
    return book;
}

static const json_t *line_of(const json_t *book)
{
    return first_of(first_of(book, "days"), "lines");
}

/* There is no seed of what is ordered: the other crop is soaked for it, and whoever reads the plan,
 * the order book or the plan in force is told so. */
static void the_other_crop_is_soaked_where_it_is_the_only_way(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct safety_choice choice;
    open_house(&h, CHEAP);
    plans_seed_of(&h, "URDSEED", 300);
    plans_order(&h, "O-1", 14, 1600);
    plans_read(&h, &c);
    assert_int_equal(c.problem.swap_count, 1);
    assert_ok(planning_choose(&h.arena, &c, &(struct planning_ask){.seconds = 0}, &choice));
    const struct plan_outcome *outcome = &choice.outcome;
    assert_int_equal(outcome->met_pieces[0], 1600);
    assert_true(outcome->start_count > 0);
    assert_int_equal(starts_of(&c, outcome, "URD"), outcome->start_count);
    json_t *plan = told(&h, &c, outcome, "en");
    assert_int_equal(json_array_size(at_key(plan, "shorts")), 0);
    const json_t *given = first_of(plan, "instead");
    assert_string_equal(text_at(given, "order"), "O-1");
    assert_string_equal(text_at(given, "item"), "MUNG250");
    assert_string_equal(text_at(given, "sentence"), "1600 pieces as URD250");
    const json_t *for_what = first_of(first_of(plan, "starts"), "for");
    assert_string_equal(text_at(for_what, "order"), "O-1");
    assert_string_equal(text_at(for_what, "item"), "MUNG250");
    assert_string_equal(text_at(first_of(first_of(plan, "orders"), "instead"), "given"), "URD250");
    json_decref(plan);
    /* likely, though no batch of what is ordered ever comes */
    json_t *chance = planning_chance_json(&c, &choice, &h.arena, "en");
    assert_true(number_at(first_of(chance, "lines"), "met_ppm") > 500000);
    json_decref(chance);
    json_t *take = planning_take(&c, outcome, NULL, 0, &h.arena);
    assert_string_equal(text_at(first_of(take, "starts"), "item"), "URD");
    assert_ok(house_send_json(&h, take));
    json_t *book = book_of(&h);
    given = first_of(line_of(book), "instead");
    assert_string_equal(text_at(given, "item"), "URD250");
    assert_int_equal(number_at(given, "pieces"), 1600);
    json_decref(book);
    struct view v = view_as(&h, 9, "planner");
    json_t *in_force;
    assert_ok(view_plan(&v, &in_force));
    assert_string_equal(text_at(first_of(in_force, "taken"), "item"), "URD");
    plan = json_object_get(in_force, "plan");
    assert_int_equal(number_at(at_key(plan, "sums"), "booked_met"), 1600);
    assert_string_equal(text_at(first_of(plan, "instead"), "sentence"), "1600 pieces as URD250");
    json_decref(in_force);
    house_close(&h);
}

/* A chamber of the other crop grows with nobody to take it: it goes to the order, and no seed is
 * soaked for that. Where customers take it ill the ordered crop is soaked as ever. */
static void goods_of_the_other_crop_go_where_that_is_cheaper(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    open_house(&h, CHEAP);
    plans_seed(&h);
    h.crop = "URD";
    house_grow(&h, "C2", "100 kg");
    plans_order(&h, "O-1", 12, 400);
    plans_read(&h, &c);
    assert_int_equal(c.problem.running_count, 1);
    search_for(&h, &c, &outcome);
    assert_int_equal(outcome.met_pieces[0], 400);
    for (int i = 0; i < outcome.start_count; i++) {
        assert_true(outcome.starts[i].harvest_day > 12); /* for the end alone */
    }
    json_t *plan = told(&h, &c, &outcome, "es");
    assert_string_equal(text_at(first_of(first_of(plan, "orders"), "instead"), "sentence"),
                        "400 piezas como URD250");
    json_decref(plan);
    take_swaps(&h, "[{'item':'MUNG250','given':'URD250','cost_per_kg':'5'}]");
    plans_read(&h, &c);
    search_for(&h, &c, &outcome);
    assert_int_equal(outcome.met_pieces[0], 400);
    assert_true(starts_of(&c, &outcome, "MUNG") > 0);
    plan = told(&h, &c, &outcome, "en");
    assert_int_equal(json_array_size(at_key(plan, "instead")), 0);
    json_decref(plan);
    house_close(&h);
}

/* What neither crop's seed suffices for is short of the ordered one's seed; what is to be bought is
 * that, and what the other crop gives is promised for the day. */
static void a_short_is_told_beside_what_is_given(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    open_house(&h, CHEAP);
    plans_seed_of(&h, "URDSEED", 70);
    plans_order(&h, "O-1", 14, 3000);
    plans_read(&h, &c);
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    int64_t met = outcome.met_pieces[0];
    assert_true(met > 1000 && met < 3000);
    assert_int_equal(outcome.short_count, 1);
    assert_int_equal(outcome.shorts[0].pieces, 3000 - met);
    assert_int_equal(outcome.shorts[0].limit, PLAN_LIMIT_SEED);
    json_t *plan = told(&h, &c, &outcome, "en");
    const json_t *gap = first_of(plan, "shorts");
    assert_non_null(strstr(text_at(gap, "sentence"), "no usable seed is left"));
    assert_non_null(strstr(text_at(at_key(gap, "gain"), "sentence"), "MUNGSEED"));
    assert_true(number_at(at_key(gap, "gain"), "pieces") > 0);
    const json_t *order = first_of(plan, "orders");
    assert_int_equal(number_at(order, "met"), met);
    assert_int_equal(number_at(first_of(order, "instead"), "pieces"), met);
    assert_true(json_is_null(at_key(at_key(order, "rest"), "day"))); /* no seed on its way */
    assert_string_equal(text_at(first_of(plan, "purchase"), "item"), "MUNGSEED");
    json_decref(plan);
    json_t *take = planning_take(&c, &outcome, NULL, 0, &h.arena);
    const json_t *promise = first_of(take, "promises");
    assert_int_equal(number_at(promise, "pieces"), met);
    assert_string_equal(text_at(first_of(promise, "instead"), "item"), "URD250");
    json_decref(take);
    house_close(&h);
}

/* Packs of the other crop, of another weight, that stand in the cold room: whole pieces of them
 * serve, they are stock in the plan's picture, and the order book counts them once promised. */
static void packs_that_are_made_serve_piece_by_piece(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    open_house(&h, "[{'item':'MUNG500','given':'URD250','cost_per_kg':'0.1'}]");
    h.crop = "URD";
    house_batch(&h, "C1", true);
    house_take(&h,
               "{'kind':'order','source':'shop','lines':[{'key':'O-1','customer':'COTYLEDON',"
               "'item':'MUNG500','day':'%s','pieces':100}]}",
               plans_day(&h, 2));
    plans_read(&h, &c);
    assert_int_equal(c.problem.stock_count, 1);
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    assert_int_equal(outcome.met_pieces[0], 100);
    json_t *plan = told(&h, &c, &outcome, "en");
    assert_string_equal(text_at(first_of(plan, "instead"), "sentence"), "100 pieces as URD250");
    const json_t *supply = first_of(plan, "supply");
    assert_string_equal(text_at(supply, "item"), "MUNG500");
    assert_int_equal(number_at(supply, "stock"), 100);
    assert_int_equal(number_at(supply, "pieces"), 0);
    json_decref(plan);
    assert_ok(house_send_json(&h, planning_take(&c, &outcome, NULL, 0, &h.arena)));
    json_t *book = book_of(&h);
    assert_int_equal(number_at(line_of(book), "stock"), 100);
    assert_int_equal(number_at(line_of(book), "missing"), 0);
    json_decref(book);
    house_close(&h);
}

/* Only customers of the groups named take it; a swap back is a swap of its own. */
static void who_does_not_take_it_is_not_given_it(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    open_house(&h, "[{'item':'MUNG250','given':'URD250','cost_per_kg':'0.02','groups':['shops']},"
                   "{'item':'URD250','given':'MUNG250','cost_per_kg':'0.02'}]");
    plans_seed_of(&h, "URDSEED", 300);
    plans_order(&h, "O-1", 14, 1600);
    plans_read(&h, &c);
    assert_int_equal(c.problem.swap_count, 2);
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    assert_int_equal(outcome.met_pieces[0], 0);
    assert_int_equal(outcome.start_count, 0);
    house_close(&h);
}

/* On the first open evening the other crop is rehearsed as what it is soaked for. */
static void the_first_open_evening_soaks_it_too(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct safety_choice choice;
    open_house(&h, CHEAP);
    plans_seed_of(&h, "URDSEED", 300);
    plans_read(&h, &c);
    int urd = 0;
    while (strcmp(c.problem.crops[urd].code, "URD") != 0) {
        urd++;
    }
    int ready = c.problem.frozen_days + c.problem.crops[urd].ways[0].grow_days;
    plans_order(&h, "O-1", ready, 1600);
    plans_read(&h, &c);
    assert_ok(planning_choose(&h.arena, &c, &(struct planning_ask){.seconds = 0}, &choice));
    assert_non_null(choice.tonight);
    assert_true(choice.tonight->crops[urd].is_rehearsed);
    assert_true(choice.tonight->crops[urd].count > 0);
    json_t *list = planning_rehearsed_json(&c, &choice, &h.arena, "en");
    assert_int_equal(json_array_size(list), 1);
    assert_string_equal(text_at(json_array_get(list, 0), "item"), "URD");
    json_decref(list);
    assert_int_equal(starts_of(&c, &choice.outcome, "URD"), choice.outcome.start_count);
    assert_int_equal(choice.outcome.met_pieces[0], 1600);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_other_crop_is_soaked_where_it_is_the_only_way),
        cmocka_unit_test(goods_of_the_other_crop_go_where_that_is_cheaper),
        cmocka_unit_test(a_short_is_told_beside_what_is_given),
        cmocka_unit_test(packs_that_are_made_serve_piece_by_piece),
        cmocka_unit_test(who_does_not_take_it_is_not_given_it),
        cmocka_unit_test(the_first_open_evening_soaks_it_too),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

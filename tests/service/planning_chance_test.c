/* What the record says of second tests, in plans and chances. */
#include "plans.h"

#include <math.h>

#include "evidence.h"

enum { HOUR_MS = 3600000, MARKETS = 8 };

/* The house's profile, in which a second test takes two days in every market. */
struct waiting {
    struct profile profile;
    struct market markets[MARKETS];
};

static void wait_two_days(const struct house *h, struct waiting *out)
{
    out->profile = *h->lg->profile;
    assert_true(out->profile.market_count <= MARKETS);
    for (size_t m = 0; m < out->profile.market_count; m++) {
        out->markets[m] = h->lg->profile->markets[m];
        assert_int_equal(out->markets[m].retest_ms, 0); /* nothing is shipped */
        out->markets[m].retest_ms = (int64_t)48 * HOUR_MS;
    }
    out->profile.markets = out->markets;
}

static const struct chance_crop *mung(const struct planning_case *c)
{
    return &c->model.crops[c->problem.products[0].crop];
}

static void read_with(struct house *h, const struct waiting *w, struct planning_case *out)
{
    assert_ok(planning_read(h->store, NULL, &w->profile, h->fixed.now_ms, &h->arena, out));
    assert_int_equal(out->problem.running_count, 1);
}

static void harvest(struct house *h, const char *lot)
{
    house_wait(h, "7 d");
    house_take(h,
               "{'kind':'harvest','mode':'tell','lot':'%s','share':'rest','mass':'480 kg',"
               "'place':'WASH'}",
               lot);
}

static const char *sampled(struct house *h, const char *lot, const char *state)
{
    house_wait(h, "1 h");
    const char *sample = house_sample(h, lot);
    house_result(h, sample, "E. coli O157:H7", "negative");
    house_result(h, sample, "Salmonella spp.", state);
    return sample;
}

/* Days from one test to two of the lot that grows, in the first market. */
static int days_more(const struct planning_case *c)
{
    return c->problem.running[0].again_day[0] - c->problem.running[0].once_day[0];
}

/* One batch is found negative at once, one by a second sample, one by a second result of the same,
 * one is barred, and one has no result: of three, two took a second test. */
static void second_tests_are_learnt_from_the_record(void **state)
{
    (void)state;
    struct house h;
    struct waiting w;
    struct planning_case c;
    house_open(&h);
    wait_two_days(&h, &w);
    const char *lot = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "50 h");
    read_with(&h, &w, &c);
    assert_true(fabs(mung(&c)->retested - CHANCE_RETESTED_BEFORE) < 1e-9);
    assert_true(fabs(mung(&c)->once - CHANCE_ONCE_BEFORE) < 1e-9);
    sampled(&h, lot, "negative");
    harvest(&h, lot);

    lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "50 h");
    read_with(&h, &w, &c);
    assert_true(fabs(mung(&c)->once - CHANCE_ONCE_BEFORE - 1) < 1e-9);
    assert_int_equal(days_more(&c), 2);
    sampled(&h, lot, "invalid");
    read_with(&h, &w, &c);
    assert_int_equal(days_more(&c), 0); /* it is known that a second test is waited for */
    sampled(&h, lot, "negative");
    harvest(&h, lot);

    lot = house_grow(&h, "C3", "100 kg");
    house_wait(&h, "50 h");
    const char *sample = sampled(&h, lot, "invalid");
    house_wait(&h, "1 h");
    house_result(&h, sample, "Salmonella spp.", "negative");
    harvest(&h, lot);

    lot = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "50 h");
    sample = sampled(&h, lot, "presumptive");
    house_result(&h, sample, "Salmonella spp.", "confirmed-positive");
    harvest(&h, lot);
    harvest(&h, house_grow(&h, "C2", "100 kg"));

    house_grow(&h, "C3", "100 kg");
    read_with(&h, &w, &c);
    assert_true(fabs(mung(&c)->retested - CHANCE_RETESTED_BEFORE - 2) < 1e-9);
    assert_true(fabs(mung(&c)->once - CHANCE_ONCE_BEFORE - 1) < 1e-9);
    assert_true(fabs(mung(&c)->barred - CHANCE_BARRED_BEFORE - 1) < 1e-9);
    house_close(&h);
}

static void held_for_quality(struct house *h, const char *lot)
{
    house_take(h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],"
               "'needs':'decision','reason':'smell'}",
               lot);
}

/* Of four barred batches, those that were never harvested or held before it count as early; what a
 * result barred, or a hold of later, may still come to what is in stock. */
static void what_never_came_to_be_goods_is_told_apart(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    house_open(&h);
    const char *lot = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "50 h");
    sampled(&h, lot, "presumptive");
    const char *sample = house_sample(&h, lot);
    house_result(&h, sample, "Salmonella spp.", "confirmed-positive");
    harvest(&h, lot);
    plans_read(&h, &c);
    assert_true(fabs(mung(&c)->barred - CHANCE_BARRED_BEFORE - 1) < 1e-9);
    assert_true(mung(&c)->barred_early == 0);
    lot = house_grow(&h, "C2", "100 kg");
    harvest(&h, lot);
    held_for_quality(&h, lot); /* after its harvest */
    plans_read(&h, &c);
    assert_true(fabs(mung(&c)->barred - CHANCE_BARRED_BEFORE - 2) < 1e-9);
    assert_true(mung(&c)->barred_early == 0);
    lot = house_grow(&h, "C3", "100 kg");
    house_wait(&h, "50 h");
    held_for_quality(&h, lot);
    harvest(&h, lot);
    plans_read(&h, &c);
    assert_true(fabs(mung(&c)->barred - CHANCE_BARRED_BEFORE - 3) < 1e-9);
    assert_true(mung(&c)->barred_early == 1);
    house_close(&h);
}

/* Ready days count the second test where the house says so, of what grows and of what is to be
 * soaked; futures still know of both days. */
static void a_house_may_plan_with_the_second_test(void **state)
{
    (void)state;
    struct house h;
    struct waiting w;
    struct planning_case once, planned;
    house_open(&h);
    wait_two_days(&h, &w);
    house_grow(&h, "C2", "100 kg");
    house_wait(&h, "1 d");
    read_with(&h, &w, &once);
    w.profile.planning.retest_planned = true;
    read_with(&h, &w, &planned);
    for (int m = 0; m < once.problem.market_count; m++) {
        const struct plan_running *r = &once.problem.running[0], *p = &planned.problem.running[0];
        assert_int_equal(r->ready_day[m], r->once_day[m]);
        assert_int_equal(p->ready_day[m], r->ready_day[m] + 2);
        assert_int_equal(p->once_day[m], r->once_day[m]);
        assert_int_equal(plan_ready_day(&planned.problem, m, 3),
                         plan_ready_day(&once.problem, m, 3) + 2);
    }
    house_close(&h);
}

/* What an order is left short of in the plan and gets in most futures is told with the reason;
 * where it is doubtful, or whole in the plan, there is nothing to tell. */
static void what_is_short_in_the_plan_and_met_in_most_futures_is_explained(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    house_open(&h);
    plans_order(&h, "O-1", 3, 40);
    plans_order(&h, "O-2", 4, 40);
    plans_order(&h, "O-3", 5, 40);
    plans_read(&h, &c);
    struct safety_choice choice = {
        .safety.level = ARENA_ARRAY(&h.arena, double, (size_t)c.problem.crop_count),
        .chance.lines = ARENA_ARRAY(&h.arena, struct chance_line, (size_t)c.problem.line_count)};
    static const double met[] = {0.99, 0.3, 0.99};
    json_t *plan =
        json_pack("{s:[],s:[{s:s,s:i}]}", "orders", "shorts", "order", "O-1", "pieces", 10);
    for (int i = 0; i < c.problem.line_count; i++) {
        const char *order = planning_order(&c, i);
        if (order == NULL) {
            continue;
        }
        choice.chance.lines[i].met = met[order[2] - '1'];
        json_array_append_new(json_object_get(plan, "orders"),
                              json_pack("{s:s,s:i,s:i}", "order", order, "pieces", 40, "met",
                                        order[2] == '3' ? 40 : 30));
    }
    planning_chance_put(&c, &choice, &h.arena, "en", plan);
    size_t i;
    json_t *o;
    const json_t *orders = json_object_get(plan, "orders");
    assert_int_equal(json_array_size(orders), 3);
    json_array_foreach(orders, i, o)
    {
        bool is_said = json_object_get(o, "chance_says") != NULL;
        assert_int_equal(is_said,
                         strcmp(json_string_value(json_object_get(o, "order")), "O-1") == 0);
    }
    const json_t *lacks = json_array_get(json_object_get(plan, "shorts"), 0);
    assert_int_equal(json_integer_value(json_object_get(lacks, "chance_percent")), 99);
    assert_non_null(strstr(json_string_value(json_object_get(lacks, "chance_says")),
                           "In 99 of 100 futures it is met all the same"));
    json_decref(plan);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(second_tests_are_learnt_from_the_record),
        cmocka_unit_test(a_house_may_plan_with_the_second_test),
        cmocka_unit_test(what_is_short_in_the_plan_and_met_in_most_futures_is_explained),
        cmocka_unit_test(what_never_came_to_be_goods_is_told_apart),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

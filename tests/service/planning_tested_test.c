/* Which results a plan waits for, and what it says of those that are tested again. */
#include "plans.h"

#include "evidence.h"

enum { HOUR_MS = 3600000, MARKETS = 8 };

/* The house's profile, in which a second test takes so many days in every market. */
struct waiting {
    struct profile profile;
    struct market markets[MARKETS];
};

static void wait_longer(const struct house *h, int days, struct waiting *out)
{
    out->profile = *h->lg->profile;
    assert_true(out->profile.market_count <= MARKETS);
    for (size_t m = 0; m < out->profile.market_count; m++) {
        out->markets[m] = h->lg->profile->markets[m];
        out->markets[m].retest_ms = (int64_t)24 * days * HOUR_MS;
    }
    out->profile.markets = out->markets;
}

static void read_with(struct house *h, const struct profile *p, struct planning_case *out)
{
    assert_ok(planning_read(h->store, NULL, p, h->fixed.now_ms, &h->arena, out));
}

static const char *sentence(struct house *h, const struct planning_case *c, const char *lang)
{
    json_t *list = planning_retests_json(c, &h->arena, lang);
    assert_int_equal(json_array_size(list), 1);
    const char *says = arena_copy(
        &h->arena, json_string_value(json_object_get(json_array_get(list, 0), "sentence")));
    json_decref(list);
    return says;
}

static const char *day(struct house *h, const char *lang, int days)
{
    return words_day(&h->arena, lang, (int32_t)(h->fixed.now_ms / PLANS_DAY_MS) + days);
}

/* Packed, and a result still open: it waits for the laboratory as the batch does, and for its
 * second test once the first asks for it; when all is negative nothing is left to draw. */
static void what_is_packed_waits_for_its_open_result(void **state)
{
    (void)state;
    struct house h;
    struct waiting w;
    struct planning_case c;
    house_open(&h);
    wait_longer(&h, 12, &w); /* it is packed nine days after soaking */
    struct house_batch b = house_begin_batch(&h, "C1");
    int64_t start_ms = h.fixed.now_ms;
    house_wait(&h, "49 h");
    const char *sample = house_sample(&h, b.growing);
    house_result(&h, sample, "E. coli O157:H7", "negative");
    house_end_batch(&h, &b, false);
    read_with(&h, &w.profile, &c);
    assert_int_equal(c.problem.stock_count, 1);
    const struct plan_stock *s = &c.problem.stock[0];
    assert_string_equal(s->lot, b.packed);
    assert_string_equal(s->batch, b.growing);
    assert_int_equal(c.retest_count, 0);
    int start_day = (int)(start_ms / PLANS_DAY_MS - h.fixed.now_ms / PLANS_DAY_MS);
    for (int m = 0; m < c.problem.market_count; m++) {
        int once = plan_ready_day_tested(&c.problem, m, start_day, false);
        assert_int_equal(s->once_day[m], once > 1 ? once : 1);
        assert_int_equal(s->ready_day[m], s->once_day[m]);
        assert_int_equal(s->again_day[m], plan_ready_day_tested(&c.problem, m, start_day, true));
        assert_true(s->again_day[m] > s->once_day[m]);
    }
    /* a first result that leaves it open: the second test is known */
    house_result(&h, sample, "Salmonella spp.", "invalid");
    read_with(&h, &w.profile, &c);
    s = &c.problem.stock[0];
    assert_string_equal(s->batch, b.growing);
    assert_int_equal(c.retest_count, 1);
    for (int m = 0; m < c.problem.market_count; m++) {
        assert_int_equal(s->ready_day[m], plan_ready_day_tested(&c.problem, m, start_day, true));
        assert_int_equal(s->once_day[m], s->again_day[m]);
    }
    house_result(&h, sample, "Salmonella spp.", "negative");
    read_with(&h, &w.profile, &c);
    s = &c.problem.stock[0];
    assert_null(s->batch);
    assert_int_equal(c.retest_count, 0);
    int us = 0;
    while (strcmp(c.problem.markets[us].code, "US") != 0) {
        us++;
    }
    assert_int_equal(s->ready_day[us], 1); /* not released yet: tomorrow */
    house_close(&h);
}

/* What is said of a lot that grows, and which day moves. */
static void a_result_tested_again_is_said_with_the_day_it_moves(void **state)
{
    (void)state;
    struct house h;
    struct waiting w;
    struct planning_case c;
    house_open(&h);
    wait_longer(&h, 2, &w);
    struct house_batch b = house_begin_batch(&h, "C1");
    house_wait(&h, "49 h");
    const char *sample = house_sample(&h, b.growing), *other = house_sample(&h, b.growing);
    house_result(&h, sample, "E. coli O157:H7", "negative");
    house_result(&h, sample, "Salmonella spp.", "presumptive");
    house_result(&h, other, "Salmonella spp.", "negative"); /* the other sample of the same day */
    read_with(&h, &w.profile, &c);
    assert_int_equal(c.retest_count, 1);
    const struct planning_retest *x = &c.retests[0];
    assert_string_equal(x->lot, b.growing);
    assert_int_equal(x->to_day - x->from_day, 2);
    assert_true(x->to_day < c.problem.running[0].harvest_day); /* known before it is harvested */
    int harvest = c.problem.running[0].harvest_day;
    const char *markets = c.problem.market_count == 3 ? "US, EU, house" : "";
    assert_string_equal(
        sentence(&h, &c, "en"),
        arena_printf(&h.arena,
                     "%s is tested again: the result for %s is due by %s, and no day moves.",
                     b.growing, markets, day(&h, "en", x->to_day)));
    /* a test so long that goods wait for it */
    for (size_t m = 0; m < w.profile.market_count; m++) {
        w.markets[m].retest_ms = (int64_t)24 * (harvest + 2 - x->from_day) * HOUR_MS;
    }
    read_with(&h, &w.profile, &c);
    assert_string_equal(
        sentence(&h, &c, "en"),
        arena_printf(&h.arena,
                     "%s is tested again: its goods may leave for %s from %s on, not from %s.",
                     b.growing, markets, day(&h, "en", harvest + 2), day(&h, "en", harvest)));
    assert_string_equal(
        sentence(&h, &c, "es"),
        arena_printf(
            &h.arena,
            "%s se analiza de nuevo: su producto puede salir para %s desde el %s, no desde el %s.",
            b.growing, markets, day(&h, "es", harvest + 2), day(&h, "es", harvest)));
    /* a house that does not say how long it takes */
    read_with(&h, h.lg->profile, &c);
    assert_string_equal(
        sentence(&h, &c, "en"),
        arena_printf(&h.arena,
                     "%s is tested again, and the profile does not say how long that takes for %s: "
                     "the plan counts on %s.",
                     b.growing, markets, day(&h, "en", harvest)));
    json_t *list = planning_retests_json(&c, &h.arena, "en");
    assert_true(json_is_null(json_object_get(json_array_get(list, 0), "to")));
    json_decref(list);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_packed_waits_for_its_open_result),
        cmocka_unit_test(a_result_tested_again_is_said_with_the_day_it_moves),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

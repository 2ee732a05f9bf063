/* What gathers in a water, from its readings since it was changed. */
#include "water.h"

#include "ledger/water_balance.h"

static struct water_balance now(void)
{
    struct water_balance b;
    assert_ok(water_balance(h.store, &h.arena, h.lg->profile, "WASH", h.fixed.now_ms, &b));
    return b;
}

static void read_it(const char *solids, const char *flows)
{
    house_take(&h, "{'kind':'water-reading','place':'WASH','solids':'%s mg/L',%s'person':5}",
               solids, flows);
}

static void only_what_the_loop_measures_is_followed(void **state)
{
    assert_false(now().followed);
    house_take(&h, "{'kind':'water-loop','place':'WASH','volume':'2000 L','person':2}");
    assert_false(now().followed); /* nothing is read */
    house_take(&h, "{'kind':'water-loop','place':'WASH','volume':'2000 L','measure':'conductivity',"
                   "'person':2}");
    assert_false(now().followed); /* the profile has no limit for it */
    water_goes_round();
    struct water_balance b = now();
    assert_true(b.followed);
    assert_int_equal(b.limit_milli, 300000);
    assert_int_equal(b.measure, METER_SOLIDS);
    assert_false(b.forecast.known);
}

/* The smaller of the two flows; what was read before the change is of other water. */
static void since_the_change_and_by_the_smaller_flow(void **state)
{
    water_goes_round();
    read_it("290", "");
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'water-change','place':'WASH','person':5}");
    int64_t changed_ms = h.fixed.now_ms;
    house_wait(&h, "1 h");
    read_it("20", "'make_up':'500 L/h','blow_down':'400 L/h',");
    house_wait(&h, "1 h");
    read_it("30", "");
    struct water_balance b = now();
    assert_int_equal(b.seen_count, 2);
    assert_int_equal(b.changed_ms, changed_ms);
    assert_int_equal(b.next_change_ms, changed_ms + 86400000);
    assert_true(b.flows_read);
    assert_int_equal(b.record.leaves_ml_h, 400000);
    assert_true(b.forecast.known && b.forecast.has_steady);
    assert_int_equal(b.forecast.reach, WASH_STAYS_BELOW);
    assert_false(b.due);
    assert_int_equal(b.change_by_ms, b.next_change_ms);
    /* (30 - 20 e) / (1 - e), e = e^(-400 / 5000): 150.07 (computed here) */
    assert_in_range(b.forecast.steady_milli, 150000, 150150);
}

static void without_a_planned_change_a_day_ahead_counts(void **state)
{
    house_take(&h, "{'kind':'water-loop','place':'WASH','volume':'2000 L','measure':'solids',"
                   "'person':2}");
    read_it("100", "");
    house_wait(&h, "2 h");
    read_it("110", ""); /* 5 an hour: 190 more in 38 h */
    assert_false(now().due);
    house_wait(&h, "15 h");
    assert_true(now().due); /* within a day from now */
    house_wait(&h, "1 h");
    read_it("300", "");
    struct water_balance b = now();
    assert_int_equal(b.forecast.reach, WASH_ABOVE_NOW); /* the limit itself is reached */
    assert_int_equal(b.change_by_ms, h.fixed.now_ms);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(only_what_the_loop_measures_is_followed),
        T(since_the_change_and_by_the_smaller_flow),
        T(without_a_planned_change_a_day_ahead_counts),
    };
    RUN(tests);
}

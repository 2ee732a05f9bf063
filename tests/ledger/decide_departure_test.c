/* Why a start went otherwise than planned. */
#include "fixture.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static const char tells[] = "{'kind':'plan-departure','person':%d,'place':'%s','day':'%s',"
                            "'departure':'%s'%s}";

static void plan_for_c1(void)
{
    house_take(&h, "{'kind':'plan-take','person':9,'starts':[{'day':'2026-03-04','place':'C1','"
                   "item':'MUNG','seed':'100 kg','grow_days':7}]}");
}

static void the_reason_is_kept_with_chamber_and_day(void **state)
{
    struct statement *q;
    bool row;
    plan_for_c1();
    house_take(&h, tells, 4, "C1", "2026-03-04", "people-short", ",'what':'two at home'");
    house_take(&h, tells, 4, "C1", "2026-03-04", "seed-short", "");
    q = store_prepare(h.store, Q_NOTED_LAST);
    store_bind_text(q, 1, "departure");
    store_bind_text(q, 2, "C1");
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_string_equal(store_text(q, 5),
                        "{\"day\":\"2026-03-04\",\"what\":null,\"why\":\"seed-short\"}");
    while (row) {
        assert_ok(store_step(q, &row));
    }
}

static void one_of_a_start_that_nobody_knows_is_refused(void **state)
{
    plan_for_c1();
    int64_t next = h.lg->next_seq;
    assert_code(house_send(&h, tells, 4, "C1", "2026-03-05", "seed-short", ""), START_UNKNOWN);
    assert_code(house_send(&h, tells, 4, "C2", "2026-03-04", "seed-short", ""), START_UNKNOWN);
    assert_code(house_send(&h, tells, 4, "C9", "2026-03-04", "seed-short", ""), PLACE_UNKNOWN);
    assert_code(house_send(&h, tells, 4, "C1", "2026-03-04", "weather", ""), FIELD_CHOICE);
    assert_code(house_send(&h, tells, 4, "C1", "4 March", "seed-short", ""), DATE_BAD);
    assert_int_equal(h.lg->next_seq, next);
}

static void what_was_started_without_a_plan_can_be_told_of_too(void **state)
{
    const char *day = day_text(&h.arena, (int32_t)(h.fixed.now_ms / 86400000));
    house_grow(&h, "C3", "100 kg");
    house_take(&h, tells, 4, "C3", day, "decided-otherwise", "");
    assert_code(house_send(&h, tells, 4, "C1", day, "decided-otherwise", ""), START_UNKNOWN);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(the_reason_is_kept_with_chamber_and_day),
        TEST(one_of_a_start_that_nobody_knows_is_refused),
        TEST(what_was_started_without_a_plan_can_be_told_of_too),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

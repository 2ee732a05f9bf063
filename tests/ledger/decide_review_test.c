/* Reviews by real commands. */
#include "fixture/evidence.h"

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

static void reviews_are_by_somebody_else(void **state)
{
    house_clean(&h, "C1", 0);
    int64_t entry = house_number(&h, "entry");
    assert_code(house_send(&h, "{'kind':'review','entries':[%lld]}", (long long)entry), REVIEW_OWN);
    assert_code(
        house_send(&h, "{'kind':'review','entries':[%lld],'person':2}", (long long)entry + 1000),
        ENTRY_UNKNOWN);
    assert_code(house_send(&h, "{'kind':'review','entries':[],'person':2}"), FIELD_RANGE);
    house_take(&h, "{'kind':'review','entries':[%lld,%lld,%lld],'person':2}", (long long)entry,
               (long long)entry - 1, (long long)entry);
    assert_int_equal(house_number(&h, "reviewed"), 2);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(reviews_are_by_somebody_else),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

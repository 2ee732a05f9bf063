#include "../../support.h"

#include "calc/growth/seed_samples.h"

static void a_part_of_a_sample_is_a_whole_one(void **state)
{
    (void)state;
    static const struct {
        int64_t seed_mg, count;
    } cases[] = {{1, 1},          {10000000, 1},     {10000001, 2},          {37000000, 4},
                 {250000000, 25}, {1000000000, 100}, {1000000000000, 100000}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int64_t count = 0;
        assert_ok(seed_samples(cases[i].seed_mg, &count));
        assert_int_equal(count, cases[i].count);
    }
}

static void no_seed_is_refused(void **state)
{
    (void)state;
    int64_t count = 7;
    struct result r = seed_samples(0, &count);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "seed_mg");
    assert_int_equal(count, 0);
    assert_code(seed_samples(INT64_C(1000000000001), &count), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_part_of_a_sample_is_a_whole_one),
        cmocka_unit_test(no_seed_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

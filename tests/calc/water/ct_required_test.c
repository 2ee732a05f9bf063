#include "../../support.h"

#include "../near.h"
#include "calc/water/ct_required.h"

static void ct_is_in_proportion_to_the_decimals(void **state)
{
    (void)state;
    struct ct_need one, three;
    struct ct_ask ask = {.log = 1, .water = {1, 7, 10}};
    assert_ok(ct_required(&ask, &one));
    ask.log = 3;
    assert_ok(ct_required(&ask, &three));
    assert_near(three.ct, 3 * one.ct, 1e-15);
    assert_near(three.ct, three.cell.ct, 0);
}

/* Two and three decimals of viruses as the tables have them (from memory): proportion asks for no
 * less. */
static void viruses_by_proportion_need_no_less(void **state)
{
    (void)state;
    static const double temps[] = {0.5, 5, 10, 15, 20, 25};
    static const double two[] = {6, 4, 3, 2, 1, 1}, three[] = {9, 6, 4, 3, 2, 1};
    for (size_t i = 0; i < 6; i++) {
        struct ct_need need;
        struct ct_ask ask = {.organism = CT_VIRUS, .log = 2, .water = {1, 7, temps[i]}};
        assert_ok(ct_required(&ask, &need));
        assert_true(need.ct >= two[i]);
        ask.log = 3;
        assert_ok(ct_required(&ask, &need));
        assert_true(need.ct >= three[i]);
    }
}

static void warm_water_counts_for_more_only_when_asked(void **state)
{
    (void)state;
    struct ct_need plain, halved;
    struct ct_ask ask = {.log = 3, .water = {1, 7, 30}};
    assert_ok(ct_required(&ask, &plain));
    ask.warm_halving = true;
    assert_ok(ct_required(&ask, &halved));
    assert_near(plain.ct, 37, 0);
    assert_near(halved.ct * halved.ct * 2, 37 * 37, 1e-14);
    ask.water.temp_c = 25;
    assert_ok(ct_required(&ask, &halved));
    assert_near(halved.ct, 37, 0);
}

static void what_no_table_serves_is_refused(void **state)
{
    (void)state;
    struct ct_need need;
    struct ct_ask ask = {.organism = CT_VIRUS, .disinfectant = CT_CHLORAMINE, .log = 2};
    struct result r = ct_required(&ask, &need);
    assert_code(r, FIELD_CHOICE);
    assert_string_equal(r.value[0], "chloramine");
    ask = (struct ct_ask){.disinfectant = CT_OZONE, .log = 2, .between = true};
    assert_string_equal(ct_required(&ask, &need).field, "method");
    ask = (struct ct_ask){.log = 0, .water = {1, 7, 10}};
    assert_string_equal(ct_required(&ask, &need).field, "log");
    ask.log = (double)NAN;
    assert_code(ct_required(&ask, &need), NUMBER_BAD);
    assert_near(need.ct, 0, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ct_is_in_proportion_to_the_decimals),
        cmocka_unit_test(viruses_by_proportion_need_no_less),
        cmocka_unit_test(warm_water_counts_for_more_only_when_asked),
        cmocka_unit_test(what_no_table_serves_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

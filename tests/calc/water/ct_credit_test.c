#include "../../support.h"

#include "../near.h"
#include "calc/water/ct_credit.h"

static const struct ct_segment tank = {5000, 50, 0.3, {0.8, 7.5, 10}};

static void segments_add_up(void **state)
{
    (void)state;
    struct ct_segment chain[3] = {tank, tank, tank};
    struct ct_segment_credit each[3];
    struct ct_credit one, three;
    chain[1].water.ph = 8.5;
    chain[2].water.residual_mg_l = 0;
    assert_ok(ct_credit(&tank, 1, NULL, &one));
    assert_ok(ct_credit(chain, 3, each, &three));
    assert_near(each[0].giardia_log, one.giardia_log, 0);
    assert_near(each[1].ct3_giardia, 189, 0);
    assert_near(each[2].giardia_log, 0, 0);
    assert_near(three.giardia_log, one.giardia_log + 72.0 / 189, 1e-14);
    assert_near(three.t10_min, 90, 1e-14);
    assert_near(three.ct, 48, 1e-14);
    assert_int_equal(three.uncovered, 0);
}

static void a_ph_without_a_table_brings_nothing(void **state)
{
    (void)state;
    static const struct {
        double ph;
        bool giardia, virus;
    } cases[] = {{4.9, false, false}, {5, true, false},   {5.9, true, false}, {6, true, true},
                 {9, true, true},     {9.1, false, true}, {10, false, true},  {10.1, false, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct ct_segment s = tank;
        struct ct_credit r;
        s.water.ph = cases[i].ph;
        assert_ok(ct_credit(&s, 1, NULL, &r));
        assert_true((r.giardia_log > 0) == cases[i].giardia);
        assert_true((r.virus_log > 0) == cases[i].virus);
        assert_int_equal(r.uncovered, !(cases[i].giardia && cases[i].virus));
        assert_near(r.ct, 24, 1e-14);
    }
}

static void a_fault_names_its_segment(void **state)
{
    (void)state;
    struct ct_segment chain[2] = {tank, tank};
    struct ct_credit r;
    static const char *const fields[] = {"segments[1].volume_l", "segments[1].flow_l_min",
                                         "segments[1].baffling", "segments[1].residual_mg_l",
                                         "segments[1].ph",       "segments[1].temp_c"};
    for (size_t i = 0; i < 6; i++) {
        chain[1] = tank;
        double *const place[] = {&chain[1].volume_l, &chain[1].flow_l_min,
                                 &chain[1].baffling, &chain[1].water.residual_mg_l,
                                 &chain[1].water.ph, &chain[1].water.temp_c};
        *place[i] = -1;
        struct result bad = ct_credit(chain, 2, NULL, &r);
        assert_code(bad, FIELD_RANGE);
        assert_string_equal(bad.field, fields[i]);
        assert_near(r.ct, 0, 0);
        *place[i] = (double)NAN;
        assert_code(ct_credit(chain, 2, NULL, &r), NUMBER_BAD);
    }
    assert_string_equal(ct_credit(chain, 0, NULL, &r).field, "segments");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(segments_add_up),
        cmocka_unit_test(a_ph_without_a_table_brings_nothing),
        cmocka_unit_test(a_fault_names_its_segment),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

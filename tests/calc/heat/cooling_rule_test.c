#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/cooling_rule.h"

/* Computed here: 135, 130, 80, 70, 41 and 40 F are 57.222, 54.444, 26.667, 21.111, 5.000 and
 * 4.444 C; the rules' texts round them. */
static void both_scales_say_the_same(void **state)
{
    (void)state;
    size_t compared = 0;
    for (size_t i = 0; i < cooling_rule_count(); i++) {
        const struct cooling_rule *rule = cooling_rule_at(i);
        for (size_t k = 0; k < rule->stages; k++) {
            const struct cooling_stage *s = &rule->stage[k];
            if (s->from_f > 0) {
                assert_true(fabs((s->from_f - 32) / 1.8 - s->from_mc / 1000.0) < 0.25);
            }
            if (s->to_f > 0) {
                assert_true(fabs((s->to_f - 32) / 1.8 - s->to_mc / 1000.0) < 0.25);
                compared++;
            }
        }
    }
    assert_int_equal(compared, 8);
    static const double fahrenheit[] = {135, 130, 80, 70, 41, 40};
    static const double celsius[] = {57.222, 54.444, 26.667, 21.111, 5.000, 4.444};
    const struct cooling_rule *food = cooling_rule_find("food-code");
    const struct cooling_rule *meat = cooling_rule_find("us-meat-1");
    const double originals[] = {food->stage[0].from_f, meat->stage[0].from_f, meat->stage[0].to_f,
                                food->stage[0].to_f,   food->stage[1].to_f,   meat->stage[1].to_f};
    for (size_t i = 0; i < 6; i++) {
        assert_near(originals[i], fahrenheit[i], 0);
        assert_true(fabs((originals[i] - 32) / 1.8 - celsius[i]) <= 1e-3);
    }
}

static void each_rule_is_whole_in_itself(void **state)
{
    (void)state;
    for (size_t i = 0; i < cooling_rule_count(); i++) {
        const struct cooling_rule *rule = cooling_rule_at(i);
        assert_ptr_equal(cooling_rule_find(rule->name), rule);
        assert_true(rule->stages >= 1 && rule->stages <= COOLING_STAGES_MAX);
        for (size_t k = 0; k < rule->stages; k++) {
            const struct cooling_stage *s = &rule->stage[k];
            assert_true(s->limit_ms > 0 && s->to_mc > 0);
            assert_true(s->from_begin || s->from_mc > s->to_mc);
        }
    }
    assert_false(cooling_rule_find("us-meat-older")->whole);
    assert_true(cooling_rule_find("uk-8")->stage[0].below);
    assert_null(cooling_rule_find("none"));
}

static void read_past_the_end(void *argument)
{
    (void)argument;
    cooling_rule_at(cooling_rule_count());
}

static void there_is_no_rule_past_the_last(void **state)
{
    (void)state;
    assert_aborts(read_past_the_end, NULL);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_scales_say_the_same),
        cmocka_unit_test(each_rule_is_whole_in_itself),
        cmocka_unit_test(there_is_no_rule_past_the_last),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

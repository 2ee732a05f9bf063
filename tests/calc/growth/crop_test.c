#include "../../support.h"

#include "calc/constants.h"
#include "calc/growth/crop.h"

static void each_crop_stands_on_its_constants(void **state)
{
    (void)state;
    assert_int_equal(crop_count(), 4);
    for (size_t i = 0; i < crop_count(); i++) {
        const struct crop *crop = crop_at(i);
        assert_ptr_equal(crop_find(crop->name), crop);
        const int64_t values[] = {crop->heat.base_mc, crop->heat.optimum_mc, crop->heat.goal_mc_h};
        for (size_t k = 0; k < CROP_CONSTANTS; k++) {
            const struct constant *c = constant_find(crop->constant[k]);
            assert_non_null(c);
            assert_true((double)values[k] == c->value * 1000);
        }
        struct heat_sum_report r;
        assert_ok(heat_sum(&crop->heat, NULL, NULL, 0, &r));
    }
    assert_null(crop_find("cress"));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_crop_stands_on_its_constants),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/constants.h"
#include "calc/water/sanitiser_limit.h"

static void each_limit_has_its_constant(void **state)
{
    (void)state;
    size_t known = 0;
    for (int s = SANITISER_CHLORINE; s <= SANITISER_QUAT; s++) {
        for (int use = SANITISER_WASH; use <= SANITISER_SURFACE; use++) {
            struct sanitiser_limit limit =
                sanitiser_limit((enum sanitiser)s, (enum sanitiser_use)use);
            if (limit.known) {
                assert_near(limit.limit_mg_l, constant_find(limit.constant)->value, 0);
                known++;
            }
        }
    }
    assert_int_equal(known, 8);
    assert_false(sanitiser_limit(SANITISER_QUAT, SANITISER_WASH).known);
}

static void the_tightest_limit_rules_in_a_wash_only(void **state)
{
    (void)state;
    struct peracid_product product = {.peracid_pct = 10, .peroxide_pct = 59, .hedp_pct = 4};
    struct peracid_check r;
    assert_ok(peracid_check(&product, 10, SANITISER_WASH, &r));
    assert_near(r.peracid_max_mg_l, 10, 1e-14);
    assert_near(r.peroxide_mg_l, 59, 1e-14);
    product.hedp_pct = 6;
    assert_ok(peracid_check(&product, 10, SANITISER_WASH, &r));
    assert_near(r.peracid_max_mg_l, 8, 1e-14);
    assert_false(r.within);
    assert_ok(peracid_check(&product, 10, SANITISER_RAW, &r));
    assert_near(r.peracid_max_mg_l, 100, 0);
    assert_true(r.within);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    struct peracid_product product = {.peroxide_pct = 1};
    struct peracid_check r;
    assert_string_equal(peracid_check(&product, 10, SANITISER_WASH, &r).field, "peracid_pct");
    product.peracid_pct = 5;
    assert_code(peracid_check(&product, (double)NAN, SANITISER_WASH, &r), NUMBER_BAD);
    assert_string_equal(peracid_check(&product, -1, SANITISER_WASH, &r).field, "target_mg_l");
    product.hedp_pct = 101;
    assert_string_equal(peracid_check(&product, 10, SANITISER_WASH, &r).field, "hedp_pct");
    assert_false(r.within);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_limit_has_its_constant),
        cmocka_unit_test(the_tightest_limit_rules_in_a_wash_only),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

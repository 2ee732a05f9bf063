#include "../../support.h"

#include "../near.h"
#include "calc/water/hocl.h"

static void the_two_shares_make_a_whole(void **state)
{
    (void)state;
    for (double ph = 0; ph <= 14; ph += 0.25) {
        struct hocl r;
        assert_ok(hocl_share(ph, 7.5, &r));
        assert_near(r.hocl + r.ocl, 1, 1e-15);
    }
    struct hocl half;
    assert_ok(hocl_share(7.5, 7.5, &half));
    assert_near(half.hocl, 0.5, 0);
}

static void the_ph_of_a_share_gives_it_back(void **state)
{
    (void)state;
    for (double share = 0.01; share < 1; share += 0.07) {
        double ph = 0;
        struct hocl r;
        assert_ok(hocl_ph(share, 7.5366, &ph));
        assert_ok(hocl_share(ph, 7.5366, &r));
        assert_near(r.hocl, share, 1e-13);
    }
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    double out = 1;
    struct hocl r;
    assert_code(hocl_pka((double)NAN, &out), NUMBER_BAD);
    assert_near(out, 0, 0);
    assert_code(hocl_pka(-0.1, &out), FIELD_RANGE);
    assert_code(hocl_pka(50.1, &out), FIELD_RANGE);
    assert_code(hocl_share((double)INFINITY, 7.5, &r), NUMBER_BAD);
    assert_code(hocl_share(14.01, 7.5, &r), FIELD_RANGE);
    assert_string_equal(hocl_share(7, 3, &r).field, "pka");
    assert_string_equal(hocl_ph(0, 7.5, &out).field, "hocl_pct");
    assert_code(hocl_ph(1, 7.5, &out), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_two_shares_make_a_whole),
        cmocka_unit_test(the_ph_of_a_share_gives_it_back),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Evidence of checks and of open actions on the environment. */
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

static struct evidence collect(const char *lot)
{
    struct evidence e;
    assert_ok(evidence_collect(h.store, &h.arena, house_lot(&h, lot), &e));
    return e;
}

static void check_metal(const char *place, int64_t at_ms, const char *steel)
{
    house_take(
        &h,
        "{'kind':'metal-check','place':'%s','fe':'rejected','non_fe':'rejected','steel':'%s',"
        "'at':'%s','reason':'told late'}",
        place, steel, civil_text(&h.arena, at_ms, 0));
}

static void checks_within_two_days_of_the_packing(void **state)
{
    struct house_batch b = house_batch(&h, "C1", false);
    int64_t packed_ms = h.fixed.now_ms - 20 * 60000;
    /* two of metal, two of the wash water, one of the label */
    assert_int_equal(collect(b.packed).check_count, 5);
    check_metal("METAL", packed_ms - INT64_C(49) * 3600000, "rejected");
    assert_int_equal(collect(b.packed).check_count, 5);
    check_metal("PACK", packed_ms - INT64_C(47) * 3600000, "rejected");
    struct evidence e = collect(b.packed);
    assert_int_equal(e.check_count, 6);
    assert_string_equal(e.checks[0].kind, "metal-check");
    size_t labels = 0;
    for (size_t i = 0; i < e.check_count; i++) {
        assert_true(e.checks[i].ok);
        bool label = strcmp(e.checks[i].kind, "label-check") == 0;
        labels += label ? 1 : 0;
        assert_int_equal(e.checks[i].lot, label ? 0 : EVIDENCE_NO_LOT);
    }
    assert_int_equal(labels, 1);
}

static void a_failed_check_is_in_it_as_failed(void **state)
{
    struct house_batch b = house_batch(&h, "C1", false);
    check_metal("METAL", h.fixed.now_ms, "missed");
    struct evidence e = collect(b.packed);
    size_t failed = 0;
    for (size_t i = 0; i < e.check_count; i++) {
        failed += e.checks[i].ok ? 0 : 1;
    }
    assert_int_equal(failed, 1);
}

static void only_open_actions_that_hold_product(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'environment','place':'PACK','product_hold':false}");
    house_take(&h, "{'kind':'environment','place':'SORT','product_hold':true}");
    house_take(&h, "{'kind':'environment','close':%lld,'reason':'done'}",
               (long long)house_number(&h, "environment"));
    assert_int_equal(collect(growing).environment_count, 0);
    house_wait(&h, "3 h");
    house_take(&h, "{'kind':'environment','place':'WASH','product_hold':true,'from':'%s'}",
               civil_text(&h.arena, h.fixed.now_ms - 3600000, 0));
    struct evidence e = collect(growing);
    assert_int_equal(e.environment_count, 1);
    assert_string_equal(e.environments[0].place, "WASH");
    assert_int_equal(e.environments[0].from_ms, h.fixed.now_ms - 3600000);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(checks_within_two_days_of_the_packing),
        T(a_failed_check_is_in_it_as_failed),
        T(only_open_actions_that_hold_product),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

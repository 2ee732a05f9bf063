/* Steps, accounts and what is owed. */
#include "view_support.h"

#include "service/view_balance.h"

static void steps_and_accounts_add_up(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_batch(&h, "C1", false);
    struct view v = view_as(&h, 1, "manager");
    json_t *out;
    assert_ok(view_balance(&v, &out));
    const json_t *wash = with_text(at_key(out, "steps"), "step", "wash");
    assert_non_null(wash);
    assert_int_equal(number_at(wash, "entries"), 1);
    assert_int_equal(number_at(wash, "in_mg"), 800000000);
    assert_int_equal(number_at(wash, "out_mg"), 800000000);
    const struct profile_step *step = profile_step(h.lg->profile, "wash");
    if (step->tolerance_ppm > 0) {
        assert_int_equal(number_at(wash, "tolerance_ppm"), step->tolerance_ppm);
    } else {
        assert_true(json_is_null(at_key(wash, "tolerance_ppm")));
    }
    const json_t *supplier = with_text(at_key(out, "accounts"), "account", "supplier");
    assert_non_null(supplier);
    assert_int_equal(number_at(supplier, "amount"), -100000000);
    assert_int_equal(json_array_size(at_key(out, "owed")), 0);
    json_decref(out);
    v.profile = NULL; /* a record from before its first profile */
    assert_ok(view_balance(&v, &out));
    assert_true(
        json_is_null(at_key(with_text(at_key(out, "steps"), "step", "wash"), "tolerance_ppm")));
    json_decref(out);
    house_close(&h);
}

static void what_was_not_there_is_owed(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *seed = house_deliver(&h, "SL-1"); /* 100 kg */
    int64_t entry = house_take(&h,
                               "{'kind':'destroy','lot':'%s','mass':'130 kg','to':'waste',"
                               "'reason':'wet'}",
                               seed);
    struct view v = view_as(&h, 1, "manager");
    json_t *owed;
    assert_ok(view_owed(&v, &owed));
    assert_int_equal(json_array_size(owed), 1);
    const json_t *one = json_array_get(owed, 0);
    assert_string_equal(text_at(one, "lot"), seed);
    assert_string_equal(text_at(one, "unit"), "mg");
    assert_int_equal(number_at(one, "amount"), 30000000);
    assert_int_equal(number_at(one, "entry"), entry);
    assert_int_equal(number_at(one, "at_ms"), h.fixed.now_ms);
    json_decref(owed);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_and_accounts_add_up),
        cmocka_unit_test(what_was_not_there_is_owed),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What comes back from customers. */
#include "released.h"

static void what_comes_back_is_a_lot_of_its_own_and_held(void **state)
{
    house_take(&h, "%s", ship_text(range(1, 20)));
    house_wait(&h, "1 h");
    house_take(&h,
               "{'kind':'return','customer':'COTYLEDON','units':['%s-0007','%s-0008'],'place':"
               "'COLD'}",
               packed, packed);
    const char *back = house_answer(&h, "lots.0.lot"), *hold = house_answer(&h, "lots.0.hold");
    assert_int_equal(house_deviations(&h), 0);
    assert_int_equal(house_balance(&h, back, UNIT_PIECES), 80);
    assert_int_equal(house_balance(&h, back, UNIT_MG), 2 * CASE_MG);
    assert_int_equal(house_account(&h, "customer", "pc"), 720);
    assert_int_equal(house_account(&h, "customer", "mg"), 18 * CASE_MG);
    assert_true(house_closed(&h, packed));
    int64_t mg;
    assert_string_equal(house_edge(&h, packed, back, &mg), "measured");
    assert_int_equal(mg, 2 * CASE_MG);
    assert_string_equal(house_case(&h, packed, 7).state, "returned");
    assert_int_equal(house_case(&h, packed, 7).lot, house_lot(&h, back));
    static const char *const stops[] = {"use", "mix", "pack", "release", "load"};
    for (size_t i = 0; i < 5; i++) {
        assert_true(house_stops(&h, back, stops[i]));
    }
    /* it needs a decision: a look at the lot it was taken from is none */
    int64_t other = house_take(&h, "{'kind':'inspect','lot':'%s','ok':true,'what':'fine'}", packed);
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                           (long long)other),
                HOLD_EVIDENCE);
    int64_t bad = house_take(&h, "{'kind':'inspect','lot':'%s','ok':false,'what':'warm'}", back);
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                           (long long)bad),
                HOLD_EVIDENCE);
    int64_t good = house_take(&h, "{'kind':'inspect','lot':'%s','ok':true,'what':'cold'}", back);
    house_take(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold, (long long)good);
    assert_false(house_stops(&h, back, "use"));
    house_sums(&h);
}

static void no_more_comes_back_than_went(void **state)
{
    house_take(&h, "%s", ship_text(range(1, 2)));
    const char *back = "{'kind':'return','customer':'%s','lot':'%s','pieces':%d}";
    house_rule(&h, RETURN_OVER, "return-over", house_text(&h, back, "COTYLEDON", packed, 81));
    house_rule(&h, RETURN_OVER, "return-over", house_text(&h, back, "PLUMULA", packed, 1));
    house_rule(
        &h, RETURN_OVER, "return-over",
        house_text(&h, "{'kind':'return','customer':'COTYLEDON','units':['%s-0003']}", packed));
    house_rule(
        &h, RETURN_OVER, "return-over",
        house_text(&h, "{'kind':'return','customer':'PLUMULA','units':['%s-0001']}", packed));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, "{'kind':'return','customer':'COTYLEDON','lot':'%s'}", packed));
}

/* Shares of what a customer got, the last of them the rest: all of it comes back to the milligram.
 */
static void pieces_bring_their_mass_back(void **state)
{
    house_take(&h, "{'kind':'count','lot':'%s','mass':'200.000003 kg'}", packed);
    house_take(&h, "%s", ship_text(range(1, 20)));
    house_take(&h, "{'kind':'return','customer':'COTYLEDON','lot':'%s','pieces':33}", packed);
    assert_int_equal(house_balance(&h, house_answer(&h, "lots.0.lot"), UNIT_MG),
                     INT64_C(200000003) * 33 / 800);
    house_take(&h, "{'kind':'return','customer':'COTYLEDON','lot':'%s','pieces':767}", packed);
    assert_int_equal(house_account(&h, "customer", "mg"), 0);
    assert_int_equal(house_account(&h, "customer", "pc"), 0);
    assert_int_equal(house_deviations(&h), 0);
    house_rule(
        &h, RETURN_OVER, "return-over",
        house_text(&h, "{'kind':'return','customer':'COTYLEDON','lot':'%s','pieces':1}", packed));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(what_comes_back_is_a_lot_of_its_own_and_held),
        T(no_more_comes_back_than_went),
        T(pieces_bring_their_mass_back),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

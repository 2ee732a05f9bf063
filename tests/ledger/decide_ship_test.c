/* What leaves for customers. */
#include "released.h"

static void cases_leave_with_their_pieces_and_mass(void **state)
{
    house_take(&h, "%s", ship_text(range(1, 4)));
    assert_string_equal(house_answer(&h, "shipment"),
                        house_text(&h, "D%lld", (long long)house_number(&h, "entry")));
    assert_int_equal(house_number(&h, "pieces"), 160);
    assert_int_equal(house_deviations(&h), 0);
    assert_int_equal(house_account(&h, "customer", "mg"), 4 * CASE_MG);
    assert_int_equal(house_account(&h, "customer", "pc"), 160);
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), 640);
    assert_int_equal(house_balance(&h, packed, UNIT_MG), 16 * CASE_MG);
    struct unit gone = house_case(&h, packed, 4);
    assert_string_equal(gone.state, "shipped");
    assert_true(gone.shipment != 0 && gone.place == NULL);
    assert_string_equal(house_case(&h, packed, 5).state, "here");
    assert_false(house_closed(&h, packed));
    house_take(&h, "{'kind':'ship','customer':'COTYLEDON','lot':'%s'}", packed);
    assert_int_equal(house_number(&h, "pieces"), 640);
    assert_int_equal(house_balance(&h, packed, UNIT_MG), 0);
    assert_true(house_closed(&h, packed));
    assert_string_equal(house_case(&h, packed, 20).state, "shipped");
    house_sums(&h);
}

/* Sixteen people ask for the last case: one gets it. */
static void the_last_case_is_given_once(void **state)
{
    house_take(&h, "%s", ship_text(range(1, 19)));
    int given = 0;
    for (int i = 0; i < 16; i++) {
        struct result r = house_send(&h, "%s", ship_text("0020"));
        given += r.code == CODE_OK;
        if (r.code != CODE_OK) {
            assert_code(r, UNIT_GONE);
        }
    }
    assert_int_equal(given, 1);
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), 0);
    assert_int_equal(house_account(&h, "customer", "pc"), 800);
    house_sums(&h);
}

static void a_case_told_to_have_left_twice_is_owed(void **state)
{
    house_take(&h, "%s", ship_text(range(1, 20)));
    house_rule(&h, UNIT_GONE, "unit-gone", ship_text("0020"));
    assert_true(house_deviates(&h, "stock-below-zero"));
    assert_true(house_deviates(&h, "lot-closed"));
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), -40);
    assert_int_equal(house_balance(&h, packed, UNIT_MG), -CASE_MG);
    assert_true(house_count(&h, Q_OWED_TASKS_OPEN, house_lot(&h, packed), NULL) != 0);
}

static void nothing_leaves_without_its_release(void **state)
{
    house_take(&h, "{'kind':'partner','code':'PLUMULA','role':'customer','market':'EU'}");
    house_rule(&h, NOT_RELEASED, "not-released",
               house_text(&h, "{'kind':'ship','customer':'PLUMULA','units':['%s-0001']}", packed));
    /* the clause that stands in the way is named */
    assert_non_null(strstr(h.refusal.value[2], "clause sampled of lot"));
    assert_string_equal(h.refusal.value[1], "EU");
    /* a release is no excuse for what had left before it */
    house_rule(&h, NOT_RELEASED, "not-released",
               house_text(&h,
                          "{'kind':'ship','customer':'COTYLEDON','units':['%s-0002'],'at':'%s'}",
                          packed, house_time(&h, -1)));
    assert_non_null(strstr(h.refusal.value[2], "nobody had released it"));
}

static void what_is_held_stays(void **state)
{
    house_take(&h,
               "{'kind':'hold','hold_kind':'damage','units':['%s-0003'],'stops':['load'],'needs':"
               "'check','reason':'wet','person':8}",
               packed);
    assert_code(house_send(&h, "%s", ship_text("0002")), OK);
    house_rule(&h, HELD, "held-loaded", ship_text("0003"));
    assert_string_equal(h.refusal.value[0], house_text(&h, "%s-0003", packed));
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['load'],'needs':'check',"
               "'reason':'smells'}",
               packed);
    house_rule(&h, HELD, "held-loaded", ship_text("0004"));
    house_take(&h, "{'kind':'move','mode':'ask','units':['%s-0005'],'place':'COLD'}", packed);
}

/* Eight days from packing; a customer who wants six gets it on the second day and not on the third.
 */
static void a_customer_gets_the_days_he_asks_for(void **state)
{
    house_take(&h, "{'kind':'partner','code':'COTYLEDON','role':'customer','market':'US',"
                   "'life_days':6}");
    house_wait(&h, "48 h");
    assert_code(house_send(&h, "%s", ship_text("0001")), OK);
    house_wait(&h, "24 h");
    house_rule(&h, LIFE_SHORT, "life-short", ship_text("0002"));
    house_take(&h, "{'kind':'partner','code':'COTYLEDON','role':'customer','market':'US'}");
    assert_code(house_send(&h, "%s", ship_text("0003")), OK);
    house_wait(&h, "144 h");
    house_rule(&h, LIFE_SHORT, "life-short", ship_text("0004")); /* past its date */
}

/* Pieces and mass of all shipped lines so far, and how many they are. */
static size_t shipped_lines(int64_t *pieces, int64_t *mg)
{
    size_t count = 0;
    *pieces = *mg = 0;
    struct statement *q = store_prepare(h.store, Q_TRACE_SHIPPED);
    for (bool row = true;;) {
        assert_ok(store_step(q, &row));
        if (!row) {
            return count;
        }
        *pieces += store_int(q, 2);
        *mg += store_int(q, 3);
        count++;
    }
}

static void the_lines_add_up_to_what_left(void **state)
{
    int64_t pieces, mg;
    house_take(&h, "{'kind':'count','lot':'%s','mass':'200.000003 kg'}", packed);
    house_take(&h, "%s", ship_text(range(1, 20)));
    assert_int_equal(shipped_lines(&pieces, &mg), 20);
    assert_int_equal(pieces, 800);
    assert_int_equal(mg, INT64_C(200000003));
    assert_int_equal(house_account(&h, "customer", "mg"), INT64_C(200000003));
}

static void an_order_line_that_does_not_fit_is_said_and_no_more(void **state)
{
    static const char *const orders[] = {"O-1", "O-2", "O-3", "O-4", "O-77"};
    house_take(&h, "{'kind':'item','code':'MUNG500','item_kind':'packed','net':'500 g',"
                   "'pieces_per_case':10,'life_days':8,'source_item':'MUNG'}");
    house_take(
        &h, "{'kind':'order','person':9,'source':'BOOK','lines':[{'key':'O-1','customer':"
            "'COTYLEDON','item':'MUNG250','day':'2026-03-20','pieces':40},{'key':'O-2','customer'"
            ":'PLUMULA','item':'MUNG250','day':'2026-03-20','pieces':40},{'key':'O-3','customer':"
            "'COTYLEDON','item':'MUNG500','day':'2026-03-20','pieces':40},{'key':'O-4','customer':"
            "'COTYLEDON','item':'MUNG250','day':'2026-03-20','pieces':40}]}");
    house_take(
        &h, "{'kind':'order','person':9,'source':'BOOK','lines':[{'key':'O-4','customer':"
            "'COTYLEDON','item':'MUNG250','day':'2026-03-20','pieces':40,'state':'cancelled'}]}");
    for (int i = 0; i < 10; i++) {
        const char *order = orders[i / 2];
        house_take(&h,
                   "{'kind':'ship','mode':'%s','customer':'COTYLEDON','order':'%s','units':['%s-"
                   "00%02d']}",
                   i % 2 == 0 ? "ask" : "tell", order, packed, i + 1);
        assert_int_equal(house_deviations(&h), i < 2 ? 0 : 1);
        assert_true(house_deviates(&h, "order-unfit") == (i >= 2));
        assert_string_equal(house_effect_text(&h, "shipped", 0, 4), order);
    }
    int64_t pieces, mg;
    assert_int_equal(shipped_lines(&pieces, &mg), 10);
}

/* A plan promised these packs to an order for others. */
static void what_was_promised_instead_fits(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'item','code':'MUNG500','item_kind':'packed','net':'500 g',"
                   "'pieces_per_case':10,'life_days':8,'source_item':'MUNG'}");
    house_take(&h, "{'kind':'order','person':9,'source':'BOOK','lines':[{'key':'O-1','customer':"
                   "'COTYLEDON','item':'MUNG500','day':'2026-03-20','pieces':40}]}");
    house_take(&h, "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':'O-1','day':"
                   "'2026-03-20','pieces':40,'instead':[{'item':'MUNG250','pieces':40}]}]}");
    house_take(&h,
               "{'kind':'ship','mode':'ask','customer':'COTYLEDON','order':'O-1','units':['%s-"
               "0001']}",
               packed);
    assert_false(house_deviates(&h, "order-unfit"));
    house_take(&h, "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':'O-1','day':"
                   "'2026-03-20','pieces':0}]}");
    house_take(&h,
               "{'kind':'ship','mode':'ask','customer':'COTYLEDON','order':'O-1','units':['%s-"
               "0002']}",
               packed);
    assert_true(house_deviates(&h, "order-unfit"));
}

static void what_cannot_be_shipped(void **state)
{
    house_refused(
        &h, UNITS_WANTED,
        house_text(&h, "{'kind':'ship','customer':'COTYLEDON','lot':'%s','pieces':10}", packed));
    house_refused(
        &h, PARTNER_UNKNOWN,
        house_text(&h, "{'kind':'ship','customer':'RADICLE','units':['%s-0001']}", packed));
    house_refused(&h, UNIT_UNKNOWN, ship_text("0021"));
    house_refused(&h, RANGE_BAD, ship_text("0003..X-0004"));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h,
                             "{'kind':'ship','customer':'COTYLEDON','units':['%s-0001','%s-0001']}",
                             packed, packed));
    house_refused(&h, FIELD_MISSING, "{'kind':'ship','customer':'COTYLEDON','units':[]}");
    house_refused(&h, FIELD_MISSING, "{'kind':'ship','customer':'COTYLEDON'}");
    house_rule(&h, LOT_KIND, "wrong-kind",
               house_text(&h, "{'kind':'ship','customer':'COTYLEDON','lot':'%s','mass':'10 kg'}",
                          batch.seed));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(cases_leave_with_their_pieces_and_mass),
        T(the_last_case_is_given_once),
        T(a_case_told_to_have_left_twice_is_owed),
        T(nothing_leaves_without_its_release),
        T(what_is_held_stays),
        T(a_customer_gets_the_days_he_asks_for),
        T(the_lines_add_up_to_what_left),
        T(an_order_line_that_does_not_fit_is_said_and_no_more),
        T(what_was_promised_instead_fits),
        T(what_cannot_be_shipped),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

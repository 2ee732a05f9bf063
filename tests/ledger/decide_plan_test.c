/* Plans taken in. */
#include "fixture.h"

#include "base/file.h"

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

static void a_plan_is_taken_in_whole_or_not(void **state)
{
    house_take(&h, "{'kind':'plan-take','person':9,'starts':[{'day':'2026-03-04','place':'C1','"
                   "item':'MUNG','seed':'100 kg',"
                   "'grow_days':7},{'day':'2026-03-05','place':'C2','item':'MUNG','seed':'90 "
                   "kg','grow_days':7}]}");
    assert_int_equal(house_number(&h, "starts"), 2);
    int64_t next = h.lg->next_seq;
    static const char start[] = "{'kind':'plan-take','person':%d,'starts':[{'day':'2026-03-04','"
                                "place':'%s','item':'%s','seed':'%s',"
                                "'grow_days':%d}]}";
    assert_code(house_send(&h, start, 9, "PACK", "MUNG", "1 kg", 7), PLACE_KIND);
    assert_code(house_send(&h, start, 9, "C9", "MUNG", "1 kg", 7), PLACE_UNKNOWN);
    assert_code(house_send(&h, start, 9, "C1", "HULLS", "1 kg", 7), ITEM_UNKNOWN);
    assert_code(house_send(&h, start, 9, "C1", "MUNG", "0 kg", 7), FIELD_RANGE);
    assert_code(house_send(&h, start, 9, "C1", "MUNG", "1 kg", 61), FIELD_RANGE);
    assert_code(house_send(&h, start, 5, "C1", "MUNG", "1 kg", 7), ROLE_MISSING);
    assert_int_equal(h.lg->next_seq, next);
}

/* A start that is meant to be harvested a day early says so to whoever reads the plan. */
static void a_harvest_off_its_day_is_kept(void **state)
{
    static const char take[] = "{'kind':'plan-take','person':9,'starts':[{'day':'2026-03-04',"
                               "'place':'C1','item':'MUNG','seed':'100 kg','grow_days':7},"
                               "{'day':'2026-03-04','place':'C2','item':'MUNG','seed':'100 kg',"
                               "'grow_days':6,'off_days':%d}]}";
    bool row;
    house_take(&h, take, -1);
    struct statement *q = store_prepare(h.store, Q_PLANNING_TAKEN);
    store_bind_int(q, 1, 0);
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_string_equal(store_text(q, 7), "");
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_string_equal(store_text(q, 1), "C2");
    assert_string_equal(store_text(q, 7), "{\"off_days\":-1}");
    assert_ok(store_step(q, &row));
    assert_false(row);
    assert_code(house_send(&h, take, 31), FIELD_RANGE);
}

/* So is the day on which a lot that grows is harvested; only such a lot has one. */
static void the_day_of_a_lot_that_grows_is_kept(void **state)
{
    static const char take[] = "{'kind':'plan-take','person':9,'starts':[],'harvests':[{'lot':'%s',"
                               "'day':'2026-03-11','off_days':%d}]}";
    struct statement *q;
    bool row;
    const char *lot = house_grow(&h, "C1", "100 kg");
    house_take(&h, take, lot, -1);
    q = store_prepare(h.store, Q_NOTED_LAST);
    store_bind_text(q, 1, "harvest-day");
    store_bind_text(q, 2, lot);
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_string_equal(store_text(q, 5), "{\"day\":\"2026-03-11\",\"off_days\":-1}");
    while (row) {
        assert_ok(store_step(q, &row));
    }
    assert_code(house_send(&h, take, "NO-SUCH-LOT", -1), LOT_UNKNOWN);
    assert_code(house_send(&h, take, lot, 31), FIELD_RANGE);
    assert_code(house_send(&h, take, h.seed, -1), LOT_KIND);
}

static void what_orders_are_told_is_kept(void **state)
{
    static const char take[] = "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':"
                               "'%s','day':'2026-03-14','pieces':%d}]}";
    struct statement *q;
    bool row;
    house_take(&h, "{'kind':'order','source':'shop','lines':[{'key':'O-1','customer':'COTYLEDON',"
                   "'item':'MUNG250','day':'2026-03-12','pieces':40}]}");
    house_take(&h, take, "O-1", 40);
    q = store_prepare(h.store, Q_NOTED_LAST);
    store_bind_text(q, 1, "promise");
    store_bind_text(q, 2, "O-1");
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_string_equal(store_text(q, 5), "{\"day\":\"2026-03-14\",\"pieces\":40}");
    while (row) {
        assert_ok(store_step(q, &row));
    }
    assert_code(house_send(&h, take, "O-9", 40), ORDER_UNKNOWN);
    assert_code(house_send(&h, take, "O-1", -1), FIELD_RANGE);
}

/* What a house does with the fruit it receives is kept as it was taken, and names what the profile
 * plans with. */
static void what_is_done_with_fruit_is_kept(void **state)
{
    static const char take[] = "{'kind':'plan-take','person':9,'starts':[],'flows':[{'day':"
                               "'2026-03-04','act':'%s','good':'%s','use':'press','mg':%d}]}";
    struct statement *q;
    bool row;
    char *text;
    size_t len;
    assert_code(house_send(&h, take, "used", "seconds", 900000),
                FIELD_CHOICE); /* none is planned with */
    assert_ok(file_read(&h.arena, HALL_FILE, 1 << 22, &text, &len));
    assert_ok(house_send_json(&h, json_pack("{s:s,s:s}", "kind", "profile", "text", text)));
    assert_ok(ledger_reload(h.lg));
    house_take(&h, take, "used", "seconds", 900000);
    assert_int_equal(house_number(&h, "flows"), 1);
    q = store_prepare(h.store, Q_NOTED_LAST);
    store_bind_text(q, 1, "plan-flows");
    store_bind_text(q, 2, "plan");
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_string_equal(store_text(q, 5),
                        "{\"flows\":[{\"act\":\"used\",\"day\":\"2026-03-04\",\"good\":\"seconds\","
                        "\"mg\":900000,\"use\":\"press\"}]}");
    while (row) {
        assert_ok(store_step(q, &row));
    }
    assert_code(house_send(&h, take, "pressed", "seconds", 1), FIELD_CHOICE);
    assert_code(house_send(&h, take, "used", "thirds", 1), FIELD_CHOICE);
    assert_code(house_send(&h, take, "used", "seconds", 0), FIELD_RANGE);
}

/* Packs of another item among those promised. */
static void what_is_given_instead_is_kept(void **state)
{
    static const char take[] = "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':"
                               "'O-1','day':'2026-03-12','pieces':40,'instead':[%s]}]}";
    bool row;
    (void)state;
    house_take(&h, "{'kind':'order','source':'shop','lines':[{'key':'O-1','customer':'COTYLEDON',"
                   "'item':'MUNG250','day':'2026-03-12','pieces':40}]}");
    house_take(&h, "{'kind':'item','code':'MUNG500','item_kind':'packed','net':'500 g',"
                   "'pieces_per_case':10,'life_days':8,'source_item':'MUNG'}");
    house_take(&h, take, "{'item':'MUNG500','pieces':15}");
    struct statement *q = store_prepare(h.store, Q_NOTED_LAST);
    store_bind_text(q, 1, "promise");
    store_bind_text(q, 2, "O-1");
    assert_ok(store_step(q, &row));
    assert_string_equal(store_text(q, 5),
                        "{\"day\":\"2026-03-12\",\"instead\":[{\"item\":\"MUNG500\",\"pieces\":"
                        "15}],\"pieces\":40}");
    while (row) {
        assert_ok(store_step(q, &row));
    }
    int64_t next = h.lg->next_seq;
    assert_code(house_send(&h, take, "{'item':'MUNG9','pieces':15}"), ITEM_UNKNOWN);
    assert_code(house_send(&h, take, "{'item':'MUNG','pieces':15}"), ITEM_UNKNOWN); /* no packs */
    assert_code(house_send(&h, take, "{'item':'MUNG500','pieces':0}"), FIELD_RANGE);
    assert_code(house_send(&h, take, "7"), FIELD_TYPE);
    assert_code(house_send(&h, take, "{'item':'MUNG500','pieces':5},{'item':'MUNG500','pieces':5}"),
                FIELD_RANGE);
    assert_int_equal(h.lg->next_seq, next);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_plan_is_taken_in_whole_or_not),     TEST(a_harvest_off_its_day_is_kept),
        TEST(the_day_of_a_lot_that_grows_is_kept), TEST(what_orders_are_told_is_kept),
        TEST(what_is_done_with_fruit_is_kept),     TEST(what_is_given_instead_is_kept),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

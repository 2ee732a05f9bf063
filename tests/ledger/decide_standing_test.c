/* Standing orders: recorded, changed, ended, taken back. */
#include "fixture.h"

#include "base/civil.h"
#include "ledger/standing.h"

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

static void take(const char *code, const char *rest)
{
    house_take(&h,
               "{'kind':'standing-order','code':'%s','customer':'COTYLEDON','item':'MUNG250',%s,"
               "'person':9}",
               code, rest);
}

static size_t all(struct standing **out)
{
    size_t count;
    assert_ok(standing_all(h.store, &h.arena, out, &count));
    return count;
}

static void it_is_recorded_changed_ended_and_taken_back(void **state)
{
    struct standing *list;
    int32_t monday = day_from_ymd(2026, 3, 2);
    assert_int_equal(day_weekday(monday), 0);
    take("S-1", "'weekdays':['wed','mon'],'pieces':120,'from':'2026-03-02','terms':'by eight'");
    assert_string_equal(house_answer(&h, "standing_order"), "S-1");
    take("S-2", "'weekdays':['sun'],'pieces':5,'from':'2026-03-01','to':'2026-03-31'");
    assert_int_equal(all(&list), 2);
    assert_string_equal(list[0].code, "S-1");
    assert_string_equal(list[0].customer, "COTYLEDON");
    assert_string_equal(list[0].item, "MUNG250");
    assert_string_equal(list[0].terms, "by eight");
    assert_int_equal(list[0].pieces, 120);
    assert_true(standing_on(&list[0], monday));
    assert_true(standing_on(&list[0], monday + 2));
    assert_true(standing_on(&list[0], monday + 7 * 500));
    assert_false(standing_on(&list[0], monday + 1));
    assert_false(standing_on(&list[0], monday - 7)); /* not before its first day */
    assert_true(standing_on(&list[1], monday - 1));
    assert_true(standing_on(&list[1], monday + 27));
    assert_false(standing_on(&list[1], monday + 34)); /* nor after its last */
    /* the last version stands */
    take("S-1", "'weekdays':['tue'],'pieces':80,'from':'2026-03-02','to':'2026-03-12'");
    assert_int_equal(all(&list), 2);
    assert_int_equal(list[0].pieces, 80);
    assert_true(standing_on(&list[0], monday + 1) && !standing_on(&list[0], monday));
    assert_false(standing_on(&list[0], monday + 15));
    take("S-1", "'weekdays':['tue'],'pieces':80,'from':'2026-03-02','active':false");
    assert_int_equal(all(&list), 1);
    assert_string_equal(list[0].code, "S-2");
}

static void what_makes_no_standing_order_is_refused(void **state)
{
    static const char order[] =
        "{'kind':'standing-order','code':'S-1','customer':'%s','item':'%s','weekdays':[%s],"
        "'pieces':%d,'from':'2026-03-02','to':'%s','person':%d}";
    int64_t next = h.lg->next_seq;
    assert_code(house_send(&h, order, "RADICLE", "MUNG250", "'mon'", 5, "2026-03-09", 9),
                PARTNER_UNKNOWN);
    assert_code(house_send(&h, order, "COTYLEDON", "MUNG9", "'mon'", 5, "2026-03-09", 9),
                ITEM_UNKNOWN);
    assert_code(house_send(&h, order, "COTYLEDON", "MUNG250", "'monday'", 5, "2026-03-09", 9),
                FIELD_CHOICE);
    assert_code(house_send(&h, order, "COTYLEDON", "MUNG250", "", 5, "2026-03-09", 9), FIELD_RANGE);
    assert_code(house_send(&h, order, "COTYLEDON", "MUNG250", "'mon'", 0, "2026-03-09", 9),
                FIELD_RANGE);
    assert_code(house_send(&h, order, "COTYLEDON", "MUNG250", "'mon'", 5, "2026-03-01", 9),
                END_BEFORE_START);
    assert_code(house_send(&h, order, "COTYLEDON", "MUNG250", "'mon'", 5, "2026-03-09", 5),
                ROLE_MISSING);
    assert_int_equal(h.lg->next_seq, next);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(it_is_recorded_changed_ended_and_taken_back, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(what_makes_no_standing_order_is_refused, set_up, tear_down),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

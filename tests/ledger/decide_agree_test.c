/* Deliveries agreed: recorded, changed, taken back, and what receipts take off them. */
#include "fixture.h"

#include "base/civil.h"
#include "ledger/agreed.h"

static struct house h;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static const char *day_in(int days)
{
    return day_text(&h.arena, (int32_t)(h.fixed.now_ms / 86400000) + days);
}

static void agree(const char *code, int days, const char *mass, const char *rest)
{
    house_take(&h,
               "{'kind':'delivery-agree','code':'%s','supplier':'RADICLE','item':'MUNGSEED',"
               "'day':'%s','mass':'%s'%s,'person':9}",
               code, day_in(days), mass, rest);
}

static size_t awaited(int days, struct agreed **out)
{
    size_t count;
    int32_t today = (int32_t)(h.fixed.now_ms / 86400000) + days;
    assert_ok(agreed_awaited(h.store, &h.arena, today, out, &count));
    return count;
}

static void receive(const char *mass, const char *delivery)
{
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'%s',"
               "'instrument':'SCALE','place':'STORE'%s}",
               mass, delivery);
}

static void it_is_recorded_changed_and_taken_back(void **state)
{
    (void)state;
    struct agreed *list;
    int32_t today = (int32_t)(h.fixed.now_ms / 86400000);
    agree("D-1", 5, "500 kg", ",'terms':'by noon'");
    assert_string_equal(house_answer(&h, "delivery"), "D-1");
    assert_int_equal(awaited(0, &list), 1);
    assert_string_equal(list[0].code, "D-1");
    assert_string_equal(list[0].item, "MUNGSEED");
    assert_string_equal(list[0].supplier, "RADICLE");
    assert_string_equal(list[0].terms, "by noon");
    assert_int_equal(list[0].day, today + 5);
    assert_int_equal(agreed_left_mg(&list[0]), 500000000);
    assert_false(agreed_late(&list[0], today + 5));
    agree("D-1", 9, "300 kg", "");
    assert_int_equal(awaited(0, &list), 1);
    assert_int_equal(list[0].day, today + 9);
    assert_int_equal(agreed_left_mg(&list[0]), 300000000);
    assert_string_equal(list[0].terms, "");
    /* its day is over and nothing came: it is still awaited, and late */
    assert_int_equal(awaited(10, &list), 1);
    assert_true(agreed_late(&list[0], today + 10));
    agree("D-1", 9, "300 kg", ",'active':false");
    assert_int_equal(awaited(0, &list), 0);
}

static void receipts_that_name_it_take_off_it(void **state)
{
    (void)state;
    struct agreed *list;
    agree("D-1", 0, "500 kg", "");
    agree("D-2", 3, "100 kg", "");
    receive("200 kg", ",'delivery':'D-1'");
    long long first = (long long)h.lg->next_seq - 1;
    receive("80 kg", ""); /* of no agreed delivery */
    assert_int_equal(awaited(0, &list), 2);
    assert_int_equal(agreed_left_mg(&list[0]), 300000000);
    assert_int_equal(agreed_left_mg(&list[1]), 100000000);
    /* what came, came: after its day the rest is not awaited */
    assert_int_equal(awaited(1, &list), 1);
    assert_string_equal(list[0].code, "D-2");
    receive("310 kg", ",'delivery':'D-1'");
    assert_int_equal(awaited(0, &list), 1);
    assert_string_equal(list[0].code, "D-2");
    /* a receipt struck brought nothing */
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'typed twice','person':2}", first);
    assert_int_equal(awaited(0, &list), 2);
    assert_int_equal(agreed_left_mg(&list[0]), 190000000);
}

static void what_makes_no_delivery_is_refused(void **state)
{
    static const char text[] = "{'kind':'delivery-agree','code':'D-1','supplier':'%s','item':'%s',"
                               "'day':'%s','mass':'%s','person':%d}";
    (void)state;
    int64_t next = h.lg->next_seq;
    assert_code(house_send(&h, text, "COTYLEDON", "MUNGSEED", "2026-03-09", "5 kg", 9),
                PARTNER_UNKNOWN);
    assert_code(house_send(&h, text, "RADICLE", "NOTHING", "2026-03-09", "5 kg", 9), ITEM_UNKNOWN);
    assert_code(house_send(&h, text, "RADICLE", "MUNG250", "2026-03-09", "5 kg", 9), FIELD_CHOICE);
    assert_code(house_send(&h, text, "RADICLE", "MUNGSEED", "2026-03-09", "0 kg", 9), FIELD_RANGE);
    assert_code(house_send(&h, text, "RADICLE", "MUNGSEED", "2026-03-09", "5 kg", 5), ROLE_MISSING);
    assert_int_equal(h.lg->next_seq, next);
}

static void a_receipt_names_the_delivery_it_is(void **state)
{
    static const char text[] = "{'kind':'receive','supplier':'RADICLE','item':'%s','mass':'5 kg',"
                               "'instrument':'SCALE','place':'STORE','delivery':'%s'}";
    (void)state;
    house_take(&h, "{'kind':'item','code':'SESAME','item_kind':'ingredient'}");
    agree("D-1", 2, "500 kg", "");
    int64_t next = h.lg->next_seq;
    assert_code(house_send(&h, text, "MUNGSEED", "D-9"), DELIVERY_UNKNOWN);
    assert_code(house_send(&h, text, "SESAME", "D-1"), DELIVERY_OTHER);
    assert_int_equal(h.lg->next_seq, next);
    agree("D-1", 2, "500 kg", ",'active':false");
    assert_code(house_send(&h, text, "MUNGSEED", "D-1"), DELIVERY_UNKNOWN);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(it_is_recorded_changed_and_taken_back),
        TEST(receipts_that_name_it_take_off_it),
        TEST(what_makes_no_delivery_is_refused),
        TEST(a_receipt_names_the_delivery_it_is),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

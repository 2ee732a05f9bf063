/* Deliveries agreed: recorded, changed, taken back, and what receipts take off them. */
#include "fixture.h"

#include "base/civil.h"
#include "ledger/agreed.h"
#include "ledger/view.h"

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

/* By the piece: what comes is counted off in the pieces that were agreed, whatever one weighs by
 * then. */
static void what_is_bought_by_the_piece_is_awaited_in_pieces(void **state)
{
    static const char tray[] = "{'kind':'item','code':'TRAY','item_kind':'packaging','net':'%s'}";
    struct agreed *list;
    int64_t has;
    (void)state;
    house_take(&h, tray, "12 g");
    house_take(&h,
               "{'kind':'delivery-agree','code':'D-1','supplier':'RADICLE','item':'TRAY',"
               "'day':'%s','pieces':20000,'person':9}",
               day_in(2));
    assert_int_equal(awaited(0, &list), 1);
    assert_int_equal(agreed_left_mg(&list[0]), 240000000); /* 20000 of 12 g */
    assert_int_equal(agreed_left_pieces(&list[0]), 20000);
    house_take(&h, tray, "11 g");
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'TRAY','pieces':5000,"
                   "'place':'STORE','delivery':'D-1'}");
    assert_ok(balance_of(h.store, house_lot(&h, house_answer(&h, "lot")), UNIT_MG, &has));
    assert_int_equal(has, 55000000); /* 5000 of 11 g */
    assert_int_equal(awaited(0, &list), 1);
    assert_int_equal(agreed_left_pieces(&list[0]), 15000);
    /* weighed, they count by their weight; a piece begun is awaited as a whole */
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'TRAY','mass':'60.006 kg',"
                   "'instrument':'SCALE','place':'STORE','delivery':'D-1'}");
    assert_int_equal(awaited(0, &list), 1);
    assert_int_equal(agreed_left_pieces(&list[0]), 10000);
    agree("D-2", 3, "100 kg", "");
    assert_int_equal(awaited(0, &list), 2);
    assert_int_equal(agreed_left_pieces(&list[1]), 0); /* by mass */
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(it_is_recorded_changed_and_taken_back),
        TEST(receipts_that_name_it_take_off_it),
        TEST(what_makes_no_delivery_is_refused),
        TEST(a_receipt_names_the_delivery_it_is),
        TEST(what_is_bought_by_the_piece_is_awaited_in_pieces),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The inspection that applies to the lot a form is about, before anybody counts. Plans as in
 * tests/ledger/acceptance_test.c and check_pieces_test.c: ISO 2859-1 tables (published (seen)). */
#include "view_support.h"

#include "service/view_inspection.h"

static json_t *inspection(struct house *h, const struct view_inspection_asked *asked)
{
    struct view v = view_as(h, 6, "intake");
    json_t *out = NULL;
    assert_ok(view_inspection(&v, asked, &out));
    return out;
}

#define OF(...) inspection(&h, &(struct view_inspection_asked){__VA_ARGS__})

static bool none(const json_t *o, const char *key)
{
    return json_is_null(at_key(o, key));
}

static void deliver(struct house *h, const char *lot, int inspected, int bad)
{
    house_take(h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'500 kg','place':"
               "'STORE','sacks':20,'lot':'%s','person':6}",
               lot);
    house_wait(h, "1 min");
    house_take(h,
               "{'kind':'delivery-check','lot':'%s','inspected':%d,'bad':%d,'what':'torn',"
               "'person':6}",
               lot, inspected, bad);
    house_wait(h, "1 min");
}

static void of_a_delivery_before_it_is_received(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *o = OF(.form = "receive", .item = "MUNGSEED");
    assert_true(none(o, "inspection")); /* not yet known whose */
    json_decref(o);
    o = OF(.form = "receive", .supplier = "RADICLE", .item = "MUNGSEED");
    assert_string_equal(text_at(o, "inspection"), "normal");
    assert_true(none(o, "size") && none(o, "samples") && none(o, "accept") && none(o, "reject"));
    json_decref(o);
    o = OF(.form = "receive", .supplier = "RADICLE", .item = "MUNGSEED", .sacks = 300);
    assert_int_equal(number_at(o, "size"), 300);
    assert_int_equal(number_at(o, "samples"), 20);
    assert_int_equal(number_at(o, "accept"), 2);
    assert_int_equal(number_at(o, "reject"), 3);
    assert_true(json_is_false(at_key(o, "recalled")));
    json_decref(o);
    deliver(&h, "S-1", 3, 1);
    deliver(&h, "S-2", 3, 1);
    o = OF(.form = "receive", .supplier = "RADICLE", .item = "MUNGSEED", .sacks = 20);
    assert_string_equal(text_at(o, "inspection"), "tightened");
    assert_int_equal(number_at(o, "samples"), 5);
    assert_int_equal(number_at(o, "accept"), 0);
    json_decref(o);
    o = OF(.form = "delivery-check", .lot = "S-1");
    assert_string_equal(text_at(o, "from"), "RADICLE");
    assert_int_equal(number_at(o, "samples"), 5);
    assert_true(json_is_true(at_key(o, "again")));
    json_decref(o);
    o = OF(.form = "receive", .supplier = "RADICLE", .item = "FILM", .sacks = 20);
    assert_true(none(o, "inspection")); /* the profile asks none of it */
    json_decref(o);
    o = OF(.form = "delivery-check", .lot = "NO-SUCH");
    assert_true(none(o, "inspection"));
    json_decref(o);
    house_close(&h);
}

static void of_a_packed_lot_before_its_pieces_are_counted(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    json_t *o = OF(.form = "seal-check", .lot = packed);
    assert_string_equal(text_at(o, "inspection"), "normal");
    assert_string_equal(text_at(o, "from"), "PACK");
    assert_string_equal(text_at(o, "item"), "MUNG250");
    assert_int_equal(number_at(o, "size"), 800);
    assert_int_equal(number_at(o, "samples"), 13); /* letter F, by its arrow E */
    assert_int_equal(number_at(o, "accept"), 0);
    assert_int_equal(number_at(o, "reject"), 1);
    assert_true(json_is_false(at_key(o, "again")));
    json_decref(o);
    house_take(&h,
               "{'kind':'seal-check','place':'PACK','lot':'%s','inspected':13,'bad':0,'person':5}",
               packed);
    o = OF(.form = "seal-check", .lot = packed);
    assert_true(json_is_true(at_key(o, "again")));
    json_decref(o);
    static const char *const others[] = {"label-check", "cold-check", "ship", "no-such-form"};
    for (size_t i = 0; i < 4; i++) {
        o = OF(.form = others[i], .lot = packed);
        assert_true(none(o, "inspection"));
        json_decref(o);
    }
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(of_a_delivery_before_it_is_received),
        cmocka_unit_test(of_a_packed_lot_before_its_pieces_are_counted),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

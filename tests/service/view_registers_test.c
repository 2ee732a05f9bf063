/* What the page of registers shows. */
#include "view_support.h"

#include "stock.h"

#include "service/view_registers.h"

static json_t *registers(struct house *h)
{
    struct view v = view_as(h, 2, "quality");
    json_t *out;
    assert_ok(view_registers(&v, &out));
    return out;
}

static void counts_stand_with_their_register(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'register','code':'BLADES','of':'blades','place':'TRIM','expected':6,"
                   "'person':7}");
    house_take(&h, "{'kind':'register-count','register':'BLADES','counted':6,'person':5}");
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'register-count','register':'BLADES','counted':5,'what':'one is gone',"
                   "'person':5}");
    json_t *o = registers(&h);
    const json_t *r = with_text(at_key(o, "registers"), "register", "BLADES");
    assert_non_null(r);
    assert_int_equal(number_at(r, "expected"), 6);
    assert_int_equal(number_at(r, "year"), 2);
    assert_int_equal(number_at(r, "year_off"), 1);
    const json_t *last = json_array_get(at_key(r, "counts"), 0);
    assert_int_equal(number_at(last, "counted"), 5);
    assert_true(json_is_false(at_key(last, "ok")));
    assert_string_equal(text_at(last, "what"), "one is gone");
    assert_int_equal(number_at(last, "by"), 5);
    json_decref(o);
    house_close(&h);
}

static void rounds_show_what_was_told_of_them(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    static const char duty[] = "{'kind':'duty','code':'%s','title':'%s','duty_kind':'%s','every':"
                               "'10 d','role':'hygiene','source':'house plan','person':7}";
    house_take(&h, duty, "PEST", "Bait stations", "pest");
    house_take(&h, duty, "TAPS", "Taps", "water"); /* no round of this page */
    house_take(&h, "{'kind':'duty-done','duty':'PEST','ok':false,'what':'droppings by the dock',"
                   "'person':7}");
    json_t *o = registers(&h);
    assert_int_equal(json_array_size(at_key(o, "rounds")), 1);
    const json_t *r = json_array_get(at_key(o, "rounds"), 0);
    assert_string_equal(text_at(r, "duty"), "PEST");
    assert_true(json_is_true(at_key(r, "told")));
    assert_int_equal(number_at(r, "year_off"), 1);
    assert_string_equal(text_at(json_array_get(at_key(r, "notes"), 0), "what"),
                        "droppings by the dock");
    json_decref(o);
    house_close(&h);
}

static void a_work_order_stands_open_then_handed_back(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'work-order','code':'W1','place':'PACK','what':'belt','person':10}");
    json_t *o = registers(&h);
    const json_t *w = json_array_get(at_key(o, "work"), 0);
    assert_true(json_is_true(at_key(w, "open")));
    assert_int_equal(number_at(w, "by"), 10);
    assert_int_equal(number_at(json_array_get(at_key(o, "work_places"), 0), "open"), 1);
    json_decref(o);
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'hand-back','work_order':'W1','tools_counted':true,'cleaned':true,"
                   "'what':'2 spanners','person':7}");
    o = registers(&h);
    assert_int_equal(json_array_size(at_key(o, "work")), 1);
    w = json_array_get(at_key(o, "work"), 0);
    assert_true(json_is_false(at_key(w, "open")));
    assert_int_equal(number_at(w, "back_by"), 7);
    assert_int_equal(number_at(w, "back_ms") - number_at(w, "opened_ms"), HOUR_MS);
    assert_string_equal(text_at(w, "note"), "2 spanners");
    assert_int_equal(number_at(json_array_get(at_key(o, "work_places"), 0), "open"), 0);
    json_decref(o);
    house_wait(&h, "183 d"); /* half a year later it is no longer shown */
    o = registers(&h);
    assert_int_equal(json_array_size(at_key(o, "work")), 0);
    json_decref(o);
    house_close(&h);
}

static void rejects_samples_and_deliveries_are_listed(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    house_take(&h,
               "{'kind':'retain','units':['%s'],'place':'COLD','until':'%s','code':'K1',"
               "'person':2}",
               house_case(&h, packed, 1).code,
               civil_text(&h.arena, h.fixed.now_ms + 5 * (int64_t)DAY_MS, 0));
    house_take(&h, "{'kind':'metal-reject','place':'METAL','metal':'steel','what':'a shaving',"
                   "'passes':3,'person':5}");
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'500 kg',"
                   "'place':'STORE','sacks':20,'lot':'SEED-9','person':6}");
    house_take(&h, "{'kind':'delivery-check','lot':'SEED-9','inspected':3,'bad':1,'what':'wet',"
                   "'person':6}");
    house_take(&h,
               "{'kind':'seal-check','place':'PACK','lot':'%s','inspected':13,'bad':1,'what':"
               "'open','person':5}",
               packed);
    json_t *o = registers(&h);
    const json_t *kept = with_text(at_key(o, "retained"), "retained", "K1");
    assert_string_equal(text_at(kept, "lot"), packed);
    assert_int_equal(number_at(kept, "pieces"), 40);
    assert_true(json_is_false(at_key(kept, "over")));
    const json_t *reject = json_array_get(at_key(o, "rejects"), 0);
    assert_string_equal(text_at(reject, "code"), "steel");
    assert_int_equal(number_at(reject, "passes"), 3);
    const json_t *source = json_array_get(at_key(o, "deliveries"), 0);
    assert_string_equal(text_at(source, "supplier"), "RADICLE");
    assert_string_equal(text_at(source, "inspection"), "normal");
    assert_int_equal(number_at(source, "deliveries"), 1);
    assert_int_equal(number_at(source, "refused"), 1);
    const json_t *packs = json_array_get(at_key(o, "packs"), 0);
    assert_string_equal(text_at(packs, "check"), "seal-check");
    assert_string_equal(text_at(packs, "title"), "Check seals");
    assert_string_equal(text_at(packs, "line"), "PACK");
    assert_string_equal(text_at(packs, "item"), "MUNG250");
    assert_string_equal(text_at(packs, "inspection"), "normal");
    assert_int_equal(number_at(packs, "lots"), 1);
    assert_int_equal(number_at(packs, "accepted"), 0);
    assert_int_equal(number_at(packs, "refused"), 1);
    json_decref(o);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(counts_stand_with_their_register),
        cmocka_unit_test(rounds_show_what_was_told_of_them),
        cmocka_unit_test(a_work_order_stands_open_then_handed_back),
        cmocka_unit_test(rejects_samples_and_deliveries_are_listed),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Deliveries inspected by sample: what is asked of them, what becomes of them. The profile asks
 * level I, 4.0 %: of 20 sacks 3 and none bad, tightened 5 and none bad (ISO 2859-1 tables as in
 * calc/microbe/sampling_plan.c; published (seen)). */
#include "head.h"

static const char *receive(int sacks)
{
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'500 kg','place':"
               "'STORE','sacks':%d,'person':6}",
               sacks);
    return arena_copy(&h.arena, house_answer(&h, "lot"));
}

static int64_t inspect(const char *lot, int inspected, int bad)
{
    house_wait(&h, "1 min");
    return house_take(&h,
                      "{'kind':'delivery-check','lot':'%s','inspected':%d,'bad':%d,'what':'torn',"
                      "'person':6}",
                      lot, inspected, bad);
}

static void a_receipt_says_what_to_look_at(void **state)
{
    const char *lot = receive(20);
    assert_string_equal(house_answer(&h, "inspection"), "normal");
    assert_int_equal(house_number(&h, "inspect"), 3);
    inspect(lot, 3, 0);
    assert_true(json_is_true(json_object_get(h.answer, "accepted")));
    assert_int_equal(house_deviations(&h), 0);
    assert_false(house_held(&h, lot, "supplier"));
    receive(1); /* one is looked at */
    assert_int_equal(house_number(&h, "inspect"), 1);
}

static void a_delivery_with_too_many_bad_is_held(void **state)
{
    const char *lot = receive(20);
    inspect(lot, 2, 1); /* bad is bad however few were looked at */
    assert_true(house_deviates(&h, "delivery-refused"));
    assert_true(house_held(&h, lot, "supplier"));
    assert_true(json_is_false(json_object_get(h.answer, "accepted")));
}

static void too_few_decide_nothing(void **state)
{
    const char *lot = receive(20);
    inspect(lot, 2, 0);
    assert_true(house_deviates(&h, "delivery-sample-small"));
    assert_true(house_held(&h, lot, "supplier"));
    inspect(lot, 3, 0);
    assert_true(json_is_true(json_object_get(h.answer, "accepted")));
    for (int i = 0; i < 4; i++) { /* nor did they count for the next ones */
        inspect(receive(20), 2, 0);
    }
    receive(20);
    assert_string_equal(house_answer(&h, "inspection"), "normal");
}

/* Two of five not accepted: tightened; five accepted in a row: normal again. */
static void inspection_follows_what_came_before(void **state)
{
    inspect(receive(20), 3, 0);
    inspect(receive(20), 3, 1);
    inspect(receive(20), 3, 0);
    const char *twice = receive(20);
    inspect(twice, 3, 1);
    receive(20);
    assert_string_equal(house_answer(&h, "inspection"), "tightened");
    assert_int_equal(house_number(&h, "inspect"), 5);
    inspect(twice, 5, 1); /* given in again: changes nothing */
    for (int i = 0; i < 5; i++) {
        const char *lot = receive(20);
        assert_string_equal(house_answer(&h, "inspection"), "tightened");
        inspect(lot, 5, 0);
    }
    receive(20);
    assert_string_equal(house_answer(&h, "inspection"), "normal");
}

static void five_refused_on_tightened_stop_the_supplier(void **state)
{
    for (int i = 0; i < 2; i++) {
        inspect(receive(20), 3, 1);
    }
    for (int i = 0; i < 5; i++) {
        inspect(receive(20), 5, 1);
    }
    const char *lot = receive(20);
    assert_string_equal(house_answer(&h, "inspection"), "discontinued");
    assert_true(house_deviates(&h, "inspection-discontinued"));
    assert_true(house_held(&h, lot, "supplier"));
    inspect(lot, 5, 0); /* no sample takes it up again */
    receive(20);
    assert_string_equal(house_answer(&h, "inspection"), "discontinued");
    house_wait(&h, "1 min");
    house_take(&h, "{'kind':'supplier-approval','supplier':'RADICLE','state':'approved','until':"
                   "'2028-01-01T00:00:00Z','reason':'new sewing machine seen','person':2}");
    receive(20);
    assert_string_equal(house_answer(&h, "inspection"), "tightened");
}

static void what_is_not_inspected_is_not_told(void **state)
{
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'500 kg',"
                   "'place':'STORE','person':6}");
    assert_null(json_object_get(h.answer, "inspection"));
    house_refused(&h, DELIVERY_NOT_INSPECTED,
                  house_text(&h,
                             "{'kind':'delivery-check','lot':'%s','inspected':3,'bad':0,"
                             "'person':6}",
                             house_answer(&h, "lot")));
    const char *lot = receive(20);
    house_refused(&h, FIELD_RANGE,
                  house_text(&h,
                             "{'kind':'delivery-check','lot':'%s','inspected':21,'bad':0,"
                             "'person':6}",
                             lot));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h,
                             "{'kind':'delivery-check','lot':'%s','inspected':3,'bad':1,"
                             "'person':6}",
                             lot));
}

/* An inspection struck is as if it had not been. */
static void a_struck_inspection_does_not_count(void **state)
{
    inspect(receive(20), 3, 1);
    int64_t entry = inspect(receive(20), 3, 1);
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'another lot','person':6}",
               (long long)entry);
    receive(20);
    assert_string_equal(house_answer(&h, "inspection"), "normal");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_receipt_says_what_to_look_at),
        T(a_delivery_with_too_many_bad_is_held),
        T(too_few_decide_nothing),
        T(inspection_follows_what_came_before),
        T(five_refused_on_tightened_stop_the_supplier),
        T(what_is_not_inspected_is_not_told),
        T(a_struck_inspection_does_not_count),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

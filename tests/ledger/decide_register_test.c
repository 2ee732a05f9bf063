/* What is counted because it must not end in product. */
#include "head.h"

#include "minutes.h"

static struct minutes m;

static int open_run(void **state)
{
    minutes_open(&h, &m);
    house_take(&h, "{'kind':'register','code':'BLADES','of':'blades','place':'WASH','expected':6,"
                   "'person':7}");
    minutes_start_run(&h, &m, "0 s");
    return 0;
}

static int64_t count(int counted, int minute)
{
    return house_take(&h,
                      "{'kind':'register-count','register':'BLADES','counted':%d,'what':'looked "
                      "twice','at':'%s','person':5}",
                      counted, minutes_at(&h, &m, minute));
}

static void a_count_that_is_off_holds_what_came_since_the_last_good_one(void **state)
{
    const char *before = minutes_wash(&h, &m, m.lots[0], 10, 20);
    count(6, 30);
    assert_true(json_is_true(json_object_get(h.answer, "ok")));
    const char *after = minutes_wash(&h, &m, m.lots[1], 40, 50);
    count(5, 60);
    assert_true(house_deviates(&h, "count-off"));
    assert_true(house_held(&h, after, "foreign-body"));
    assert_false(house_held(&h, before, "foreign-body"));
    assert_string_equal(house_answer(&h, "lots.0"), after);
    /* a look at the lot that passes lifts it */
    const char *hold = house_answer(&h, "holds.0");
    house_take(&h,
               "{'kind':'inspect','lot':'%s','ok':true,'what':'piece found on the floor','person':"
               "2}",
               after);
    house_take(&h, "{'kind':'lift','hold':'%s','evidence':%lld,'reason':'found','person':2}", hold,
               (long long)house_number(&h, "entry"));
    assert_false(house_held(&h, after, "foreign-body"));
}

static void without_a_good_count_all_of_it_is_held(void **state)
{
    const char *first = minutes_wash(&h, &m, m.lots[0], 10, 20);
    count(7, 60); /* one too many is as wrong as one too few */
    assert_true(house_held(&h, first, "foreign-body"));
}

static void a_count_says_what_happened(void **state)
{
    house_refused(&h, FIELD_MISSING,
                  "{'kind':'register-count','register':'BLADES','counted':5,'person':5}");
    house_refused(&h, REGISTER_UNKNOWN,
                  "{'kind':'register-count','register':'X','counted':5,'person':5}");
    house_refused(
        &h, FIELD_CHOICE,
        "{'kind':'register','code':'R','of':'cats','place':'WASH','expected':6,'person':7}");
}

static void a_good_count_does_the_duty_of_its_register(void **state)
{
    house_take(&h, "{'kind':'duty','code':'KNIVES','title':'Count','duty_kind':'blades','by':"
                   "'register-count','register':'BLADES','every':'1 d','role':'line','source':"
                   "'plan','person':7}");
    house_refused(&h, FIELD_MISSING,
                  "{'kind':'duty','code':'K2','title':'Count','duty_kind':'blades','by':"
                  "'register-count','every':'1 d','role':'line','source':'plan','person':7}");
    int64_t bad = count(5, 30);
    assert_int_equal(house_in_entry(&h, bad, "KNIVES"), 0);
    int64_t good = count(6, 40);
    assert_int_equal(house_in_entry(&h, good, "KNIVES"), 1);
}

#define M(function) cmocka_unit_test_setup_teardown(function, open_run, head_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        M(a_count_that_is_off_holds_what_came_since_the_last_good_one),
        M(a_good_count_does_the_duty_of_its_register),
        M(without_a_good_count_all_of_it_is_held),
        M(a_count_says_what_happened),
    };
    RUN(tests);
}

/* Samples, their age, and waiving it, by real commands. */
#include "fixture/evidence.h"

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

static void a_sample_has_a_code_and_an_age(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "50 h");
    house_take(&h,
               "{'kind':'sample','what':'spent-water','chamber':'C1','location':'drain','volume'"
               ":'1000 mL'}");
    int64_t entry = house_number(&h, "entry");
    assert_string_equal(house_answer(&h, "sample"),
                        arena_printf(&h.arena, "S%lld", (long long)entry));
    assert_int_equal(house_number(&h, "age_min"), 50 * 60);
    assert_int_equal(house_in_entry(&h, entry, "sample-too-young"), 0);
    house_take(
        &h,
        "{'kind':'sample','what':'sprouts','lot':'%s','location':'top','code':'B-17','mass':'"
        "250 g'}",
        growing);
    assert_string_equal(house_answer(&h, "sample"), "B-17");
    assert_code(house_send(&h,
                           "{'kind':'sample','what':'sprouts','lot':'%s','location':'top','code'"
                           ":'B-17'}",
                           growing),
                SAMPLE_EXISTS);
    /* the book keeps the seed's mass in the chamber until the harvest */
    assert_int_equal(house_balance(&h, growing, UNIT_MG), 100000000);
}

/* 48 h: by an example plan in line with US guidance (published (seen)), and in EU law (from
 * memory).
 */
static void a_young_sample_is_heard_and_says_whose_rule_it_breaks(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "47 h");
    const char *format = "{'kind':'sample','what':'spent-water','lot':'%s','location':'drain',"
                         "'volume':'1 L','mode':'%s'}";
    assert_code(house_send(&h, format, growing, "ask"), SAMPLE_YOUNG);
    assert_non_null(strstr(h.refusal.value[2], "48 h (US: US 21 CFR 112.144"));
    int64_t entry = house_take(&h, format, growing, "tell");
    assert_int_equal(house_number(&h, "deviations"), 3); /* US, EU, house */
    assert_int_equal(house_in_entry(&h, entry, "[\"deviation\""), 3);
    house_wait(&h, "1 h");
    house_take(&h, format, growing, "ask");
}

static void a_sample_is_of_what_it_says(void **state)
{
    house_grow(&h, "C1", "100 kg");
    assert_code(house_send(&h,
                           "{'kind':'sample','what':'spent-water','lot':'%s','location':'drain',"
                           "'volume':'1 L'}",
                           h.seed),
                LOT_KIND);
    assert_code(house_send(&h, "{'kind':'sample','what':'water','place':'WASH'}"), PLACE_KIND);
    assert_code(house_send(&h, "{'kind':'sample','what':'soup','place':'WASH'}"), FIELD_CHOICE);
    assert_code(house_send(&h, "{'kind':'sample','what':'swab'}"), FIELD_MISSING);
    assert_code(house_send(&h, "{'kind':'sample','what':'water','place':'WATER','volume':'1'}"),
                UNIT_BAD);
    assert_code(house_send(&h, "{'kind':'sample','what':'water','place':'WATER','volume':'-1 L'}"),
                FIELD_RANGE);
}

static void an_age_is_waived_by_who_may_where_one_may(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "30 h");
    const char *s = house_sample(&h, growing);
    const char *format =
        "{'kind':'waive-age','sample':'%s','market':'%s','person':%d,'reason':'%s'}";
    assert_string_equal(house_unmet(&h, growing, "US")->clause, "seed-treated");
    assert_code(house_send(&h, format, s, "EU", 2, "power cut"), WAIVER_REFUSED);
    assert_code(house_send(&h, format, s, "US", 4, "power cut"), ROLE_MISSING);
    assert_code(house_send(&h, format, s, "US", 2, ""), FIELD_MISSING);
    struct clause_list list;
    int64_t lot = house_lot(&h, growing);
    assert_ok(clauses_of_lot(h.store, h.lg->profile, lot, "US", &h.arena, &list));
    assert_false(clause_holds(&list, "sampled"));
    house_take(&h, format, s, "US", 2, "power cut");
    assert_ok(clauses_of_lot(h.store, h.lg->profile, lot, "US", &h.arena, &list));
    assert_true(clause_holds(&list, "sampled"));
    assert_ok(clauses_of_lot(h.store, h.lg->profile, lot, "US,house", &h.arena, &list));
    assert_false(clause_holds(&list, "sampled"));
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_sample_has_a_code_and_an_age),
        T(a_young_sample_is_heard_and_says_whose_rule_it_breaks),
        T(a_sample_is_of_what_it_says),
        T(an_age_is_waived_by_who_may_where_one_may),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Stock is destroyed and counted. */
#include "packs.h"

static struct house h;
static const char *growing, *packed;

static int set_up(void **state)
{
    packs_open(&h, &growing, &packed);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

enum { KG = 1000000, CASE_MG = PACKS_CASE_MG };

static void what_is_destroyed_goes_where_it_is_said(void **state)
{
    int64_t waste = house_account(&h, "waste", "mg");
    house_take(&h, "{'kind':'destroy','units':['%s-0001..%s-0003'],'to':'waste','reason':'torn'}",
               packed, packed);
    assert_int_equal(house_account(&h, "waste", "mg") - waste, 3 * CASE_MG);
    assert_int_equal(house_account(&h, "waste", "pc"), 120);
    assert_string_equal(house_case(&h, packed, 3).state, "destroyed");
    house_take(&h, "{'kind':'destroy','lot':'%s','to':'compost','reason':'warm'}", packed);
    assert_int_equal(house_account(&h, "compost", "pc"), 680);
    assert_int_equal(house_account(&h, "compost", "mg"), 17 * CASE_MG);
    assert_int_equal(house_balance(&h, packed, UNIT_MG), 0);
    assert_true(house_closed(&h, packed));
    assert_string_equal(house_case(&h, packed, 20).state, "destroyed");
    house_sums(&h);
    const char *sack = packs_seed(&h, "25 kg");
    house_rule(&h, STOCK_SHORT, "stock-below-zero",
               house_text(&h,
                          "{'kind':'destroy','lot':'%s','mass':'26 kg','to':'feed','reason':"
                          "'mice'}",
                          sack));
    house_refused(&h, FIELD_CHOICE,
                  house_text(&h,
                             "{'kind':'destroy','lot':'%s','mass':'1 kg','to':'sea','reason':"
                             "'mice'}",
                             sack));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, "{'kind':'destroy','lot':'%s','mass':'1 kg','to':'feed'}", sack));
    house_refused(
        &h, LOT_KIND,
        house_text(&h, "{'kind':'destroy','lot':'%s','to':'waste','reason':'rot'}", growing));
}

static void a_count_brings_the_books_to_what_there_is(void **state)
{
    const char *sack = packs_seed(&h, "100 kg");
    house_take(&h, "{'kind':'count','lot':'%s','mass':'99.2 kg','place':'DOCK'}", sack);
    assert_int_equal(house_number(&h, "mg.difference"), -800000);
    assert_int_equal(house_balance(&h, sack, UNIT_MG), 99200000);
    assert_string_equal(house_lot_row(&h, sack).place, "DOCK");
    int64_t unexplained = house_account(&h, "unexplained", "mg");
    house_take(&h, "{'kind':'count','lot':'%s','mass':'99.7 kg'}", sack);
    assert_int_equal(house_account(&h, "unexplained", "mg") - unexplained, -500000);
    house_take(&h, "{'kind':'count','lot':'%s','mass':'0 kg'}", sack);
    assert_true(house_closed(&h, sack));
    house_take(&h, "{'kind':'count','lot':'%s','mass':'2 kg'}", sack);
    assert_false(house_closed(&h, sack)); /* it was not all gone */
    house_sums(&h);
}

/* What moved between the count and its telling is not taken for a difference. */
static void a_count_speaks_of_its_own_moment(void **state)
{
    const char *sack = packs_seed(&h, "100 kg"), *then = house_time(&h, 5);
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'destroy','lot':'%s','mass':'30 kg','to':'feed','reason':'mice'}",
               sack);
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'count','lot':'%s','mass':'99 kg','at':'%s'}", sack, then);
    assert_int_equal(house_number(&h, "mg.books"), 100 * KG);
    assert_int_equal(house_number(&h, "mg.difference"), -1 * KG);
    assert_int_equal(house_balance(&h, sack, UNIT_MG), 69 * KG);
}

static void a_count_explains_what_was_owed(void **state)
{
    const char *sack = packs_seed(&h, "100 kg");
    int64_t id = house_lot(&h, sack);
    house_take(&h, "{'kind':'destroy','lot':'%s','mass':'103 kg','to':'feed','reason':'mice'}",
               sack);
    assert_int_equal(house_balance(&h, sack, UNIT_MG), -3 * KG);
    assert_true(house_count(&h, Q_OWED_TASKS_OPEN, id, NULL) != 0);
    house_take(&h, "{'kind':'count','lot':'%s','mass':'0 kg'}", sack);
    assert_int_equal(house_number(&h, "owed_closed"), 1);
    assert_int_equal(house_balance(&h, sack, UNIT_MG), 0);
    assert_int_equal(house_count(&h, Q_OWED_TASKS_OPEN, id, NULL), 0);
    assert_true(house_closed(&h, sack));
    house_sums(&h);
}

static void cases_are_counted_by_their_numbers(void **state)
{
    house_take(&h, "{'kind':'destroy','units':['%s-0020'],'to':'waste','reason':'torn'}", packed);
    house_wait(&h, "1 min");
    house_refused(&h, UNITS_WANTED,
                  house_text(&h, "{'kind':'count','lot':'%s','pieces':760}", packed));
    /* 1 to 18 and the destroyed 20 are found, 19 is not */
    house_take(&h, "{'kind':'count','lot':'%s','units':['%s-0001..%s-0018','%s-0020']}", packed,
               packed, packed, packed);
    assert_int_equal(house_deviations(&h), 1);
    assert_true(house_deviates(&h, "case-found"));
    assert_string_equal(house_case(&h, packed, 19).state, "missing");
    assert_string_equal(house_case(&h, packed, 20).state, "here");
    assert_int_equal(house_number(&h, "pieces.difference"), 0);
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), 760);
    house_take(&h, "{'kind':'count','lot':'%s','units':['%s-0001..%s-0018']}", packed, packed,
               packed);
    assert_int_equal(house_number(&h, "pieces.difference"), -40);
    assert_int_equal(house_balance(&h, packed, UNIT_MG), 18 * CASE_MG);
    house_take(&h, "{'kind':'count','lot':'%s','units':[]}", packed);
    assert_int_equal(house_balance(&h, packed, UNIT_MG), 0);
    assert_true(house_closed(&h, packed));
    house_sums(&h);
}

static void a_late_count_of_cases_is_done_again(void **state)
{
    const char *then = house_time(&h, 0);
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'destroy','units':['%s-0020'],'to':'waste','reason':'torn'}", packed);
    house_refused(&h, COUNT_LATE,
                  house_text(&h,
                             "{'kind':'count','lot':'%s','units':['%s-0001..%s-0020'],'at':'%s'}",
                             packed, packed, packed, then));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(what_is_destroyed_goes_where_it_is_said), T(a_count_brings_the_books_to_what_there_is),
        T(a_count_speaks_of_its_own_moment),        T(a_count_explains_what_was_owed),
        T(cases_are_counted_by_their_numbers),      T(a_late_count_of_cases_is_done_again),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

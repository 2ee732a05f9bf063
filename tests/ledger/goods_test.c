/* Pieces and their mass. */
#include "stock.h"

static struct house h;
static const char *growing, *packed; /* 20 cases of 40 pieces of 251 g; 549 kg washed are left */

static int set_up(void **state)
{
    house_open(&h);
    growing = house_grow(&h, "C1", "100 kg");
    packed = house_pack(&h, growing);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* Packs that stand in no cases: 100 pieces of 251 g. */
static const char *loose_packs(const char *best_before)
{
    const char *washed = house_text(&h, "W%lld", (long long)h.sent);
    house_take(&h,
               "{'kind':'harvest','mode':'tell','lot':'%s','share':'rest','mass':'26 kg','place':"
               "'WASH','reason':'a late rest'}",
               growing);
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{'role':'main',"
               "'lot':'%s','mass':'25.1 kg'}]}",
               house_answer(&h, "lot"), washed);
    house_take(&h,
               "{'kind':'pack','inputs':[{'lot':'%s'}],'item':'MUNG250','pieces':100,'mean_net':"
               "'251 g','place':'PACK','markets':['US','EU'],'best_before':'%s'}",
               washed, best_before);
    return house_answer(&h, "lot");
}

static const char *in_days(int days)
{
    return day_text(&h.arena, day_of_house(h.fixed.now_ms, 0, 240) + days);
}

/* 100 pieces of 251 g, weighed at 25 kg: the pieces go at 251 g each, the last takes what is left.
 */
static void the_last_piece_takes_the_rest_of_the_mass(void **state)
{
    const char *loose = loose_packs(in_days(5));
    house_take(&h, "{'kind':'count','lot':'%s','mass':'25 kg'}", loose);
    house_take(&h, "{'kind':'destroy','lot':'%s','pieces':99,'to':'waste','reason':'torn'}", loose);
    assert_int_equal(house_balance(&h, loose, UNIT_MG), 25000000 - 99 * 251000);
    house_take(&h, "{'kind':'destroy','lot':'%s','pieces':1,'to':'waste','reason':'torn'}", loose);
    assert_int_equal(house_balance(&h, loose, UNIT_MG), 0);
    assert_true(house_closed(&h, loose));
    /* and the others never more than there is */
    const char *light = loose_packs(in_days(5));
    house_take(&h, "{'kind':'count','lot':'%s','mass':'20 kg'}", light);
    house_take(&h, "{'kind':'destroy','lot':'%s','pieces':99,'to':'waste','reason':'torn'}", light);
    assert_int_equal(house_balance(&h, light, UNIT_MG), 0);
    assert_int_equal(house_balance(&h, light, UNIT_PIECES), 1);
    assert_int_equal(house_deviations(&h), 0);
    house_refused(&h, FIELD_MISSING,
                  house_text(&h,
                             "{'kind':'destroy','lot':'%s','mass':'1 kg','to':'waste','reason':"
                             "'torn'}",
                             loose));
    house_sums(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(the_last_piece_takes_the_rest_of_the_mass),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

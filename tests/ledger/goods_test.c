/* Pieces and their mass. */
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

/* 100 pieces of 251 g, weighed at 25 kg: the pieces go at 251 g each, the last takes what is left.
 */
static void the_last_piece_takes_the_rest_of_the_mass(void **state)
{
    const char *loose = packs_loose(&h, growing, packs_in_days(&h, 5));
    house_take(&h, "{'kind':'count','lot':'%s','mass':'25 kg'}", loose);
    house_take(&h, "{'kind':'destroy','lot':'%s','pieces':99,'to':'waste','reason':'torn'}", loose);
    assert_int_equal(house_balance(&h, loose, UNIT_MG), 25000000 - 99 * 251000);
    house_take(&h, "{'kind':'destroy','lot':'%s','pieces':1,'to':'waste','reason':'torn'}", loose);
    assert_int_equal(house_balance(&h, loose, UNIT_MG), 0);
    assert_true(house_closed(&h, loose));
    /* and the others never more than there is */
    const char *light = packs_loose(&h, growing, packs_in_days(&h, 5));
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

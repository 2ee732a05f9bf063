/* Lists of markets. */
#include "stock.h"

#include "ledger/markets.h"

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

static const char *received(const char *markets)
{
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'1 kg','place':"
               "'STORE','markets':[%s]}",
               markets);
    return house_lot_row(&h, house_answer(&h, "lot")).markets;
}

static void a_list_is_sorted_and_names_each_once(void **state)
{
    assert_string_equal(received("'house','US','EU'"), "EU,US,house");
    assert_string_equal(received("'US','US'"), "US");
    assert_string_equal(received(""), "");
    house_refused(&h, FIELD_CHOICE,
                  "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'1 kg','place':"
                  "'STORE','markets':['MOON']}");
    house_refused(&h, FIELD_CHOICE,
                  "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'1 kg','place':"
                  "'STORE','markets':[7]}");
}

static void what_two_lists_share(void **state)
{
    static const char *const rows[][3] = {
        {"EU,US", "US,house", "US"},
        {"EU,US", "EU,US", "EU,US"},
        {"EU", "US", ""},
        {"", "US", "US"},
        {"EU", "", "EU"},
        {"", "", ""},
        {"US", "USA", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_string_equal(markets_common(&h.arena, rows[i][0], rows[i][1]), rows[i][2]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_list_is_sorted_and_names_each_once),
        T(what_two_lists_share),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

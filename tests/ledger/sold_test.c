/* Who orders and what can be ordered, told of an order line and of a standing order alike. */
#include "fixture.h"

static struct house h;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    house_take(&h, "{'kind':'item','code':'TRAY','item_kind':'packaging','net':'12 g'}");
    house_take(&h, "{'kind':'item','code':'SAUCE','item_kind':'ingredient'}");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static const char line[] =
    "{'kind':'order','person':9,'source':'o','lines':[{'key':'%s','customer':'%s','item':'%s',"
    "'day':'2026-03-20','pieces':5,'state':'%s'}]}";
static const char standing[] =
    "{'kind':'standing-order','person':9,'code':'%s','customer':'%s','item':'%s',"
    "'weekdays':['mon'],'pieces':5,'from':'2026-03-02','active':%s}";

static void what_comes_in_or_grows_is_not_sold(void **state)
{
    static const struct {
        const char *customer, *item;
        enum code code;
        const char *field;
    } cases[] = {
        {"COTYLEDON", "MUNGSEED", CODE_FIELD_CHOICE, "item"},
        {"COTYLEDON", "MUNG", CODE_FIELD_CHOICE, "item"},
        {"COTYLEDON", "TRAY", CODE_FIELD_CHOICE, "item"},
        {"COTYLEDON", "SAUCE", CODE_FIELD_CHOICE, "item"},
        {"COTYLEDON", "NOTHING", CODE_ITEM_UNKNOWN, "item"},
        {"RADICLE", "MUNG250", CODE_PARTNER_UNKNOWN, "customer"}, /* a supplier */
    };
    int64_t next = h.lg->next_seq;
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct result r = house_send(&h, line, "K", cases[i].customer, cases[i].item, "open");
        assert_int_equal(r.code, cases[i].code);
        assert_string_equal(r.field, arena_printf(&h.arena, "lines[0].%s", cases[i].field));
        r = house_send(&h, standing, "S", cases[i].customer, cases[i].item, "true");
        assert_int_equal(r.code, cases[i].code);
        assert_string_equal(r.field, cases[i].field);
    }
    assert_int_equal(h.lg->next_seq, next);
}

static void packs_and_by_products_are_sold(void **state)
{
    (void)state;
    house_take(&h, line, "K1", "COTYLEDON", "MUNG250", "open");
    house_take(&h, line, "K2", "COTYLEDON", "HULLS", "open");
    house_take(&h, standing, "S1", "COTYLEDON", "HULLS", "true");
}

/* What an older record has of it must come out of the book again. */
static void what_is_called_off_need_not_be_sold(void **state)
{
    (void)state;
    house_take(&h, line, "K1", "COTYLEDON", "MUNGSEED", "cancelled");
    house_take(&h, standing, "S1", "COTYLEDON", "MUNGSEED", "false");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_comes_in_or_grows_is_not_sold),
        TEST(packs_and_by_products_are_sold),
        TEST(what_is_called_off_need_not_be_sold),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

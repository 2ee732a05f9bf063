/* What is bought by the piece: how its mass is known, and what is refused. */
#include "fixture.h"

#include "ledger/view.h"

static struct house h;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    house_take(&h, "{'kind':'item','code':'TRAY','item_kind':'packaging','net':'12 g'}");
    house_take(&h, "{'kind':'item','code':'FILM','item_kind':'packaging'}");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static const char receipt[] =
    "{'kind':'receive','supplier':'RADICLE','item':'%s','place':'STORE',%s}";

static void pieces_weigh_what_the_item_says(void **state)
{
    int64_t has;
    (void)state;
    house_take(&h, receipt, "TRAY", "'pieces':1500");
    assert_ok(balance_of(h.store, house_lot(&h, house_answer(&h, "lot")), UNIT_MG, &has));
    assert_int_equal(has, 18000000); /* 1500 of 12 g */
    house_take(&h, receipt, "TRAY", "'mass':'7 kg','instrument':'SCALE'");
    assert_ok(balance_of(h.store, house_lot(&h, house_answer(&h, "lot")), UNIT_MG, &has));
    assert_int_equal(has, 7000000);
}

static void what_cannot_be_counted_is_refused(void **state)
{
    static const struct {
        const char *item, *amount;
        enum code code;
    } cases[] = {
        {"FILM", "'pieces':10", CODE_PIECE_UNWEIGHED},
        {"MUNGSEED", "'pieces':10", CODE_FIELD_CHOICE},
        {"MUNG250", "'pieces':10", CODE_FIELD_CHOICE},
        {"NOTHING", "'pieces':10", CODE_ITEM_UNKNOWN},
        {"TRAY", "'pieces':0", CODE_FIELD_RANGE},
        {"TRAY", "'pieces':10,'mass':'1 kg'", CODE_FIELD_RANGE},
        {"TRAY", "'pieces':10,'gross':'1 kg','tare':'0.1 kg'", CODE_FIELD_RANGE},
        {"TRAY", "'sacks':1", CODE_FIELD_MISSING},
    };
    int64_t next = h.lg->next_seq;
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct result r = house_send(&h, receipt, cases[i].item, cases[i].amount);
        if (r.code != cases[i].code) {
            fail_msg("%s of %s: %s", cases[i].amount, cases[i].item, code_id(r.code));
        }
    }
    assert_int_equal(h.lg->next_seq, next);
}

/* The heaviest piece there may be, so many times that all of them are more than a mass can be. */
static void too_many_are_refused(void **state)
{
    (void)state;
    house_take(&h, "{'kind':'item','code':'BLOCK','item_kind':'ingredient','net':'1000000 kg'}");
    assert_code(house_send(&h, receipt, "BLOCK", "'pieces':100000000"), FIELD_RANGE);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(pieces_weigh_what_the_item_says),
        TEST(what_cannot_be_counted_is_refused),
        TEST(too_many_are_refused),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

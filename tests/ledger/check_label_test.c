/* A label against the record. */
#include "stock.h"

static struct house h;
static const char *packed;

static int set_up(void **state)
{
    house_open(&h);
    house_take(&h,
               "{'kind':'item','code':'MUNG250','item_kind':'packed','family':'mung','net':'250 "
               "g','pieces_per_case':40,'life_days':8,'source_item':'MUNG','allergens':['soy',"
               "'sesame']}");
    packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static const char *label_text(const char *item, const char *lot, int32_t day, const char *net,
                              const char *allergens)
{
    return house_text(&h,
                      "{'kind':'label-check','lot':'%s','item':'%s','lot_code':'%s','best_before':"
                      "'%s','net':'%s','allergens':[%s]}",
                      packed, item, lot, day_text(&h.arena, day), net, allergens);
}

static void a_label_that_says_what_the_record_says(void **state)
{
    int32_t day = house_lot_row(&h, packed).best_before;
    house_take(&h, "%s", label_text("MUNG250", packed, day, "0.25 kg", "'sesame','soy'"));
    assert_true(json_is_true(json_object_get(h.answer, "ok")));
    assert_int_equal(house_deviations(&h), 0);
    assert_int_equal(house_effect(&h, "reading", 0, 8), 1);
    assert_false(house_stops(&h, packed, "pack"));
    house_refused(&h, LOT_KIND,
                  house_text(&h,
                             "{'kind':'label-check','lot':'%s','item':'X','lot_code':'X',"
                             "'best_before':'2026-03-09','net':'1 g','allergens':[]}",
                             h.seed));
}

/* Each field alone is enough, and it holds the lot until the label is right. */
static void one_difference_holds_the_lot(void **state)
{
    int32_t day = house_lot_row(&h, packed).best_before;
    const char *both = "'soy','sesame'";
    const struct {
        const char *field, *command;
    } wrong[] = {
        {"item", label_text("MUNG500", packed, day, "250 g", both)},
        {"lot_code", label_text("MUNG250", "X", day, "250 g", both)},
        {"best_before", label_text("MUNG250", packed, day + 1, "250 g", both)},
        {"best_before", label_text("MUNG250", packed, day - 1, "250 g", both)},
        {"net", label_text("MUNG250", packed, day, "250.001 g", both)},
        {"allergens", label_text("MUNG250", packed, day, "250 g", "'soy'")},
        {"allergens", label_text("MUNG250", packed, day, "250 g", "'soy','sesame','wheat'")},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        house_take(&h, "%s", wrong[i].command);
        assert_true(json_is_false(json_object_get(h.answer, "ok")));
        assert_int_equal(house_number(&h, "differs"), 1);
        assert_string_equal(house_answer(&h, "differs.0"), wrong[i].field);
        assert_int_equal(house_deviations(&h), 1);
        assert_true(house_deviates(&h, "label-differs"));
        assert_string_equal(house_effect_text(&h, "hold", 0, 3), "label");
        const char *hold = house_answer(&h, "hold");
        assert_int_equal(house_effect(&h, "hold_on", 0, 2), house_lot(&h, packed));
        assert_string_equal(house_effect_text(&h, "hold", 0, 4), "release,load");
        int64_t bad = house_take(&h, "%s", wrong[i].command);
        const char *again = house_answer(&h, "hold");
        assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                               (long long)bad),
                    HOLD_EVIDENCE);
        int64_t good = house_take(&h, "%s", label_text("MUNG250", packed, day, "250 g", both));
        house_take(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                   (long long)good);
        house_take(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", again,
                   (long long)good);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_label_that_says_what_the_record_says),
        T(one_difference_holds_the_lot),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

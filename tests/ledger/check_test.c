/* Labels against the record, readings against their limits, and looks. */
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

/* A limit is kept at its very value and broken a thousandth beyond it; the deviation reaches back
 * to the last reading inside. */
static void readings_are_held_against_their_limits(void **state)
{
    static const struct {
        const char *kind, *good, *bad, *field;
        int64_t milli;
    } rows[] = {
        {"cold-check", "'place':'COLD','temp':'5 C'", "'place':'COLD','temp':'5.001 C'", "temp",
         5001},
        {"cold-check", "'place':'COLD','temp':'0'", "'place':'COLD','temp':'-0.001 C'", "temp", -1},
        {"water-reading", "'place':'WASH','chlorine':'2 mg/L'",
         "'place':'WASH','chlorine':'1.999 mg/L'", "chlorine", 1999},
        {"water-reading", "'place':'WASH','chlorine':'100 mg/L'",
         "'place':'WASH','chlorine':'100.001 mg/L'", "chlorine", 100001},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        int64_t start_ms = h.fixed.now_ms;
        house_take(&h, "{'kind':'%s',%s}", rows[i].kind, rows[i].good);
        assert_true(json_is_true(json_object_get(h.answer, "ok")));
        assert_int_equal(house_deviations(&h), 0);
        house_wait(&h, "7 min");
        house_take(&h, "{'kind':'%s',%s}", rows[i].kind, rows[i].bad);
        assert_int_equal(house_effect(&h, "reading", 0, 6), rows[i].milli);
        assert_int_equal(house_effect(&h, "reading", 0, 8), 0);
        house_window(&h, "check-outside", start_ms, 0, 7);
        house_wait(&h, "5 min");
        house_take(&h, "{'kind':'%s','mode':'ask',%s}", rows[i].kind, rows[i].bad);
        assert_true(json_is_false(json_object_get(h.answer, "ok"))); /* a fact is not refused */
        house_window(&h, "check-outside", start_ms, 0, 12);
        house_wait(&h, "5 min");
    }
}

static void moisture_of_a_lot(void **state)
{
    house_take(&h, "{'kind':'moisture-check','lot':'%s','moisture':'3 %%'}", packed);
    assert_int_equal(house_deviations(&h), 0);
    house_take(&h, "{'kind':'moisture-check','lot':'%s','moisture':'3.001 %%'}", packed);
    assert_true(house_deviates(&h, "check-outside"));
    assert_int_equal(house_effect(&h, "reading", 0, 4), house_lot(&h, packed));
    house_refused(&h, UNIT_BAD,
                  house_text(&h, "{'kind':'moisture-check','lot':'%s','moisture':'3'}", packed));
    house_refused(
        &h, FIELD_RANGE,
        house_text(&h, "{'kind':'moisture-check','lot':'%s','moisture':'101 %%'}", packed));
    house_refused(&h, LOT_KIND,
                  house_text(&h, "{'kind':'moisture-check','lot':'%s','moisture':'3 %%'}", h.seed));
}

static void water_has_three_readings(void **state)
{
    house_take(&h, "{'kind':'water-reading','place':'WATER','chlorine':'12.5 mg/L','ph':'7.2',"
                   "'temp':'8 C'}");
    assert_int_equal(house_effect(&h, "reading", 0, 6), 7200);
    assert_int_equal(house_effect(&h, "reading", 1, 6), 8000);
    assert_int_equal(house_effect(&h, "reading", 2, 6), 12500);
    assert_string_equal(house_effect_text(&h, "reading", 2, 7), "mg/L");
    house_refused(&h, FIELD_MISSING, "{'kind':'water-reading','place':'WATER'}");
    house_refused(&h, FIELD_RANGE, "{'kind':'water-reading','place':'WATER','ph':'14.1'}");
    house_refused(&h, UNIT_BAD, "{'kind':'water-reading','place':'WATER','ph':'7 pH'}");
    house_refused(&h, UNIT_BAD, "{'kind':'water-reading','place':'WATER','chlorine':'5 ppm'}");
    house_refused(&h, FIELD_RANGE, "{'kind':'water-reading','place':'WATER','chlorine':'-1 mg/L'}");
    house_refused(&h, FIELD_RANGE, "{'kind':'cold-check','place':'COLD','temp':'200 C'}");
    house_refused(&h, FIELD_MISSING, "{'kind':'cold-check','place':'COLD'}");
}

static void a_seal_or_a_look_that_fails(void **state)
{
    int64_t start_ms = h.fixed.now_ms;
    house_take(&h, "{'kind':'seal-check','place':'PACK','ok':true}");
    assert_int_equal(house_deviations(&h), 0);
    house_wait(&h, "20 min");
    house_take(&h, "{'kind':'seal-check','place':'PACK','ok':false,'what':'burst at the edge'}");
    house_window(&h, "check-failed", start_ms, 0, 20);
    house_take(&h, "{'kind':'inspect','lot':'%s','ok':false,'what':'smells'}", packed);
    assert_true(house_deviates(&h, "check-failed"));
    house_refused(&h, FIELD_MISSING, "{'kind':'inspect','place':'COLD','ok':true}");
    house_refused(&h, FIELD_MISSING, "{'kind':'inspect','ok':true,'what':'all'}");
    house_refused(&h, FIELD_MISSING, "{'kind':'seal-check','place':'PACK'}");
}

static void an_instrument_past_its_calibration_reads_nothing_good(void **state)
{
    house_take(&h, "{'kind':'instrument','code':'T-OLD','instrument_kind':'thermometer','division':"
                   "100,'uncertainty':100,'due':'2026-03-02T05:00:00Z'}");
    house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'3 C','instrument':'T-OLD'}");
    assert_true(house_deviates(&h, "calibration-overdue"));
    assert_true(json_is_false(json_object_get(h.answer, "ok")));
    assert_int_equal(house_effect(&h, "reading", 0, 8), 0);
    assert_string_equal(house_effect_text(&h, "reading", 0, 9), "T-OLD");
    /* so the next reading outside reaches back beyond it */
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'6 C'}");
    assert_int_equal(house_effect(&h, "deviation", 0, 6), 0);
    house_refused(&h, INSTRUMENT_UNKNOWN,
                  "{'kind':'cold-check','place':'COLD','temp':'3 C','instrument':'NONE'}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_label_that_says_what_the_record_says),
        T(one_difference_holds_the_lot),
        T(readings_are_held_against_their_limits),
        T(moisture_of_a_lot),
        T(water_has_three_readings),
        T(a_seal_or_a_look_that_fails),
        T(an_instrument_past_its_calibration_reads_nothing_good),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

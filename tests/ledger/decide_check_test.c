/* Readings against their limits, and looks. */
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
    /* 12.5 mg/L at pH 7.2 and 8 C: share 0.76598, after Morris 1966 (computed here) */
    assert_int_equal(house_effect(&h, "reading", 3, 6), 9574);
    assert_string_equal(house_answer(&h, "hocl"), "9.574 mg/L");
    house_refused(&h, FIELD_MISSING, "{'kind':'water-reading','place':'WATER'}");
    house_refused(&h, FIELD_RANGE, "{'kind':'water-reading','place':'WATER','ph':'14.1'}");
    house_refused(&h, UNIT_BAD, "{'kind':'water-reading','place':'WATER','ph':'7 pH'}");
    house_refused(&h, UNIT_BAD, "{'kind':'water-reading','place':'WATER','chlorine':'5 ppm'}");
    house_refused(&h, FIELD_RANGE, "{'kind':'water-reading','place':'WATER','chlorine':'-1 mg/L'}");
    house_refused(&h, FIELD_RANGE, "{'kind':'cold-check','place':'COLD','temp':'200 C'}");
    house_refused(&h, FIELD_MISSING, "{'kind':'cold-check','place':'COLD'}");
}

static void water_that_is_out_tells_to_stop(void **state)
{
    house_take(&h, "{'kind':'water-reading','place':'WASH','ph':'7.5','turbidity':'4.2 NTU','flow':"
                   "'120 L/min'}");
    assert_int_equal(house_deviations(&h), 0);
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L','ph':'7.6'}");
    assert_true(house_deviates(&h, "check-outside"));
    assert_string_equal(house_effect_text(&h, "task", 0, 2), "wash-water-out");
    assert_string_equal(house_effect_text(&h, "task", 0, 5), "WASH");
    house_refused(&h, UNIT_BAD, "{'kind':'water-reading','place':'WASH','turbidity':'4'}");
    house_refused(&h, FIELD_RANGE, "{'kind':'water-reading','place':'WASH','flow':'-1 L/min'}");
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
        T(readings_are_held_against_their_limits),
        T(moisture_of_a_lot),
        T(water_has_three_readings),
        T(water_that_is_out_tells_to_stop),
        T(a_seal_or_a_look_that_fails),
        T(an_instrument_past_its_calibration_reads_nothing_good),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The metal detector: a test piece that passes holds everything between the good checks around it.
 * Times are minutes after the start of the run. */
#include "stock.h"

static struct house h;
static int64_t start_ms;

/* 700 kg of washed sprouts W, a run P1 on the pack line; then the clock stands five hours later. */
static int set_up(void **state)
{
    house_open(&h);
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'740 kg','place':'WASH'}", growing);
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{'role':'main',"
               "'lot':'W','mass':'700 kg'}]}",
               house_answer(&h, "lot"));
    house_take(&h, "{'kind':'run-start','place':'PACK','run':'P1','family':'mung','carry_over':'0 "
                   "s'}");
    start_ms = h.fixed.now_ms;
    house_wait(&h, "5 h");
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static const char *minute(int m)
{
    return civil_text(&h.arena, start_ms + (int64_t)m * 60000, 0);
}

static const char *pack(const char *place, const char *lot, int from, int to)
{
    house_take(
        &h,
        "{'kind':'pack','inputs':[{'lot':'W','mass':'10 kg'}],'item':'MUNG250','pieces':40,"
        "'mean_net':'250 g','place':'%s','lot':'%s','start':'%s','end':'%s','markets':['US']}",
        place, lot, minute(from), minute(to));
    return lot;
}

static int64_t metal(const char *more, int at, const char *steel)
{
    return house_take(&h,
                      "{'kind':'metal-check','place':'METAL'%s,'fe':'rejected','non_fe':'rejected',"
                      "'steel':'%s','at':'%s'}",
                      more, steel, minute(at));
}

static bool is_held(const char *lot)
{
    return house_stops(&h, lot, "use") && house_stops(&h, lot, "release");
}

static void all_pieces_rejected_is_good(void **state)
{
    pack("PACK", "A", 5, 20);
    metal("", 30, "rejected");
    assert_true(json_is_true(json_object_get(h.answer, "ok")));
    assert_int_equal(house_deviations(&h), 0);
    assert_null(json_object_get(h.answer, "holds"));
    assert_string_equal(house_effect_text(&h, "reading", 0, 2), "metal-check");
    assert_int_equal(house_effect(&h, "reading", 0, 8), 1);
    assert_false(is_held("A"));
    house_refused(
        &h, FIELD_CHOICE,
        "{'kind':'metal-check','place':'METAL','fe':'rejected','non_fe':'rejected','steel':"
        "'found'}");
    house_refused(&h, FIELD_MISSING,
                  "{'kind':'metal-check','place':'METAL','fe':'rejected','non_fe':'rejected'}");
    house_refused(
        &h, PLACE_KIND,
        "{'kind':'metal-check','place':'COLD','fe':'rejected','non_fe':'rejected','steel':"
        "'rejected'}");
}

static void each_piece_that_is_missed_fails_the_check(void **state)
{
    static const char *const pieces[] = {"fe", "non_fe", "steel"};
    for (size_t i = 0; i < 3; i++) {
        house_take(&h,
                   "{'kind':'metal-check','place':'METAL','fe':'%s','non_fe':'%s','steel':'%s'}",
                   i == 0 ? "missed" : "rejected", i == 1 ? "missed" : "rejected",
                   i == 2 ? "missed" : "rejected");
        assert_true(json_is_false(json_object_get(h.answer, "ok")));
        assert_true(house_deviates(&h, "metal-missed"));
        assert_string_equal(house_answer(&h, "deviations.0.values.0"), pieces[i]);
    }
}

static void a_miss_holds_back_to_the_last_good_check(void **state)
{
    metal("", 0, "rejected");
    pack("PACK", "A", 5, 20);
    metal("", 60, "rejected");
    pack("PACK", "B", 65, 90);
    pack("PACK", "C", 90, 115);
    house_take(&h, "{'kind':'split','lot':'B','pieces':10,'lot_out':'B-PART'}");
    metal("", 120, "missed");
    assert_int_equal(house_number(&h, "holds"), 1);
    assert_int_equal(house_number(&h, "lots"), 3);
    assert_string_equal(house_answer(&h, "since"),
                        civil_short(&h.arena, start_ms + INT64_C(60) * 60000));
    house_window(&h, "metal-missed", start_ms, 60, 120);
    assert_string_equal(house_effect_text(&h, "hold", 0, 3), "foreign-body");
    assert_string_equal(house_effect_text(&h, "hold", 0, 5), "re-passed");
    assert_int_equal(house_effect(&h, "hold", 0, 9), start_ms + INT64_C(60) * 60000);
    assert_false(is_held("A"));
    assert_true(is_held("B"));
    assert_true(is_held("C"));
    assert_true(is_held("B-PART")); /* what was made of it in the meantime */
    /* told only now */
    assert_true(is_held(pack("PACK", "D", 100, 118)));
    assert_true(is_held(pack("PACK", "E", 118, 130)));
    assert_true(is_held(pack("PACK", "G", 125, 140))); /* and nothing good was said since */
    assert_false(is_held(pack("PACK", "F", 30, 50)));
}

static void a_miss_told_late_holds_up_to_the_next_good_check(void **state)
{
    metal("", 60, "rejected");
    metal("", 130, "rejected");
    pack("PACK", "A", 100, 129);
    pack("PACK", "B", 131, 140);
    pack("PACK", "C", 40, 60);
    metal("", 120, "missed");
    assert_true(is_held("A"));
    assert_false(is_held("B"));
    assert_false(is_held("C"));
    assert_false(is_held(pack("PACK", "D", 131, 150)));
    assert_true(is_held(pack("PACK", "E", 61, 70)));
}

static void without_any_good_check_everything_is_held(void **state)
{
    pack("PACK", "A", 1, 2);
    pack("PACK", "B", 100, 110);
    metal("", 120, "missed");
    assert_string_equal(house_answer(&h, "since"), "the beginning");
    assert_true(is_held("A"));
    assert_true(is_held("B"));
    assert_true(is_held(pack("PACK", "C", 3, 4)));
}

static void what_came_out_of_no_run_is_held_too(void **state)
{
    house_take(&h, "{'kind':'run-end','run':'P1','at':'%s'}", minute(50));
    pack("PACK", "A", 20, 30);
    pack("PACK", "B", 60, 70);
    metal("", 120, "missed");
    assert_int_equal(house_number(&h, "holds"), 2);
    assert_true(is_held("A"));
    assert_true(is_held("B"));
}

static void another_line_is_another_matter(void **state)
{
    house_take(&h, "{'kind':'place','code':'PACK2','place_kind':'pack-line'}");
    house_take(&h, "{'kind':'place','code':'METAL2','place_kind':'detector','parent':'PACK2'}");
    pack("PACK", "A", 20, 30);
    pack("PACK2", "B", 20, 30);
    house_take(&h,
               "{'kind':'metal-check','place':'METAL2','fe':'rejected','non_fe':'rejected','steel':"
               "'rejected','at':'%s'}",
               minute(40)); /* says nothing of the other line */
    metal("", 120, "missed");
    assert_true(is_held("A"));
    assert_false(is_held("B"));
    /* a detector that stands by itself checks the run it is told for */
    house_take(&h, "{'kind':'place','code':'METAL3','place_kind':'detector'}");
    pack("PACK", "C", 130, 140);
    house_take(
        &h,
        "{'kind':'metal-check','place':'METAL3','run':'P1','fe':'missed','non_fe':'rejected',"
        "'steel':'rejected','at':'%s'}",
        minute(150));
    assert_int_equal(house_number(&h, "holds"), 1);
    assert_true(house_number(&h, "lots") >= 2); /* A and C at least */
    assert_true(is_held("C"));
}

static int64_t lift(const char *hold, int64_t evidence)
{
    struct result r = house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                                 (long long)evidence);
    return r.code;
}

static void all_of_it_is_passed_again(void **state)
{
    metal("", 60, "rejected");
    pack("PACK", "A", 65, 90);
    pack("PACK", "B", 90, 115);
    metal("", 120, "missed");
    const char *hold = house_answer(&h, "holds.0");
    assert_int_equal(lift(hold, metal("", 150, "rejected")), CODE_HOLD_EVIDENCE);
    assert_int_equal(lift(hold, metal(",'lot':'A'", 151, "rejected")), CODE_HOLD_EVIDENCE);
    assert_int_equal(lift(hold, metal(",'lots':['A','B']", 152, "missed")), CODE_HOLD_EVIDENCE);
    int64_t passed = metal(",'lots':['A','B']", 160, "rejected");
    assert_int_equal(lift(hold, passed), CODE_OK);
    assert_true(is_held("A")); /* by the miss at 152, which held it once more */
    house_refused(&h, LOT_UNKNOWN,
                  "{'kind':'metal-check','place':'METAL','lots':['A','NONE'],'fe':'rejected',"
                  "'non_fe':'rejected','steel':'rejected'}");
}

static void a_detector_past_its_calibration_is_not_good(void **state)
{
    house_take(&h, "{'kind':'instrument','code':'DET','instrument_kind':'detector','division':0,"
                   "'uncertainty':0,'due':'2026-03-02T05:00:00Z'}");
    pack("PACK", "A", 65, 90);
    metal(",'instrument':'DET'", 60, "rejected");
    assert_true(house_deviates(&h, "calibration-overdue"));
    assert_true(json_is_false(json_object_get(h.answer, "ok")));
    assert_false(is_held("A")); /* nothing was missed */
    metal("", 120, "missed");
    assert_string_equal(house_answer(&h, "since"), "the beginning");
    assert_true(is_held("A"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(all_pieces_rejected_is_good),
        T(each_piece_that_is_missed_fails_the_check),
        T(a_miss_holds_back_to_the_last_good_check),
        T(a_miss_told_late_holds_up_to_the_next_good_check),
        T(without_any_good_check_everything_is_held),
        T(what_came_out_of_no_run_is_held_too),
        T(another_line_is_another_matter),
        T(all_of_it_is_passed_again),
        T(a_detector_past_its_calibration_is_not_good),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

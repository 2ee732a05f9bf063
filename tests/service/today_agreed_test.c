/* Deliveries agreed that did not come, on Today. */
#include "todays.h"

#include "base/words.h"

static bool sees(struct house *h, const char *role)
{
    json_t *lines = todays_lines(h, 1, role);
    bool is = with_text(lines, "key", "agreed:D-1") != NULL;
    json_decref(lines);
    return is;
}

static void what_did_not_come_is_asked_for_until_it_comes(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int32_t day = (int32_t)house_day(&h) + 2;
    house_take(&h,
               "{'kind':'delivery-agree','code':'D-1','supplier':'RADICLE','item':'MUNGSEED',"
               "'day':'%s','mass':'500 kg','person':9}",
               day_text(&h.arena, day));
    house_wait(&h, "2 d");
    assert_false(sees(&h, "intake")); /* it may still come today */
    house_wait(&h, "1 d");
    assert_true(sees(&h, "intake"));
    assert_true(sees(&h, "planner"));
    assert_true(sees(&h, "manager"));
    assert_false(sees(&h, "grower"));
    json_t *lines = todays_lines(&h, 1, "planner");
    const json_t *line = with_text(lines, "what", "agreed");
    assert_string_equal(text_at(line, "tone"), "due");
    assert_string_equal(text_at(at_key(line, "go"), "page"), "plan");
    assert_string_equal(
        text_at(line, "sentence"),
        arena_printf(&h.arena,
                     "Delivery D-1, 500 kg of MUNGSEED from RADICLE, was to come on %s and did "
                     "not. The plan does not count on it: agree another day, or take it back.",
                     words_date(&h.arena, "en", day)));
    json_decref(lines);
    lines = todays_lines_in(&h, 1, "planner", "es", 0);
    assert_non_null(strstr(text_at(with_text(lines, "what", "agreed"), "sentence"),
                           "La entrega D-1, 500 kg de MUNGSEED de RADICLE, deb"));
    json_decref(lines);
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'200 kg',"
                   "'instrument':'SCALE','place':'STORE','delivery':'D-1'}");
    assert_false(sees(&h, "intake"));
    house_close(&h);
}

static void trays_are_told_in_pieces(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'item','code':'TRAY','item_kind':'packaging','net':'12 g'}");
    house_take(&h,
               "{'kind':'delivery-agree','code':'D-1','supplier':'RADICLE','item':'TRAY',"
               "'day':'%s','pieces':20000,'person':9}",
               day_text(&h.arena, (int32_t)house_day(&h)));
    house_wait(&h, "1 d");
    json_t *lines = todays_lines(&h, 1, "planner");
    assert_non_null(strstr(text_at(with_text(lines, "what", "agreed"), "sentence"),
                           "000 pieces of TRAY from RADICLE, was to come on"));
    json_decref(lines);
    house_close(&h);
}

static void another_day_or_taking_it_back_ends_it(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    static const char agree[] = "{'kind':'delivery-agree','code':'D-1','supplier':'RADICLE',"
                                "'item':'MUNGSEED','day':'%s','mass':'500 kg','active':%s,"
                                "'person':9}";
    const char *day = day_text(&h.arena, (int32_t)house_day(&h) + 1);
    house_take(&h, agree, day, "true");
    house_wait(&h, "2 d");
    assert_true(sees(&h, "intake"));
    house_take(&h, agree, day_text(&h.arena, (int32_t)house_day(&h) + 1), "true");
    assert_false(sees(&h, "intake"));
    house_wait(&h, "2 d");
    assert_true(sees(&h, "intake"));
    house_take(&h, agree, day, "false");
    assert_false(sees(&h, "intake"));
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_did_not_come_is_asked_for_until_it_comes),
        cmocka_unit_test(another_day_or_taking_it_back_ends_it),
        cmocka_unit_test(trays_are_told_in_pieces),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What the house's schedule, work orders and broken rules put on Today, and for whom. */
#include "todays.h"

static void put_duty(struct house *h, const char *code, const char *more)
{
    house_take(h,
               "{'kind':'duty','code':'%s','title':'%s of the plan','duty_kind':'other',%s,"
               "'every':'10 d','source':'house plan','person':7}",
               code, code, more);
}

static void a_duty_is_told_to_its_role_with_its_form(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    put_duty(&h, "TRAPS", "'role':'hygiene'");
    house_wait(&h, "1 h");
    json_t *lines = todays_lines(&h, 7, "hygiene");
    const json_t *line = with_text(lines, "what", "duty");
    assert_non_null(line);
    assert_string_equal(text_at(line, "sentence"), "Due since 04:00: TRAPS of the plan.");
    assert_string_equal(text_at(line, "tone"), "due");
    assert_string_equal(text_at(line, "verb"), "Done");
    assert_string_equal(text_at(at_key(line, "go"), "form"), "duty-done");
    assert_string_equal(text_at(todays_with(line), "duty"), "TRAPS");
    json_decref(lines);
    lines = todays_lines(&h, 5, "line");
    assert_null(with_text(lines, "what", "duty")); /* not theirs */
    json_decref(lines);
    lines = todays_lines(&h, 1, "manager");
    assert_non_null(with_text(lines, "what", "duty"));
    json_decref(lines);
    house_take(&h, "{'kind':'duty-done','duty':'TRAPS','ok':true,'person':7}");
    lines = todays_lines(&h, 7, "hygiene");
    assert_null(with_text(lines, "what", "duty"));
    json_decref(lines);
    house_close(&h);
}

/* Ten days: late a day after, overdue five days after. */
static void a_duty_gets_later(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    put_duty(&h, "TRAPS", "'role':'hygiene'");
    house_wait(&h, "25 h");
    json_t *lines = todays_lines(&h, 7, "hygiene");
    assert_non_null(strstr(text_at(with_text(lines, "what", "duty"), "sentence"), "Late, "));
    json_decref(lines);
    house_wait(&h, "5 d");
    lines = todays_lines(&h, 7, "hygiene");
    const json_t *line = with_text(lines, "what", "duty");
    assert_non_null(strstr(text_at(line, "sentence"), "Overdue, "));
    assert_string_equal(text_at(line, "tone"), "stopped");
    json_decref(lines);
    house_close(&h);
}

static void an_overdue_duty_that_blocks_is_told_to_everybody(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    put_duty(&h, "BLADES", "'role':'maintenance','place':'PACK','blocks':true");
    house_wait(&h, "6 d");
    json_t *lines = todays_lines(&h, 5, "line");
    const json_t *line = with_text(lines, "what", "blocked");
    assert_non_null(line);
    assert_non_null(strstr(text_at(line, "sentence"), "Nothing may start at PACK"));
    assert_string_equal(text_at(line, "tone"), "stopped");
    json_decref(lines);
    house_close(&h);
}

/* One that the record fulfils is done by that record, begun with what it speaks of. */
static void a_duty_leads_to_the_record_that_fulfils_it(void **state)
{
    static const struct {
        const char *more, *what, *form, *verb, *key, *value;
    } cases[] = {
        {"'role':'line','by':'clean','place':'PACK'", "duty", "clean", "Clean", "place", "PACK"},
        {"'role':'line','by':'swab','site':'SW-1','place':'PACK'", "duty", "sample", "Swab",
         "location", "SW-1"},
        {"'role':'line','by':'check','check':'seal-check','place':'PACK'", "duty", "seal-check",
         "Check", "place", "PACK"},
        {"'role':'line','by':'calibrate','instrument':'SCALE'", "duty", "calibrate", "Calibrate",
         "instrument", "SCALE"},
        {"'role':'line','by':'instrument-check','instrument':'SCALE'", "instrument-check",
         "instrument-check", "Check", "instrument", "SCALE"},
        {"'role':'line','by':'register-count','register':'KNIVES'", "duty", "register-count",
         "Count", "register", "KNIVES"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct house h;
        house_open(&h);
        house_take(&h, "{'kind':'site','code':'SW-1','place':'PACK','zone':1,'surface':'belt',"
                       "'person':7}");
        put_duty(&h, "D", cases[i].more);
        house_wait(&h, "1 h");
        json_t *lines = todays_lines(&h, 5, "line");
        const json_t *line = with_text(lines, "what", cases[i].what);
        assert_non_null(line);
        assert_string_equal(text_at(at_key(line, "go"), "form"), cases[i].form);
        assert_string_equal(text_at(line, "verb"), cases[i].verb);
        assert_string_equal(text_at(todays_with(line), cases[i].key), cases[i].value);
        json_decref(lines);
        house_close(&h);
    }
}

static void a_work_order_is_handed_back_by_another(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'work-order','place':'PACK','code':'W1','what':'new belt','person':5}");
    json_t *lines = todays_lines(&h, 5, "line");
    assert_null(with_text(lines, "what", "work-order")); /* who opened it */
    json_decref(lines);
    lines = todays_lines(&h, 7, "hygiene");
    const json_t *line = with_text(lines, "what", "work-order");
    assert_non_null(line);
    assert_string_equal(text_at(line, "sentence"),
                        "Work order W1 on PACK is open since 04:00: new belt. Look at the place, "
                        "count the tools and hand it back.");
    assert_string_equal(text_at(todays_with(line), "work_order"), "W1");
    json_decref(lines);
    house_take(&h, "{'kind':'hand-back','work_order':'W1','tools_counted':true,'cleaned':true,"
                   "'person':7}");
    lines = todays_lines(&h, 7, "hygiene");
    assert_null(with_text(lines, "what", "work-order"));
    json_decref(lines);
    house_close(&h);
}

static void a_broken_rule_asks_for_its_action_then_for_a_second_person(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h,
               "{'kind':'seal-check','place':'PACK','ok':false,'what':'open corner','person':5}");
    json_t *lines = todays_lines(&h, 2, "quality");
    const json_t *line = with_text(lines, "what", "deviation");
    assert_non_null(line);
    assert_string_equal(text_at(at_key(line, "go"), "form"), "corrective-action");
    assert_string_equal(text_at(line, "place"), "PACK");
    int64_t id = strtoll(text_at(todays_with(line), "deviation"), NULL, 10);
    json_decref(lines);
    house_take(&h,
               "{'kind':'corrective-action','deviation':%lld,'cause':'cold jaw',"
               "'correction':'heater changed','disposition':'rework','person':2}",
               (long long)id);
    lines = todays_lines(&h, 2, "quality"); /* their own action */
    assert_null(with_text(lines, "what", "deviation"));
    assert_null(with_text(lines, "what", "verify"));
    json_decref(lines);
    lines = todays_lines(&h, 3, "quality");
    line = with_text(lines, "what", "verify");
    assert_non_null(line);
    assert_string_equal(text_at(line, "verb"), "Verify");
    assert_string_equal(text_at(at_key(line, "go"), "form"), "verification");
    json_decref(lines);
    const char *verify = "{'kind':'verification','deviation':%lld,'ok':%s,'what':'20 seals',"
                         "'person':3}";
    house_take(&h, verify, (long long)id, "false");
    lines = todays_lines(&h, 3, "quality"); /* it failed: another action is asked for */
    assert_non_null(with_text(lines, "what", "deviation"));
    assert_null(with_text(lines, "what", "verify"));
    json_decref(lines);
    house_take(&h,
               "{'kind':'corrective-action','deviation':%lld,'cause':'cold jaw',"
               "'correction':'jaw changed','disposition':'rework','person':2}",
               (long long)id);
    house_take(&h, verify, (long long)id, "true");
    lines = todays_lines(&h, 3, "quality");
    assert_null(with_text(lines, "what", "deviation"));
    assert_null(with_text(lines, "what", "verify"));
    json_decref(lines);
    house_close(&h);
}

static void many_duties_lead_to_the_schedule(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    for (int i = 0; i < 7; i++) {
        put_duty(&h, arena_printf(&h.arena, "D%d", i), "'role':'hygiene'");
    }
    house_wait(&h, "1 h");
    json_t *lines = todays_lines(&h, 7, "hygiene");
    const json_t *line = with_text(lines, "key", "duty:many");
    assert_non_null(line);
    assert_string_equal(text_at(at_key(line, "go"), "page"), "schedule");
    assert_string_equal(text_at(at_key(line, "go"), "form"), "");
    assert_string_equal(text_at(line, "sentence"), "Duties that are due: 7, the first D0, D1, D2.");
    json_decref(lines);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_duty_is_told_to_its_role_with_its_form),
        cmocka_unit_test(a_duty_gets_later),
        cmocka_unit_test(an_overdue_duty_that_blocks_is_told_to_everybody),
        cmocka_unit_test(a_duty_leads_to_the_record_that_fulfils_it),
        cmocka_unit_test(a_work_order_is_handed_back_by_another),
        cmocka_unit_test(a_broken_rule_asks_for_its_action_then_for_a_second_person),
        cmocka_unit_test(many_duties_lead_to_the_schedule),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

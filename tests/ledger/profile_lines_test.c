/* What a profile says of its lines within a day, and what it may not say. */
#include "../support.h"

#include "base/file.h"
#include "base/json.h"
#include "ledger/profile.h"

struct house_profile {
    struct arena arena;
    char *text;
    size_t len;
};

static int read_file(void **state)
{
    static struct house_profile h;
    arena_init(&h.arena, 1 << 26);
    assert_ok(file_read(&h.arena, PROFILE_FILE, 1 << 22, &h.text, &h.len));
    *state = &h;
    return 0;
}

static int drop_file(void **state)
{
    struct house_profile *h = *state;
    arena_release(&h->arena);
    return 0;
}

static void the_house_has_lines(void **state)
{
    struct house_profile *h = *state;
    struct profile *p;
    assert_ok(profile_read(h->text, h->len, &p));
    const struct lines *l = &p->lines;
    assert_true(l->given && l->blocks);
    assert_int_equal(l->margin_ms, 30 * 60000);
    assert_string_equal(l->shifts, "early,late");
    assert_int_equal(l->stage_count, 6);
    const struct line_stage *wash = &l->stages[1], *cool = &l->stages[4];
    assert_string_equal(wash->name, "wash");
    assert_int_equal(wash->rate_mg, INT64_C(40000000));
    assert_int_equal(wash->lines, 1);
    assert_int_equal(wash->step_down_ms, 45 * 60000);
    assert_int_equal(wash->overlap_ms, -1);
    assert_int_equal(wash->longest_wait_ms, -1);
    assert_true(list_has(l->stages[2].passes, "SOY"));
    assert_true(cool->has_room);
    assert_int_equal(cool->fixed_ms, 20 * 60000);
    assert_int_equal(l->families[1].colour, 3);
    assert_int_equal(l->changes[0].clean_ms, 60 * 60000);
    assert_int_equal(l->pauses[1].start_min, 12 * 60);
    assert_int_equal(l->pauses[1].span_min, 30);
    assert_int_equal(l->truck_count, 3);
    assert_string_equal(l->trucks[1].groups, "retail");
    assert_int_equal(l->trucks[1].weekdays, 127);
    assert_int_equal(l->trucks[1].cut_off_min, 11 * 60);
    assert_int_equal(l->trucks[1].ahead_days, 1);
    profile_free(p);
}

/* Profiles from before stay readable. */
static void a_profile_without_lines_is_one(void **state)
{
    struct house_profile *h = *state;
    json_t *root = json_loads(h->text, 0, NULL);
    struct profile *p;
    assert_int_equal(json_object_del(root, "lines"), 0);
    char *text = json_dumps(root, 0);
    assert_ok(profile_read(text, strlen(text), &p));
    assert_false(p->lines.given);
    assert_int_equal(p->lines.stage_count, 0);
    profile_free(p);
    free(text);
    json_decref(root);
}

/* Refused, with the path and a line near the change, and with the reason. */
static void refused(struct house_profile *h, const char *from, const char *to, enum code code,
                    const char *field, const char *why)
{
    struct profile *p = NULL;
    const char *lines = strstr(h->text, "\"lines\": {"), *at = strstr(lines, from);
    assert_non_null(at);
    const char *text =
        arena_printf(&h->arena, "%.*s%s%s", (int)(at - h->text), h->text, to, at + strlen(from));
    int line = 1;
    for (const char *c = h->text; c < at; c++) {
        line += *c == '\n' ? 1 : 0;
    }
    struct result r = profile_read(text, strlen(text), &p);
    if (r.code != code) {
        fail_msg("%s -> %s: %s", from, to, code_id(r.code));
    }
    assert_non_null(strstr(r.field, field));
    assert_true(r.line >= line - 10 && r.line <= line + 10);
    if (why != NULL) {
        assert_non_null(strstr(result_sentence(&h->arena, &r), why));
    }
}

static void a_bad_stage_is_refused(void **state)
{
    struct house_profile *h = *state;
    const enum code bad = CODE_PROFILE_BAD;
    refused(h, "\"stage\": \"wash\"", "\"stage\": \"harvest\"", bad, "stages[1].stage", "twice");
    refused(h, "\"stage\": \"wash\"", "\"stage\": \"Wash!\"", bad, "stages[1].stage", "letters");
    refused(h, "\"steps\": [\"trim\"]", "\"steps\": [\"shave\"]", bad, "stages[2].steps", "step");
    refused(h, "\"passes\": [\"SOY\"]", "\"passes\": [\"RICE\"]", bad, "stages[2].passes", "grows");
    refused(h, "\"lines\": 1, \"per", "\"per", bad, "stages[0].lines", "at once");
    refused(h, "\"lines\": 1, \"per", "\"lines\": 9, \"per", CODE_FIELD_RANGE, "stages[0].lines",
            NULL);
    refused(h, "\"minutes\": \"20 min\"", "\"minutes\": \"0 min\"", bad, "stages[4]", "above 0");
    refused(h, "\"longest_wait\": \"8 h\"", "\"longest_wait\": \"8 h\", \"wait\": \"9 h\"", bad,
            "stages[5].longest_wait", "shorter");
    refused(h, "\"room\": true", "\"room\": true, \"overlap\": \"5 min\", \"wait\": \"5 min\"", bad,
            "stages[4].overlap", "no wait");
    refused(h, "\"longest_wait\": \"8 h\"", "\"longest_wait\": \"3 d\"", bad,
            "stages[5].longest_wait", "two days");
    refused(h, "\"margin\": \"30 min\"", "\"margin\": \"soon\"", CODE_DECIMAL_BAD, "margin", NULL);
    refused(h, "\"shifts\": [\"early\"", "\"shifts\": [\"dawn\"", bad, "lines.shifts", "shift");
}

/* The matrix can't say that no clean is needed where release would ask for one: the clause "clean"
 * holds what was made after a change without it. */
static void a_change_over_without_the_clean_release_asks_for_is_refused(void **state)
{
    struct house_profile *h = *state;
    const enum code bad = CODE_PROFILE_BAD;
    refused(h, "\"clean\": \"30 min\",", "", bad, "stages[1].clean", "clause on cleaning");
    refused(h, "\"clean\": \"60 min\",", "", bad, "changes[0].clean", "clause on cleaning");
    refused(h, "\"step_down\": \"45 min\"", "\"step_down\": \"20 min\"", bad, "stages[1].step_down",
            "no shorter");
    refused(h, "\"to\": \"mung\"", "\"to\": \"rice\"", bad, "changes[0].from", "listed");
    refused(h, "\"to\": \"mung\"", "\"to\": \"soy\"", bad, "changes[0].from", "listed");
    refused(h, "\"stages\": [\"pack\"]", "\"stages\": [\"bake\"]", bad, "changes[0].stages",
            "no such stage");
    refused(h, "\"family\": \"soy\"", "\"family\": \"mung\"", bad, "families[1].family", "twice");
    refused(h, "\"colour\": 3", "\"colour\": 12", CODE_FIELD_RANGE, "families[1].colour", NULL);
}

static void bad_pauses_and_trucks_are_refused(void **state)
{
    struct house_profile *h = *state;
    const enum code bad = CODE_PROFILE_BAD;
    refused(h, "\"start\": \"12 h\"", "\"start\": \"9 h\"", bad, "pauses[1].start", "order");
    refused(h, "\"start\": \"12 h\"", "\"start\": \"24 h\"", bad, "pauses[1].start", "24 h");
    refused(h, "\"truck\": \"retail\"", "\"truck\": \"kitchens\"", bad, "trucks[1].truck", "twice");
    refused(h, "\"groups\": [\"kitchens\"],", "", bad, "trucks[0].groups", "whose goods");
    refused(h, "\"weekdays\": [\"mon\"", "\"weekdays\": [\"monday\"", CODE_FIELD_CHOICE,
            "trucks[0].weekdays", NULL);
    refused(h, "\"cut_off\": \"10 h\"", "\"cut_off\": \"30 h\"", bad, "trucks[0].cut_off", "24 h");
    refused(h, "\"ahead_days\": 1", "\"ahead_days\": 40", CODE_FIELD_RANGE, "trucks[0].ahead_days",
            NULL);
    refused(h, "\"load\": \"15 min\",\n        \"source\": \"house-practice\"",
            "\"load\": \"15 min\"", CODE_FIELD_MISSING, "trucks[0].source", NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_house_has_lines),
        cmocka_unit_test(a_profile_without_lines_is_one),
        cmocka_unit_test(a_bad_stage_is_refused),
        cmocka_unit_test(a_change_over_without_the_clean_release_asks_for_is_refused),
        cmocka_unit_test(bad_pauses_and_trucks_are_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, read_file, drop_file);
}

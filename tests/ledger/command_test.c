/* The envelope of a command. */
#include "fixture/fixture.h"

#include "ledger/command.h"

static struct house h;
static json_t *object; /* the last one read; a command borrows from it */

static int set_up(void **state)
{
    house_open(&h);
    object = NULL;
    return 0;
}

static int tear_down(void **state)
{
    json_decref(object);
    house_close(&h);
    return 0;
}

static struct result read_text(const char *text, struct command *out)
{
    char *quoted = arena_copy(&h.arena, text);
    for (char *at = quoted; *at != '\0'; at++) {
        *at = *at == '\'' ? '"' : *at;
    }
    json_decref(object);
    assert_ok(json_read(quoted, strlen(quoted), 1 << 16, &object));
    return command_read(h.lg, object, NULL, &h.arena, out);
}

/* The same envelope with more. */
static struct result read_with(const char *kind, const char *more, struct command *out)
{
    return read_text(arena_printf(&h.arena,
                                  "{'kind':'%s','uuid':'00112233-4455-6677-8899-aabbccddeeff',"
                                  "'person':5%s}",
                                  kind, more),
                     out);
}

static void what_is_needed_is_asked_for_by_name(void **state)
{
    static const struct {
        const char *text;
        enum code code;
        const char *field;
    } bad[] = {
        {"[]", CODE_FIELD_TYPE, "command"},
        {"{'uuid':'00112233445566778899aabbccddeeff','person':5}", CODE_FIELD_MISSING, "kind"},
        {"{'kind':'place','person':5}", CODE_FIELD_MISSING, "uuid"},
        {"{'kind':'place','uuid':'x','person':5}", CODE_UUID_BAD, "uuid"},
        {"{'kind':'place','uuid':'00112233445566778899aabbccddeeff'}", CODE_FIELD_MISSING,
         "person"},
        {"{'kind':'place','uuid':'00112233445566778899aabbccddeeff','person':0}", CODE_FIELD_RANGE,
         "person"},
        {"{'kind':'dance','uuid':'00112233445566778899aabbccddeeff','person':5}", CODE_KIND_UNKNOWN,
         "kind"},
        /* an act is no kind where the profile names its steps */
        {"{'kind':'process','uuid':'00112233445566778899aabbccddeeff','person':5}",
         CODE_KIND_UNKNOWN, "kind"},
        {"{'kind':'place','uuid':'00112233445566778899aabbccddeeff','person':5,'mode':'shout'}",
         CODE_FIELD_CHOICE, "mode"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct command cmd;
        struct result r = read_text(bad[i].text, &cmd);
        assert_string_equal(code_id(r.code), code_id(bad[i].code));
        assert_string_equal(r.field, bad[i].field);
    }
    struct command cmd; /* a fraction is a text with its unit, never a number */
    assert_int_not_equal(read_with("place", ",'capacity':1.5", &cmd).code, CODE_OK);
}

static void a_step_is_treated_as_its_profile_says(void **state)
{
    struct command cmd;
    assert_ok(read_with("wash", "", &cmd));
    assert_string_equal(cmd.kind, "wash");
    assert_string_equal(cmd.act, "process");
    assert_non_null(cmd.step);
    assert_int_equal(cmd.mode, MODE_TELL);
    assert_ok(read_with("wash", ",'mode':'ask'", &cmd));
    assert_int_equal(cmd.mode, MODE_ASK);
    assert_ok(read_with("rework", "", &cmd)); /* asked unless it says otherwise */
    assert_int_equal(cmd.mode, MODE_ASK);
    assert_ok(read_with("rework", ",'mode':'tell'", &cmd));
    assert_int_equal(cmd.mode, MODE_TELL);
    assert_ok(read_with("hold", ",'device':'TABLET-1'", &cmd));
    assert_string_equal(cmd.act, "hold");
    assert_null(cmd.step);
    assert_int_equal(cmd.person, 5);
    assert_string_equal(cmd.device, "TABLET-1");
}

static struct result read_at(int64_t at_ms, const char *more, struct command *out)
{
    return read_with(
        "place", arena_printf(&h.arena, ",'at':'%s'%s", civil_text(&h.arena, at_ms, 0), more), out);
}

static void it_happened_when_it_says(void **state)
{
    struct command cmd;
    int64_t now_ms = h.fixed.now_ms, shift_ms = h.lg->profile->shift_ms;
    assert_ok(read_with("place", "", &cmd));
    assert_int_equal(cmd.happened_ms, now_ms);
    assert_int_equal(cmd.recorded_ms, now_ms);
    assert_ok(read_at(now_ms + LEDGER_FUTURE_MS, "", &cmd)); /* clocks differ a little */
    assert_int_equal(cmd.happened_ms, now_ms + LEDGER_FUTURE_MS);
    assert_code(read_at(now_ms + LEDGER_FUTURE_MS + 1000, "", &cmd), TIME_FUTURE);
    assert_ok(read_at(now_ms - shift_ms, "", &cmd));
    assert_code(read_at(now_ms - shift_ms - 1000, "", &cmd), REASON_MISSING);
    assert_code(read_at(now_ms - shift_ms - 1000, ",'reason':''", &cmd), REASON_MISSING);
    assert_ok(read_at(now_ms - shift_ms - 1000, ",'reason':'the line was down'", &cmd));
    assert_int_equal(cmd.happened_ms, now_ms - shift_ms - 1000);
    assert_int_equal(cmd.recorded_ms, now_ms);
}

/* The house's day begins when its profile says: before that it is still yesterday. */
static void the_house_day_begins_when_the_profile_says(void **state)
{
    struct command before, after;
    int64_t starts_ms = (int64_t)h.lg->profile->day_starts_min * 60000;
    int64_t midnight_ms = HOUSE_START_MS / 86400000 * 86400000;
    assert_true(starts_ms > 0);
    h.fixed.now_ms = midnight_ms + starts_ms;
    assert_ok(read_at(h.fixed.now_ms - 1000, "", &before));
    assert_ok(read_at(h.fixed.now_ms, "", &after));
    assert_int_equal(after.day, midnight_ms / 86400000);
    assert_int_equal(before.day, after.day - 1);
    assert_int_equal(after.offset_min, 0);
}

static void a_device_clock_that_is_off_is_noted(void **state)
{
    struct command cmd;
    assert_ok(read_with("place",
                        arena_printf(&h.arena, ",'device_time':'%s'",
                                     civil_text(&h.arena, h.fixed.now_ms - 90000, 0)),
                        &cmd));
    assert_int_equal(cmd.clock_ms, -90000);
}

/* A device that tries again sends another clock and may send another uuid; all else is the command.
 */
static void the_digest_is_of_all_that_a_repeat_keeps(void **state)
{
    struct command one, other;
    assert_ok(read_with("place", ",'code':'R1','note':'x'", &one));
    assert_ok(read_text("{'note':'x','code':'R1','person':5,'device_time':'2026-03-02T03:00:00Z',"
                        "'uuid':'ffffffff-4455-6677-8899-aabbccddeeff','kind':'place'}",
                        &other));
    assert_memory_equal(one.digest.b, other.digest.b, sizeof one.digest.b);
    static const char *const changed[] = {",'code':'R2','note':'x'", ",'code':'R1','note':'y'",
                                          ",'code':'R1'", ",'code':'R1','note':'x','mode':'tell'"};
    for (size_t i = 0; i < sizeof changed / sizeof changed[0]; i++) {
        assert_ok(read_with("place", changed[i], &other));
        assert_memory_not_equal(one.digest.b, other.digest.b, sizeof one.digest.b);
    }
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(what_is_needed_is_asked_for_by_name),
        T(a_step_is_treated_as_its_profile_says),
        T(it_happened_when_it_says),
        T(the_house_day_begins_when_the_profile_says),
        T(a_device_clock_that_is_off_is_noted),
        T(the_digest_is_of_all_that_a_repeat_keeps),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

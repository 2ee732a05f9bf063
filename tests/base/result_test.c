#include "../support.h"

#include "base/result.h"

static void every_code_is_whole(void **state)
{
    (void)state;
    for (int i = 0; i < CODE_COUNT; i++) {
        enum code code = (enum code)i;
        const char *id = code_id(code);
        assert_int_equal(code_from_id(id), code); /* also: no id stands twice */
        assert_int_equal(strspn(id, "abcdefghijklmnopqrstuvwxyz0123456789-"), strlen(id));
        assert_in_range(code_http(code), 200, 599);
        assert_in_range(code_exit(code), 0, 8);
        /* below 400 it is a note beside an answer: no failure, no exit status */
        assert_int_equal(code_exit(code) == 0, code_http(code) < 400);
        assert_true(code != CODE_OK || code_exit(code) == 0);
        const char *sentence = code_sentence(code);
        assert_true(strlen(sentence) > 0);
        for (const char *c = sentence; *c != '\0'; c++) {
            if (*c == '{') {
                assert_true(strncmp(c, "{field}", 7) == 0 || strncmp(c, "{0}", 3) == 0 ||
                            strncmp(c, "{1}", 3) == 0 || strncmp(c, "{2}", 3) == 0);
            }
        }
    }
    assert_int_equal(code_from_id("no-such-code"), CODE_COUNT);
}

static void a_sentence_is_filled_in(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 16);
    struct result r = FAIL2(FIELD_RANGE, "lots[2].mass", "-3", "above 0");
    assert_string_equal(result_sentence(&a, &r), "lots[2].mass is -3; it must be above 0.");
    r = result_at(r, 7, 12);
    assert_string_equal(result_sentence(&a, &r),
                        "line 7, column 12: lots[2].mass is -3; it must be above 0.");
    r = result_at(r, 7, 0);
    assert_string_equal(result_sentence(&a, &r), "line 7: lots[2].mass is -3; it must be above 0.");
    r = FAIL2(FIELD_RANGE, "x", "{0}{field}", NULL); /* what a user wrote is not filled in again */
    assert_string_equal(result_sentence(&a, &r), "x is {0}{field}; it must be .");
    arena_release(&a);
}

static void long_values_are_cut_between_characters(void **state)
{
    (void)state;
    char field[200], value[400];
    for (size_t i = 0; i + 2 < sizeof value; i += 2) {
        memcpy(value + i, "\u00fc", 3);
    }
    memset(field, 'f', sizeof field - 1);
    field[sizeof field - 1] = '\0';
    struct result r = FAIL1(DECIMAL_BAD, field, value);
    assert_int_equal(strlen(r.field), sizeof r.field - 1);
    assert_int_equal(strlen(r.value[0]), 118); /* 119 would be half a character */
    struct arena a;
    arena_init(&a, 1 << 16);
    assert_non_null(strstr(result_sentence(&a, &r), "\u00fc\", which is not a decimal"));
    arena_release(&a);
}

static void a_list_that_is_cut_says_so(void **state)
{
    (void)state;
    static const char words[] = "store,tank,";
    char field[64 + 8], value[36 * (sizeof words - 1) + 1];
    for (size_t i = 0; i < 36; i++) {
        memcpy(value + i * (sizeof words - 1), words, sizeof words);
    }
    memset(field, ',', sizeof field - 1);
    field[sizeof field - 1] = '\0';
    struct result r = FAIL2(FIELD_CHOICE, field, "sit", value);
    assert_int_equal(strlen(r.field), 63); /* 60 commas and the dots fill all 64 bytes */
    assert_string_equal(r.field + 60, "...");
    assert_string_equal(r.value[0], "sit");
    /* ten words of each fill 110 bytes, one more of six 116, and three dots */
    assert_int_equal(strlen(r.value[1]), 119);
    assert_string_equal(r.value[1] + 105, "tank,store,...");
}

/* Such bytes are all the middle of a character: nothing before them is left to keep. */
static void what_is_no_text_is_cut_to_nothing(void **state)
{
    (void)state;
    char value[200];
    memset(value, 0x80, sizeof value - 1);
    value[sizeof value - 1] = '\0';
    memcpy(value, ",,", 2);
    struct result r = FAIL1(FIELD_CHOICE, "", value);
    assert_string_equal(r.value[0], ",");
}

static struct result first_fault(int *calls)
{
    ++*calls;
    return FAIL0(MEMORY_SHORT, "first");
}

static struct result passes_on(int *calls)
{
    TRY(RESULT_OK);
    TRY(first_fault(calls));
    TRY(first_fault(calls));
    return RESULT_OK;
}

static void try_passes_the_first_fault_on(void **state)
{
    (void)state;
    int calls = 0;
    struct result r = passes_on(&calls);
    assert_code(r, MEMORY_SHORT);
    assert_string_equal(r.field, "first");
    assert_int_equal(calls, 1);
}

static void an_unknown_code(void *argument)
{
    (void)argument;
    code_id(CODE_COUNT);
}

static void misuse_stops_the_program(void **state)
{
    (void)state;
    assert_aborts(an_unknown_code, NULL);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_code_is_whole),
        cmocka_unit_test(a_sentence_is_filled_in),
        cmocka_unit_test(long_values_are_cut_between_characters),
        cmocka_unit_test(a_list_that_is_cut_says_so),
        cmocka_unit_test(what_is_no_text_is_cut_to_nothing),
        cmocka_unit_test(try_passes_the_first_fault_on),
        cmocka_unit_test(misuse_stops_the_program),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

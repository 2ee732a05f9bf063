/* Results and second readings by real commands. */
#include "fixture/evidence.h"

#include "base/file.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static struct result result(const char *sample, const char *organism, const char *state,
                            const char *more)
{
    return house_send(&h,
                      "{'kind':'result','sample':'%s','organism':'%s','state':'%s','method':'FDA-"
                      "SSIW-2015'%s,'person':2}",
                      sample, organism, state, more);
}

static const char *batch_sample(void)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "49 h");
    return house_sample(&h, growing);
}

static void results_follow_one_another(void **state)
{
    const char *s = batch_sample();
    assert_ok(result(s, "Salmonella spp.", "pending", ""));
    assert_string_equal(house_answer(&h, "stands"), "pending");
    assert_ok(result(s, "Salmonella spp.", "presumptive", ""));
    /* a plain negative does not follow a presumptive: kept, and of no use */
    assert_code(result(s, "Salmonella spp.", "negative", ",'mode':'ask'"), RESULT_ORDER);
    assert_ok(result(s, "Salmonella spp.", "negative", ""));
    assert_string_equal(house_answer(&h, "stands"), "presumptive");
    assert_int_equal(house_number(&h, "deviations"), 1);
    /* this profile lets no method confirm a negative */
    assert_code(result(s, "Salmonella spp.", "confirmed-negative", ",'mode':'ask'"),
                RESULT_CONFIRM);
    assert_ok(result(s, "Salmonella spp.", "confirmed-negative", ""));
    assert_string_equal(house_answer(&h, "stands"), "presumptive");
    assert_ok(result(s, "Salmonella spp.", "confirmed-positive", ""));
    assert_string_equal(house_answer(&h, "stands"), "confirmed positive");
}

static void a_positive_stays(void **state)
{
    const char *s = batch_sample();
    assert_ok(result(s, "E. coli O157:H7", "confirmed-positive", ""));
    assert_code(result(s, "E. coli O157:H7", "negative", ",'mode':'ask'"), RESULT_STAYS);
    assert_ok(result(s, "E. coli O157:H7", "confirmed-negative", ""));
    assert_string_equal(house_answer(&h, "stands"), "confirmed positive");
    assert_int_equal(house_in_entry(&h, house_number(&h, "entry"), ",\"positive-stays\","), 1);
}

static void a_result_is_placed_or_refused(void **state)
{
    const char *s = batch_sample();
    assert_code(result("S-NONE", "Salmonella spp.", "negative", ""), SAMPLE_UNKNOWN);
    assert_code(result(s, "Salmonella", "negative", ""), ORGANISM_UNKNOWN);
    assert_code(result(s, "Salmonella spp.", "clean", ""), FIELD_CHOICE);
    assert_code(result(s, "Salmonella spp.", "negative",
                       ",'report':'"
                       "00000000000000000000000000000000000000000000000000000000000000ff'"),
                PAPER_UNKNOWN);
    /* something unheard of is heard when it is bad news */
    assert_ok(result(s, "Shigella spp.", "presumptive", ""));
}

/* Another sample's paper, or a wrong year: it must not clear this one. */
static void a_result_from_before_its_sample_clears_nothing(void **state)
{
    const char *s = batch_sample(); /* drawn 49 h after the batch began, on the third day */
    const char *early = arena_printf(&h.arena, ",'at':'%s','reason':'the report came late'",
                                     civil_text(&h.arena, h.fixed.now_ms - 36 * 3600000, 0));
    const char *same_day = arena_printf(&h.arena, ",'at':'%s','reason':'the report came late'",
                                        civil_text(&h.arena, h.fixed.now_ms - 60000, 0));
    assert_code(result(s, "Salmonella spp.", "negative", early), RESULT_EARLY);
    assert_code(result(s, "Salmonella spp.", "pending", early), RESULT_EARLY);
    assert_code(result(s, "Salmonella spp.", "invalid", early), RESULT_EARLY);
    assert_code(result(s, "Salmonella spp.", "confirmed-negative", early), RESULT_EARLY);
    /* a laboratory that reports a day alone is taken to have done so as it began */
    assert_ok(result(s, "STEC O26", "negative", same_day));
    assert_ok(result(s, "Salmonella spp.", "presumptive", early));
    assert_string_equal(house_answer(&h, "stands"), "presumptive");
}

static void typed_results_are_read_twice(void **state)
{
    const char *s = batch_sample();
    const char *report = house_report(&h);
    const char *more = arena_printf(&h.arena, ",'report':'%s','by_hand':true", report);
    const char *second =
        "{'kind':'second-reading','sample':'%s','organism':'Salmonella spp.','person':%d}";
    assert_code(house_send(&h, second, s, 3), SECOND_NONE);
    assert_ok(result(s, "Salmonella spp.", "negative", more));
    assert_code(house_send(&h, second, s, 2), SECOND_OWN);
    assert_code(house_send(&h, second, s, 5), ROLE_MISSING);
    house_take(&h, second, s, 3);
    assert_string_equal(house_answer(&h, "stands"), "negative");
    assert_code(house_send(&h, second, s, 1), SECOND_NONE); /* twice is enough */
    house_result(&h, s, "E. coli O157:H7", "negative");     /* from a file */
    assert_code(house_send(&h,
                           "{'kind':'second-reading','sample':'%s','organism':'E. coli "
                           "O157:H7','person':3}",
                           s),
                SECOND_NONE);
}

static void typed_without_a_report_waits(void **state)
{
    const char *s = batch_sample();
    assert_ok(result(s, "Salmonella spp.", "negative", "")); /* by hand unless it says otherwise */
    assert_code(house_send(&h,
                           "{'kind':'second-reading','sample':'%s','organism':'Salmonella spp.',"
                           "'person':3}",
                           s),
                SECOND_NONE);
}

/* A profile of a house that lets the method confirm a negative of Salmonella in the US, by a
 * source.
 */
static struct result take_confirming(const char *source)
{
    static const char mark[] = "{\"organism\": \"Salmonella spp.\", ";
    char *text;
    size_t len;
    assert_ok(file_read(&h.arena, PROFILE_FILE, 1 << 22, &text, &len));
    char *at = strstr(text, mark);
    assert_non_null(at);
    *at = '\0';
    const char *changed = arena_printf(
        &h.arena, "%s%s\"confirms\": [\"FDA-SSIW-2015\"], \"confirms_source\": \"%s\", %s", text,
        mark, source, at + strlen(mark));
    return house_send_json(
        &h, json_pack("{s:s,s:s,s:i}", "kind", "profile", "text", changed, "person", 2));
}

static enum code negative_clause(const char *packed)
{
    house_review_all(&h);
    const struct clause_line *line = house_unmet(&h, packed, "US");
    if (line != NULL) {
        assert_string_equal(line->clause, "negative");
    }
    return line != NULL ? line->reason.code : CODE_OK;
}

static void a_confirmed_negative_clears_a_presumptive_of_its_sample(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    assert_code(take_confirming("house-practice"), PROFILE_BAD); /* not by common practice */
    assert_ok(take_confirming("us-112-147"));
    house_result(&h, b.sample, "Salmonella spp.", "presumptive");
    assert_int_equal(negative_clause(b.packed), CODE_CLAUSE_RESULT_OPEN);
    house_result(&h, b.sample, "Salmonella spp.", "negative"); /* a plain one is no help */
    assert_int_equal(negative_clause(b.packed), CODE_CLAUSE_RESULT_OPEN);
    const char *other = house_sample(&h, b.growing);
    house_result(&h, other, "Salmonella spp.", "negative");
    house_result(&h, other, "E. coli O157:H7", "negative");
    assert_int_equal(negative_clause(b.packed), CODE_CLAUSE_RESULT_OPEN); /* another sample */
    assert_code(house_send(&h,
                           "{'kind':'result','mode':'ask','sample':'%s','organism':'Salmonella "
                           "spp.','state':'confirmed-negative','method':'equivalent-validated',"
                           "'person':2}",
                           b.sample),
                RESULT_CONFIRM);
    house_result(&h, b.sample, "Salmonella spp.", "confirmed-negative");
    assert_string_equal(house_answer(&h, "stands"), "negative");
    assert_null(json_object_get(h.answer, "deviations"));
    assert_int_equal(negative_clause(b.packed), CODE_OK);
    house_result(&h, b.sample, "Salmonella spp.", "presumptive"); /* found again */
    assert_int_equal(negative_clause(b.packed), CODE_CLAUSE_RESULT_OPEN);
}

static void a_confirmed_negative_that_was_typed_is_read_twice(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    assert_ok(take_confirming("us-112-147"));
    house_result(&h, b.sample, "Salmonella spp.", "presumptive");
    const char *more = arena_printf(&h.arena, ",'report':'%s','by_hand':true", house_report(&h));
    assert_ok(result(b.sample, "Salmonella spp.", "confirmed-negative", more));
    assert_int_equal(negative_clause(b.packed), CODE_CLAUSE_RESULT_SECOND);
    house_take(&h,
               "{'kind':'second-reading','sample':'%s','organism':'Salmonella spp.','person':1}",
               b.sample);
    assert_int_equal(negative_clause(b.packed), CODE_OK);
}

static void nothing_clears_a_confirmed_positive(void **state)
{
    const char *s = batch_sample();
    assert_ok(take_confirming("us-112-147"));
    assert_ok(result(s, "Salmonella spp.", "presumptive", ""));
    assert_ok(result(s, "Salmonella spp.", "confirmed-positive", ""));
    assert_code(result(s, "Salmonella spp.", "confirmed-negative", ",'mode':'ask'"), RESULT_STAYS);
    house_result(&h, s, "Salmonella spp.", "confirmed-negative");
    assert_string_equal(house_answer(&h, "stands"), "confirmed positive");
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(results_follow_one_another),
        T(a_positive_stays),
        T(a_result_is_placed_or_refused),
        T(a_result_from_before_its_sample_clears_nothing),
        T(typed_results_are_read_twice),
        T(typed_without_a_report_waits),
        T(a_confirmed_negative_clears_a_presumptive_of_its_sample),
        T(a_confirmed_negative_that_was_typed_is_read_twice),
        T(nothing_clears_a_confirmed_positive),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support.h"

#define RESULTS                                                                                  \
    "{'columns':{'sample':'Sample','organism':'Test','state':'Finding','method':'Method','at':'" \
    "Reported'},"                                                                                \
    "'zone':'Europe/Vienna','dates':'day-first','codes':{'organism':{'Salmonella "               \
    "spp.':'salmonella'},"                                                                       \
    "'state':{'not "                                                                             \
    "detected':'negative','detected':'presumptive','confirmed':'confirmed-positive'}}}"
#define RESULTS_HEADER "Sample;Test;Finding;Method;Reported\n"

static void findings_become_results(void **state)
{
    map_ok("results", RESULTS);
    read_ok(RESULTS_HEADER "SA-1;Salmonella spp.;not detected;culture;03.03.2026 16:05\n"
                           "SA-2;Salmonella spp.;detected;;03.03.2026\n");
    plan_ok(&(struct feed_known){.day_starts_min = 240});
    assert_int_equal(json_array_size(fx.commands), 2);
    const char *report = hex_text(&fx.arena, fx.report.sha256.b, 32);
    assert_string_equal(
        canonical(command(0)),
        arena_printf(&fx.arena,
                     "{\"at\":\"2026-03-03T16:05:00+01:00\",\"by_hand\":false,\"kind\":\"result\","
                     "\"method\":\"culture\",\"organism\":\"salmonella\",\"report\":\"%s\","
                     "\"sample\":\"SA-1\",\"state\":\"negative\"}",
                     report));
    assert_string_equal(text_of(command(1), "state"), "presumptive");
    assert_string_equal(text_of(command(1), "at"), "2026-03-03T04:00:00+09:00");
}

static void a_word_nobody_mapped_is_never_taken_for_negative(void **state)
{
    map_ok("results", RESULTS);
    assert_refused(RESULTS_HEADER "SA-1;Salmonella spp.;Not detected;;03.03.2026\n", FEED_CODE, 2,
                   22);
    assert_refused(RESULTS_HEADER "SA-1;Salmonella spp.;negative;;03.03.2026\n", FEED_CODE, 2, 22);
    assert_refused(RESULTS_HEADER "SA-1;Salmonella spp.;;;03.03.2026\n", FIELD_MISSING, 2, 22);
    assert_refused(RESULTS_HEADER "SA-1;Listeria;not detected;;03.03.2026\n", FEED_CODE, 2, 6);
    map_ok("results", "{'columns':{'sample':'Sample','organism':'Test','state':'Finding'}}");
    read_ok("Sample;Test;Finding\nSA-1;salmonella;negative\n");
    assert_refused("Sample;Test;Finding\nSA-1;salmonella;n.d.\n", FEED_CODE, 2, 17);
    assert_refused("Sample;Test;Finding\nSA-1;salmonella;pending negative\n", FEED_CODE, 2, 17);
}

static void two_findings_of_one_sample_and_time_are_refused(void **state)
{
    map_ok("results", RESULTS);
    assert_refused(RESULTS_HEADER "SA-1;Salmonella spp.;not detected;;03.03.2026\nSA-1;Salmonella "
                                  "spp.;detected;;03.03.2026\n",
                   FEED_TWICE, 3, 1);
    read_ok(
        RESULTS_HEADER
        "SA-1;Salmonella spp.;detected;;03.03.2026\nSA-1;Salmonella spp.;confirmed;;05.03.2026\n"
        "SA-1;Salmonella spp.;detected;;03.03.2026\n");
    assert_int_equal(fx.content.report.count[FEED_MARK_DUPLICATE], 1);
    assert_int_equal(fx.content.row_count, 3);
}

static void a_finding_in_a_later_file_is_known(void **state)
{
    map_ok("results", RESULTS);
    read_ok(RESULTS_HEADER "SA-1;Salmonella spp.;not detected;;03.03.2026 16:00\n");
    const char *uuid = arena_copy(&fx.arena, fx.content.rows[0].uuid);
    read_ok(RESULTS_HEADER "SA-2;Salmonella spp.;not detected;;03.03.2026 16:00\nSA-1;Salmonella "
                           "spp.;not detected;;03.03.2026 16:00\n");
    struct feed_known known = {.uuids = &uuid, .uuid_count = 1};
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 1);
    assert_int_equal(json_array_size(fx.commands), 1);
    assert_string_equal(text_of(command(0), "sample"), "SA-2");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(findings_become_results),
        FEED_TEST(a_word_nobody_mapped_is_never_taken_for_negative),
        FEED_TEST(two_findings_of_one_sample_and_time_are_refused),
        FEED_TEST(a_finding_in_a_later_file_is_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support.h"

#define SEED_COLUMNS                                                                              \
    "'supplier':'Supplier','supplier_lot':'Batch','item':'Item','mass':'Mass','lot':'Lot','at':'" \
    "Date'"
#define SEED_HEADER "Supplier;Batch;Item;Mass;Lot;Date\n"

static void map_seed(const char *more)
{
    map_ok("seed",
           arena_printf(
               &fx.arena,
               "{'fixed':{'place':'store-1'},'zone':'Europe/Vienna','columns':{" SEED_COLUMNS "%s",
               more));
}

static const char *canonical(const json_t *command)
{
    json_t *copy = json_copy((json_t *)(uintptr_t)command);
    json_object_del(copy, "uuid");
    json_object_del(copy, "device");
    const char *text = json_canonical(&fx.arena, copy);
    json_decref(copy);
    return text;
}

static void a_delivery_becomes_a_receipt(void **state)
{
    map_seed(",'sacks':'Sacks','best_before':'Until','gross':'Gross','tare':'Tare','instrument':'"
             "Scale'}}");
    read_ok("Supplier;Batch;Item;Mass;Lot;Date;Sacks;Until;Gross;Tare;Scale\n"
            "S1;B-77;mung-seed;942.5;M-1;2026-03-01 14:20;38;2027-03-01;960;17500 g;SC-1\n");
    plan_ok(&(struct feed_known){0});
    assert_int_equal(json_array_size(fx.commands), 1);
    assert_string_equal(
        canonical(command(0)),
        "{\"at\":\"2026-03-01T14:20:00+01:00\",\"best_before\":\"2027-03-01\",\"gross\":\"960 kg\","
        "\"instrument\":\"SC-1\",\"item\":\"mung-seed\",\"kind\":\"receive\",\"lot\":\"M-1\","
        "\"mass\":\"942.5 kg\",\"place\":\"store-1\",\"sacks\":38,\"supplier\":\"S1\","
        "\"supplier_lot\":\"B-77\",\"tare\":\"17500 g\"}");
    assert_int_equal(fx.report.count[FEED_MARK_NEW], 1);
}

static void a_day_without_a_time_is_told_at_the_beginning_of_the_house_day(void **state)
{
    map_seed("}}");
    read_ok(SEED_HEADER "S1;B-77;mung-seed;942;M-1;2026-03-01\n");
    plan_ok(&(struct feed_known){.day_starts_min = 4 * 60 + 30});
    assert_string_equal(text_of(command(0), "at"), "2026-03-01T04:30:00+09:00");
}

static void tests_come_with_the_delivery(void **state)
{
    map_seed(",'moisture':'H2O','pure':'P','other':'O','weed':'W','inert':'I','germination-1':'G1',"
             "'germination-2':'G2',"
             "'germination-3':'G3','germination-4':'G4','thousand-1':'T1','thousand-2':'T2'},'"
             "decimal':','}");
    read_ok("Supplier;Batch;Item;Mass;Lot;Date;H2O;P;O;W;I;G1;G2;G3;G4;T1;T2\n"
            "S1;B-77;mung-seed;942,5;M-1;;10,25;98,6;0,4;0;1;96;93;;92;5,52;5,5\n");
    plan_ok(&(struct feed_known){0});
    assert_int_equal(json_array_size(fx.commands), 5);
    assert_string_equal(
        canonical(command(0)),
        "{\"item\":\"mung-seed\",\"kind\":\"receive\",\"lot\":\"M-1\",\"mass\":\"942.5 kg\","
        "\"place\":\"store-1\",\"supplier\":\"S1\",\"supplier_lot\":\"B-77\"}");
    assert_string_equal(
        canonical(command(1)),
        "{\"kind\":\"seed-test\",\"lot\":\"M-1\",\"moisture\":\"10.25 %\",\"test\":\"moisture\"}");
    assert_string_equal(
        canonical(command(2)),
        "{\"inert\":\"1 g\",\"kind\":\"seed-test\",\"lot\":\"M-1\",\"other\":\"0.4 g\","
        "\"pure\":\"98.6 g\",\"test\":\"purity\",\"weed\":\"0 g\"}");
    assert_string_equal(canonical(command(3)),
                        "{\"kind\":\"seed-test\",\"lot\":\"M-1\",\"replicates\":[96,93,92],"
                        "\"test\":\"germination\"}");
    assert_string_equal(
        canonical(command(4)),
        "{\"kind\":\"seed-test\",\"lot\":\"M-1\",\"replicates_g\":[\"5.52\",\"5.5\"],"
        "\"test\":\"thousand-seed-mass\"}");
    assert_string_not_equal(text_of(command(1), "uuid"), text_of(command(2), "uuid"));
    /* a row without tests is only a receipt */
    read_ok("Supplier;Batch;Item;Mass;Lot;Date;H2O;P;O;W;I;G1;G2;G3;G4;T1;T2\nS1;B-77;mung-seed;"
            "942,5;M-1;;;;;;;;;;;;\n");
    plan_ok(&(struct feed_known){0});
    assert_int_equal(json_array_size(fx.commands), 1);
}

static void bad_deliveries_refuse_the_whole_file(void **state)
{
    map_seed(
        ",'moisture':'H2O','pure':'P','other':'O','weed':'W','inert':'I','germination-1':'G1'}}");
#define ROWS "Supplier;Batch;Item;Mass;Lot;Date;H2O;P;O;W;I;G1\nS1;B;m;1;L1;;;;;;;\n"
    read_ok(ROWS);
    assert_refused(ROWS ";B;m;1;L2;;;;;;;\n", FIELD_MISSING, 3, 1);
    assert_refused(ROWS "S1;B;m;0;L2;;;;;;;\n", FIELD_RANGE, 3, 8);
    assert_refused(ROWS "S1;B;m;1 lb;L2;;;;;;;\n", UNIT_BAD, 3, 8);
    assert_refused(ROWS "S1;B;m;kg;L2;;;;;;;\n", FIELD_RANGE, 3, 8);
    assert_refused(ROWS "S1;B;m;0.0000001;L2;;;;;;;\n", FIELD_RANGE, 3, 8);
    assert_refused(ROWS "S1;B;m;1;L2;1.3.2026;;;;;;\n", FEED_DATE, 3, 13);
    assert_refused(ROWS "S1;B;m;1;L2;;101;;;;;\n", FIELD_RANGE, 3, 14);
    assert_refused(ROWS "S1;B;m;1;L2;;;98;1;0;;\n", FIELD_MISSING, 3, 22);
    assert_refused(ROWS "S1;B;m;1;L2;;;;;;;101\n", FIELD_RANGE, 3, 19);
    assert_refused(ROWS "S1;B;m;1;;;;;;;;90\n", FIELD_MISSING, 3, 10);
    assert_refused(ROWS "S1;B;m;2;L1;;;;;;;\n", FEED_TWICE, 3, 1);
    assert_refused(ROWS "S1;B;m;1;L2;2026-03-29 02:30;;;;;;\n", TIME_GAP, 3, 13);
    assert_refused(ROWS "S1;B;m;1;L2;2026-10-25 02:30;;;;;;\n", TIME_TWICE, 3, 13);
}

static void deliveries_that_are_booked_are_not_sent_again(void **state)
{
    map_seed("}}");
    read_ok(SEED_HEADER "S1;B-1;mung-seed;942;M-1;2026-03-01\nS1;B-2;mung-seed;500;M-2;2026-03-01\n"
                        "S1;B-1;mung-seed;942.0;M-1;2026-03-01\n");
    assert_int_equal(fx.content.report.count[FEED_MARK_DUPLICATE], 1);
    const char *uuids[] = {fx.content.rows[1].uuid};
    struct feed_known known = {.uuids = uuids, .uuid_count = 1};
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 1);
    assert_int_equal(fx.report.count[FEED_MARK_NEW], 1);
    assert_int_equal(json_array_size(fx.commands), 1);
    assert_string_equal(text_of(command(0), "lot"), "M-1");
    char first[40];
    strcpy(first, text_of(command(0), "uuid"));
    /* in a longer file, the same row is still known by its uuid */
    read_ok(SEED_HEADER "S1;B-0;mung-seed;1;M-0;2026-02-01\nS1;B-1;mung-seed;942;M-1;2026-03-01\n");
    assert_string_equal(fx.content.rows[1].uuid, first);
}

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
        FEED_TEST(a_delivery_becomes_a_receipt),
        FEED_TEST(a_day_without_a_time_is_told_at_the_beginning_of_the_house_day),
        FEED_TEST(tests_come_with_the_delivery),
        FEED_TEST(bad_deliveries_refuse_the_whole_file),
        FEED_TEST(deliveries_that_are_booked_are_not_sent_again),
        FEED_TEST(findings_become_results),
        FEED_TEST(a_word_nobody_mapped_is_never_taken_for_negative),
        FEED_TEST(two_findings_of_one_sample_and_time_are_refused),
        FEED_TEST(a_finding_in_a_later_file_is_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

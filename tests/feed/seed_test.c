#include "support.h"

#define SEED_COLUMNS                                                                              \
    "'supplier':'Supplier','supplier_lot':'Batch','item':'Item','mass':'Mass','lot':'Lot','at':'" \
    "Date'"

static void map_seed(const char *more)
{
    map_ok("seed",
           arena_printf(
               &fx.arena,
               "{'fixed':{'place':'store-1'},'zone':'Europe/Vienna','columns':{" SEED_COLUMNS "%s",
               more));
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

static void the_report_stands_when_the_rows_are_let_go(void **state)
{
    map_seed("}}");
    read_ok("Supplier;Batch;Item;Mass;Lot;Date\n"
            "S1;B-77;mung-seed;942.5;M-1;2026-03-01 14:20\n"
            "S1;B-78;mung-seed;942.5;M-2;2026-03-01 14:20\n");
    plan_ok(&(struct feed_known){0});
    forget_content();
    assert_int_equal(fx.report.note_count, 2);
    assert_string_equal(fx.report.notes[0].what, "M-1");
    assert_string_equal(fx.report.notes[1].what, "M-2");
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

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(a_delivery_becomes_a_receipt),
        FEED_TEST(the_report_stands_when_the_rows_are_let_go),
        FEED_TEST(tests_come_with_the_delivery),
        FEED_TEST(bad_deliveries_refuse_the_whole_file),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "../../support.h"

#include "calc/water/ct_record.h"

/* V 5000 L, Q 50 L/min, baffling 0.3: 30 min; 0.8 mg/L: CT 24; pH 7.5 at 10 C: 131 for three
 * decimals, so 3 x 24 / 131 = 0.5496 (computed here; the table: EPA 815-R-20-003, Table B-1, as
 * transcribed in a published profile, published (seen)). Viruses at 10 C: 6 for four, so 16. */
static const struct ct_record_tank tank = {5000000, 50000, 300};
static const struct ct_record_water water = {800, 7500, 10000};

static void one_tank_is_worth_what_the_table_says(void **state)
{
    (void)state;
    struct ct_record each, sum;
    assert_ok(ct_record(&tank, 1, &water, &each, &sum));
    assert_int_equal(sum.giardia_milli, 549); /* down */
    assert_int_equal(sum.virus_milli, 16000);
    assert_int_equal(sum.ct_milli, 24000);
    assert_int_equal(sum.t10_ms, 1800000);
    assert_int_equal(each.giardia_milli, 549);
}

/* A residual whose CT is just the table's brings three decimals and not 2.999. */
static void a_cell_of_the_table_is_met_in_whole(void **state)
{
    (void)state;
    static const struct {
        int64_t chlorine, ph, temp, ct;
    } cells[] = {{400, 6000, 500, 137},   {1000, 7000, 5000, 149}, {1200, 7500, 15000, 92},
                 {2000, 8000, 20000, 91}, {3000, 9000, 25000, 97}, {800, 7500, 10000, 131}};
    for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++) {
        struct ct_record r;
        struct ct_record_water w = {cells[i].chlorine, cells[i].ph, cells[i].temp};
        /* unbaffled volume / flow = CT / residual: V = CT L at a flow of residual L/min */
        struct ct_record_tank t = {cells[i].ct * 1000, cells[i].chlorine, 1000};
        assert_ok(ct_record(&t, 1, &w, NULL, &r));
        assert_int_equal(r.giardia_milli, 3000);
        t.volume_ml--;
        assert_ok(ct_record(&t, 1, &w, NULL, &r));
        assert_int_equal(r.giardia_milli, 2999);
    }
}

static void beyond_the_tables_is_their_edge_or_nothing(void **state)
{
    (void)state;
    struct ct_record warm, hot, acid;
    assert_ok(ct_record(&tank, 1, &(struct ct_record_water){60000, 7000, 60000}, NULL, &warm));
    assert_ok(ct_record(&tank, 1, &(struct ct_record_water){50000, 7000, 90000}, NULL, &hot));
    assert_int_equal(warm.giardia_milli, hot.giardia_milli);
    assert_ok(ct_record(&tank, 1, &(struct ct_record_water){800, 9200, 10000}, NULL, &acid));
    assert_int_equal(acid.giardia_milli, 0);
    assert_ok(ct_record(&tank, 0, &water, NULL, &acid));
    assert_int_equal(acid.virus_milli, 0);
    assert_code(ct_record(&tank, CT_RECORD_TANKS_MAX + 1, &water, NULL, &acid), FIELD_RANGE);
    struct ct_record_tank still = {5000000, 0, 300};
    assert_code(ct_record(&still, 1, &water, NULL, &acid), FIELD_RANGE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_tank_is_worth_what_the_table_says),
        cmocka_unit_test(a_cell_of_the_table_is_met_in_whole),
        cmocka_unit_test(beyond_the_tables_is_their_edge_or_nothing),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

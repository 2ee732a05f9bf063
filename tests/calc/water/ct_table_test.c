#include "../../support.h"

#include "../near.h"
#include "calc/water/ct_table.h"

static double found(double residual_mg_l, double ph, double temp_c)
{
    struct ct_cell cell;
    struct ct_water water = {residual_mg_l, ph, temp_c};
    assert_ok(ct_table_find(CT_GIARDIA, CT_FREE_CHLORINE, &water, &cell));
    return cell.ct;
}

static double between(double residual_mg_l, double ph, double temp_c)
{
    double ct = 0;
    struct ct_water water = {residual_mg_l, ph, temp_c};
    assert_ok(ct_table_between(&water, &ct));
    return ct;
}

static void never_easier_than_the_water_on_the_safe_side(void **state)
{
    (void)state;
    for (double temp_c = 0; temp_c < 30; temp_c += 0.7) {
        for (double ph = 5; ph <= 9; ph += 0.13) {
            for (double residual = 0; residual < 3.5; residual += 0.11) {
                assert_true(found(residual, ph, temp_c) >= between(residual, ph, temp_c) - 1e-9);
            }
        }
    }
}

/* The table falls with warmth and rises with pH and chlorine, but for the one cell. */
static void the_table_runs_one_way(void **state)
{
    (void)state;
    static const double temps[] = {0.5, 5, 10, 15, 20, 25};
    size_t odd = 0;
    for (size_t t = 0; t < 6; t++) {
        for (int c = 2; c <= 15; c++) {
            double residual = c / 5.0;
            for (double ph = 6; ph <= 9; ph += 0.5) {
                struct ct_cell cell;
                struct ct_water water = {residual, ph, temps[t]};
                assert_ok(ct_table_find(CT_GIARDIA, CT_FREE_CHLORINE, &water, &cell));
                odd += cell.off_trend;
                assert_near(cell.ct, between(residual, ph, temps[t]), 1e-12);
                assert_true(t == 0 || cell.ct < found(residual, ph, temps[t - 1]));
                assert_true(ph == 6 || cell.ct > found(residual, ph - 0.5, temps[t]));
                assert_true(c == 2 || cell.ct >= found((c - 1) / 5.0, ph, temps[t]));
            }
        }
    }
    assert_int_equal(odd, 1);
}

static void a_step_belongs_to_its_own_row(void **state)
{
    (void)state;
    struct ct_cell cell;
    struct ct_water water = {1.0, 7.5, 10};
    assert_ok(ct_table_find(CT_GIARDIA, CT_FREE_CHLORINE, &water, &cell));
    assert_near(cell.temp_c, 10, 0);
    assert_near(cell.ph, 7.5, 0);
    assert_near(cell.residual_mg_l, 1, 0);
    water = (struct ct_water){1.0001, 7.5001, 9.9999};
    assert_ok(ct_table_find(CT_GIARDIA, CT_FREE_CHLORINE, &water, &cell));
    assert_near(cell.temp_c, 5, 0);
    assert_near(cell.ph, 8, 0);
    assert_near(cell.residual_mg_l, 1.2, 0);
}

static void which_tables_there_are(void **state)
{
    (void)state;
    assert_true(ct_table_has(CT_GIARDIA, CT_FREE_CHLORINE));
    assert_true(ct_table_has(CT_GIARDIA, CT_OZONE));
    assert_true(ct_table_has(CT_GIARDIA, CT_CHLORAMINE));
    assert_true(ct_table_has(CT_GIARDIA, CT_CHLORINE_DIOXIDE));
    assert_true(ct_table_has(CT_VIRUS, CT_FREE_CHLORINE));
    assert_false(ct_table_has(CT_VIRUS, CT_OZONE));
    for (int d = CT_FREE_CHLORINE; d <= CT_CHLORAMINE; d++) {
        assert_int_equal(ct_disinfectant_find(ct_disinfectant_word((enum ct_disinfectant)d)), d);
    }
}

static void chloramine_at_20_c_is_not_made_easier_from_memory(void **state)
{
    (void)state;
    struct ct_cell cell;
    struct ct_water water = {1, 7, 22};
    assert_ok(ct_table_find(CT_GIARDIA, CT_CHLORAMINE, &water, &cell));
    assert_near(cell.ct, 1500, 0);
}

static void outside_the_table_is_refused(void **state)
{
    (void)state;
    static const struct {
        struct ct_water water;
        enum ct_organism organism;
        const char *field;
    } cases[] = {
        {{1, 9.01, 10}, CT_GIARDIA, "ph"},
        {{1, 4.99, 10}, CT_GIARDIA, "ph"},
        {{1, 5.99, 10}, CT_VIRUS, "ph"},
        {{1, 10.01, 10}, CT_VIRUS, "ph"},
        {{-0.01, 7, 10}, CT_GIARDIA, "residual_mg_l"},
        {{51, 7, 10}, CT_VIRUS, "residual_mg_l"},
        {{1, 7, -0.1}, CT_GIARDIA, "temp_c"},
        {{1, 7, 60.1}, CT_VIRUS, "temp_c"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct ct_cell cell;
        struct result r =
            ct_table_find(cases[i].organism, CT_FREE_CHLORINE, &cases[i].water, &cell);
        assert_code(r, FIELD_RANGE);
        assert_string_equal(r.field, cases[i].field);
        assert_near(cell.ct, 0, 0);
    }
    double ct = 1;
    struct ct_water nowhere = {(double)NAN, 7, 10};
    assert_code(ct_table_between(&nowhere, &ct), NUMBER_BAD);
    assert_near(ct, 0, 0);
}

static void ask_for_no_table(void *argument)
{
    (void)argument;
    struct ct_cell cell;
    struct ct_water water = {1, 7, 10};
    struct result r = ct_table_find(CT_VIRUS, CT_OZONE, &water, &cell);
    (void)r;
}

static void a_table_that_is_not_there_is_the_programs_fault(void **state)
{
    (void)state;
    assert_aborts(ask_for_no_table, NULL);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(never_easier_than_the_water_on_the_safe_side),
        cmocka_unit_test(the_table_runs_one_way),
        cmocka_unit_test(a_step_belongs_to_its_own_row),
        cmocka_unit_test(which_tables_there_are),
        cmocka_unit_test(chloramine_at_20_c_is_not_made_easier_from_memory),
        cmocka_unit_test(outside_the_table_is_refused),
        cmocka_unit_test(a_table_that_is_not_there_is_the_programs_fault),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

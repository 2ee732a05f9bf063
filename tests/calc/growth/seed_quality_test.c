#include "../../support.h"

#include "../near.h"
#include "calc/growth/seed_quality.h"

static void purity_is_rounded_down(void **state)
{
    (void)state;
    struct seed_purity r;
    assert_ok(seed_purity(&(struct seed_parts){98600, 400, 0, 1000}, &r));
    assert_near(r.purity_pct, 98.6, 1e-15);
    assert_int_equal(r.purity_ppm, 986000);
    assert_ok(seed_purity(&(struct seed_parts){2, 1, 0, 0}, &r));
    assert_int_equal(r.purity_ppm, 666666);
    assert_ok(seed_purity(&(struct seed_parts){0, 0, 0, 5}, &r));
    assert_int_equal(r.purity_ppm, 0);
    assert_ok(seed_purity(&(struct seed_parts){SEED_SAMPLE_MAX_MG, SEED_SAMPLE_MAX_MG,
                                               SEED_SAMPLE_MAX_MG, SEED_SAMPLE_MAX_MG},
                          &r));
    assert_int_equal(r.purity_ppm, 250000);
}

static void parts_out_of_range_are_named(void **state)
{
    (void)state;
    struct seed_purity r;
    static const char *const field[] = {"pure_mg", "other_mg", "weed_mg", "inert_mg"};
    for (size_t i = 0; i < 4; i++) {
        int64_t mg[4] = {1, 1, 1, 1};
        mg[i] = i % 2 == 0 ? -1 : SEED_SAMPLE_MAX_MG + 1;
        struct result got = seed_purity(&(struct seed_parts){mg[0], mg[1], mg[2], mg[3]}, &r);
        assert_code(got, FIELD_RANGE);
        assert_string_equal(got.field, field[i]);
    }
    assert_code(seed_purity(&(struct seed_parts){0, 0, 0, 0}, &r), FIELD_RANGE);
}

static void live_seed_is_a_product(void **state)
{
    (void)state;
    struct pure_live_seed r;
    assert_ok(pure_live_seed(98.6, 94, 2, &r));
    assert_near(r.pls_pct, 92.684, 1e-14);
    assert_near(r.pls_with_hard_pct, 94.656, 1e-14);
    assert_int_equal(r.pls_ppm, 926840);
    assert_ok(pure_live_seed(100, 100, 0, &r));
    assert_int_equal(r.pls_ppm, 1000000);
    static const struct {
        double purity, germination, hard;
        enum code code;
        const char *field;
    } cases[] = {
        {100.1, 90, 0, CODE_FIELD_RANGE, "purity_pct"},
        {99, -1, 0, CODE_FIELD_RANGE, "germination_pct"},
        {99, 95, 5.1, CODE_FIELD_RANGE, "hard_pct"},
        {99, 95, -1, CODE_FIELD_RANGE, "hard_pct"},
        {(double)NAN, 95, 0, CODE_NUMBER_BAD, "purity_pct"},
        {99, (double)INFINITY, 0, CODE_NUMBER_BAD, "germination_pct"},
        {99, 95, (double)NAN, CODE_NUMBER_BAD, "hard_pct"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct result got =
            pure_live_seed(cases[i].purity, cases[i].germination, cases[i].hard, &r);
        assert_code_at(got, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(got.field, cases[i].field);
    }
}

static void seed_mass_is_ten_times_the_mean(void **state)
{
    (void)state;
    const int64_t mg[] = {5520, 5600, 5470, 5550, 5580, 5500, 5610, 5530};
    struct seed_mass r;
    assert_ok(seed_mass(mg, 8, &r));
    assert_near(r.tsm_g, 55.45, 1e-14);
    assert_int_equal(r.tsm_mg, 55450);
    assert_true(fabs(r.deviation_g - 0.049281) <= 5.0001e-7);
    assert_int_equal(r.cv_ppm, 8888); /* 0.88875 %, rounded up */
    assert_true(r.accepted);
}

static void a_variation_of_four_percent_is_still_good(void **state)
{
    (void)state;
    /* Four of 100 + x and four of 100 - x: s = x sqrt(8/7), so x = 3.741657 gives 4 % exactly. */
    struct seed_mass r;
    int64_t mg[8];
    for (size_t i = 0; i < 8; i++) {
        mg[i] = 100000000 + (i % 2 == 0 ? 3741657 : -3741657);
    }
    assert_ok(seed_mass(mg, 8, &r));
    assert_true(r.cv_pct < 4 && r.cv_pct > 3.9999);
    assert_true(r.accepted);
    mg[0] += 20;
    assert_ok(seed_mass(mg, 8, &r));
    assert_false(r.accepted);
}

static void replicates_out_of_range_are_named(void **state)
{
    (void)state;
    int64_t mg[17] = {1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};
    struct seed_mass r;
    struct result got = seed_mass(mg, 7, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "replicates");
    assert_code(seed_mass(mg, 17, &r), FIELD_RANGE);
    assert_ok(seed_mass(mg, 16, &r));
    mg[4] = 0;
    got = seed_mass(mg, 8, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "replicates_mg[4]");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(purity_is_rounded_down),
        cmocka_unit_test(parts_out_of_range_are_named),
        cmocka_unit_test(live_seed_is_a_product),
        cmocka_unit_test(seed_mass_is_ten_times_the_mean),
        cmocka_unit_test(a_variation_of_four_percent_is_still_good),
        cmocka_unit_test(replicates_out_of_range_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "../../support.h"

#include "../near.h"
#include "base/random.h"
#include "calc/growth/mass_chain.h"

static void seed_to_packs_and_back(void **state)
{
    (void)state;
    struct mass_chain chain = mass_chain_default();
    int64_t mg = 0;
    assert_ok(mass_chain_packed(&chain, 100000000, &mg));
    assert_int_equal(mg, 632424480); /* 100 kg * 8 * .94 * .85 * .97 * 1.02 */
    assert_ok(mass_chain_seed(&chain, 1000000000, &mg));
    assert_int_equal(mg, 158121647); /* 1000 kg / 6.3242448 = 158.1216464 kg, rounded up */
    assert_ok(mass_chain_packed(&chain, 0, &mg));
    assert_int_equal(mg, 0);
}

static void rounding_never_promises_too_much(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 5);
    for (int i = 0; i < 2000; i++) {
        struct mass_chain chain = {.expansion = 1 + 13 * random_unit(&random),
                                   .hull = 0.2 * random_unit(&random),
                                   .trim = 0.3 * random_unit(&random),
                                   .cull = 0.1 * random_unit(&random),
                                   .wet = 0.05 * random_unit(&random)};
        int64_t want_mg = (int64_t)random_below(&random, 100000000000);
        int64_t seed_mg = 0, packed_mg = 0;
        assert_ok(mass_chain_seed(&chain, want_mg, &seed_mg));
        assert_ok(mass_chain_packed(&chain, seed_mg, &packed_mg));
        assert_true(packed_mg >= want_mg - 1);
        assert_true((double)packed_mg <= (double)want_mg + mass_chain_factor(&chain) + 1);
    }
}

static void parts_per_million_are_the_same_chain(void **state)
{
    (void)state;
    struct mass_chain chain = mass_chain_from_ppm(8000000, 60000, 150000, 30000, 20000);
    struct mass_chain wanted = mass_chain_default();
    assert_near(mass_chain_factor(&chain), mass_chain_factor(&wanted), 1e-15);
}

static void shares_out_of_range_are_named(void **state)
{
    (void)state;
    static const char *const field[] = {"expansion", "hull", "trim", "cull", "wet"};
    for (size_t i = 0; i < 5; i++) {
        for (int nan = 0; nan < 2; nan++) {
            double share[5] = {8, 0.1, 0.1, 0.1, 0.1};
            share[i] = nan == 1 ? (double)NAN : i % 2 == 0 ? 14.1 : -0.1;
            struct mass_chain chain = {share[0], share[1], share[2], share[3], share[4]};
            int64_t mg = 5;
            struct result r = mass_chain_packed(&chain, 1, &mg);
            assert_code_at(r, nan == 1 ? CODE_NUMBER_BAD : CODE_FIELD_RANGE, __FILE__, __LINE__);
            assert_string_equal(r.field, field[i]);
            assert_int_equal(mg, 0);
        }
    }
    int64_t mg = 0;
    struct mass_chain least = {1, 0.9, 0.9, 0.9, 0};
    struct mass_chain most = {14, 0, 0, 0, 0.5};
    assert_ok(mass_chain_packed(&least, INT64_C(1000000000000), &mg));
    assert_int_equal(mg, 1000000000);
    assert_ok(mass_chain_packed(&most, INT64_C(1000000000000), &mg));
    assert_int_equal(mg, INT64_C(21000000000000));
    struct mass_chain chain = mass_chain_default();
    struct result r = mass_chain_packed(&chain, -1, &mg);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "seed_mg");
    r = mass_chain_seed(&chain, INT64_MAX, &mg);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "packed_mg");
}

static void a_weaker_lot_expands_less(void **state)
{
    (void)state;
    int64_t ppm = 0;
    assert_ok(mass_chain_lot_expansion(8000000, 926840, 950000, &ppm));
    assert_int_equal(ppm, 7804968); /* 8 * 0.92684 / 0.95 = 7.80496842 */
    assert_ok(mass_chain_lot_expansion(8000000, 950000, 950000, &ppm));
    assert_int_equal(ppm, 8000000);
    assert_code(mass_chain_lot_expansion(8000000, 0, 950000, &ppm), FIELD_RANGE);
    assert_code(mass_chain_lot_expansion(8000000, 950000, 0, &ppm), FIELD_RANGE);
    assert_code(mass_chain_lot_expansion(999999, 950000, 950000, &ppm), FIELD_RANGE);
}

static void matter_is_conserved(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 6);
    for (int i = 0; i < 500; i++) {
        double expansion = 1 + 13 * random_unit(&random);
        double moisture_pct = 2 + 58 * random_unit(&random);
        double loss = 0.5 * random_unit(&random);
        struct dry_matter d;
        assert_ok(dry_matter(expansion, moisture_pct, loss, &d));
        assert_near(d.sprout_dry_kg_kg + d.breathed_kg_kg, d.seed_dry_kg_kg, 1e-14);
        /* One kilogram of seed and the water it took up is the sprouts and what was breathed out.
         */
        assert_near(1 + d.water_uptake_kg_kg, expansion + d.breathed_kg_kg, 1e-13);
        assert_near(d.sprout_dry_pct + d.sprout_water_pct, 100, 1e-14);
    }
    struct dry_matter d;
    assert_code(dry_matter(0.9, 10, 0.1, &d), FIELD_RANGE);
    assert_code(dry_matter(8, 1.9, 0.1, &d), FIELD_RANGE);
    assert_code(dry_matter(8, 10, 0.51, &d), FIELD_RANGE);
    assert_code(dry_matter((double)NAN, 10, 0.1, &d), NUMBER_BAD);
}

static void a_bed_needs_its_room(void **state)
{
    (void)state;
    struct bed_packing r;
    assert_ok(bed_packing(3.25, 5, 28, 1000, &r));
    assert_near(r.density_kg_m3 * r.volume_m3, 1000, 1e-14);
    assert_near(r.density_kg_m3, 16.25 / 0.028, 1e-14);
    assert_code(bed_packing(0, 5, 28, 1000, &r), FIELD_RANGE);
    assert_code(bed_packing(3.25, 5, 0, 1000, &r), FIELD_RANGE);
    assert_code(bed_packing(3.25, 5, 28, (double)NAN, &r), NUMBER_BAD);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(seed_to_packs_and_back),
        cmocka_unit_test(rounding_never_promises_too_much),
        cmocka_unit_test(parts_per_million_are_the_same_chain),
        cmocka_unit_test(shares_out_of_range_are_named),
        cmocka_unit_test(a_weaker_lot_expands_less),
        cmocka_unit_test(matter_is_conserved),
        cmocka_unit_test(a_bed_needs_its_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

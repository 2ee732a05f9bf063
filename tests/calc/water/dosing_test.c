#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/water/dosing.h"

static const struct dose_product granules = {.substance = DOSE_CALCIUM_HYPOCHLORITE,
                                             .strength = DOSE_SOLID_PCT,
                                             .substance_strength = 68,
                                             .available_strength = 65};

static struct dose made(const struct dose_product *product, enum dose_counts counts)
{
    struct dose d;
    struct dose_ask ask = {.target_mg_l = 20000, .counts = counts, .volume_l = 10};
    assert_ok(dosing(product, &ask, &d));
    return d;
}

static void what_counts_makes_the_difference(void **state)
{
    (void)state;
    double product = made(&granules, DOSE_PRODUCT).product_g;
    double salt = made(&granules, DOSE_SUBSTANCE).product_g;
    double chlorine = made(&granules, DOSE_AVAILABLE_CHLORINE).product_g;
    assert_near(product, 200, 1e-15);
    assert_near(salt, 200 / 0.68, 1e-14);
    assert_near(chlorine, 200 / 0.65, 1e-14);
}

static void what_the_label_leaves_out_follows_from_the_other(void **state)
{
    (void)state;
    struct dose_product only_salt = granules;
    struct dose_product only_chlorine = granules;
    only_salt.available_strength = 0;
    only_chlorine.substance_strength = 0;
    assert_near(made(&only_salt, DOSE_AVAILABLE_CHLORINE).product_g, 200 / (0.68 * 0.99182), 1e-12);
    assert_near(made(&only_chlorine, DOSE_SUBSTANCE).product_g, 200 * 0.99182 / 0.65, 1e-12);
    struct dose_product acid = {
        .substance = DOSE_OTHER, .strength = DOSE_LIQUID_G_L, .substance_strength = 150};
    assert_false(made(&acid, DOSE_SUBSTANCE).has_available);
}

static void a_litre_by_volume_or_by_mass(void **state)
{
    (void)state;
    struct dose_product by_mass = {.substance = DOSE_SODIUM_HYPOCHLORITE,
                                   .strength = DOSE_LIQUID_PCT_MASS,
                                   .density_kg_l = 1.2,
                                   .available_strength = 10};
    struct dose_product by_volume = by_mass;
    by_volume.strength = DOSE_LIQUID_PCT_VOLUME;
    by_volume.available_strength = 12;
    struct dose_product grams = by_mass;
    grams.strength = DOSE_LIQUID_G_L;
    grams.available_strength = 120;
    struct dose a = made(&by_mass, DOSE_AVAILABLE_CHLORINE);
    struct dose b = made(&by_volume, DOSE_AVAILABLE_CHLORINE);
    struct dose c = made(&grams, DOSE_AVAILABLE_CHLORINE);
    assert_near(b.product_ml, a.product_ml, 1e-14);
    assert_near(c.product_ml, a.product_ml, 1e-14);
    assert_near(b.product_g, a.product_g, 1e-14);
    assert_near(a.available_g_l, 20, 1e-14);
    assert_near(b.available_g_l, 20, 1e-14);
    assert_near(c.available_g_l, 20, 1e-14);
}

static void enough_already_is_thinned(void **state)
{
    (void)state;
    struct dose d;
    struct dose_ask ask = {
        .target_mg_l = 100, .counts = DOSE_AVAILABLE_CHLORINE, .volume_l = 50, .now_mg_l = 100};
    assert_ok(dosing(&granules, &ask, &d));
    assert_near(d.product_g, 0, 0);
    assert_near(d.water_l, 0, 0);
    ask.now_mg_l = 125;
    assert_ok(dosing(&granules, &ask, &d));
    assert_near(d.water_l, 12.5, 1e-14);
    assert_near(100 * (50 + d.water_l), 125 * 50, 1e-14);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    struct dose d;
    struct dose_product product = granules;
    struct dose_ask ask = {.target_mg_l = 100, .counts = DOSE_SUBSTANCE, .volume_l = 50};
    product.substance_strength = 101;
    assert_string_equal(dosing(&product, &ask, &d).field, "substance_strength");
    product = granules;
    product.density_kg_l = 4;
    assert_string_equal(dosing(&product, &ask, &d).field, "density_kg_l");
    product = granules;
    ask.target_mg_l = (double)NAN;
    assert_code(dosing(&product, &ask, &d), NUMBER_BAD);
    ask.target_mg_l = 0;
    assert_string_equal(dosing(&product, &ask, &d).field, "target_mg_l");
    ask.target_mg_l = 1;
    ask.volume_l = 0;
    assert_string_equal(dosing(&product, &ask, &d).field, "volume_l");
    ask.volume_l = 1;
    product.substance_strength = product.available_strength = 0;
    assert_code(dosing(&product, &ask, &d), FIELD_MISSING);
    assert_near(d.product_g, 0, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_counts_makes_the_difference),
        cmocka_unit_test(what_the_label_leaves_out_follows_from_the_other),
        cmocka_unit_test(a_litre_by_volume_or_by_mass),
        cmocka_unit_test(enough_already_is_thinned),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

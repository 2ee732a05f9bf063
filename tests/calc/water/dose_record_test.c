#include "../../support.h"

#include "calc/water/dose_record.h"

/* The amounts: computed here, by g = C V / strength. */
static void what_ppm_counts_makes_the_amount(void **state)
{
    (void)state;
    struct dose_record r;
    const struct dose_record_product powder = {DOSE_CALCIUM_HYPOCHLORITE, DOSE_SOLID_PCT, true,
                                               65000, 0};
    /* 10 L at 20 000 mg/L of available chlorine: 307.69 g; as product 200 g */
    assert_ok(dose_record(
        &powder, &(struct dose_record_ask){20000000, 0, DOSE_AVAILABLE_CHLORINE, 10000}, &r));
    assert_int_equal(r.product_mg, 307692);
    assert_int_equal(r.product_ul, 0);
    assert_ok(
        dose_record(&powder, &(struct dose_record_ask){20000000, 0, DOSE_PRODUCT, 10000}, &r));
    assert_int_equal(r.product_mg, 200000);
    /* 1000 L, 100 mg/L, 12.5 % of volume: 800 mL; of mass at 12 % and 1.17 kg/L: 712.25 mL */
    const struct dose_record_product bleach = {DOSE_SODIUM_HYPOCHLORITE, DOSE_LIQUID_PCT_VOLUME,
                                               true, 12500, 0};
    assert_ok(dose_record(
        &bleach, &(struct dose_record_ask){100000, 0, DOSE_AVAILABLE_CHLORINE, 1000000}, &r));
    assert_int_equal(r.product_ul, 800000);
    const struct dose_record_product heavy = {DOSE_SODIUM_HYPOCHLORITE, DOSE_LIQUID_PCT_MASS, true,
                                              12000, 1170};
    assert_ok(dose_record(
        &heavy, &(struct dose_record_ask){100000, 0, DOSE_AVAILABLE_CHLORINE, 1000000}, &r));
    assert_int_equal(r.product_ul, 712251);
    /* 200 L at 200 mg/L of a salt or acid of 125 g/L: 320 mL */
    const struct dose_record_product acid = {DOSE_OTHER, DOSE_LIQUID_G_L, false, 125000, 0};
    assert_ok(dose_record(&acid, &(struct dose_record_ask){200000, 0, DOSE_SUBSTANCE, 200000}, &r));
    assert_int_equal(r.product_ul, 320000);
    assert_code(dose_record(&acid,
                            &(struct dose_record_ask){200000, 0, DOSE_AVAILABLE_CHLORINE, 200000},
                            &r),
                FIELD_MISSING);
}

static void what_is_there_already_counts(void **state)
{
    (void)state;
    struct dose_record r;
    const struct dose_record_product powder = {DOSE_CALCIUM_HYPOCHLORITE, DOSE_SOLID_PCT, true,
                                               65000, 0};
    assert_ok(dose_record(
        &powder, &(struct dose_record_ask){100000, 35000, DOSE_AVAILABLE_CHLORINE, 1000000}, &r));
    assert_int_equal(r.product_mg, 100000); /* 65 mg/L are lacking */
    assert_ok(dose_record(
        &powder, &(struct dose_record_ask){100000, 150000, DOSE_AVAILABLE_CHLORINE, 1000000}, &r));
    assert_int_equal(r.product_mg, 0);
    assert_int_equal(r.water_ml, 500000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_ppm_counts_makes_the_amount),
        cmocka_unit_test(what_is_there_already_counts),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

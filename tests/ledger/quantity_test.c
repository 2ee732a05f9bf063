/* Numbers with their unit. */
#include "../support.h"

#include "ledger/quantity.h"

static void a_number_with_its_unit(void **state)
{
    static const struct {
        const char *text, *unit;
        int64_t milli;
    } good[] = {
        {"150 mg/L", "mg/L", 150000}, {"150mg/L", "mg/L", 150000}, {"0.001 L", "L", 1},
        {"-2.5 %", "%", -2500},       {"7.2", "", 7200},           {"+3.000 %", "%", 3000},
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        int64_t milli = 0;
        assert_ok(quantity_read(good[i].text, good[i].unit, "f", &milli));
        assert_int_equal(milli, good[i].milli);
    }
}

static void another_unit_or_none(void **state)
{
    static const struct {
        const char *text, *unit;
        enum code code;
    } bad[] = {
        {"150", "mg/L", CODE_UNIT_BAD},
        {"150 ppm", "mg/L", CODE_UNIT_BAD},
        {"150 mg/L ", "mg/L", CODE_UNIT_BAD},
        {"150 mg/l", "mg/L", CODE_UNIT_BAD},
        {"7.2 pH", "", CODE_UNIT_BAD},
        {"much mg/L", "mg/L", CODE_UNIT_BAD},
        {"", "mg/L", CODE_UNIT_BAD},
        {" mg/L", "mg/L", CODE_DECIMAL_BAD},
        {"", "", CODE_DECIMAL_BAD},
        {"1.2.3 L", "L", CODE_DECIMAL_BAD},
        {"0.0001 L", "L", CODE_DECIMAL_FINE},
        {"99999999999999999999 L", "L", CODE_DECIMAL_LARGE},
        {"0000000000000000000000000000000000000000000001 L", "L", CODE_DECIMAL_LARGE},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        int64_t milli = 77;
        assert_code_at(quantity_read(bad[i].text, bad[i].unit, "f", &milli), bad[i].code, __FILE__,
                       (int)i);
        assert_int_equal(milli, 77);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_number_with_its_unit),
        cmocka_unit_test(another_unit_or_none),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

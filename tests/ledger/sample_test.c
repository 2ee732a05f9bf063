/* Samples as commands name them: volumes, methods that confirm. */
#include "../support.h"

#include "ledger/sample.h"

static void volumes_have_a_unit(void **state)
{
    int64_t ml = 0;
    assert_ok(volume_read("1 L", "volume", &ml));
    assert_int_equal(ml, 1000);
    assert_ok(volume_read("0.2 L", "volume", &ml));
    assert_int_equal(ml, 200);
    assert_ok(volume_read("375mL", "volume", &ml));
    assert_int_equal(ml, 375);
    assert_ok(volume_read("0 mL", "volume", &ml));
    assert_int_equal(ml, 0);
    assert_code(volume_read("1", "volume", &ml), UNIT_BAD);
    assert_code(volume_read("1 kg", "volume", &ml), UNIT_BAD);
    assert_code(volume_read("L", "volume", &ml), DECIMAL_BAD);
    assert_code(volume_read("", "volume", &ml), DECIMAL_BAD);
    assert_code(volume_read("-1 L", "volume", &ml), FIELD_RANGE);
    assert_code(volume_read("0.0001 L", "volume", &ml), DECIMAL_FINE);
    assert_code(volume_read("0.5 mL", "volume", &ml), DECIMAL_FINE);
    assert_code(volume_read("1001 L", "volume", &ml), FIELD_RANGE);
    assert_code(volume_read("99999999999999999999999999999999999999 L", "volume", &ml),
                DECIMAL_BAD);
}

static void methods_that_confirm_are_those_of_every_market(void **state)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct market_organism us[] = {{"Salmonella spp.", "M1,M2", "M1"},
                                   {"E. coli O157:H7", "M1", ""}},
                           eu[] = {{"Salmonella spp.", "M3", "M3"}};
    struct market markets[] = {{.name = "US", .organisms = us, .organism_count = 2},
                               {.name = "EU", .organisms = eu, .organism_count = 1}};
    struct profile p = {.markets = markets, .market_count = 2};
    assert_string_equal(confirming_methods(&p, "Salmonella spp.", &a), "M1,M3");
    assert_string_equal(confirming_methods(&p, "E. coli O157:H7", &a), "");
    assert_string_equal(confirming_methods(&p, "another", &a), "");
    assert_string_equal(confirming_methods(NULL, "Salmonella spp.", &a), "");
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(volumes_have_a_unit),
        cmocka_unit_test(methods_that_confirm_are_those_of_every_market),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "../../support.h"

#include "../near.h"
#include "calc/microbe/figures.h"

static void says(double value, const char *wanted)
{
    char text[FIGURES_SIZE];
    two_figures(value, text);
    assert_string_equal(text, wanted);
}

static void two_figures_whatever_the_size(void **state)
{
    (void)state;
    says(0, "0.0");
    says(3.0075, "3.0");
    says(9.96, "10");
    says(38.49997, "38");
    says(99.6, "100");
    says(1098.95, "1100");
    says(24409, "24000");
    says(0.0337, "0.034");
    says(0.0996, "0.10");
    says(1e30, "1000000000000000019884624838656");
    says(1.26e-19, "0.00000000000000000013");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_figures_whatever_the_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "../../support.h"

#include "../near.h"
#include "calc/constants.h"
#include "calc/heat/lethal_set.h"
#include "calc/registry.h"

static void each_set_stands_on_its_constants(void **state)
{
    (void)state;
    assert_int_equal(lethal_set_count(), 9);
    for (size_t i = 0; i < lethal_set_count(); i++) {
        const struct lethal_set *s = lethal_set_at(i);
        assert_ptr_equal(lethal_set_find(s->name), s);
        assert_true(strlen(s->title) > 5);
        const double values[] = {s->reference_c, s->z_c, s->d_s};
        for (size_t k = 0; k < LETHAL_SET_CONSTANTS; k++) {
            const struct constant *c = constant_find(s->constant[k]);
            assert_non_null(c);
            assert_near(values[k], c->value, 0);
        }
    }
    assert_null(lethal_set_find("botulism"));
}

/* The form offers the sets by name: both lists must be the same. */
static void the_calculation_offers_all_of_them(void **state)
{
    (void)state;
    const struct calc_row *row = registry_find("lethality");
    const char *choices = NULL;
    for (size_t i = 0; i < row->in_count; i++) {
        choices = strcmp(row->in[i].name, "set") == 0 ? row->in[i].choices : choices;
    }
    assert_non_null(choices);
    size_t offered = 0;
    for (const char *c = choices; *c != '\0'; offered++) {
        char name[64];
        size_t len = strcspn(c, "|");
        snprintf(name, sizeof name, "%.*s", (int)len, c);
        assert_non_null(lethal_set_find(name));
        c += len + (c[len] == '|');
    }
    assert_int_equal(offered, lethal_set_count());
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_set_stands_on_its_constants),
        cmocka_unit_test(the_calculation_offers_all_of_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Which series speak of a place. */
#include "../support.h"

#include "service/view_log.h"

static void a_chamber_goes_by_three_names(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 20);
    const char *names[VIEW_LOG_NAMES];
    view_log_names(&a, "C-01", names);
    assert_string_equal(names[0], "C-01");
    assert_string_equal(names[1], "c-01");
    assert_string_equal(names[2], "chamber-1");
    view_log_names(&a, "C12", names);
    assert_string_equal(names[2], "chamber-12");
    arena_release(&a);
}

/* A cold room with a number does not read the chamber of that number. */
static void another_place_goes_by_its_own(void **state)
{
    (void)state;
    static const char *const places[] = {"CR-1", "W-1", "COLD", "1", "CC-1"};
    struct arena a;
    arena_init(&a, 1 << 20);
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        const char *names[VIEW_LOG_NAMES];
        view_log_names(&a, places[i], names);
        assert_string_equal(names[2], places[i]);
    }
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_chamber_goes_by_three_names),
        cmocka_unit_test(another_place_goes_by_its_own),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

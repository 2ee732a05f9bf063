/* The review alone unmet. */
#include "clause_world.h"

static struct clause_world w;

static int set_up(void **state)
{
    world_open(&w);
    return 0;
}

static int tear_down(void **state)
{
    world_close(&w);
    return 0;
}

static void a_clean_not_reviewed(void **state)
{
    for (size_t i = 0; i < w.e.clean_count; i++) {
        if (strcmp(w.e.cleans[i].place, "WASH") == 0) {
            world_unreview(&w, w.e.cleans[i].entry);
        }
    }
    /* washed lots have no line of their own: the pack speaks for them */
    world_only_unmet(&w, "reviewed", "P-1", NULL, CODE_CLAUSE_REVIEW_MISSING);
}

static void a_result_not_reviewed(void **state)
{
    world_unreview(&w, world_first_finding(&w, 0, "E. coli O157:H7")->entry);
    world_only_unmet(&w, "reviewed", "G-1", NULL, CODE_CLAUSE_REVIEW_MISSING);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_clean_not_reviewed),
        T(a_result_not_reviewed),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

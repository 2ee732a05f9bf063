/* The packing alone unmet: checks of the detector around every packed minute, and the label. */
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

static void metal_check_missing_before(void **state)
{
    w.e.checks[0].at_ms = PACK_MS + 1;
    world_only_unmet(&w, "foreign-body", "P-1", "PACK", CODE_CLAUSE_METAL_BEFORE);
}

static void metal_check_missing_after(void **state)
{
    w.e.checks[2].at_ms = PACK_MS + HOURS(1) - 1;
    world_only_unmet(&w, "foreign-body", "P-1", "PACK", CODE_CLAUSE_METAL_AFTER);
}

static void metal_check_failed_between(void **state)
{
    w.e.checks[1].ok = false;
    world_only_unmet(&w, "foreign-body", "P-1", "PACK", CODE_CLAUSE_METAL_FAILED);
}

static void metal_check_failed_at_the_end(void **state)
{
    w.e.checks[2].ok = false;
    world_metal_check(&w, PACK_MS + MINUTES(80),
                      true); /* a good one later does not bring it back */
    world_only_unmet(&w, "foreign-body", "P-1", "PACK", CODE_CLAUSE_METAL_FAILED);
}

static void metal_check_failed_outside_does_not_matter(void **state)
{
    world_metal_check(&w, PACK_MS - MINUTES(30), false);
    world_metal_check(&w, PACK_MS + MINUTES(90), false);
    world_all_met(&w);
}

static void metal_checks_too_far_apart(void **state)
{
    w.e.checks[1].at_ms = PACK_MS + MINUTES(51); /* 61 min after the first */
    world_only_unmet(&w, "foreign-body", "P-1", "PACK", CODE_CLAUSE_METAL_GAP);
    w.e.checks[1].at_ms = PACK_MS + MINUTES(50);
    world_all_met(&w);
}

static void metal_checks_of_another_line_do_not_count(void **state)
{
    for (int i = 0; i < 3; i++) {
        w.e.checks[i].place = "WASH";
    }
    world_only_unmet(&w, "foreign-body", "P-1", "PACK", CODE_CLAUSE_METAL_BEFORE);
    for (int i = 0; i < 3; i++) {
        w.e.checks[i].run = 3; /* but told for the run they do */
    }
    world_all_met(&w);
}

static void metal_checks_without_a_plan(void **state)
{
    for (size_t i = 0; i < w.profile->clause_count; i++) {
        if (strcmp(w.profile->clauses[i].name, "foreign-body") == 0) {
            w.profile->clauses[i].within_ms = 0;
        }
    }
    world_only_unmet(&w, "foreign-body", "P-1", "PACK", CODE_CLAUSE_PLAN);
}

static void label_not_checked(void **state)
{
    w.e.checks[w.e.check_count - 1].kind = "seal-check";
    world_only_unmet(&w, "label", "P-1", NULL, CODE_CLAUSE_LABEL_MISSING);
}

static void label_of_another_lot_checked(void **state)
{
    w.e.checks[w.e.check_count - 1].lot = world_lot(&w, "SORTED-1");
    world_only_unmet(&w, "label", "P-1", NULL, CODE_CLAUSE_LABEL_MISSING);
}

static void the_last_label_check_decides(void **state)
{
    int64_t entry = world_entry(&w, "label-check");
    struct evidence_check *c = EVIDENCE_ADD(&w.arena, &w.e, check);
    *c = (struct evidence_check){
        .kind = "label-check", .lot = 0, .ok = false, .at_ms = PACK_MS + 1, .entry = entry};
    world_only_unmet(&w, "label", "P-1", NULL, CODE_CLAUSE_LABEL_FAILED);
    w.e.checks[w.e.check_count - 1].at_ms = PACK_MS - 1;
    world_all_met(&w);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(metal_check_missing_before),
        T(metal_check_missing_after),
        T(metal_check_failed_between),
        T(metal_check_failed_at_the_end),
        T(metal_check_failed_outside_does_not_matter),
        T(metal_checks_too_far_apart),
        T(metal_checks_of_another_line_do_not_count),
        T(metal_checks_without_a_plan),
        T(label_not_checked),
        T(label_of_another_lot_checked),
        T(the_last_label_check_decides),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What a clean is good for: the scopes by surface class, and every event that ends one. */
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

static struct evidence_clean *clean_of(const char *place, int nth)
{
    for (size_t i = 0; i < w.e.clean_count; i++) {
        if (strcmp(w.e.cleans[i].place, place) == 0 && nth-- == 0) {
            return &w.e.cleans[i];
        }
    }
    fail();
    return NULL;
}

static struct evidence_use *use_of(const char *place, const char *lot, int64_t from_ms,
                                   int64_t to_ms)
{
    struct evidence_use *u = EVIDENCE_ADD(&w.arena, &w.e, use);
    *u = (struct evidence_use){.place = place,
                               .lot = 7000,
                               .lot_code = lot,
                               .family = "mung",
                               .allergens = "",
                               .from_ms = from_ms,
                               .to_ms = to_ms,
                               .entry = 90000};
    return u;
}

static void chamber_without_a_valid_clean(void **state)
{
    clean_of("C-2", 0)->valid = false;
    world_only_unmet(&w, "clean", "G-2", "C-2", CODE_CLAUSE_CLEAN_MISSING);
}

static void chamber_cleaned_after_it_was_filled(void **state)
{
    clean_of("C-2", 0)->end_ms = world_contact(&w, "G-2", "C-2")->start_ms + 1;
    world_only_unmet(&w, "clean", "G-2", "C-2", CODE_CLAUSE_CLEAN_MISSING);
    clean_of("C-2", 0)->end_ms = world_contact(&w, "G-2", "C-2")->start_ms;
    world_all_met(&w);
}

static void chamber_used_for_another_batch_between(void **state)
{
    int64_t clean_ms = clean_of("C-2", 0)->end_ms;
    use_of("C-2", "G-OTHER", clean_ms - HOURS(200), clean_ms); /* emptied as it was cleaned */
    world_all_met(&w);
    use_of("C-2", "G-OTHER", clean_ms + 1, clean_ms + HOURS(1));
    world_only_unmet(&w, "clean", "G-2", "C-2", CODE_CLAUSE_CLEAN_USED);
}

static void treater_cleaned_for_each_batch(void **state)
{
    clean_of("TREAT", 1)->valid = false; /* LOAD-1 was in it since the clean before */
    world_only_unmet(&w, "clean", "LOAD-2", "TREAT", CODE_CLAUSE_CLEAN_USED);
}

static void loads_of_one_batch_share_a_clean(void **state)
{
    clean_of("TREAT", 1)->valid = false;
    clean_of("SOAK", 1)->valid = false;
    struct evidence_edge *edge = EVIDENCE_ADD(&w.arena, &w.e, edge);
    *edge = (struct evidence_edge){.parent = world_lot(&w, "LOAD-1"),
                                   .child = world_lot(&w, "G-2")}; /* both went into chamber 2 */
    world_all_met(&w);
}

static void line_cleaned_too_long_ago(void **state)
{
    clean_of("PACK", 0)->end_ms =
        PACK_MS - HOURS(11); /* twelve hours end as the last case leaves */
    world_all_met(&w);
    clean_of("PACK", 0)->end_ms = PACK_MS - HOURS(11) - 1;
    world_only_unmet(&w, "clean", "P-1", "PACK", CODE_CLAUSE_CLEAN_OLD);
}

static void line_changed_family_without_a_clean(void **state)
{
    use_of("PACK", "SOY-7", PACK_MS - HOURS(2), PACK_MS - HOURS(1))->family = "soy";
    world_only_unmet(&w, "clean", "P-1", "PACK", CODE_CLAUSE_CLEAN_CHANGE);
    clean_of("PACK", 0)->end_ms = PACK_MS - MINUTES(59); /* cleaned after it */
    world_all_met(&w);
}

static void line_changed_allergens_without_a_clean(void **state)
{
    struct evidence_run *r = EVIDENCE_ADD(&w.arena, &w.e, run);
    *r = (struct evidence_run){.id = 9,
                               .place = "SORT",
                               .code = "R-9",
                               .family = "mung",
                               .allergens = "sesame",
                               .start_ms = PACK_MS - HOURS(4),
                               .end_ms = PACK_MS - HOURS(3)};
    world_judge(&w);
    assert_int_equal(w.list.unmet, BATCHES); /* all three were sorted after it */
    assert_int_equal(clauses_first_unmet(&w.list)->reason.code, CODE_CLAUSE_CLEAN_CHANGE);
}

static void line_stood_too_long(void **state)
{
    /* the first lot of the day at six, then nothing for more than two hours */
    use_of("PACK", "P-0", PACK_MS - HOURS(3), PACK_MS - HOURS(2) - 1);
    world_only_unmet(&w, "clean", "P-1", "PACK", CODE_CLAUSE_CLEAN_STOP);
    use_of("PACK", "P-0", PACK_MS - HOURS(2) - 1, PACK_MS - HOURS(1));
    world_all_met(&w);
}

static void a_clean_line_may_wait(void **state)
{
    clean_of("PACK", 0)->end_ms = PACK_MS - HOURS(6);
    world_all_met(&w);
}

static void a_positive_swab_ends_a_clean(void **state)
{
    struct evidence_sample *s = EVIDENCE_ADD(&w.arena, &w.e, sample);
    *s = (struct evidence_sample){.id = 900,
                                  .lot = EVIDENCE_NO_LOT,
                                  .place = "PACK",
                                  .code = "S-SWAB",
                                  .location = "belt",
                                  .what = "swab",
                                  .taken_ms = PACK_MS - MINUTES(5)};
    size_t at = w.e.sample_count - 1;
    struct evidence_finding *f = world_finding(&w, at, "Listeria spp.", "presumptive");
    world_all_met(&w);
    f->state = "confirmed-positive";
    world_only_unmet(&w, "clean", "P-1", "PACK", CODE_CLAUSE_CLEAN_POSITIVE);
    w.e.samples[at].taken_ms = clean_of("PACK", 0)->end_ms - 1; /* before the clean */
    world_all_met(&w);
}

static void a_positive_batch_ends_a_clean(void **state)
{
    struct evidence_use *u = use_of("PACK", "P-0", PACK_MS - HOURS(1), PACK_MS - MINUTES(10));
    world_all_met(&w);
    u->positive = true;
    world_only_unmet(&w, "clean", "P-1", "PACK", CODE_CLAUSE_CLEAN_POSITIVE);
}

static void what_left_no_trace_of_its_place_is_not_clean(void **state)
{
    for (size_t i = 0; i < w.e.contact_count; i++) {
        if (w.e.contacts[i].lot == world_lot(&w, "SORTED-3")) {
            w.e.contacts[i].place = NULL;
        }
    }
    world_only_unmet(&w, "clean", "SORTED-3", NULL, CODE_CLAUSE_CLEAN_STEP);
}

static void a_surface_without_a_plan_is_not_clean(void **state)
{
    for (size_t i = 0; i < w.profile->surface_count; i++) {
        if (strcmp(w.profile->surfaces[i].name, "pack line") == 0) {
            w.profile->surfaces[i].hours_ms = 0;
        }
    }
    world_only_unmet(&w, "clean", "P-1", "PACK", CODE_CLAUSE_PLAN);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(chamber_without_a_valid_clean),
        T(chamber_cleaned_after_it_was_filled),
        T(chamber_used_for_another_batch_between),
        T(treater_cleaned_for_each_batch),
        T(loads_of_one_batch_share_a_clean),
        T(line_cleaned_too_long_ago),
        T(line_changed_family_without_a_clean),
        T(line_changed_allergens_without_a_clean),
        T(line_stood_too_long),
        T(a_clean_line_may_wait),
        T(a_positive_swab_ends_a_clean),
        T(a_positive_batch_ends_a_clean),
        T(what_left_no_trace_of_its_place_is_not_clean),
        T(a_surface_without_a_plan_is_not_clean),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

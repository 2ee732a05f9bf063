/* Seed alone unmet, for a pack of three batches and two markets: approval, and the treatment in its
 * three ways. */
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

static struct evidence_seed_state *seed_state(const char *lot, const char *state, int64_t at_ms)
{
    int64_t entry = world_entry(&w, "approve");
    struct evidence_seed_state *s = EVIDENCE_ADD(&w.arena, &w.e, seed_state);
    *s = (struct evidence_seed_state){
        .lot = world_lot(&w, lot), .state = state, .markets = "", .at_ms = at_ms, .entry = entry};
    return s;
}

static struct evidence_treatment *treatment_of(const char *load)
{
    for (size_t i = 0; i < w.e.treatment_count; i++) {
        if (w.e.treatments[i].lot == world_lot(&w, load)) {
            return &w.e.treatments[i];
        }
    }
    fail();
    return NULL;
}

static void seed_not_approved(void **state)
{
    for (size_t i = 0; i < w.e.seed_state_count; i++) {
        if (w.e.seed_states[i].lot == world_lot(&w, "SEED-2")) {
            w.e.seed_states[i].state = "received";
        }
    }
    world_only_unmet(&w, "seed-approved", "SEED-2", NULL, CODE_CLAUSE_SEED_STATE);
}

static void seed_blocked_after_approval(void **state)
{
    seed_state("SEED-1", "blocked", PACK_MS);
    world_only_unmet(&w, "seed-approved", "SEED-1", NULL, CODE_CLAUSE_SEED_BLOCKED);
    seed_state("SEED-1", "approved", PACK_MS + 1);
    world_all_met(&w);
}

static void seed_blocked_by_a_late_telling(void **state)
{
    seed_state("SEED-1", "blocked", BEGIN_MS - HOURS(30)); /* happened before the approval */
    world_only_unmet(&w, "seed-approved", "SEED-1", NULL, CODE_CLAUSE_SEED_BLOCKED);
}

static void seed_approval_dated_before_a_block_does_not_free(void **state)
{
    seed_state("SEED-1", "rejected", PACK_MS);
    seed_state("SEED-1", "approved", PACK_MS - 1);
    world_only_unmet(&w, "seed-approved", "SEED-1", NULL, CODE_CLAUSE_SEED_BLOCKED);
}

static void seed_of_a_blocked_supplier_lot(void **state)
{
    seed_state("SEED-3", "blocked", PACK_MS)->of_supplier_lot = true;
    world_only_unmet(&w, "seed-approved", "SEED-3", NULL, CODE_CLAUSE_SEED_BLOCKED);
}

static void seed_approved_for_one_market_only(void **state)
{
    for (size_t i = 0; i < w.e.seed_state_count; i++) {
        w.e.seed_states[i].markets = "US,house";
    }
    world_judge(&w);
    assert_int_equal(w.list.unmet, BATCHES);
    assert_int_equal(clauses_first_unmet(&w.list)->reason.code, CODE_CLAUSE_SEED_MARKET);
    assert_string_equal(clauses_first_unmet(&w.list)->reason.value[2], "EU");
    w.markets = "US";
    world_all_met(&w);
}

static void treatment_missing(void **state)
{
    treatment_of("LOAD-2")->lot = EVIDENCE_NO_LOT;
    world_only_unmet(&w, "seed-treated", "LOAD-2", NULL, CODE_CLAUSE_TREATMENT_MISSING);
}

static void treatment_not_met(void **state)
{
    struct evidence_treatment *t = treatment_of("LOAD-2");
    t->met = false;
    t->reason = "gap";
    world_only_unmet(&w, "seed-treated", "LOAD-2", NULL, CODE_CLAUSE_TREATMENT_FAILED);
}

static void treatment_by_a_recipe_for_other_seed(void **state)
{
    w.e.lots[world_lot(&w, "SEED-2")].item = "SOYSEED"; /* hot-water-85 is for mung and urd */
    world_only_unmet(&w, "seed-treated", "LOAD-2", NULL, CODE_CLAUSE_TREATMENT_RECIPE);
}

static void treatment_by_a_recipe_without_a_source(void **state)
{
    static const struct source memory = {.title = "what people say", .word = WORD_MEMORY},
                               common = {.title = "house practice", .word = WORD_COMMON};
    struct recipe *recipe = &w.profile->recipes[0];
    assert_string_equal(recipe->name, "hot-water-85");
    const struct source *const weak[] = {&memory, &common};
    for (int i = 0; i < 2; i++) {
        recipe->source = weak[i];
        world_judge(&w);
        assert_int_equal(w.list.unmet, BATCHES);
        assert_int_equal(clauses_first_unmet(&w.list)->reason.code, CODE_CLAUSE_TREATMENT_SOURCE);
    }
}

static void treatment_without_its_validation(void **state)
{
    treatment_of("LOAD-1")->papers = "";
    world_only_unmet(&w, "seed-treated", "LOAD-1", NULL, CODE_CLAUSE_TREATMENT_PAPERS);
}

static void treatment_by_constants_needs_them_signed(void **state)
{
    struct evidence_treatment *t = treatment_of("LOAD-1");
    t->way = "constants";
    t->recipe = t->papers = "";
    world_only_unmet(&w, "seed-treated", "LOAD-1", NULL, CODE_CLAUSE_TREATMENT_PAPERS);
    t->constants_signed = true;
    world_all_met(&w);
}

static void treatment_by_the_supplier_needs_a_certificate(void **state)
{
    struct evidence_treatment *t = treatment_of("LOAD-1");
    t->way = "supplier";
    t->recipe = "";
    t->papers = "validation,photo";
    world_only_unmet(&w, "seed-treated", "LOAD-1", NULL, CODE_CLAUSE_TREATMENT_PAPERS);
    t->papers = "photo,certificate";
    world_all_met(&w);
    t->way = "something else";
    world_only_unmet(&w, "seed-treated", "LOAD-1", NULL, CODE_CLAUSE_TREATMENT_PAPERS);
}

static void treatment_not_reviewed(void **state)
{
    world_unreview(&w, treatment_of("LOAD-3")->entry);
    world_unmet(&w, "seed-treated", "LOAD-3", NULL, CODE_CLAUSE_TREATMENT_REVIEW);
    assert_false(clause_holds(&w.list, "reviewed"));
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(seed_not_approved),
        T(seed_blocked_after_approval),
        T(seed_blocked_by_a_late_telling),
        T(seed_approval_dated_before_a_block_does_not_free),
        T(seed_of_a_blocked_supplier_lot),
        T(seed_approved_for_one_market_only),
        T(treatment_missing),
        T(treatment_not_met),
        T(treatment_by_a_recipe_for_other_seed),
        T(treatment_by_a_recipe_without_a_source),
        T(treatment_without_its_validation),
        T(treatment_by_constants_needs_them_signed),
        T(treatment_by_the_supplier_needs_a_certificate),
        T(treatment_not_reviewed),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

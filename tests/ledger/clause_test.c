/* Each clause alone unmet, for a packed lot of three batches and two markets: the line says which
 * lot, why and the way to it; every other clause stays met. */
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

static void all_is_met(void **state)
{
    world_all_met(&w);
    /* ten clauses, and the batches' lines once for each market */
    static const char *const names[] = {"seed-approved", "seed-treated", "clean", "sampled",
                                        "negative",      "environment",  "water", "foreign-body",
                                        "label",         "reviewed"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        assert_true(clause_holds(&w.list, names[i]));
    }
    size_t sampled = 0;
    for (size_t i = 0; i < w.list.line_count; i++) {
        sampled += strcmp(w.list.lines[i].clause, "sampled") == 0 ? 1 : 0;
    }
    assert_int_equal(sampled, BATCHES * 2);
}

static void a_line_names_the_way_and_its_entries(void **state)
{
    struct evidence_finding *f = world_first_finding(&w, 12, "Salmonella spp."); /* S-3-3 */
    w.markets = "US";
    f->state = "pending";
    world_only_unmet(&w, "negative", "G-3", "US", CODE_CLAUSE_RESULT_OPEN);
    f->state = "negative";
    f->organism = "another one";
    world_only_unmet(&w, "negative", "G-3", NULL, CODE_CLAUSE_RESULT_MISSING);
    const struct clause_line *line = clauses_first_unmet(&w.list);
    assert_int_equal(line->way_count, 5);
    static const char *const way[] = {"P-1", "SORTED-3", "WASHED-3", "HARVESTED-3", "G-3"};
    for (size_t i = 0; i < 5; i++) {
        assert_string_equal(line->way[i], way[i]);
    }
    assert_string_equal(line->reason.value[0], "S-3-3");
    assert_string_equal(line->reason.value[1], "Salmonella spp.");
    assert_true(line->entry_count > 0);
    for (size_t i = 1; i < line->entry_count; i++) {
        assert_true(line->entries[i - 1] < line->entries[i]);
    }
}

static void the_list_is_plain_json(void **state)
{
    w.e.checks[w.e.check_count - 1].ok = false; /* the label check */
    world_judge(&w);
    json_t *list = clauses_json(&w.list);
    assert_int_equal(json_array_size(list), w.list.line_count);
    size_t unmet = 0, i;
    json_t *line;
    json_array_foreach(list, i, line)
    {
        if (strcmp(json_string_value(json_object_get(line, "state")), "unmet") == 0) {
            unmet++;
            assert_string_equal(json_string_value(json_object_get(line, "clause")), "label");
            assert_string_equal(json_string_value(json_object_get(line, "code")),
                                "clause-label-failed");
            assert_string_equal(
                json_string_value(json_array_get(json_object_get(line, "values"), 0)), "P-1");
            assert_int_equal(json_array_size(json_object_get(line, "entries")), 1);
        }
    }
    assert_int_equal(unmet, 1);
    assert_true(strlen(json_canonical(&w.arena, list)) > 100);
    json_decref(list);
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

static void action_covers(const char *place, int64_t from_ms)
{
    int64_t entry = world_entry(&w, "environment");
    struct evidence_environment *a = EVIDENCE_ADD(&w.arena, &w.e, environment);
    *a = (struct evidence_environment){.id = 1, .place = place, .from_ms = from_ms, .entry = entry};
}

static void environment_holds_what_was_made_there_since(void **state)
{
    action_covers("SORT", PACK_MS - HOURS(2) + 1); /* SORTED-1 was through by then */
    world_judge(&w);
    assert_int_equal(w.list.unmet, 2);
    for (size_t i = 0; i < w.list.line_count; i++) {
        const struct clause_line *line = &w.list.lines[i];
        bool held =
            strcmp(line->clause, "environment") == 0 &&
            (strcmp(line->lot_code, "SORTED-2") == 0 || strcmp(line->lot_code, "SORTED-3") == 0);
        assert_int_equal(line->state, held ? CLAUSE_UNMET : CLAUSE_MET);
    }
}

static void environment_of_a_room_covers_what_stands_in_it(void **state)
{
    action_covers("HALL", PACK_MS + MINUTES(10));
    world_only_unmet(&w, "environment", "P-1", NULL, CODE_CLAUSE_ENVIRONMENT_HOLD);
}

static void environment_elsewhere_or_earlier_holds_nothing(void **state)
{
    action_covers("WATER", BEGIN_MS);
    action_covers("SORT", PACK_MS + HOURS(1));
    world_all_met(&w);
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

static void what_the_profile_takes_out_is_not_applicable(void **state)
{
    static const struct source seen = {.title = "a page", .word = WORD_SEEN},
                               memory = {.title = "a thought", .word = WORD_MEMORY};
    struct clause *label = NULL;
    for (size_t i = 0; i < w.profile->clause_count; i++) {
        if (strcmp(w.profile->clauses[i].name, "label") == 0) {
            label = &w.profile->clauses[i];
        }
    }
    assert_non_null(label);
    w.e.checks[w.e.check_count - 1].ok = false;
    label->na_items = "MUNG250";
    world_only_unmet(&w, "label", "P-1", NULL, CODE_CLAUSE_LABEL_FAILED);
    label->na_source = &memory;
    world_only_unmet(&w, "label", "P-1", NULL, CODE_CLAUSE_LABEL_FAILED);
    label->na_source = &seen;
    world_judge(&w);
    assert_int_equal(w.list.unmet, 0);
    size_t taken_out = 0;
    for (size_t i = 0; i < w.list.line_count; i++) {
        if (w.list.lines[i].state == CLAUSE_NOT_APPLICABLE) {
            taken_out++;
            assert_string_equal(w.list.lines[i].clause, "label");
            assert_string_equal(w.list.lines[i].reason.value[2], "a page");
        }
    }
    assert_int_equal(taken_out, 1);
}

static void a_lot_from_nowhere_shows_nothing(void **state)
{
    size_t harvested = world_lot(&w, "HARVESTED-2");
    w.e.lots[harvested].made_from = false;
    for (size_t i = 0; i < w.e.edge_count; i++) {
        if (w.e.edges[i].child == harvested) {
            w.e.edges[i].child = w.e.edges[i].parent; /* cut */
        }
    }
    world_judge(&w);
    static const char *const names[] = {"seed-approved", "seed-treated", "sampled", "negative"};
    for (size_t i = 0; i < 4; i++) {
        assert_false(clause_holds(&w.list, names[i]));
    }
    for (size_t i = 0; i < w.list.line_count; i++) {
        const struct clause_line *line = &w.list.lines[i];
        if (line->state == CLAUSE_UNMET && strcmp(line->lot_code, "HARVESTED-2") == 0 &&
            strcmp(line->clause, "clean") != 0) {
            assert_int_equal(line->reason.code, CODE_CLAUSE_ORIGIN);
        }
    }
}

static void seed_grown_without_a_load_is_untreated(void **state)
{
    size_t load = world_lot(&w, "LOAD-1"), seed = world_lot(&w, "SEED-1");
    for (size_t i = 0; i < w.e.edge_count; i++) {
        if (w.e.edges[i].parent == load) {
            w.e.edges[i].parent = seed;
        }
    }
    world_only_unmet(&w, "seed-treated", "G-1", NULL, CODE_CLAUSE_JUMPED);
}

static void a_split_lot_goes_by_what_it_was_split_from(void **state)
{
    size_t part = w.e.lot_count;
    struct evidence_lot *lot = EVIDENCE_ADD(&w.arena, &w.e, lot);
    *lot = w.e.lots[0];
    lot->code = "P-2";
    lot->id = 999;
    lot->via = 0;
    struct evidence_edge *edge = EVIDENCE_ADD(&w.arena, &w.e, edge);
    *edge = (struct evidence_edge){.parent = 0, .child = part};
    struct evidence_contact *k = EVIDENCE_ADD(&w.arena, &w.e, contact);
    *k = (struct evidence_contact){.lot = part,
                                   .act = "split",
                                   .made = true,
                                   .family = "mung",
                                   .allergens = "",
                                   .from_ms = PACK_MS,
                                   .to_ms = PACK_MS,
                                   .start_ms = PACK_MS,
                                   .entry = world_entry(&w, "split")};
    world_all_met(&w);
    w.e.checks[w.e.check_count - 1].ok = false;
    world_only_unmet(&w, "label", "P-1", NULL, CODE_CLAUSE_LABEL_FAILED);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(all_is_met),
        T(a_line_names_the_way_and_its_entries),
        T(the_list_is_plain_json),
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
        T(environment_holds_what_was_made_there_since),
        T(environment_of_a_room_covers_what_stands_in_it),
        T(environment_elsewhere_or_earlier_holds_nothing),
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
        T(a_clean_not_reviewed),
        T(a_result_not_reviewed),
        T(what_the_profile_takes_out_is_not_applicable),
        T(a_lot_from_nowhere_shows_nothing),
        T(seed_grown_without_a_load_is_untreated),
        T(a_split_lot_goes_by_what_it_was_split_from),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* All ten clauses of a packed lot of three batches and two markets, and whose lines stand in its
 * list. */
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

/* The lot asked about becomes P-2, made by the act from what was P-1 until now. */
static void make_from_pack(const char *act)
{
    size_t pack = w.e.lot_count;
    struct evidence_lot *lot = EVIDENCE_ADD(&w.arena, &w.e, lot);
    *lot = w.e.lots[0];
    lot->id = 999;
    lot->via = 0;
    w.e.lots[0].code = "P-2";
    for (size_t i = 0; i < w.e.lot_count; i++) {
        w.e.lots[i].via = w.e.lots[i].via == 0 && i != 0 && i != pack ? pack : w.e.lots[i].via;
    }
    for (size_t i = 0; i < w.e.edge_count; i++) {
        w.e.edges[i].child = w.e.edges[i].child == 0 ? pack : w.e.edges[i].child;
    }
    for (size_t i = 0; i < w.e.contact_count; i++) {
        w.e.contacts[i].lot = w.e.contacts[i].lot == 0 ? pack : w.e.contacts[i].lot;
    }
    for (size_t i = 0; i < w.e.check_count; i++) {
        w.e.checks[i].lot = w.e.checks[i].lot == 0 ? pack : w.e.checks[i].lot;
    }
    struct evidence_edge *edge = EVIDENCE_ADD(&w.arena, &w.e, edge);
    *edge = (struct evidence_edge){.parent = pack, .child = 0};
    struct evidence_contact *k = EVIDENCE_ADD(&w.arena, &w.e, contact);
    *k = (struct evidence_contact){.lot = 0,
                                   .act = act,
                                   .made = true,
                                   .family = "mung",
                                   .allergens = "",
                                   .from_ms = PACK_MS + HOURS(2),
                                   .to_ms = PACK_MS + HOURS(2),
                                   .start_ms = PACK_MS + HOURS(2),
                                   .entry = world_entry(&w, act)};
}

static void a_split_lot_goes_by_what_it_was_split_from(void **state)
{
    make_from_pack("split");
    world_all_met(&w);
    w.e.checks[w.e.check_count - 1].ok = false; /* the label of P-1, which P-2 still bears */
    world_only_unmet(&w, "label", "P-1", NULL, CODE_CLAUSE_LABEL_FAILED);
}

static void what_is_reworked_is_asked_anew(void **state)
{
    make_from_pack("rework");
    w.e.lots[0].kind = "reworked";
    w.e.checks[1].ok = false;                   /* the metal check of P-1: it is opened again, */
    w.e.checks[w.e.check_count - 1].ok = false; /* and so is its label */
    world_all_met(&w);
    world_first_finding(&w, 0, "Salmonella spp.")->state = "pending"; /* its batches stay */
    world_judge(&w);
    assert_false(clause_holds(&w.list, "negative"));
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(all_is_met),
        T(a_line_names_the_way_and_its_entries),
        T(what_the_profile_takes_out_is_not_applicable),
        T(a_lot_from_nowhere_shows_nothing),
        T(seed_grown_without_a_load_is_untreated),
        T(a_split_lot_goes_by_what_it_was_split_from),
        T(what_is_reworked_is_asked_anew),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

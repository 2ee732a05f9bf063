#include "paper/dossier.h"

#include "../support.h"
#include "programs.h"

enum { LEAVES = 812, LEAF = 700, EVENTS = 120 };

static struct arena arena;

static int enter(void **state)
{
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return folder_enter(state);
}

static int leave(void **state)
{
    arena_release(&arena);
    return folder_leave(state);
}

/* A lot with a little of everything, and a proof from a tree made here. */
struct lot {
    struct dossier_fact facts[2];
    const char *cautions[1];
    struct dossier_clause clauses[3];
    struct dossier_event events[EVENTS];
    struct dossier_balance balance[2];
    struct dossier_signature signatures[1];
    struct hash path[64];
    struct dossier_proof proof;
    struct dossier dossier;
};

static void put_proof(struct lot *l)
{
    struct hash leaves[LEAVES];
    for (int i = 0; i < LEAVES; i++) {
        leaves[i] = merkle_leaf(&i, sizeof i);
    }
    size_t path_count = merkle_inclusion(leaves, LEAVES, LEAF, l->path);
    l->proof = (struct dossier_proof){LEAF + 1, LEAF, leaves[LEAF], l->path, path_count};
    l->dossier.tree_size = LEAVES;
    l->dossier.root = merkle_root(leaves, LEAVES);
    l->dossier.proofs = &l->proof;
    l->dossier.proof_count = 1;
}

static struct lot *good_lot(void)
{
    struct lot *l = ARENA_NEW(&arena, struct lot);
    *l = (struct lot){
        .facts = {{"Item", "Soybean sprouts"}, {"State", "held"}},
        .cautions = {"Results assist; they replace no laboratory."},
        .clauses = {{"Heat treatment", DOSSIER_MET, "Each probe held 85 °C for 40 s.", "entry 412"},
                    {"Spent water", DOSSIER_UNMET, "Sample W-118 is pending.", "entry 655"},
                    {"Allergen label", DOSSIER_NOT_APPLICABLE, "No allergen declared.", NULL}},
        .balance = {{"Seed in", "118 kg", "106.2 kg", "weighed", false},
                    {"Unexplained", "0.4 kg", NULL, NULL, true}},
        .signatures = {{"Radicle 7", 1772600000000, 60, "released for the EU", 790}},
    };
    for (int i = 0; i < EVENTS; i++) {
        l->events[i] = (struct dossier_event){1772000000000 + i * INT64_C(3600000), 60, 400 + i,
                                              arena_printf(&arena, "Reading number %d.", i + 1)};
    }
    l->dossier = (struct dossier){
        .title = "Lot P26066-1",
        .subtitle = "Soybean sprouts, washed",
        .facts = l->facts,
        .fact_count = 2,
        .cautions = l->cautions,
        .caution_count = 1,
        .clauses = l->clauses,
        .clause_count = 3,
        .events = l->events,
        .event_count = EVENTS,
        .balance = l->balance,
        .balance_count = 2,
        .signatures = l->signatures,
        .signature_count = 1,
        .created_ms = 1772700000000,
        .created_offset_min = 60,
    };
    put_proof(l);
    return l;
}

static char *text_of(const struct dossier *d, int *out_pages)
{
    enum { ROOM = 1 << 20 };
    char *text = arena_alloc(&arena, ROOM);
    const uint8_t *pdf;
    size_t len;
    assert_ok(dossier_pdf(&arena, d, &pdf, &len));
    pdf_text(pdf, len, text, ROOM);
    *out_pages = pdf_page_count(pdf, len);
    return text;
}

static size_t occurrences(const char *text, const char *piece)
{
    size_t count = 0;
    for (const char *at = strstr(text, piece); at != NULL; at = strstr(at + 1, piece)) {
        count++;
    }
    return count;
}

static void all_of_it_is_on_paper(void **state)
{
    struct lot *l = good_lot();
    int pages;
    const char *text = text_of(&l->dossier, &pages);
    assert_has(text, "Lot P26066-1");
    assert_has(text, "! Results assist; they replace no laboratory.");
    assert_has(text, "✓ met Heat treatment Each probe held 85 °C for 40 s. entry 412");
    assert_has(text, "✗ NOT MET Spent water");
    assert_has(text, "– not applicable Allergen label");
    assert_has(text, "Seed in 118 kg 106.2 kg weighed");
    assert_has(text, "Radicle 7 4 March 2026 05:53 +01:00 released for the EU 790");
    assert_has(text, hex_text(&arena, l->dossier.root.b, 32));
    assert_has(text, "Entry 701, leaf 700");
    for (size_t i = 0; i < l->proof.path_count; i++) {
        assert_has(text, hex_text(&arena, l->path[i].b, 32));
    }
    for (int i = 0; i < EVENTS; i++) {
        assert_has(text, arena_printf(&arena, "%d Reading number %d.", 400 + i, i + 1));
    }
}

/* Tables go on over the page's end under their titles; every page says which of how many it is. */
static void pages_are_counted(void **state)
{
    struct lot *l = good_lot();
    int pages;
    const char *text = text_of(&l->dossier, &pages);
    assert_in_range(pages, 3, 8);
    for (int i = 1; i <= pages; i++) {
        assert_has(text, arena_printf(&arena, "page %d of %d", i, pages));
    }
    assert_true(occurrences(text, "When Entry What happened") >= 3);
    assert_int_equal(occurrences(text, "printed 5 March 2026 09:40 +01:00, tree size 812"),
                     (size_t)pages);
}

/* A note longer than a page is cut at the page's end, and none of it is lost. */
static void a_row_taller_than_a_page_goes_on(void **state)
{
    struct lot *l = good_lot();
    char *note = arena_alloc(&arena, 40000);
    size_t n = 0;
    for (int i = 0; i < 1500; i++) {
        n += (size_t)snprintf(note + n, 40000 - n, "word%04d ", i);
    }
    l->events[0].text = note;
    l->dossier.event_count = 1;
    int pages;
    const char *text = text_of(&l->dossier, &pages);
    assert_true(pages >= 3);
    for (int i = 0; i < 1500; i++) {
        assert_int_equal(occurrences(text, arena_printf(&arena, "word%04d", i)), 1);
    }
}

static void an_empty_dossier_says_so(void **state)
{
    struct dossier d = {.title = "Lot P26066-2"};
    int pages;
    const char *text = text_of(&d, &pages);
    assert_int_equal(pages, 1);
    assert_has(text, "No clause applies to this lot.");
    assert_has(text, "Nothing is recorded.");
    assert_has(text, "Nobody has signed for this lot.");
    assert_has(text, "Signed not yet");
}

static void a_proof_that_does_not_hold_is_not_printed(void **state)
{
    struct lot *l = good_lot();
    const uint8_t *pdf = NULL;
    size_t len;
    l->path[3].b[31] ^= 1;
    struct result r = dossier_pdf(&arena, &l->dossier, &pdf, &len);
    assert_code(r, DOSSIER_PROOF);
    assert_null(pdf);
    l->path[3].b[31] ^= 1;
    l->proof.leaf_index = LEAF + 1;
    assert_code(dossier_pdf(&arena, &l->dossier, &pdf, &len), DOSSIER_PROOF);
    l->proof.leaf_index = -1;
    assert_code(dossier_pdf(&arena, &l->dossier, &pdf, &len), DOSSIER_PROOF);
    l->proof.leaf_index = LEAF;
    l->proof.path_count--;
    assert_code(dossier_pdf(&arena, &l->dossier, &pdf, &len), DOSSIER_PROOF);
}

static void bad_text_is_refused(void **state)
{
    struct lot *l = good_lot();
    const uint8_t *pdf;
    size_t len;
    l->clauses[1].reason = "\xff";
    struct result r = dossier_pdf(&arena, &l->dossier, &pdf, &len);
    assert_code(r, PAPER_TEXT);
    assert_string_equal(r.field, "clauses");
    l->dossier.title = NULL;
    assert_code(dossier_pdf(&arena, &l->dossier, &pdf, &len), FIELD_MISSING);
}

static void the_same_lot_gives_the_same_bytes(void **state)
{
    const uint8_t *one, *two;
    size_t one_len, two_len;
    assert_ok(dossier_pdf(&arena, &good_lot()->dossier, &one, &one_len));
    assert_ok(dossier_pdf(&arena, &good_lot()->dossier, &two, &two_len));
    assert_int_equal(one_len, two_len);
    assert_memory_equal(one, two, one_len);
}

static void nothing_is_endless(void **state)
{
    struct lot *l = good_lot();
    char *note = arena_alloc(&arena, 40001);
    memset(note, '\n', 40000);
    l->events[0].text = note;
    const uint8_t *pdf;
    size_t len;
    assert_code(dossier_pdf(&arena, &l->dossier, &pdf, &len), PAPER_LONG);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(all_of_it_is_on_paper, enter, leave),
        cmocka_unit_test_setup_teardown(pages_are_counted, enter, leave),
        cmocka_unit_test_setup_teardown(a_row_taller_than_a_page_goes_on, enter, leave),
        cmocka_unit_test_setup_teardown(an_empty_dossier_says_so, enter, leave),
        cmocka_unit_test_setup_teardown(a_proof_that_does_not_hold_is_not_printed, enter, leave),
        cmocka_unit_test_setup_teardown(bad_text_is_refused, enter, leave),
        cmocka_unit_test_setup_teardown(the_same_lot_gives_the_same_bytes, enter, leave),
        cmocka_unit_test_setup_teardown(nothing_is_endless, enter, leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

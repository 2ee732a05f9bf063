/* A lot as its page shows it: clauses, story, balance, and how it stood before. */
#include "view_support.h"

#include "service/sentences.h"
#include "service/view_lots.h"

static json_t *lot_of(struct house *h, const char *code, const char *markets, const char *lang)
{
    struct view v = view_as(h, 2, "quality");
    json_t *out;
    v.lang = lang;
    assert_ok(view_lot(&v, code, markets, &out));
    return out;
}

/* The only clause line in a state; the test is over when there are none or several. */
static const json_t *only_in_state(const json_t *lot, const char *wanted)
{
    const json_t *found = NULL;
    size_t i;
    json_t *line;
    json_array_foreach(at_key(lot, "clauses"), i, line)
    {
        if (strcmp(text_at(line, "state"), wanted) == 0) {
            if (found != NULL) fail_msg("also %s", text_at(line, "sentence"));
            found = line;
        }
    }
    assert_non_null(found);
    return found;
}

/* One of two organisms has no result: exactly that is said, in the reader's language. */
static void a_missing_result_is_the_clause_that_is_shown(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_test_water(&h);
    house_clean(&h, "TREAT", 0);
    house_clean(&h, "SOAK", 0);
    house_clean(&h, "C1", 0);
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'water','lot':'%s','source':'WATER','litres':'1200 L'}", growing);
    house_wait(&h, "49 h");
    const char *sample = house_sample(&h, growing);
    house_wait(&h, "54 h");
    house_result(&h, sample, "Salmonella spp.", "negative");
    house_review_all(&h);
    json_t *lot = lot_of(&h, growing, "US", "en");
    assert_int_equal(number_at(lot, "unmet"), 1);
    const json_t *line = only_in_state(lot, "unmet");
    assert_string_equal(text_at(line, "clause"), "negative");
    assert_string_equal(text_at(line, "title"), "Results negative");
    assert_string_equal(text_at(line, "lot"), growing);
    assert_string_equal(text_at(line, "market"), "US");
    assert_string_equal(
        text_at(line, "sentence"),
        arena_printf(&h.arena, "Sample %s has no result for E. coli O157:H7 yet.", sample));
    json_decref(lot);
    lot = lot_of(&h, growing, "US", "es");
    line = only_in_state(lot, "unmet");
    assert_string_equal(text_at(line, "title"), "Resultados negativos");
    assert_string_equal(text_at(line, "sentence"),
                        arena_printf(&h.arena,
                                     "La muestra %s todavía no tiene resultado de E. coli O157:H7.",
                                     sample));
    json_decref(lot);
    house_close(&h);
}

static void a_whole_lot_may_be_released_by_quality_alone(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    json_t *lot = lot_of(&h, b.packed, "", "en");
    assert_int_equal(number_at(lot, "unmet"), 0);
    assert_true(json_is_true(at_key(lot, "may_release")));
    assert_string_equal(json_string_value(json_array_get(at_key(lot, "markets"), 0)), "US");
    json_decref(lot);
    struct view v = view_as(&h, 4, "grower");
    assert_ok(view_lot(&v, b.packed, "", &lot));
    assert_false(json_is_true(at_key(lot, "may_release")));
    json_decref(lot);
    lot = lot_of(&h, b.packed, "EU", "en"); /* asks for more samples */
    assert_true(number_at(lot, "unmet") > 0);
    assert_false(json_is_true(at_key(lot, "may_release")));
    json_decref(lot);
    int64_t entry =
        house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    lot = lot_of(&h, b.packed, "", "en");
    assert_false(json_is_true(at_key(lot, "may_release")));
    assert_string_equal(text_at(lot, "state"), "released");
    const json_t *release = json_array_get(at_key(lot, "releases"), 0);
    assert_int_equal(number_at(release, "entry"), entry);
    assert_int_equal(number_at(release, "by"), 2);
    assert_int_equal(number_at(release, "size"), entry - 1);
    assert_true(json_is_null(at_key(release, "revoked")));
    assert_int_equal(number_at(at_key(lot, "units"), "cases"), 20);
    assert_int_equal(number_at(at_key(lot, "units"), "here"), 20);
    json_decref(lot);
    house_close(&h);
}

static void the_story_runs_from_seed_to_what_left(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    json_t *lot = lot_of(&h, b.growing, "", "en");
    const json_t *story = at_key(lot, "story"), *grow = with_text(story, "kind", "grow"),
                 *harvest = with_text(story, "kind", "harvest"),
                 *receive = with_text(story, "kind", "receive");
    assert_non_null(grow);
    assert_non_null(receive);
    assert_non_null(harvest);
    assert_string_equal(text_at(receive, "side"), "into");
    assert_string_equal(text_at(grow, "side"), "own");
    assert_string_equal(text_at(harvest, "side"), "from");
    assert_int_equal(number_at(grow, "mg"), 100000000);
    assert_string_equal(text_at(grow, "title"), "Start a chamber");
    /* its load is the third lot of that seed on that day */
    assert_string_equal(
        text_at(grow, "sentence"),
        arena_printf(&h.arena, "Start chamber C1 with MUNGSEED26061-03: MUNG, lot %s", b.growing));
    for (size_t i = 1; i < json_array_size(story); i++) { /* as it happened */
        assert_true(number_at(json_array_get(story, i - 1), "at_ms") <=
                    number_at(json_array_get(story, i), "at_ms"));
    }
    int64_t sum = 0;
    size_t i;
    json_t *leg;
    json_array_foreach(at_key(lot, "balance"), i, leg)
    {
        sum += strcmp(text_at(leg, "unit"), "mg") == 0 ? number_at(leg, "amount") : 0;
    }
    assert_int_equal(sum, number_at(lot, "mg"));
    assert_int_equal(number_at(at_key(lot, "dry"), "in_mg"), 90000000); /* seed of ten per cent */
    assert_true(json_is_null(at_key(at_key(lot, "dry"), "out_mg")));
    json_decref(lot);
    house_close(&h);
}

static void a_lot_is_shown_as_it_was_known(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    int64_t before = h.lg->next_seq - 1;
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    struct view v = view_as(&h, 2, "quality");
    json_t *lot;
    assert_ok(view_lot_known(&v, b.packed, "", before, &lot));
    assert_int_equal(json_array_size(at_key(lot, "releases")), 0);
    assert_string_equal(text_at(lot, "state"), "held");
    json_decref(lot);
    assert_ok(view_lot_known(&v, b.packed, "", before + 1, &lot));
    assert_int_equal(json_array_size(at_key(lot, "releases")), 1);
    json_decref(lot);
    assert_code(view_lot_known(&v, b.packed, "", 60, &lot), LOT_UNKNOWN);
    assert_code(view_lot_known(&v, b.packed, "", before + 2, &lot), TREE_SIZE);
    house_close(&h);
}

static void what_is_not_there_is_refused(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 2, "quality");
    json_t *lot;
    const char *seed = house_deliver(&h, "SL-1");
    assert_code(view_lot(&v, "NONE-1", "", &lot), LOT_UNKNOWN);
    assert_code(view_lot(&v, seed, "US,MOON", &lot), MARKET_UNKNOWN);
    house_close(&h);
}

static void assert_same_with(struct house *h, struct sentences *kept, const char *lot,
                             const char *lang)
{
    struct view v = view_as(h, 2, "quality");
    json_t *plain, *fast;
    v.lang = lang;
    assert_ok(view_lot(&v, lot, "", &plain));
    v.sentences = kept;
    assert_ok(view_lot(&v, lot, "", &fast));
    assert_string_equal(json_canonical(&h->arena, fast), json_canonical(&h->arena, plain));
    json_decref(plain);
    json_decref(fast);
}

/* After every entry, in both languages, of every lot of the batch: what is kept of the entries
 * before says the same as what is made anew. */
static void kept_sentences_change_nothing(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct sentences *kept = sentences_new();
    struct house_batch b = house_batch(&h, "C1", true);
    const char *lots[] = {b.seed, b.growing, b.packed};
    for (int step = 0; step < 5; step++) {
        switch (step) {
        case 1:
            house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
            break;
        case 2:
            house_take(&h, "{'kind':'ship','person':8,'customer':'COTYLEDON','units':['%s-0001']}",
                       b.packed);
            break;
        case 3:
            house_take(
                &h,
                "{'kind':'strike','person':2,'second':1,'entry':%lld,'reason':'wrong customer'}",
                (long long)(h.lg->next_seq - 1));
            break;
        case 4:
            house_result(&h, b.sample, "Salmonella spp.", "confirmed-positive");
            break;
        }
        for (size_t i = 0; i < 3; i++) {
            assert_same_with(&h, kept, lots[i], "en");
            assert_same_with(&h, kept, lots[i], "es");
        }
    }
    sentences_free(kept);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_missing_result_is_the_clause_that_is_shown),
        cmocka_unit_test(a_whole_lot_may_be_released_by_quality_alone),
        cmocka_unit_test(the_story_runs_from_seed_to_what_left),
        cmocka_unit_test(a_lot_is_shown_as_it_was_known),
        cmocka_unit_test(kept_sentences_change_nothing),
        cmocka_unit_test(what_is_not_there_is_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

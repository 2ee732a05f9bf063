#include "profile_file.h"

#include "base/json.h"
#include "ledger/profile.h"

/* The profile with the first occurrence of a text replaced; *out_line: where it stood. */
static const char *changed(struct house_profile *h, const char *from, const char *to, int *out_line)
{
    const char *at = strstr(h->text, from);
    assert_non_null(at);
    *out_line = 1;
    for (const char *p = h->text; p < at; p++) {
        *out_line += *p == '\n' ? 1 : 0;
    }
    return arena_printf(&h->arena, "%.*s%s%s", (int)(at - h->text), h->text, to, at + strlen(from));
}

/* Refused with this code, on the line of the change (or near_lines after its beginning), with field
 * in its path. */
static void refused(struct house_profile *h, const char *from, const char *to, enum code wanted,
                    const char *field)
{
    int line;
    struct profile *p = NULL;
    const char *text = changed(h, from, to, &line);
    struct result r = profile_read(text, strlen(text), &p);
    assert_int_equal(r.code, wanted);
    assert_null(p);
    assert_non_null(strstr(r.field, field));
    assert_true(r.line >= line - 12 &&
                r.line <= line + 12); /* an object begins a few lines before */
}

static void the_house_profile_is_read(void **state)
{
    struct house_profile *h = *state;
    struct profile *p;
    assert_ok(profile_read(h->text, h->len, &p));
    assert_string_equal(p->name, "sprout-house");
    assert_int_equal(p->clause_count, 10);
    assert_int_equal(p->shift_count, 3);
    assert_string_equal(p->shifts[2].name, "night");
    assert_int_equal(p->shifts[2].start_min, 20 * 60);
    const struct market *eu = profile_market(p, "EU");
    assert_non_null(eu);
    assert_int_equal(eu->samples, 5);
    assert_true(eu->min_age_hard);
    assert_int_equal(eu->min_age_ms, 48 * 3600 * 1000LL);
    const struct recipe *recipe = profile_recipe(p, "hot-water-85");
    assert_non_null(recipe);
    assert_int_equal(recipe->temp_mc, 85000);
    assert_int_equal(recipe->hold_ms, 40000);
    const struct limit *l = profile_limit(p, "expansion", "SOY");
    assert_int_equal(l->high, 9000);
    assert_int_equal(profile_limit(p, "expansion", "OTHER")->high, 14000);
    assert_null(profile_limit(p, "no-such-limit", NULL));
    assert_null(profile_step(p, "no-such-step"));
    assert_int_equal(profile_surface(p, "wash-line")->scope, SCOPE_RUN);
    assert_int_equal(p->planning.horizon_days, 21);
    assert_true(p->planning.wash_mg > 0);
    assert_int_equal(p->planning.work_count, 1);
    assert_int_equal(p->planning.works[0].a_day, 96000);
    assert_int_equal(p->planning.works[0].per_t[profile_crop(p, "SOY") - p->crops], 16000);
    assert_int_equal(p->planning.late_count, 0);
    assert_int_equal(p->planning.swap_count, 0);
    assert_int_equal(p->planning.part_count, 0);
    assert_int_equal(p->planning.recipe_count, 1);
    assert_string_equal(p->planning.recipes[0].item, "D250");
    assert_int_equal(p->planning.recipes[0].crop_mg, 220000);
    assert_int_equal(p->planning.recipes[0].take_count, 2);
    assert_string_equal(p->planning.recipes[0].takes[0].item, "DRESSING");
    assert_int_equal(p->planning.recipes[0].takes[0].mg, 30000);
    assert_int_equal(p->planning.ingredient_order_count, 2);
    assert_int_equal(p->planning.ingredient_orders[1].step_mg, 20000000);
    profile_free(p);
}

static void a_dish_may_hold_several_crops(void **state)
{
    struct house_profile *h = *state;
    struct profile *p;
    int line;
    const char *text = changed(h, "\"crop\": \"220 g\"",
                               "\"crop\": [{\"item\": \"SOY\", \"mass\": \"120 g\"}, "
                               "{\"item\": \"MUNG\", \"mass\": \"100 g\"}]",
                               &line);
    assert_ok(profile_read(text, strlen(text), &p));
    const struct pack_recipe *r = &p->planning.recipes[0];
    assert_string_equal(r->crop, "SOY");
    assert_int_equal(r->crop_mg, 120000);
    assert_int_equal(r->with_count, 1);
    assert_string_equal(r->with[0].item, "MUNG");
    assert_int_equal(r->with[0].mg, 100000);
    profile_free(p);
    const char *grams = "\"crop\": \"220 g\"";
    refused(h, grams, "\"crop\": []", CODE_PROFILE_BAD, "recipes[0].crop");
    refused(h, grams, "\"crop\": [{\"item\": \"MUNG\", \"mass\": \"0 g\"}]", CODE_PROFILE_BAD,
            "recipes[0].crop[0].mass");
    refused(h, grams, "\"crop\": [{\"item\": \"NO-CROP\", \"mass\": \"1 g\"}]", CODE_PROFILE_BAD,
            "recipes[0].crop");
    refused(h, grams,
            "\"crop\": [{\"item\": \"MUNG\", \"mass\": \"1 g\"}, "
            "{\"item\": \"MUNG\", \"mass\": \"1 g\"}]",
            CODE_PROFILE_BAD, "recipes[0].crop");
}

static void the_house_asks_for_training_and_swabs(void **state)
{
    struct house_profile *h = *state;
    struct profile *p;
    assert_ok(profile_read(h->text, h->len, &p));
    const struct training *t = profile_training(p, "cleaning");
    assert_non_null(t);
    assert_true(list_has(t->steps, "clean"));
    assert_int_equal(t->valid_ms, INT64_C(365) * 86400000);
    assert_null(profile_training(p, "no-such-training"));
    assert_int_equal(profile_swab_zone(p, 1)->every_ms, INT64_C(7) * 86400000);
    assert_true(profile_swab_zone(p, 1)->holds);
    assert_null(profile_swab_zone(p, 0));
    assert_true(p->suppliers_approved);
    profile_free(p);
    /* less often than monthly is not a plan: 21 CFR 112.145(b), published (seen) */
    refused(h, "\"zone\": 4, \"every\": \"30 d\"", "\"zone\": 4, \"every\": \"32 d\"",
            CODE_PROFILE_BAD, "swab_zones");
    refused(h, "\"training\": \"cleaning\"", "\"training\": \"sampling\"", CODE_PROFILE_BAD,
            "training");
}

static void packed_lots_may_be_inspected_by_sample(void **state)
{
    struct house_profile *h = *state;
    struct profile *p;
    int line;
    assert_ok(profile_read(h->text, h->len, &p));
    assert_string_equal(profile_acceptance(p, "seal-check", "M250")->level, "S-4");
    assert_null(profile_acceptance(p, "label-check", "M250"));
    assert_null(profile_acceptance(p, "", "M250")); /* no delivery */
    profile_free(p);
    /* a row that names the item goes before the one for all */
    static const char first[] = "{\"check\": \"seal-check\", \"level\"";
    const char *text = changed(h, first,
                               "{\"check\": \"seal-check\", \"items\": [\"M250\"], \"level\": "
                               "\"II\", \"aql\": \"0.65\", \"source\": \"iso-2859\"},"
                               "{\"check\": \"seal-check\", \"level\"",
                               &line);
    assert_ok(profile_read(text, strlen(text), &p));
    assert_string_equal(profile_acceptance(p, "seal-check", "M250")->level, "II");
    assert_string_equal(profile_acceptance(p, "seal-check", "M500")->level, "S-4");
    profile_free(p);
    refused(h, first, "{\"check\": \"cold-check\", \"level\"", CODE_FIELD_CHOICE,
            "acceptance[1].check");
    refused(h, first, "{\"level\"", CODE_FIELD_MISSING, "acceptance[1].items");
    refused(h, first,
            "{\"check\": \"seal-check\", \"level\": \"I\", \"aql\": \"1.0\", \"source\": "
            "\"iso-2859\"}, {\"check\": \"seal-check\", \"level\"",
            CODE_PROFILE_BAD, "acceptance[2].items");
    text = changed(h, "\"check\": \"seal-check\",\n", "\"check\": \"inspect\",\n", &line);
    struct result r = profile_read(text, strlen(text), &p); /* nobody makes it any more */
    assert_int_equal(r.code, CODE_PROFILE_BAD);
    assert_string_equal(r.field, "acceptance[1].check");
    assert_true(r.line > line);
}

static void a_second_test_takes_as_long_as_some_market_says(void **state)
{
    struct house_profile *h = *state;
    refused(h, "\"holidays\": [],", "\"holidays\": [], \"retest_planned\": true,", CODE_PROFILE_BAD,
            "planning.retest_planned");
    refused(h, "\"age_waiver_roles\": [\"quality\", \"manager\"],",
            "\"age_waiver_roles\": [\"quality\", \"manager\"], \"retest\": \"0 h\",",
            CODE_PROFILE_BAD, "retest");
    refused(h, "\"age_waiver_roles\": [\"quality\", \"manager\"],",
            "\"age_waiver_roles\": [\"quality\", \"manager\"], \"retest\": \"15 d\",",
            CODE_PROFILE_BAD, "retest");
    refused(h, "\"age_waiver_roles\": [\"quality\", \"manager\"],",
            "\"age_waiver_roles\": [\"quality\", \"manager\"], \"retest_source\": \"us-112-144\",",
            CODE_PROFILE_BAD, "retest");
    int line;
    struct profile *p = NULL;
    const char *text = changed(h, "\"age_waiver_roles\": [\"quality\", \"manager\"],",
                               "\"age_waiver_roles\": [\"quality\"], \"retest\": \"30 h\",", &line);
    assert_ok(profile_read(text, strlen(text), &p));
    assert_int_equal(profile_market(p, "US")->retest_ms, 30 * 3600000);
    assert_int_equal(profile_market(p, "EU")->retest_ms, 0);
    assert_false(p->planning.retest_planned);
    profile_free(p);
}

static void what_is_wrong_is_named_with_its_line(void **state)
{
    struct house_profile *h = *state;
    refused(h, "\"act\": \"harvest\"", "\"act\": \"levitate\"", CODE_PROFILE_BAD, "act");
    refused(h, "\"mode\": \"ask\"", "\"mode\": \"beg\"", CODE_FIELD_CHOICE, "mode");
    refused(h, "\"yield_low\": \"80 %\"", "\"yield_low\": \"180 %\"", CODE_PROFILE_BAD,
            "yield_low");
    refused(h, "\"hold\": \"40 s\"", "\"hold\": \"0 s\"", CODE_PROFILE_BAD, "hold");
    refused(h, "\"temp\": \"85 C\"", "\"temp\": \"hot\"", CODE_DECIMAL_BAD, "temp");
    refused(h, "\"scope\": \"batch\"", "\"scope\": \"week\"", CODE_FIELD_CHOICE, "scope");
    refused(h, "{\"MUNG\": \"14\",", "{\"BEANS\": \"14\",", CODE_PROFILE_BAD, "per_t");
    refused(h, "{\"MUNG\": \"14\",", "{\"MUNG\": \"-14\",", CODE_PROFILE_BAD, "per_t");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"late\": [{\"group\": \"shops\", \"days\": 15, "
            "\"cost_per_kg_day\": \"1\"}],",
            CODE_FIELD_RANGE, "days");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"swaps\": [{\"item\": \"MUNG250\", \"given\": \"MUNG250\", "
            "\"cost_per_kg\": \"1\"}],",
            CODE_PROFILE_BAD, "given");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"swaps\": [{\"item\": \"MUNG250\", \"given\": \"MUNG500\", "
            "\"cost_per_kg\": \"-1\"}],",
            CODE_PROFILE_BAD, "cost_per_kg");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"parts\": [{\"item\": \"MUNG\", \"after_days\": 0, "
            "\"share\": \"60 %\"}, {\"item\": \"MUNG\", \"after_days\": 1, \"share\": \"30 %\"}],",
            CODE_PROFILE_BAD, "planning.parts");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"parts\": [{\"item\": \"MUNG\", \"after_days\": 1, "
            "\"share\": \"100 %\"}],",
            CODE_PROFILE_BAD, "planning.parts");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"parts\": [{\"item\": \"BEANS\", \"after_days\": 0, "
            "\"share\": \"100 %\"}],",
            CODE_PROFILE_BAD, "item");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"early_late\": [{\"item\": \"MUNG\", \"days\": 0, "
            "\"yield\": \"0.9\"}],",
            CODE_PROFILE_BAD, "days");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"early_late\": [{\"item\": \"MUNG\", \"days\": -1, "
            "\"yield\": \"0.9\"}, {\"item\": \"MUNG\", \"days\": -1, \"yield\": \"0.8\"}],",
            CODE_PROFILE_BAD, "planning.early_late");
    refused(h, "\"holidays\": [],",
            "\"holidays\": [], \"parts\": [{\"item\": \"MUNG\", \"after_days\": 0, "
            "\"share\": \"100 %\"}], \"early_late\": [{\"item\": \"MUNG\", \"days\": 1, "
            "\"yield\": \"1.1\"}],",
            CODE_PROFILE_BAD, "planning.early_late");
    refused(h, "\"per_piece\": \"30 g\"", "\"per_piece\": \"0 g\"", CODE_PROFILE_BAD,
            "recipes[0].takes[0].per_piece");
    refused(h, "\"item\": \"TRAY\", \"per_piece\"", "\"item\": \"DRESSING\", \"per_piece\"",
            CODE_PROFILE_BAD, "recipes[0].takes");
    refused(h, "\"recipes\": [\n      {", "\"recipes\": [{\"item\": \"D250\", \"takes\": []},{",
            CODE_PROFILE_BAD, "recipes[1].item");
    refused(h, "\"horizon_days\": 21", "\"horizon_days\": 3", CODE_FIELD_RANGE, "horizon_days");
    refused(h, "\"heat_base\": \"10 C\"", "\"heat_base\": \"40 C\"", CODE_PROFILE_BAD, "heat_base");
    refused(h, "\"clause\": \"water\"", "\"clause\": \"weather\"", CODE_PROFILE_BAD, "clause");
    refused(h, "\"start\": \"4 h\"", "\"start\": \"5 h\"", CODE_PROFILE_BAD, "shifts[0].start");
    refused(h, "\"start\": \"20 h\"", "\"start\": \"11 h\"", CODE_PROFILE_BAD, "shifts[2].start");
    refused(h, "\"start\": \"20 h\"", "\"start\": \"25 h\"", CODE_PROFILE_BAD, "shifts[2].start");
    refused(h, "\"shift\": \"late\"", "\"shift\": \"early\"", CODE_PROFILE_BAD, "shifts[1]");
    refused(h, "\"shift\": \"late\"", "\"shift\": \"a/b\"", CODE_PROFILE_BAD, "shifts[1].shift");
}

static void no_clause_may_be_left_out_or_named_twice(void **state)
{
    struct house_profile *h = *state;
    refused(h, "\"clause\": \"water\"", "\"clause\": \"clean\"", CODE_PROFILE_BAD, "clause");
}

/* A value from memory never makes a clause not applicable. */
static void only_a_published_source_takes_a_clause_out(void **state)
{
    struct house_profile *h = *state;
    int line;
    const char *from = "{\"clause\": \"label\", \"lots\": [\"packed\"]";
    struct profile *p = NULL;
    const char *text = changed(h, from,
                               "{\"clause\": \"label\", \"not_applicable\": [\"M250\"], "
                               "\"na_source\": \"house-practice\", "
                               "\"lots\": [\"packed\"]",
                               &line);
    struct result r = profile_read(text, strlen(text), &p);
    assert_code(r, PROFILE_BAD);
    assert_non_null(strstr(r.field, "na_source"));
    text = changed(h, from,
                   "{\"clause\": \"label\", \"not_applicable\": [\"M250\"], \"na_source\": "
                   "\"us-112-143\", \"lots\": [\"packed\"]",
                   &line);
    assert_ok(profile_read(text, strlen(text), &p));
    assert_true(list_has(profile_clause(p, "label")->na_items, "M250"));
    profile_free(p);
}

/* Neither does it let a method clear a presumptive. A record that says so stays readable, and
 * nothing is cleared by it. */
static void only_a_published_source_lets_a_method_confirm(void **state)
{
    struct house_profile *h = *state;
    static const char from[] = "{\"organism\": \"Salmonella spp.\", ";
    static const char *const sources[] = {"", "\"confirms_source\": \"house-practice\", "};
    int line;
    struct profile *p = NULL;
    assert_ok(profile_propose(h->text, h->len, &p));
    for (size_t i = 0; i < p->market_count; i++) {
        for (size_t k = 0; k < p->markets[i].organism_count; k++) {
            assert_string_equal(p->markets[i].organisms[k].confirms, ""); /* by default nothing */
        }
    }
    profile_free(p);
    for (size_t i = 0; i < 2; i++) {
        const char *text = changed(
            h, from,
            arena_printf(&h->arena, "%s\"confirms\": [\"FDA-SSIW-2015\"], %s", from, sources[i]),
            &line);
        struct result r = profile_propose(text, strlen(text), &p);
        assert_code(r, PROFILE_BAD);
        assert_null(p);
        assert_int_equal(r.line, line);
        assert_string_equal(r.field, "markets[0].organisms[1].confirms");
        assert_ok(profile_read(text, strlen(text), &p));
        assert_string_equal(profile_market(p, "US")->organisms[1].confirms, "");
        profile_free(p);
    }
    const char *text = changed(h, from,
                               arena_printf(&h->arena,
                                            "%s\"confirms\": [\"FDA-SSIW-2015\"], "
                                            "\"confirms_source\": \"us-112-143\", ",
                                            from),
                               &line);
    assert_ok(profile_propose(text, strlen(text), &p));
    assert_string_equal(profile_market(p, "US")->organisms[1].confirms, "FDA-SSIW-2015");
    assert_string_equal(profile_market(p, "US")->organisms[0].confirms, "");
    profile_free(p);
}

static void lists_are_walked_word_by_word(void **state)
{
    (void)state;
    char word[16];
    const char *at = "a,bc,d";
    assert_true(list_has("a,bc,d", "bc"));
    assert_false(list_has("a,bc,d", "b"));
    assert_false(list_has("", "a"));
    assert_true(list_next(&at, word, sizeof word));
    assert_string_equal(word, "a");
    assert_true(list_next(&at, word, sizeof word) && list_next(&at, word, sizeof word));
    assert_string_equal(word, "d");
    assert_false(list_next(&at, word, sizeof word));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_house_profile_is_read, read_file, drop_file),
        cmocka_unit_test_setup_teardown(a_dish_may_hold_several_crops, read_file, drop_file),
        cmocka_unit_test_setup_teardown(the_house_asks_for_training_and_swabs, read_file,
                                        drop_file),
        cmocka_unit_test_setup_teardown(packed_lots_may_be_inspected_by_sample, read_file,
                                        drop_file),
        cmocka_unit_test_setup_teardown(a_second_test_takes_as_long_as_some_market_says, read_file,
                                        drop_file),
        cmocka_unit_test_setup_teardown(what_is_wrong_is_named_with_its_line, read_file, drop_file),
        cmocka_unit_test_setup_teardown(no_clause_may_be_left_out_or_named_twice, read_file,
                                        drop_file),
        cmocka_unit_test_setup_teardown(only_a_published_source_lets_a_method_confirm, read_file,
                                        drop_file),
        cmocka_unit_test_setup_teardown(only_a_published_source_takes_a_clause_out, read_file,
                                        drop_file),
        cmocka_unit_test(lists_are_walked_word_by_word),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* A profile's rules in words. */
#include "view_support.h"

#include "service/view_rules.h"

static const json_t *rule(const json_t *list, const char *kind, const char *name)
{
    size_t i;
    json_t *one;
    json_array_foreach((json_t *)(uintptr_t)list, i, one)
    {
        if (strcmp(text_at(one, "rule"), kind) == 0 && strcmp(text_at(one, "name"), name) == 0) {
            return one;
        }
    }
    fail_msg("no %s %s", kind, name);
    return NULL;
}

static void every_rule_stands_with_its_source(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 2, "quality");
    const struct profile *p = v.profile;
    json_t *list = rules_json(&v);
    assert_int_equal(json_array_size(list), p->surface_count + p->recipe_count + p->market_count +
                                                p->swab_zone_count + p->training_count +
                                                p->acceptance_count + p->clause_count);
    size_t i;
    json_t *one;
    json_array_foreach(list, i, one)
    {
        assert_true(strlen(text_at(one, "source")) > 0 && strlen(text_at(one, "word")) > 0);
        assert_null(strchr(text_at(one, "says"), '{'));
    }
    const json_t *r = rule(list, "recipe", "hot-water-85");
    assert_string_equal(text_at(r, "says"),
                        "85 °C for 40 s, cooling begun within 30 s, a reading every 2 s.");
    assert_string_equal(text_at(r, "word"), "published (abstract only)");
    assert_string_equal(text_at(rule(list, "surface", "pack line"), "says"),
                        "100 to 200 mg/L for 60 s or longer; good for 12 h, and for a stop of 2 h "
                        "at most.");
    assert_string_equal(text_at(rule(list, "zone", "1"), "says"),
                        "Swabbed every 7 d; a positive holds product, 3 negatives in a row close "
                        "the action.");
    assert_string_equal(text_at(rule(list, "acceptance", "MUNGSEED,URDSEED,SOYSEED"), "says"),
                        "Level I, acceptance quality limit 4 %.");
    assert_string_equal(text_at(rule(list, "acceptance", "Check seals"), "says"),
                        "Level S-4, acceptance quality limit 1 %.");
    json_decref(list);
    v.lang = "es";
    list = rules_json(&v);
    assert_string_equal(text_at(rule(list, "training", "Metal detection"), "says"), "Vale 365 d.");
    json_decref(list);
    house_close(&h);
}

/* Of no profile that is shipped; where a house says it, it is its own choice or has a source. */
static void a_second_test_stands_among_the_rules(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 2, "quality");
    struct profile with = *v.profile;
    struct market markets[2] = {with.markets[0], with.markets[1]};
    markets[0].retest_ms = (int64_t)36 * HOUR_MS;
    markets[1].retest_ms = (int64_t)72 * HOUR_MS;
    markets[1].retest_source = markets[1].source;
    with.markets = markets;
    with.market_count = 2;
    v.profile = &with;
    json_t *list = rules_json(&v);
    const json_t *first = rule(list, "retest", markets[0].name),
                 *second = rule(list, "retest", markets[1].name);
    assert_string_equal(text_at(first, "says"), "A second test of a sample adds 36 h; plans wait "
                                                "for it once a first result leaves it open.");
    assert_string_equal(text_at(first, "source"), "the house's own choice");
    assert_string_equal(text_at(first, "word"), "");
    assert_string_equal(text_at(second, "source"), markets[1].source->title);
    assert_true(strlen(text_at(second, "word")) > 0);
    json_decref(list);
    with.planning.retest_planned = true;
    v.lang = "es";
    list = rules_json(&v);
    assert_string_equal(
        text_at(rule(list, "retest", markets[1].name), "says"),
        "Un segundo análisis de una muestra añade 3 d; los planes cuentan con él para cada lote.");
    json_decref(list);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_rule_stands_with_its_source),
        cmocka_unit_test(a_second_test_stands_among_the_rules),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

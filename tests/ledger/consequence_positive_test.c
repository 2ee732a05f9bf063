/* What the record concludes from a positive: held in the same transaction, what left by customer,
 * and what has to be done. */
#include "fixture/evidence.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* Tasks of a kind in the entry of a consequence. */
static int tasks(const json_t *entry, const char *kind)
{
    struct entry e;
    bool found;
    int n = 0;
    assert_ok(entry_by_seq(h.store, &h.arena, json_integer_value(json_object_get(entry, "entry")),
                           &e, &found));
    const char *text = arena_printf(&h.arena, ",\"%s\",", kind);
    for (const char *at = e.body; (at = strstr(at, text)) != NULL; at++) {
        n++;
    }
    return n;
}

static void positive(const char *sample)
{
    house_result(&h, sample, "Salmonella spp.", "confirmed-positive");
}

static void ship(const struct house_batch *b, int from, int to)
{
    house_take(&h, "{'kind':'ship','customer':'COTYLEDON','units':['%s-%04d..%s-%04d'],'person':8}",
               b->packed, from, b->packed, to);
}

static const json_t *swab_of(const char *place)
{
    house_take(&h, "{'kind':'sample','what':'swab','place':'%s','person':7}", place);
    house_result(&h, house_answer(&h, "sample"), "Listeria spp.", "confirmed-positive");
    return house_caused(&h, "environment");
}

static void what_left_is_named_by_customer_and_the_rest_is_held(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    ship(&b, 1, 4);
    positive(b.sample);
    house_in_scope(&h, b.packed, "COTYLEDON", "batch", "recall");
    assert_int_equal(
        json_integer_value(json_object_get(house_scope_row(&h, b.packed, "COTYLEDON"), "pieces")),
        160);
    house_in_scope(&h, b.packed, "", "batch", "held");
    assert_int_equal(
        json_integer_value(json_object_get(house_scope_row(&h, b.packed, ""), "pieces")), 640);
    house_in_scope(&h, b.growing, "", "batch", "used");
    house_in_scope(&h, b.seed, "", "seed", "used");
    assert_true(house_held(&h, b.packed, "positive"));
    /* its release does not stand, its seed is blocked, and the clauses say so */
    assert_int_equal(house_count(&h, Q_SCOPE_RELEASES, house_lot(&h, b.packed), NULL), 0);
    assert_string_equal(house_unmet(&h, b.packed, "US")->clause, "seed-approved");
    assert_code(
        house_send(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed),
        RELEASE_UNMET);
}

static void what_has_to_be_done_is_a_list_of_tasks(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    positive(b.sample);
    const json_t *scope = house_caused(&h, "scope");
    assert_int_equal(tasks(scope, "report-to-supplier"), 1);
    assert_int_equal(tasks(scope, "root-cause"), 1);
    assert_int_equal(tasks(scope, "recall-decision"), 0); /* nothing left */
    /* treater, soak tank, chamber, wash line, sorter, pack line; the trimmer was not in use */
    assert_int_equal(tasks(scope, "clean-affected"), 6);
    assert_int_equal(tasks(scope, "clean-surrounding"), 0);
}

static void surfaces_around_are_cleaned_as_well(void **state)
{
    house_take(&h, "{'kind':'place','code':'HALL','place_kind':'room'}");
    house_take(&h, "{'kind':'place','code':'SORT','place_kind':'sorter','parent':'HALL'}");
    house_take(&h, "{'kind':'place','code':'TRIM','place_kind':'trimmer','parent':'HALL'}");
    house_take(&h, "{'kind':'place','code':'DOCK','place_kind':'dock','parent':'HALL'}");
    struct house_batch b = house_batch(&h, "C1", true);
    positive(b.sample);
    assert_int_equal(tasks(house_caused(&h, "scope"), "clean-affected"), 6);
    assert_int_equal(tasks(house_caused(&h, "scope"), "clean-surrounding"), 1); /* the trimmer */
}

static void the_same_positive_again_draws_no_second_scope(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    positive(b.sample);
    assert_non_null(house_caused(&h, "scope"));
    positive(b.sample);
    assert_null(house_caused(&h, "scope"));
    house_result(&h, b.sample, "E. coli O157:H7", "confirmed-positive");
    assert_non_null(house_caused(&h, "scope")); /* another organism is another finding */
}

static void a_presumptive_draws_no_scope(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_result(&h, b.sample, "Salmonella spp.", "presumptive");
    assert_null(house_caused(&h, "scope"));
    assert_false(house_held(&h, b.packed, "positive"));
}

static void a_positive_swab_opens_an_action(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    const json_t *floor = swab_of("COLD"); /* no surface that product touches */
    assert_false(json_is_true(json_object_get(floor, "product_hold")));
    assert_null(house_caused(&h, "scope"));
    assert_null(house_unmet(&h, b.packed, "US"));
    const json_t *belt = swab_of("PACK");
    assert_true(json_is_true(json_object_get(belt, "product_hold")));
    assert_int_equal(tasks(belt, "decide-product-hold"), 1);
    assert_int_equal(tasks(belt, "listeria-keep-back"), 1);
    const struct clause_line *line = house_unmet(&h, b.packed, "US"); /* still stands at PACK */
    assert_string_equal(line->clause, "environment");
}

static void failed_water_is_put_right(void **state)
{
    house_take(&h, "{'kind':'sample','what':'water','place':'WATER'}");
    house_result(&h, house_answer(&h, "sample"), "generic E. coli", "confirmed-positive");
    assert_null(house_caused(&h, "scope"));
    assert_null(house_caused(&h, "environment"));
    assert_int_equal(tasks(house_caused(&h, "water-failed"), "water-stop"), 1);
    assert_int_equal(tasks(house_caused(&h, "water-failed"), "water-correct"), 1);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(what_left_is_named_by_customer_and_the_rest_is_held),
        T(what_has_to_be_done_is_a_list_of_tasks),
        T(surfaces_around_are_cleaned_as_well),
        T(the_same_positive_again_draws_no_second_scope),
        T(a_presumptive_draws_no_scope),
        T(a_positive_swab_opens_an_action),
        T(failed_water_is_put_right),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

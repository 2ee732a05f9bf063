/* Who is in the scope of a positive, and who is not. */
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

static void positive(const char *sample)
{
    house_result(&h, sample, "Salmonella spp.", "confirmed-positive");
}

static const char *supplier_code_of(const char *lot)
{
    struct lot row;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, lot, &row, &found));
    return row.supplier_code;
}

static void a_clean_between_ends_the_scope_of_a_surface(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct house_batch other = house_batch(&h, "C2", true); /* cleaned before every step */
    positive(b.sample);
    assert_null(house_scope_row(&h, other.packed, ""));
    assert_null(house_scope_row(&h, other.growing, ""));
    assert_false(house_held(&h, other.packed, "positive"));
    assert_null(house_unmet(&h, other.packed, "US"));
}

static void a_clean_with_product_on_the_place_ends_nothing(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct house_batch other = house_batch(&h, "C2", true);
    struct entry wash = house_entry(&h, "wash");
    house_take(&h,
               "{'kind':'sort','mode':'tell','inputs':[{'lot':'%s','mass':'100 kg'}],'place':"
               "'SORT','start':'%s','end':'%s','outputs':[{'role':'main','mass':'99 kg'},{'role':"
               "'culls','mass':'1 kg'}]}",
               house_in_body(&h, &wash, "\"lots\"", "lot"),
               civil_text(&h.arena, h.fixed.now_ms - 90 * 60000, 0),
               civil_text(&h.arena, h.fixed.now_ms - 85 * 60000, 0)); /* as SORT was cleaned */
    positive(b.sample);
    house_in_scope(&h, other.packed, "", "surface", "held");
    assert_null(house_scope_row(&h, other.growing, ""));
}

static void a_line_without_a_clean_between_carries_it_on(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_clean(&h, "TREAT", 0);
    house_clean(&h, "SOAK", 0);
    house_clean(&h, "C2", 0);
    const char *growing = house_grow(&h, "C2", "100 kg");
    const char *packed = house_pack(&h, growing); /* over the lines as the first batch left them */
    positive(b.sample);
    house_in_scope(&h, packed, "", "surface", "held");
    assert_null(
        house_scope_row(&h, growing, "")); /* it grew in a clean chamber, from seed of its own */
    assert_true(house_held(&h, packed, "positive"));
    assert_false(house_held(&h, growing, "positive"));
}

/* The lot that the newest washing brought beside its product. */
static const char *newest_hulls(void)
{
    struct entry wash = house_entry(&h, "wash");
    json_t *body = json_loads(wash.body, 0, NULL);
    const json_t *lots = json_object_get(json_object_get(body, "answer"), "lots");
    const char *code = json_string_value(json_object_get(json_array_get(lots, 1), "lot"));
    assert_non_null(code);
    code = arena_copy(&h.arena, code);
    json_decref(body);
    return code;
}

/* They go on as a tea or as feed, and came over the same line as what was washed. */
static void hulls_of_a_line_without_a_clean_between_are_in_it(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_clean(&h, "TREAT", 0);
    house_clean(&h, "SOAK", 0);
    house_clean(&h, "C2", 0);
    house_pack(&h, house_grow(&h, "C2", "100 kg"));
    const char *unclean = newest_hulls();
    house_batch(&h, "C3", true); /* cleaned before it was washed */
    const char *clean = newest_hulls();
    positive(b.sample);
    house_in_scope(&h, unclean, "", "surface", "held");
    assert_true(house_held(&h, unclean, "positive"));
    assert_null(house_scope_row(&h, clean, ""));
    assert_false(house_held(&h, clean, "positive"));
}

static void what_was_there_before_it_is_not_in_it(void **state)
{
    const char *first = house_grow(&h, "C2", "100 kg");
    const char *packed = house_pack(&h, first);
    struct house_batch b = house_batch(&h, "C1", true);
    positive(b.sample);
    assert_null(house_scope_row(&h, packed, ""));
    assert_false(house_held(&h, packed, "positive"));
}

static void other_deliveries_of_its_seed_are_blocked_with_what_grew_from_them(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    const char *rest = house_deliver(&h, supplier_code_of(b.seed)),
               *used = house_deliver(&h, supplier_code_of(b.seed));
    house_take(&h,
               "{'kind':'grow','mode':'tell','chamber':'C2','item':'MUNG','inputs':[{'lot':'%s'}]}",
               used);
    const char *growing = house_answer(&h, "lot");
    positive(b.sample);
    house_in_scope(&h, rest, "", "seed", "held");
    house_in_scope(&h, growing, "", "same-seed", "held");
    assert_true(house_held(&h, rest, "positive"));
    assert_true(house_held(&h, growing, "positive"));
    assert_code(house_send(&h,
                           "{'kind':'grow','mode':'ask','chamber':'C3','item':'MUNG','inputs':[{'"
                           "lot':'%s'}]}",
                           rest),
                LOT_KIND);
    /* what comes of it later is born held */
    assert_true(house_held(&h, house_deliver(&h, supplier_code_of(b.seed)), "positive"));
    assert_false(house_held(&h, house_deliver(&h, "ANOTHER"), "positive"));
}

static void water_carries_it_on_only_where_it_goes_round(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true); /* watered from WATER */
    house_clean(&h, "TREAT", 0);
    house_clean(&h, "SOAK", 0);
    house_clean(&h, "C2", 0);
    const char *growing = house_grow(&h, "C2", "100 kg");
    house_take(&h, "{'kind':'water','lot':'%s','source':'WATER','litres':'1000 L'}", growing);
    const char *second = house_sample(&h, b.growing);
    positive(b.sample);
    assert_null(house_scope_row(&h, growing, ""));
    house_take(&h, "{'kind':'place','code':'WATER','place_kind':'water-system','class':'"
                   "recirculated'}");
    positive(second); /* another sample: another scope, with the water as it is known now */
    house_in_scope(&h, growing, "", "water", "held");
    assert_true(house_held(&h, growing, "positive"));
}

static void a_positive_pack_reaches_back_to_its_batch(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h, "{'kind':'sample','what':'sprouts','lot':'%s','location':'case'}", b.packed);
    positive(house_answer(&h, "sample"));
    house_in_scope(&h, b.growing, "", "batch", "used");
    house_in_scope(&h, b.packed, "", "batch", "held");
    house_in_scope(&h, b.seed, "", "seed", "used");
}

static void a_positive_of_seed_blocks_what_was_grown(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    const char *rest = house_deliver(&h, supplier_code_of(b.seed));
    house_take(&h, "{'kind':'sample','what':'sprouts','lot':'%s','location':'sack 3'}", rest);
    positive(house_answer(&h, "sample"));
    house_in_scope(&h, rest, "", "seed", "held");
    house_in_scope(&h, b.packed, "", "same-seed", "held");
    assert_true(house_held(&h, b.packed, "positive"));
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_clean_between_ends_the_scope_of_a_surface),
        T(a_clean_with_product_on_the_place_ends_nothing),
        T(a_line_without_a_clean_between_carries_it_on),
        T(hulls_of_a_line_without_a_clean_between_are_in_it),
        T(what_was_there_before_it_is_not_in_it),
        T(other_deliveries_of_its_seed_are_blocked_with_what_grew_from_them),
        T(water_carries_it_on_only_where_it_goes_round),
        T(a_positive_pack_reaches_back_to_its_batch),
        T(a_positive_of_seed_blocks_what_was_grown),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

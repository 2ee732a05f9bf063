/* The evidence of a lot: everything it can contain, with the way there, and who told and reviewed
 * it. */
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

static struct evidence collect(const char *lot)
{
    struct evidence e;
    assert_ok(evidence_collect(h.store, &h.arena, house_lot(&h, lot), &e));
    return e;
}

static void a_pack_reaches_back_to_its_seed(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct evidence e = collect(b.packed);
    static const char *const kinds[] = {"packed",  "sorted", "washed", "harvested",
                                        "growing", "load",   "seed",   "supplier"};
    assert_int_equal(e.lot_count, 8);
    assert_int_equal(e.edge_count, 7);
    for (size_t i = 0; i < 8; i++) {
        assert_string_equal(e.lots[i].kind, kinds[i]);
        assert_int_equal(e.lots[i].via, i == 0 ? 0 : i - 1);
        assert_int_equal(e.lots[i].made_from, i < 7);
    }
    assert_string_equal(e.lots[0].code, b.packed);
    assert_string_equal(e.lots[4].code, b.growing);
    assert_true(e.lots[4].wet_ms > HOUSE_START_MS);
    assert_string_equal(e.lots[1].family, "mung");
}

static void an_unknown_lot_has_none(void **state)
{
    struct evidence e;
    assert_code(evidence_collect(h.store, &h.arena, 1, &e), LOT_UNKNOWN);
}

static void every_entry_behind_it_has_its_teller_and_reviews(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct evidence e = collect(b.packed);
    size_t treatments = 0;
    for (size_t i = 0; i < e.entry_count; i++) {
        for (size_t k = 0; k < i; k++) {
            assert_true(e.entries[i].seq != e.entries[k].seq);
        }
        treatments += strcmp(e.entries[i].kind, "heat-treat") == 0 ? 1 : 0;
    }
    assert_int_equal(treatments, 1);
    bool reviewed = false;
    for (size_t i = 0; i < e.review_count; i++) {
        reviewed = reviewed || e.reviews[i].of_entry == e.treatments[0].entry;
        assert_int_equal(e.reviews[i].person, 3);
    }
    assert_true(reviewed);
}

static void struck_rows_are_not_in_it(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    struct evidence before = collect(b.packed);
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'another chamber','person':2}",
               (long long)before.waterings[0].entry);
    struct evidence after = collect(b.packed);
    assert_int_equal(before.watering_count, 1);
    assert_int_equal(after.watering_count, 0);
}

static void places_lie_in_one_another(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'place','code':'ODD','place_kind':'room','parent':'ODD'}");
    struct evidence e = collect(growing);
    assert_true(evidence_place_within(&e, "METAL", "PACK"));
    assert_false(evidence_place_within(&e, "PACK", "METAL"));
    assert_true(evidence_place_within(&e, "PACK", "PACK"));
    assert_false(evidence_place_within(&e, "ODD", "PACK")); /* and it ends */
    assert_null(evidence_place(&e, "NOWHERE"));
    assert_string_equal(evidence_place(&e, "METAL")->kind, "detector");
}

static void a_list_grows_as_it_is_added_to(void **state)
{
    int64_t *numbers = NULL;
    size_t count = 0;
    for (int64_t i = 0; i < 1000; i++) {
        int64_t *n = evidence_grow(&h.arena, &numbers, &count, sizeof *n);
        assert_int_equal(*n, 0);
        *n = i;
    }
    assert_int_equal(count, 1000);
    for (int64_t i = 0; i < 1000; i++) {
        assert_int_equal(numbers[i], i);
    }
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_pack_reaches_back_to_its_seed),
        T(an_unknown_lot_has_none),
        T(every_entry_behind_it_has_its_teller_and_reviews),
        T(struck_rows_are_not_in_it),
        T(places_lie_in_one_another),
        T(a_list_grows_as_it_is_added_to),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

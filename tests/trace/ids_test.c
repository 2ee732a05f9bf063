#include "../support.h"

#include "base/random.h"
#include "trace/ids.h"

static int64_t *copy_of(const int64_t *ids, size_t count)
{
    int64_t *copy = malloc(count * sizeof *copy + 1);
    assert_non_null(copy);
    memcpy(copy, ids, count * sizeof *copy);
    return copy;
}

static void places_follow_the_order_of_ids(void **state)
{
    (void)state;
    const int64_t ids[] = {4096, 12, 4096, 9000000000, 13, 12};
    struct id_map map;
    assert_true(id_map_build(&map, copy_of(ids, 6), 6));
    assert_int_equal(map.count, 4);
    const int64_t wanted[] = {12, 13, 4096, 9000000000};
    for (uint32_t i = 0; i < 4; i++) {
        uint32_t place = 99;
        assert_true(id_map_find(&map, wanted[i], &place));
        assert_int_equal(place, i);
    }
    uint32_t place;
    assert_false(id_map_find(&map, 11, &place));
    assert_false(id_map_find(&map, 14, &place));
    assert_false(id_map_find(&map, 9000000001, &place));
    id_map_release(&map);
}

static void no_ids_make_an_empty_map(void **state)
{
    (void)state;
    struct id_map map;
    const int64_t none = 0;
    assert_true(id_map_build(&map, copy_of(&none, 0), 0));
    uint32_t place;
    assert_false(id_map_find(&map, 0, &place));
    id_map_release(&map);
}

static void the_ends_of_the_number_range_are_ids(void **state)
{
    (void)state;
    const int64_t ids[] = {INT64_MAX, INT64_MIN, 0};
    struct id_map map;
    assert_true(id_map_build(&map, copy_of(ids, 3), 3));
    uint32_t place;
    assert_true(id_map_find(&map, INT64_MIN, &place));
    assert_int_equal(place, 0);
    assert_true(id_map_find(&map, INT64_MAX, &place));
    assert_int_equal(place, 2);
    id_map_release(&map);
}

/* Ids as the ledger gives them, crowded ids, and ids far apart: against a plain search. */
static void ids_of_any_spacing_are_found(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 60; seed++) {
        struct random r;
        random_seed(&r, seed);
        size_t count = 1 + (size_t)random_below(&r, 3000);
        int64_t *ids = malloc(count * sizeof *ids);
        assert_non_null(ids);
        uint64_t spacing = UINT64_C(1) << random_below(&r, 40);
        for (size_t i = 0; i < count; i++) {
            uint64_t crowd = random_below(&r, 4) == 0 ? 1000000 * spacing : 0;
            ids[i] = (int64_t)(crowd + random_below(&r, count) * spacing + random_below(&r, 3));
        }
        struct id_map map;
        assert_true(id_map_build(&map, copy_of(ids, count), count));
        for (uint32_t i = 1; i < map.count; i++) {
            assert_true(map.id[i - 1] < map.id[i]);
        }
        for (size_t i = 0; i < count; i++) {
            uint32_t place;
            if (!id_map_find(&map, ids[i], &place) || map.id[place] != ids[i]) {
                fail_msg("seed %llu: id %lld is lost", (unsigned long long)seed, (long long)ids[i]);
            }
        }
        id_map_release(&map);
        free(ids);
    }
}

static void a_list_keeps_its_order_and_can_be_cut(void **state)
{
    (void)state;
    struct id_list list = {.count = 0};
    const int64_t ids[] = {50, 60, 40, 70, 45};
    for (uint32_t i = 0; i < 5; i++) {
        id_list_add(&list, ids[i], i);
    }
    uint32_t value;
    assert_true(id_list_find(&list, 45, &value));
    assert_int_equal(value, 4);
    assert_false(id_list_find(&list, 41, &value));
    id_list_cut(&list, 3);
    assert_int_equal(list.count, 3);
    assert_false(id_list_find(&list, 45, &value));
    assert_false(id_list_find(&list, 70, &value));
    assert_true(id_list_find(&list, 40, &value));
    assert_int_equal(value, 2);
    id_list_release(&list);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(places_follow_the_order_of_ids),
        cmocka_unit_test(no_ids_make_an_empty_map),
        cmocka_unit_test(the_ends_of_the_number_range_are_ids),
        cmocka_unit_test(ids_of_any_spacing_are_found),
        cmocka_unit_test(a_list_keeps_its_order_and_can_be_cut),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

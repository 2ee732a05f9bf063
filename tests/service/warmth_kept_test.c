/* What is kept of logs is given only where nothing it was reckoned from is another. */
#include "../support.h"

#include "service/warmth_kept.h"

static const struct warmth_stamp made_from = {
    .lot = 7,
    .from_ms = 1000,
    .count = 2,
    .newest = 40,
    .struck = 12,
    .crop = {.base_mc = 10000, .optimum_mc = 30000, .goal_mc_h = 1950000},
    .set_point_mc = 19500};
static const struct warmth_piece pieces[] = {{.entry = 39, .count = 6}, {.entry = 40, .count = 5}};
static const struct warmth sum = {.heat_mc_h = 123, .until_ms = 5000, .log_ms = 5000};

static struct warmth_kept *kept;
static struct arena arena;

static int set_up(void **state)
{
    arena_init(&arena, 1 << 20);
    kept = warmth_kept_new();
    warmth_kept_put(kept, &made_from, &sum, pieces, 2);
    return 0;
}

static int tear_down(void **state)
{
    warmth_kept_free(kept);
    arena_release(&arena);
    return 0;
}

static bool has_sum(const struct warmth_stamp *stamp)
{
    struct warmth out;
    bool has = warmth_kept_sum(kept, stamp, &out);
    assert_true(!has || out.heat_mc_h == sum.heat_mc_h);
    return has;
}

static size_t piece_count(const struct warmth_stamp *stamp)
{
    struct warmth_piece *out;
    size_t count;
    warmth_kept_pieces(kept, &arena, stamp, &out, &count);
    assert_true(count == 0 || out[count - 1].entry == pieces[count - 1].entry);
    return count;
}

static void the_same_is_found(void **state)
{
    assert_true(has_sum(&made_from));
    assert_int_equal(piece_count(&made_from), 2);
}

/* The pieces stay what they are; the sum is another. */
static void other_pieces_are_summed_anew(void **state)
{
    for (int i = 0; i < 5; i++) {
        struct warmth_stamp s = made_from;
        int64_t *const parts[] = {&s.count, &s.newest, &s.struck, &s.crop.goal_mc_h};
        if (i < 4) {
            ++*parts[i];
        } else {
            s.set_point_mc++;
        }
        assert_false(has_sum(&s));
        assert_int_equal(piece_count(&s), 2);
    }
}

static void what_changes_a_piece_lets_go_of_it(void **state)
{
    for (int i = 0; i < 4; i++) {
        struct warmth_stamp s = made_from;
        s.lot += i == 0;
        s.from_ms += i == 1;
        s.crop.base_mc += i == 2;
        s.crop.optimum_mc += i == 3;
        assert_false(has_sum(&s));
        assert_int_equal(piece_count(&s), 0);
    }
}

static void a_newer_one_takes_its_place(void **state)
{
    struct warmth_stamp s = made_from;
    s.count = 3;
    warmth_kept_put(kept, &s, &sum, pieces, 1);
    assert_false(has_sum(&made_from));
    assert_true(has_sum(&s));
    assert_int_equal(piece_count(&s), 1);
}

/* The one asked for stays, whatever else comes. */
static void the_one_longest_not_asked_for_goes(void **state)
{
    struct warmth_stamp first = made_from;
    for (int i = 0; i < 2000; i++) {
        struct warmth_stamp s = made_from;
        s.lot = 100 + i;
        warmth_kept_put(kept, &s, &sum, pieces, 2);
        assert_true(has_sum(&s));
        assert_true(has_sum(&made_from));
        first = i == 0 ? s : first;
    }
    assert_false(has_sum(&first));
}

static void nothing_kept_has_nothing(void **state)
{
    struct warmth out;
    struct warmth_piece *list;
    size_t count;
    assert_false(warmth_kept_sum(NULL, &made_from, &out));
    warmth_kept_pieces(NULL, &arena, &made_from, &list, &count);
    assert_int_equal(count, 0);
    warmth_kept_put(NULL, &made_from, &sum, pieces, 2);
    warmth_kept_free(NULL);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(the_same_is_found),
        TEST(other_pieces_are_summed_anew),
        TEST(what_changes_a_piece_lets_go_of_it),
        TEST(a_newer_one_takes_its_place),
        TEST(the_one_longest_not_asked_for_goes),
        TEST(nothing_kept_has_nothing),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

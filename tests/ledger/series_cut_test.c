#include "series_support.h"

static struct series_piece *sealed(const struct series *s, size_t *out_pieces)
{
    size_t *counts;
    series_split(&arena, s, &counts, out_pieces);
    struct series_piece *pieces = ARENA_ARRAY(&arena, struct series_piece, *out_pieces);
    size_t first = 0;
    for (size_t i = 0; i < *out_pieces; i++) {
        struct series part = series_slice(s, first, counts[i]);
        pieces[i] = encoded(&part);
        first += counts[i];
    }
    assert_int_equal(first, s->count);
    return pieces;
}

static void pieces_are_cut_at_full_hours(void **state)
{
    struct draft d = make(1, 10);
    for (size_t i = 0; i < 10; i++) {
        d.ms[i] = START_MS + (int64_t)i * HOUR / 4; /* 0:00 0:15 0:30 0:45 | 1:00 ... | 2:00 2:15 */
    }
    size_t *counts;
    size_t pieces;
    series_split(&arena, &d.s, &counts, &pieces);
    assert_int_equal(pieces, 3);
    assert_int_equal(counts[0], 4);
    assert_int_equal(counts[1], 4);
    assert_int_equal(counts[2], 2);
    d.ms[0] = -1;
    d.ms[1] = 0; /* the hour before 1970 is another one */
    struct series two = series_slice(&d.s, 0, 2);
    series_split(&arena, &two, &counts, &pieces);
    assert_int_equal(pieces, 2);
}

static void pieces_are_cut_at_their_size(void **state)
{
    size_t most = SERIES_PLAIN_MAX / series_plain_bytes(1, 1);
    struct draft d = make(1, most * 2 + 5);
    for (size_t i = 0; i < d.s.count; i++) {
        d.ms[i] = START_MS;
    }
    size_t *counts;
    size_t pieces;
    series_split(&arena, &d.s, &counts, &pieces);
    assert_int_equal(pieces, 3);
    assert_int_equal(counts[0], most);
    assert_int_equal(counts[1], most);
    assert_int_equal(counts[2], 5);
}

static void pieces_are_cut_where_numbers_begin_anew(void **state)
{
    struct draft d = make(1, 10);
    for (size_t i = 6; i < 10; i++) {
        d.n[i] = (int64_t)i - 5;
    }
    size_t *counts;
    size_t pieces;
    series_split(&arena, &d.s, &counts, &pieces);
    assert_int_equal(pieces, 2);
    assert_int_equal(counts[0], 6);
    struct series first = series_slice(&d.s, 0, 6);
    struct series second = series_slice(&d.s, 6, 4);
    struct series_piece sealed[2] = {encoded(&second), encoded(&first)};
    struct series s;
    assert_int_equal(series_range(&arena, sealed, 2, START_MS, SERIES_MS_MAX, &s).code, CODE_OK);
    assert_same(&d.s, &s);
}

static void a_range_comes_from_several_pieces(void **state)
{
    struct draft d = make(3, 5 * 3600);
    size_t count;
    struct series_piece *pieces = sealed(&d.s, &count);
    assert_int_equal(count, 5);
    struct series_piece mixed[5] = {pieces[3], pieces[0], pieces[4], pieces[2], pieces[1]};
    struct series s;
    assert_int_equal(series_range(&arena, mixed, 5, SERIES_MS_MIN, SERIES_MS_MAX, &s).code,
                     CODE_OK);
    assert_same(&d.s, &s);
    int64_t from = START_MS + HOUR / 2 + 1;
    int64_t to = START_MS + 2 * HOUR + 5000;
    assert_int_equal(series_range(&arena, mixed, 5, from, to, &s).code, CODE_OK);
    struct series want = series_slice(&d.s, 1801, 2 * 3600 + 5 - 1801);
    assert_same(&want, &s);
    assert_int_equal(series_range(&arena, mixed, 5, from, from, &s).code, CODE_OK);
    assert_int_equal(s.count, 0);
    assert_int_equal(series_range(&arena, mixed, 0, from, to, &s).code, CODE_OK);
    assert_int_equal(s.count, 0);
}

static void pieces_that_do_not_fit_are_not_mixed(void **state)
{
    struct draft x = make(1, 10);
    struct draft y = make(1, 10);
    for (size_t i = 0; i < 10; i++) {
        y.n[i] += 10;
        y.ms[i] += HOUR;
    }
    struct series s;
    struct series_piece fit[2] = {encoded(&y.s), encoded(&x.s)};
    assert_int_equal(series_range(&arena, fit, 2, START_MS, SERIES_MS_MAX, &s).code, CODE_OK);
    assert_int_equal(s.count, 20);
    struct series_piece twice[2] = {fit[0], fit[0]};
    assert_int_equal(series_range(&arena, twice, 2, START_MS, SERIES_MS_MAX, &s).code,
                     CODE_SERIES_MIXED);
    memcpy(y.s.unit, "K", 2);
    struct series_piece unit[2] = {fit[1], encoded(&y.s)};
    assert_int_equal(series_range(&arena, unit, 2, START_MS, SERIES_MS_MAX, &s).code,
                     CODE_SERIES_MIXED);
    /* outside the range it does not matter */
    assert_int_equal(series_range(&arena, unit, 2, START_MS, START_MS + HOUR, &s).code, CODE_OK);
    assert_int_equal(s.count, 10);
}

static void a_range_beyond_memory_is_refused(void **state)
{
    size_t most = SERIES_PLAIN_MAX / series_plain_bytes(1, 1);
    struct draft d = make(1, most);
    for (size_t i = 0; i < most; i++) {
        d.ms[i] = START_MS;
    }
    struct series_piece piece = encoded(&d.s);
    struct series_piece many[65];
    for (int i = 0; i < 65; i++) {
        many[i] = piece;
    }
    struct series s;
    assert_int_equal(series_range(&arena, many, 65, START_MS, SERIES_MS_MAX, &s).code,
                     CODE_SERIES_LARGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        SERIES_TEST(pieces_are_cut_at_full_hours),
        SERIES_TEST(pieces_are_cut_at_their_size),
        SERIES_TEST(pieces_are_cut_where_numbers_begin_anew),
        SERIES_TEST(a_range_comes_from_several_pieces),
        SERIES_TEST(pieces_that_do_not_fit_are_not_mixed),
        SERIES_TEST(a_range_beyond_memory_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

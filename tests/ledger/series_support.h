/* Shared by the tests of series: samples to write in, sealed and compared. */
#ifndef TESTS_LEDGER_SERIES_SUPPORT_H
#define TESTS_LEDGER_SERIES_SUPPORT_H

#include "ledger/series.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

enum { HOUR = SERIES_HOUR_MS };

/* 2026-03-01T00:00:00Z (computed here: 20513 days of 86400 s). */
#define START_MS (INT64_C(20513) * 86400 * 1000)

static struct arena arena;

static inline int set_up(void **state)
{
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return 0;
}

static inline int tear_down(void **state)
{
    arena_release(&arena);
    return 0;
}

/* A series whose columns may be written. */
struct draft {
    struct series s;
    int64_t *n, *ms;
    uint16_t *missing;
    int32_t *value;
};

static inline struct draft make(int channels, size_t count)
{
    struct draft d = {.s = {.channels = channels, .scale = 3, .unit = "C", .count = count}};
    d.s.n = d.n = ARENA_ARRAY(&arena, int64_t, count);
    d.s.ms = d.ms = ARENA_ARRAY(&arena, int64_t, count);
    d.s.missing = d.missing = ARENA_ARRAY(&arena, uint16_t, count);
    d.s.value = d.value = ARENA_ARRAY(&arena, int32_t, count * (size_t)channels);
    for (size_t i = 0; i < count; i++) {
        d.n[i] = (int64_t)i + 1;
        d.ms[i] = START_MS + (int64_t)i * 1000;
        for (int c = 0; c < channels; c++) {
            d.value[i * (size_t)channels + (size_t)c] = 85000 + (int32_t)i * 7 - c;
        }
    }
    return d;
}

static inline void assert_same(const struct series *x, const struct series *y)
{
    assert_int_equal(x->channels, y->channels);
    assert_int_equal(x->scale, y->scale);
    assert_string_equal(x->unit, y->unit);
    assert_int_equal(x->count, y->count);
    assert_memory_equal(x->n, y->n, x->count * sizeof *x->n);
    assert_memory_equal(x->ms, y->ms, x->count * sizeof *x->ms);
    assert_memory_equal(x->missing, y->missing, x->count * sizeof *x->missing);
    assert_memory_equal(x->value, y->value, x->count * (size_t)x->channels * sizeof *x->value);
}

static inline struct series_piece encoded(const struct series *s)
{
    struct series_piece piece;
    assert_int_equal(series_encode(&arena, s, &piece).code, CODE_OK);
    return piece;
}

#define SERIES_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

#endif

/* Cutting a series into pieces, and reading a time range from several. */
#include "ledger/series.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"

void series_split(struct arena *a, const struct series *s, size_t **out_counts, size_t *out_pieces)
{
    size_t most = SERIES_PLAIN_MAX / series_plain_bytes(s->channels, 1);
    size_t *counts = ARENA_ARRAY(a, size_t, s->count);
    size_t pieces = 0;
    int64_t hour = 0;
    for (size_t i = 0; i < s->count; i++) {
        int64_t this_hour = (s->ms[i] - SERIES_MS_MIN) / SERIES_HOUR_MS;
        bool anew = i > 0 && s->n[i] <= s->n[i - 1];
        if (pieces == 0 || this_hour != hour || anew || counts[pieces - 1] == most) {
            counts[pieces++] = 0;
            hour = this_hour;
        }
        counts[pieces - 1]++;
    }
    *out_counts = counts;
    *out_pieces = pieces;
}

struct member {
    struct series_header header;
    const struct series_piece *piece;
};

static int by_time_and_n(const void *left, const void *right)
{
    const struct series_header *x = &((const struct member *)left)->header;
    const struct series_header *y = &((const struct member *)right)->header;
    if (x->first_ms != y->first_ms) {
        return x->first_ms < y->first_ms ? -1 : 1;
    }
    return (x->first_n > y->first_n) - (x->first_n < y->first_n);
}

/* y fits behind x: the same kind of samples, later in time, or at the same time later in number. */
static bool follows(const struct series_header *x, const struct series_header *y)
{
    return x->channels == y->channels && x->scale == y->scale && strcmp(x->unit, y->unit) == 0 &&
           (x->last_ms < y->first_ms || (x->last_ms == y->first_ms && x->last_n < y->first_n));
}

/* The headers of the pieces that reach into the range, in order. */
static struct result members(struct arena *a, const struct series_piece *pieces, size_t piece_count,
                             int64_t from_ms, int64_t to_ms, struct member **out, size_t *out_count)
{
    struct member *list = ARENA_ARRAY(a, struct member, piece_count);
    size_t count = 0;
    size_t plain = 0;
    for (size_t i = 0; i < piece_count; i++) {
        struct member m = {.piece = &pieces[i]};
        TRY(series_header_read(&pieces[i], &m.header));
        if (m.header.last_ms >= from_ms && m.header.first_ms < to_ms) {
            list[count++] = m;
            plain += series_plain_bytes(m.header.channels, m.header.count);
        }
    }
    if (plain > SERIES_RANGE_PLAIN_MAX) {
        return FAIL0(SERIES_LARGE, "from");
    }
    if (count > 1) {
        qsort(list, count, sizeof *list, by_time_and_n);
    }
    for (size_t i = 1; i < count; i++) {
        if (!follows(&list[i - 1].header, &list[i].header)) {
            return FAIL0(SERIES_MIXED, "pieces");
        }
    }
    *out = list;
    *out_count = count;
    return RESULT_OK;
}

/* The part of s inside the range. */
static struct series inside(const struct series *s, int64_t from_ms, int64_t to_ms)
{
    size_t first = 0;
    while (first < s->count && s->ms[first] < from_ms) {
        first++;
    }
    size_t end = first;
    while (end < s->count && s->ms[end] < to_ms) {
        end++;
    }
    return series_slice(s, first, end - first);
}

struct result series_range(struct arena *a, const struct series_piece *pieces, size_t piece_count,
                           int64_t from_ms, int64_t to_ms, struct series *out)
{
    struct member *list;
    size_t count;
    TRY(members(a, pieces, piece_count, from_ms, to_ms, &list, &count));
    *out = (struct series){0};
    if (count == 0) {
        return RESULT_OK;
    }
    const struct series_header *kind = &list[0].header;
    size_t room = 0;
    for (size_t i = 0; i < count; i++) {
        room += list[i].header.count;
    }
    int64_t *n = ARENA_ARRAY(a, int64_t, room);
    int64_t *ms = ARENA_ARRAY(a, int64_t, room);
    uint16_t *missing = ARENA_ARRAY(a, uint16_t, room);
    int32_t *value = ARENA_ARRAY(a, int32_t, room * (size_t)kind->channels);
    size_t at = 0;
    for (size_t i = 0; i < count; i++) {
        struct arena piece_arena; /* what a piece is decoded into goes again with it */
        arena_init(&piece_arena, ARENA_LIMIT_DEFAULT);
        struct series whole;
        struct result r = series_decode(&piece_arena, list[i].piece, &whole);
        if (r.code == CODE_OK) {
            struct series s = inside(&whole, from_ms, to_ms);
            size_t channels = (size_t)s.channels;
            memcpy(n + at, s.n, s.count * sizeof *n);
            memcpy(ms + at, s.ms, s.count * sizeof *ms);
            memcpy(missing + at, s.missing, s.count * sizeof *missing);
            memcpy(value + at * channels, s.value, s.count * channels * sizeof *value);
            at += s.count;
        }
        arena_release(&piece_arena);
        TRY(r);
    }
    *out = (struct series){.channels = kind->channels, .scale = kind->scale, .count = at};
    memcpy(out->unit, kind->unit, sizeof out->unit);
    out->n = n;
    out->ms = ms;
    out->missing = missing;
    out->value = value;
    return RESULT_OK;
}

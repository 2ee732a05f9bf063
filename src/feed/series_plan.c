/* Samples of a file beside what is sealed already: what is new becomes pieces. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "feed/feed_inner.h"

struct span {
    int64_t first_ms, last_ms, first_n, last_n;
};

struct sealed {
    struct series samples; /* count 0: nothing is sealed */
    struct span *spans;    /* by time */
    size_t span_count;
};

static int by_first_ms(const void *left, const void *right)
{
    const struct span *x = left;
    const struct span *y = right;
    return (x->first_ms > y->first_ms) - (x->first_ms < y->first_ms);
}

static struct result read_sealed(struct arena *a, const struct feed_content *content,
                                 const struct feed_known *known, struct sealed *out)
{
    const struct series *s = &content->series;
    *out = (struct sealed){.spans = ARENA_ARRAY(a, struct span, known->piece_count + 1)};
    for (size_t i = 0; i < known->piece_count; i++) {
        struct series_header h;
        TRY(series_header_read(&known->pieces[i], &h));
        out->spans[out->span_count++] = (struct span){h.first_ms, h.last_ms, h.first_n, h.last_n};
    }
    qsort(out->spans, out->span_count, sizeof *out->spans, by_first_ms);
    int64_t from_ms = content->report.from_ms;
    TRY(series_range(a, known->pieces, known->piece_count, from_ms, content->report.to_ms + 1,
                     &out->samples));
    bool fits = out->samples.count == 0 ||
                (out->samples.channels == s->channels && out->samples.scale == s->scale &&
                 strcmp(out->samples.unit, s->unit) == 0);
    return fits ? RESULT_OK : FAIL0(SERIES_MIXED, "series");
}

/* The sealed sample of this time and number, or the count of samples. */
static size_t find_sample(const struct series *s, int64_t ms, int64_t n)
{
    size_t low = 0;
    size_t high = s->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        bool below = s->ms[middle] < ms;
        low = below ? middle + 1 : low;
        high = below ? high : middle;
    }
    while (low < s->count && s->ms[low] == ms && s->n[low] != n) {
        low++;
    }
    return low < s->count && s->ms[low] == ms ? low : s->count;
}

/* What one of the two lacks decides nothing: a first row of a file has no jump before it, for one.
 */
static bool agree(const struct series *x, size_t i, const struct series *y, size_t k)
{
    size_t channels = (size_t)x->channels;
    unsigned either = (unsigned)x->missing[i] | y->missing[k];
    for (size_t c = 0; c < channels; c++) {
        if ((either >> c & 1) == 0 && x->value[i * channels + c] != y->value[k * channels + c]) {
            return false;
        }
    }
    return true;
}

/* The first span that ends at or behind a time. */
static size_t find_span(const struct sealed *sealed, int64_t ms)
{
    size_t low = 0;
    size_t high = sealed->span_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        bool below = sealed->spans[middle].last_ms < ms;
        low = below ? middle + 1 : low;
        high = below ? high : middle;
    }
    return low;
}

/* A new sample must not lie inside a sealed piece. */
static bool lies_inside(const struct sealed *sealed, int64_t ms, int64_t n)
{
    for (size_t i = find_span(sealed, ms);
         i < sealed->span_count && sealed->spans[i].first_ms <= ms; i++) {
        const struct span *p = &sealed->spans[i];
        bool behind = ms == p->last_ms && n > p->last_n;
        bool ahead = ms == p->first_ms && n < p->first_n;
        if (!behind && !ahead) {
            return true;
        }
    }
    return false;
}

static struct result find_new(struct arena *a, const struct feed_content *content,
                              const struct sealed *sealed, bool *is_new)
{
    const struct series *s = &content->series;
    for (size_t i = 0; i < s->count; i++) {
        size_t k = find_sample(&sealed->samples, s->ms[i], s->n[i]);
        is_new[i] = k == sealed->samples.count;
        bool fits =
            is_new[i] ? !lies_inside(sealed, s->ms[i], s->n[i]) : agree(s, i, &sealed->samples, k);
        if (!fits) {
            const char *when = civil_text(a, s->ms[i], civil_offset_min(s->ms[i]));
            return result_at(FAIL1(FEED_SEALED, content->report.file, when), content->lines[i], 1);
        }
    }
    return RESULT_OK;
}

/* Whether a sealed piece lies between samples i - 1 and i of the file. */
static bool parted(const struct sealed *sealed, const struct series *s, size_t i)
{
    size_t at = find_span(sealed, s->ms[i - 1]);
    const struct span *p = &sealed->spans[at];
    while (at < sealed->span_count && (p->first_ms < s->ms[i - 1] ||
                                       (p->first_ms == s->ms[i - 1] && p->first_n < s->n[i - 1]))) {
        p = &sealed->spans[++at];
    }
    return at < sealed->span_count && p->last_ms <= s->ms[i];
}

static json_t *gap_list(const struct feed_content *content, size_t first, size_t end)
{
    json_t *list = json_array();
    bool last = end == content->series.count;
    CHECK(list != NULL);
    for (size_t i = 0; i < content->gap_count; i++) {
        const struct series_gap *g = &content->gaps[i];
        if (g->sample < first || (g->sample >= end && !(last && g->sample == end))) {
            continue;
        }
        json_t *gap = json_pack("{s:s, s:i, s:I, s:I, s:I, s:I}", "reason",
                                series_gap_text(g->reason), "channel", g->channel, "from_ms",
                                (json_int_t)g->from_ms, "to_ms", (json_int_t)g->to_ms, "line",
                                (json_int_t)g->line, "count", (json_int_t)g->count);
        CHECK(gap != NULL && json_array_append_new(list, gap) == 0);
    }
    return list;
}

static struct result add_piece(struct arena *a, const struct mapping *m,
                               const struct feed_content *content, size_t first, size_t count,
                               json_t *commands)
{
    const struct series part = series_slice(&content->series, first, count);
    struct series_piece piece;
    TRY(series_encode(a, &part, &piece));
    struct hash hash = digest_sha256(piece.bytes, piece.len);
    json_t *command = feed_command(a, m, "seal");
    CHECK(json_array_append_new(commands, command) == 0);
    feed_set_text(command, "series", m->series);
    feed_set_text(command, "uuid", feed_uuid(a, m, command, hex_text(a, hash.b, sizeof hash.b)));
    feed_set_text(command, "bytes_b64", base64_text(a, piece.bytes, piece.len));
    feed_set_text(command, "file",
                  hex_text(a, content->report.sha256.b, sizeof content->report.sha256.b));
    CHECK(json_object_set_new(command, "gaps", gap_list(content, first, first + count)) == 0);
    return RESULT_OK;
}

/* The new samples first..end - 1, which nothing sealed parts. */
static struct result add_pieces(struct arena *a, const struct mapping *m,
                                const struct feed_content *content, size_t first, size_t end,
                                struct feed_report *report, json_t *commands)
{
    const struct series run = series_slice(&content->series, first, end - first);
    size_t *counts;
    size_t pieces;
    series_split(a, &run, &counts, &pieces);
    for (size_t i = 0; i < pieces; i++) {
        TRY(add_piece(a, m, content, first, counts[i], commands));
        first += counts[i];
        report->pieces++;
    }
    return RESULT_OK;
}

struct result series_plan(struct arena *a, const struct mapping *m,
                          const struct feed_content *content, const struct feed_known *known,
                          struct feed_report *report, json_t *commands)
{
    const struct series *s = &content->series;
    struct sealed sealed;
    bool *is_new = ARENA_ARRAY(a, bool, s->count);
    TRY(read_sealed(a, content, known, &sealed));
    TRY(find_new(a, content, &sealed, is_new));
    size_t first = 0;
    for (size_t i = 0; i <= s->count; i++) {
        bool goes_on =
            i < s->count && is_new[i] && (i == 0 || (is_new[i - 1] && !parted(&sealed, s, i)));
        if (i > first && is_new[first] && !goes_on) {
            TRY(add_pieces(a, m, content, first, i, report, commands));
        }
        first = goes_on ? first : i;
        if (i < s->count) {
            report->count[is_new[i] ? FEED_MARK_NEW : FEED_MARK_KNOWN]++;
        }
    }
    return RESULT_OK;
}

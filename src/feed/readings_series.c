/* What is kept of the rows becomes samples; what is not there becomes gaps. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "feed/readings.h"

/* The reading of a channel that came last, whatever became of it. */
struct last_reading {
    bool there;
    int64_t ms;
    int64_t value;
};

struct builder {
    struct readings *r;
    struct feed_content *out;
    int64_t *n, *ms;
    uint16_t *missing;
    int32_t *value;
    size_t count, gap_room;
    size_t open_gap[SERIES_CHANNELS_MAX +
                    1]; /* 1 + index of the gap that goes on in a channel (0: in all); 0 none */
    struct last_reading last[SERIES_CHANNELS_MAX];
    size_t bad_rows; /* without a time, since the last sample */
    int64_t bad_line;
};

static struct result add_gap(struct builder *b, struct series_gap gap)
{
    struct feed_content *out = b->out;
    if (out->gap_count == READINGS_GAPS_MAX) {
        return result_at(FAIL1(FEED_GAPS, b->r->file, "100000"), gap.line, 1);
    }
    if (out->gap_count == b->gap_room) {
        size_t room = b->gap_room * 2 + 32;
        struct series_gap *gaps = ARENA_ARRAY(b->r->arena, struct series_gap, room);
        if (out->gap_count > 0) {
            memcpy(gaps, out->gaps, out->gap_count * sizeof *gaps);
        }
        out->gaps = gaps;
        b->gap_room = room;
    }
    out->gaps[out->gap_count++] = gap;
    return RESULT_OK;
}

/* One more row of a gap in a channel (0: all): the next gap, or the one before going on. */
static struct result spoil(struct builder *b, int channel, enum series_gap_reason reason,
                           int64_t from_ms, const struct reading_row *row)
{
    size_t open = b->open_gap[channel];
    struct series_gap *gap = open > 0 ? &b->out->gaps[open - 1] : NULL;
    if (gap != NULL && gap->reason == reason && reason != GAP_JUMP) {
        gap->to_ms = row->ms;
        gap->count++;
        return RESULT_OK;
    }
    TRY(add_gap(b, (struct series_gap){.reason = reason,
                                       .channel = channel,
                                       .from_ms = from_ms,
                                       .to_ms = row->ms,
                                       .line = row->line,
                                       .count = 1,
                                       .sample = b->count}));
    b->open_gap[channel] = b->out->gap_count;
    return RESULT_OK;
}

static bool is_jump(const struct builder *b, size_t c, int64_t ms, int64_t value)
{
    const struct mapping *m = b->r->m;
    const struct last_reading *last = &b->last[c];
    bool near = m->kind == FEED_CHECKWEIGHER || ms - last->ms <= readings_gap_ms(m);
    int64_t step = value > last->value ? value - last->value : last->value - value;
    return m->jump > 0 && last->there && near && step > m->jump;
}

static struct result take_channel(struct builder *b, size_t c, const struct reading_row *row,
                                  enum reading_state state, int32_t value)
{
    static const enum series_gap_reason reasons[] = {[READING_MISSING] = GAP_MISSING,
                                                     [READING_UNREADABLE] = GAP_UNREADABLE,
                                                     [READING_RANGE] = GAP_RANGE};
    size_t at = b->count * b->r->channels + c;
    int channel = (int)c + 1;
    bool jump = state == READING_VALUE && is_jump(b, c, row->ms, value);
    if (state == READING_VALUE && !jump) {
        b->value[at] = value;
        b->open_gap[channel] = 0;
    } else {
        b->missing[b->count] |= (uint16_t)(1U << c);
    }
    if (jump) {
        TRY(spoil(b, channel, GAP_JUMP, b->last[c].ms, row));
    } else if (state != READING_VALUE && state != READING_ABSENT && state != READING_CONFLICT) {
        TRY(spoil(b, channel, reasons[state], row->ms, row));
    }
    if (state == READING_VALUE) {
        b->last[c] = (struct last_reading){.there = true, .ms = row->ms, .value = value};
    }
    return RESULT_OK;
}

/* What is missing between the sample before and this row. */
static struct result look_between(struct builder *b, const struct reading_row *row)
{
    const struct mapping *m = b->r->m;
    struct series_gap gap = {
        .to_ms = row->ms, .from_ms = row->ms, .line = row->line, .sample = b->count};
    if (b->count > 0) {
        gap.from_ms = b->ms[b->count - 1];
    }
    if (b->bad_rows > 0) {
        struct series_gap bad = gap;
        bad.reason = GAP_UNREADABLE;
        bad.line = b->bad_line;
        bad.count = b->bad_rows;
        b->bad_rows = 0;
        TRY(add_gap(b, bad));
    }
    if (b->count == 0) {
        return RESULT_OK;
    }
    int64_t skipped = b->r->has_n ? row->n - b->n[b->count - 1] - 1 : 0;
    if (skipped > 0) {
        gap.reason = GAP_LOST;
        gap.count = (size_t)skipped;
        return add_gap(b, gap);
    }
    if (m->kind == FEED_LOGGER && gap.to_ms - gap.from_ms > readings_gap_ms(m)) {
        gap.reason = GAP_SILENCE;
        return add_gap(b, gap);
    }
    return RESULT_OK;
}

static struct result take_row(struct builder *b, size_t i)
{
    const struct readings *r = b->r;
    const struct reading_row *row = &r->row[i];
    if (row->time == TIME_BAD) {
        b->bad_line = b->bad_rows == 0 ? row->line : b->bad_line;
        b->bad_rows++;
        return RESULT_OK;
    }
    if (row->time != TIME_KEPT) {
        return RESULT_OK;
    }
    TRY(look_between(b, row));
    const uint8_t *state = &r->state[i * r->channels];
    if (state[0] == READING_CONFLICT) {
        TRY(spoil(b, 0, GAP_CONFLICT, row->ms, row));
    }
    b->open_gap[0] = 0; /* each conflict is told by itself */
    for (size_t c = 0; c < r->channels; c++) {
        TRY(take_channel(b, c, row, (enum reading_state)state[c], r->value[i * r->channels + c]));
    }
    b->n[b->count] = row->n;
    b->ms[b->count] = row->ms;
    b->out->lines[b->count++] = row->line;
    return RESULT_OK;
}

/* Rows without a time behind the last sample. */
static struct result take_tail(struct builder *b)
{
    if (b->bad_rows == 0) {
        return RESULT_OK;
    }
    int64_t last_ms = b->ms[b->count - 1];
    return add_gap(b, (struct series_gap){.reason = GAP_UNREADABLE,
                                          .from_ms = last_ms,
                                          .to_ms = last_ms,
                                          .line = b->bad_line,
                                          .count = b->bad_rows,
                                          .sample = b->count});
}

static void tell(struct builder *b)
{
    struct feed_report *report = &b->out->report;
    struct readings *r = b->r;
    report->from_ms = b->ms[0];
    report->to_ms = b->ms[b->count - 1];
    for (size_t i = 0; i < b->out->gap_count; i++) {
        const struct series_gap *gap = &b->out->gaps[i];
        feed_gap_note(r->arena, report, gap,
                      civil_text(r->arena, gap->from_ms, civil_offset_min(gap->from_ms)));
    }
    if (r->repeated > 0) {
        const char *rows = arena_printf(r->arena, "%zu", r->repeated);
        feed_caution(report, FAIL1(FEED_HOUR_TWICE, r->file, rows));
    }
    if (r->rounded > 0) {
        const char *rows = arena_printf(r->arena, "%zu", r->rounded);
        feed_caution(report,
                     FAIL2(FEED_ROUNDED, r->file, rows, arena_printf(r->arena, "%d", r->m->scale)));
    }
}

struct result readings_series(struct readings *r, struct feed_content *out)
{
    struct builder b = {.r = r, .out = out};
    size_t kept = 0;
    for (size_t i = 0; i < r->count; i++) {
        kept += r->row[i].time == TIME_KEPT;
    }
    if (kept == 0) {
        return FAIL0(FEED_EMPTY, r->file);
    }
    b.n = ARENA_ARRAY(r->arena, int64_t, kept);
    b.ms = ARENA_ARRAY(r->arena, int64_t, kept);
    b.missing = ARENA_ARRAY(r->arena, uint16_t, kept);
    b.value = ARENA_ARRAY(r->arena, int32_t, kept * r->channels);
    out->lines = ARENA_ARRAY(r->arena, int64_t, kept);
    for (size_t i = 0; i < r->count; i++) {
        TRY(take_row(&b, i));
    }
    TRY(take_tail(&b));
    out->series =
        (struct series){.channels = (int)r->channels, .scale = r->m->scale, .count = b.count};
    memcpy(out->series.unit, r->m->unit, strlen(r->m->unit) + 1);
    out->series.n = b.n;
    out->series.ms = b.ms;
    out->series.missing = b.missing;
    out->series.value = b.value;
    tell(&b);
    return RESULT_OK;
}

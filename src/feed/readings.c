/* Rows of a logger or checkweigher, cell by cell. */
#include "feed/readings.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"

int64_t readings_gap_ms(const struct mapping *m)
{
    return 2 * (m->interval_ms > 0 ? m->interval_ms : 60000);
}

static void grow(struct readings *r)
{
    if (r->count < r->room) {
        return;
    }
    r->room = r->room * 2 + 1024;
    r->row = realloc(r->row, r->room * sizeof *r->row);
    r->value = realloc(r->value, r->room * r->channels * sizeof *r->value);
    r->state = realloc(r->state, r->room * r->channels * sizeof *r->state);
    CHECK(r->row != NULL && r->value != NULL && r->state != NULL);
}

/* Cells that can't be read, to tell a flaw from a wrong mapping. */
struct tally {
    size_t read, unread;
    struct cell first; /* that could not be read; its text is in the arena */
};

struct reader {
    struct readings r;
    struct tally times;
    struct tally channel[SERIES_CHANNELS_MAX];
    size_t last_len; /* of the last cell of the row before and of the row at hand */
    int last_decimals;
    bool last_alike;
};

static void tally_unread(struct reader *d, struct tally *t, const struct cell *c)
{
    if (t->unread++ == 0) {
        t->first = *c;
        t->first.text = arena_copy(d->r.arena, c->text);
    }
}

/* Columns in which the file says what it is. */
static struct result check_says(struct table *t)
{
    const struct mapping *m = t->m;
    static const int fields[] = {READINGS_DEVICE, READINGS_UNIT, READINGS_ZONE};
    const char *wanted[] = {m->device, m->unit, m->zone};
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++) {
        struct cell c = table_cell(t, fields[i]);
        const char *word = c.text;
        if (!c.mapped) {
            continue;
        }
        for (size_t k = 0; k < m->code_count; k++) {
            bool this_one =
                m->codes[k].field == fields[i] && strcmp(m->codes[k].theirs, c.text) == 0;
            word = this_one ? m->codes[k].ours : word;
        }
        if (strcmp(word, wanted[i]) != 0) {
            return cell_at(&c, FAIL2(FEED_SAYS, c.header, c.text, wanted[i]));
        }
    }
    return RESULT_OK;
}

static bool read_stamp(struct table *t, struct cell *out_cell, struct stamp *out)
{
    struct stamp clock;
    if (!mapping_has(t->m, READINGS_DATE)) {
        *out_cell = table_cell(t, READINGS_TIME);
        return cell_stamp(t->m, out_cell, out).code == CODE_OK && out->has_time;
    }
    struct cell c = table_cell(t, READINGS_CLOCK);
    *out_cell = table_cell(t, READINGS_DATE);
    int32_t day;
    if (cell_day(t->m, out_cell, &day).code != CODE_OK ||
        cell_clock(t->m, &c, &clock).code != CODE_OK) {
        return false;
    }
    *out = clock;
    out->day = day;
    return true;
}

/* Time and number of the row. */
static void read_key(struct reader *d, struct table *t, struct reading_row *row)
{
    struct cell c;
    struct stamp s;
    bool fits = read_stamp(t, &c, &s);
    row->line = (int32_t)c.line;
    row->column = (int32_t)c.column;
    row->time = TIME_BAD;
    if (!fits) {
        tally_unread(d, &d->times, &c);
        return;
    }
    d->times.read++;
    row->ms = (int64_t)s.day * 86400000 + s.day_ms;
    if (d->r.has_n) {
        struct cell number = table_cell(t, READINGS_N);
        if (number.missing || cell_count(t->m, &number, 0, SERIES_N_MAX, &row->n).code != CODE_OK) {
            return;
        }
    }
    row->time = s.has_offset ? TIME_SETTLED : TIME_LOCAL;
    row->ms -= s.has_offset ? (int64_t)s.offset_min * 60000 : 0;
}

static enum reading_state read_value(struct reader *d, const struct cell *c, struct tally *tally,
                                     int32_t *out)
{
    const struct mapping *m = d->r.m;
    int64_t value;
    bool rounded;
    if (c->missing) {
        return READING_MISSING;
    }
    if (cell_number(m, c, m->scale, CELL_ROUNDED, &value, &rounded).code != CODE_OK ||
        value < INT32_MIN || value > INT32_MAX) {
        tally_unread(d, tally, c);
        return READING_UNREADABLE;
    }
    tally->read++;
    if (value < m->low || value > m->high) {
        return READING_RANGE;
    }
    d->r.rounded += rounded;
    *out = (int32_t)value;
    return READING_VALUE;
}

/* A checkweigher's weight goes to channel 1, of a rejected pack to channel 2. */
static void read_weight(struct reader *d, struct table *t, int32_t *value, uint8_t *state)
{
    struct cell c = table_cell(t, READINGS_CHANNEL);
    int32_t weight = 0;
    uint8_t weight_state = (uint8_t)read_value(d, &c, &d->channel[0], &weight);
    size_t at = 0;
    if (d->r.channels == 2) {
        struct cell verdict = table_cell(t, READINGS_VERDICT);
        const char *word = "";
        bool known = !verdict.missing &&
                     cell_word(t->arena, t->m, READINGS_VERDICT, &verdict, &word).code == CODE_OK &&
                     (strcmp(word, "accepted") == 0 || strcmp(word, "rejected") == 0);
        if (known) {
            d->channel[1].read++;
        } else if (!verdict.missing) {
            tally_unread(d, &d->channel[1], &verdict);
        }
        at = known && word[0] == 'r' ? 1 : 0;
        weight_state = known || weight_state != READING_VALUE ? weight_state
                       : verdict.missing                      ? READING_MISSING
                                                              : READING_UNREADABLE;
        state[1 - at] = READING_ABSENT;
    }
    state[at] = weight_state;
    value[at] = weight_state == READING_VALUE ? weight : 0;
}

/* The last cell's length and decimals: a line that is cut off has not those of the line before. */
static void note_last_cell(struct reader *d, const struct table *t)
{
    const struct cell *c = &t->cells[t->row.count - 1];
    const char *sign = strchr(c->text, d->r.m->decimal);
    int decimals = sign != NULL ? (int)(c->text + c->len - sign) - 1 : 0;
    d->last_alike = decimals > 0 ? decimals == d->last_decimals
                                 : d->last_decimals == 0 && c->len == d->last_len;
    d->last_alike = d->last_alike && d->r.count > 0;
    d->last_len = c->len;
    d->last_decimals = decimals;
}

static struct result read_row(struct reader *d, struct table *t)
{
    struct readings *r = &d->r;
    TRY(check_says(t));
    if (r->count == READINGS_ROWS_MAX) {
        return result_at(FAIL1(CSV_ROWS, r->file, "4000000"), t->row.line, 1);
    }
    grow(r);
    note_last_cell(d, t);
    struct reading_row *row = &r->row[r->count];
    int32_t *value = &r->value[r->count * r->channels];
    uint8_t *state = &r->state[r->count * r->channels];
    *row = (struct reading_row){0};
    read_key(d, t, row);
    memset(value, 0, r->channels * sizeof *value);
    if (r->m->kind == FEED_CHECKWEIGHER) {
        read_weight(d, t, value, state);
    } else {
        for (size_t c = 0; c < r->channels; c++) {
            struct cell cell = table_cell(t, READINGS_CHANNEL + (int)c);
            state[c] = (uint8_t)read_value(d, &cell, &d->channel[c], &value[c]);
        }
    }
    r->count++;
    return RESULT_OK;
}

/* A column of which most cells can't be read is not what the mapping takes it for. */
static struct result check_tally(const struct tally *t)
{
    if (t->unread <= t->read) {
        return RESULT_OK;
    }
    return cell_at(&t->first, FAIL1(FEED_UNREADABLE, t->first.header, t->first.text));
}

static struct result check_whole(const struct reader *d, const struct table *t)
{
    TRY(check_tally(&d->times));
    for (size_t c = 0; c < d->r.channels; c++) {
        TRY(check_tally(&d->channel[c]));
    }
    if (d->r.count == 0) {
        return result_at(FAIL0(FEED_EMPTY, d->r.file), t->header_line, 1);
    }
    if (t->open_end && !t->at_trailer && !d->last_alike) {
        const char *why = "its last line has no line end and not the form of the line before";
        return result_at(FAIL1(FEED_TRUNCATED, d->r.file, why), t->row.line, 1);
    }
    return RESULT_OK;
}

static struct result read_all(struct reader *d, struct table *t, struct feed_content *out)
{
    for (;;) {
        bool has;
        TRY(table_next(t, &has));
        if (!has) {
            break;
        }
        TRY(read_row(d, t));
    }
    TRY(check_whole(d, t));
    TRY(readings_settle(&d->r, &out->report));
    return readings_series(&d->r, out);
}

struct result readings_read(struct table *t, struct feed_content *out)
{
    struct reader d = {
        .r = {.m = t->m,
              .file = t->file->name,
              .arena = t->arena,
              .channels = (size_t)t->m->channels,
              .has_n = mapping_has(t->m, READINGS_N)},
    };
    struct result result = read_all(&d, t, out);
    free(d.r.row);
    free(d.r.value);
    free(d.r.state);
    return result;
}

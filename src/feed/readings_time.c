/* From what the clock showed to instants, and from rows to the order of the series. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "feed/readings.h"

enum { MINUTE_MS = 60000, HOUR_MS = 3600000, DAY_MS = 86400000 };

const char *readings_clock_text(struct arena *a, int64_t local_ms)
{
    struct civil c = civil_from_ms(local_ms, 0);
    return arena_printf(a, "%04d-%02d-%02d %02d:%02d:%02d", c.year, c.month, c.day, c.hour,
                        c.minute, c.second);
}

bool readings_same(const struct readings *r, size_t x, size_t y)
{
    size_t k = r->channels;
    return r->row[x].ms == r->row[y].ms && r->row[x].n == r->row[y].n &&
           memcmp(&r->value[x * k], &r->value[y * k], k * sizeof *r->value) == 0 &&
           memcmp(&r->state[x * k], &r->state[y * k], k) == 0;
}

static const char *time_header(const struct mapping *m)
{
    return m->column[READINGS_TIME] != NULL ? m->column[READINGS_TIME] : m->column[READINGS_DATE];
}

static struct result fail_at(const struct reading_row *row, struct result failure)
{
    return result_at(failure, row->line, row->column);
}

/* The offset of a whole local day, where no clock change is near. */
struct local_day {
    int64_t day;
    bool known, steady;
    int64_t offset_ms;
};

static void look_at_day(struct local_day *d, int64_t day)
{
    if (d->known && d->day == day) {
        return;
    }
    /* local midnight is within 14 hours of the same clock time in UTC; the day and its neighbours'
     * edges are covered */
    int before = civil_offset_min(day * DAY_MS - 15 * (int64_t)HOUR_MS);
    int after = civil_offset_min(day * DAY_MS + 39 * (int64_t)HOUR_MS);
    *d = (struct local_day){.day = day,
                            .known = true,
                            .steady = before == after,
                            .offset_ms = before * (int64_t)MINUTE_MS};
}

static struct result localize(struct readings *r, struct reading_row *row, struct local_day *d)
{
    look_at_day(d, row->ms / DAY_MS);
    if (d->steady) {
        row->ms -= d->offset_ms;
        row->time = TIME_SETTLED;
        return RESULT_OK;
    }
    struct civil c = civil_from_ms(row->ms, 0);
    int64_t ms;
    struct result result = civil_to_ms(&c, CIVIL_NO_OFFSET, time_header(r->m), &ms);
    if (result.code == CODE_TIME_TWICE) {
        row->time = TIME_REPEATED;
        return RESULT_OK;
    }
    if (result.code != CODE_OK) {
        return fail_at(row,
                       result); /* a time that never was: the file's clock is not the mapping's */
    }
    row->ms = ms;
    row->time = TIME_SETTLED;
    return RESULT_OK;
}

/* Rows first..last of the repeated hour, rows with a bad time among them. */
struct pass {
    size_t first, last;
    int64_t early_ms, late_ms; /* offsets, in force before and after the change */
};

static struct result fail_twice(const struct readings *r, const struct reading_row *row)
{
    return fail_at(row, FAIL2(TIME_TWICE, time_header(r->m), readings_clock_text(r->arena, row->ms),
                              civil_zone()));
}

static bool is_repeated(const struct readings *r, size_t i, int64_t day)
{
    return r->row[i].time == TIME_REPEATED && r->row[i].ms / DAY_MS == day;
}

/* The row at which the clock went back, or past the last when it never did. */
static struct result find_step_back(const struct readings *r, const struct pass *p, size_t *out)
{
    const struct reading_row *before = &r->row[p->first];
    *out = p->last + 1;
    for (size_t i = p->first + 1; i <= p->last; i++) {
        const struct reading_row *row = &r->row[i];
        if (row->time != TIME_REPEATED) {
            continue;
        }
        if (row->ms < before->ms && *out <= p->last) {
            return fail_at(row, FAIL2(FEED_CLOCK_BACK, r->file,
                                      readings_clock_text(r->arena, before->ms),
                                      readings_clock_text(r->arena, row->ms)));
        }
        *out = row->ms < before->ms ? i : *out;
        before = row;
    }
    return RESULT_OK;
}

/* A row that looks like the second pass, but comes too late for it and repeats one of the first: no
 * one can tell. */
static bool is_doubtful(const struct readings *r, const struct pass *p, size_t step)
{
    size_t before = step - 1;
    while (r->row[before].time != TIME_REPEATED) {
        before--;
    }
    int64_t apart = (r->row[step].ms - p->late_ms) - (r->row[before].ms - p->early_ms);
    bool again = false;
    for (size_t i = p->first; i < step; i++) {
        again = again || (r->row[i].time == TIME_REPEATED && readings_same(r, i, step));
    }
    return again && apart > readings_gap_ms(r->m);
}

/* Without a step back only one of the two passes is in the file: the one that goes on from its
 * neighbours. */
static struct result choose_pass(const struct readings *r, const struct pass *p, size_t *out_step)
{
    int64_t gap_ms = readings_gap_ms(r->m);
    bool early = false;
    bool late = false;
    for (size_t i = p->first; i > 0; i--) {
        if (r->row[i - 1].time == TIME_SETTLED) {
            int64_t apart = r->row[p->first].ms - p->early_ms - r->row[i - 1].ms;
            early = apart >= 0 && apart <= gap_ms;
            break;
        }
    }
    for (size_t i = p->last + 1; i < r->count; i++) {
        if (r->row[i].time == TIME_SETTLED) {
            int64_t apart = r->row[i].ms - (r->row[p->last].ms - p->late_ms);
            late = apart >= 0 && apart <= gap_ms;
            break;
        }
    }
    if (early == late) {
        return fail_twice(r, &r->row[p->first]);
    }
    *out_step = late ? p->first : p->last + 1;
    return RESULT_OK;
}

static struct result settle_pass(struct readings *r, struct pass *p)
{
    size_t step;
    int64_t day = r->row[p->first].ms / DAY_MS;
    p->early_ms = civil_offset_min((day - 1) * DAY_MS) * (int64_t)MINUTE_MS;
    p->late_ms = civil_offset_min((day + 2) * DAY_MS) * (int64_t)MINUTE_MS;
    TRY(find_step_back(r, p, &step));
    if (step > p->last) {
        TRY(choose_pass(r, p, &step));
    } else if (is_doubtful(r, p, step)) {
        return fail_twice(r, &r->row[step]);
    }
    for (size_t i = p->first; i <= p->last; i++) {
        if (r->row[i].time == TIME_REPEATED) {
            r->row[i].ms -= i < step ? p->early_ms : p->late_ms;
            r->row[i].time = TIME_SETTLED;
            r->repeated++;
        }
    }
    return RESULT_OK;
}

static struct result settle_repeated(struct readings *r)
{
    for (size_t i = 0; i < r->count; i++) {
        if (r->row[i].time != TIME_REPEATED) {
            continue;
        }
        struct pass p = {.first = i, .last = i};
        int64_t day = r->row[i].ms / DAY_MS;
        for (size_t k = i + 1; k < r->count; k++) {
            if (is_repeated(r, k, day)) {
                p.last = k;
            } else if (r->row[k].time != TIME_BAD) {
                break;
            }
        }
        TRY(settle_pass(r, &p));
    }
    return RESULT_OK;
}

/* Rows kept so far. */
struct order {
    size_t *kept;
    size_t count;
    size_t anew; /* where the device's numbers last began */
};

/* The kept row of the same number, or without numbers of the same time; SIZE_MAX when there is
 * none. */
static size_t find_kept(const struct readings *r, const struct order *o,
                        const struct reading_row *row)
{
    size_t low = r->has_n ? o->anew : 0;
    size_t high = o->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const struct reading_row *kept = &r->row[o->kept[middle]];
        bool below = r->has_n ? kept->n < row->n : kept->ms < row->ms;
        low = below ? middle + 1 : low;
        high = below ? high : middle;
    }
    if (low == o->count) {
        return SIZE_MAX;
    }
    const struct reading_row *kept = &r->row[o->kept[low]];
    return (r->has_n ? kept->n == row->n : kept->ms == row->ms) ? o->kept[low] : SIZE_MAX;
}

static struct result fail_order(const struct readings *r, const struct reading_row *last,
                                const struct reading_row *row)
{
    if (r->has_n && row->n < last->n) {
        return fail_at(row, FAIL2(FEED_NUMBER_BACK, r->file,
                                  arena_printf(r->arena, "%lld", (long long)last->n),
                                  arena_printf(r->arena, "%lld", (long long)row->n)));
    }
    return fail_at(row, FAIL2(FEED_CLOCK_BACK, r->file,
                              civil_text(r->arena, last->ms, civil_offset_min(last->ms)),
                              civil_text(r->arena, row->ms, civil_offset_min(row->ms))));
}

/* A row that is neither later nor a new number: an exact copy is dropped; one that differs spoils
 * the row of its time. */
static struct result place_again(struct readings *r, const struct order *o, size_t i,
                                 struct feed_report *report)
{
    size_t last = o->kept[o->count - 1];
    size_t twin = find_kept(r, o, &r->row[i]);
    uint8_t *state = twin != SIZE_MAX ? &r->state[twin * r->channels] : NULL;
    bool spoilt = state != NULL && (state[0] == READING_CONFLICT);
    if (state != NULL && readings_same(r, twin, i)) {
        feed_note(r->arena, report, FEED_MARK_DUPLICATE, r->row[i].line,
                  civil_text(r->arena, r->row[i].ms, civil_offset_min(r->row[i].ms)));
    } else if (twin == last || spoilt) {
        memset(state, READING_CONFLICT, r->channels);
        memset(&r->value[twin * r->channels], 0, r->channels * sizeof *r->value);
        r->conflicts++;
    } else {
        return fail_order(r, &r->row[last], &r->row[i]);
    }
    r->row[i].time = TIME_DROPPED;
    return RESULT_OK;
}

static struct result place(struct readings *r, struct order *o, size_t i,
                           struct feed_report *report)
{
    struct reading_row *row = &r->row[i];
    if (!r->has_n) {
        row->n = row->ms;
    }
    if (o->count > 0) {
        const struct reading_row *last = &r->row[o->kept[o->count - 1]];
        bool later = r->has_n ? row->n > last->n : row->ms > last->ms;
        bool anew = r->has_n && row->n <= 1 && last->n > 1 && row->ms > last->ms;
        if (!later && !anew) {
            return place_again(r, o, i, report);
        }
        if (row->ms < last->ms) {
            return fail_order(r, last, row);
        }
        o->anew = anew ? o->count : o->anew;
    }
    o->kept[o->count++] = i;
    row->time = TIME_KEPT;
    return RESULT_OK;
}

static struct result place_all(struct readings *r, struct order *o, struct feed_report *report)
{
    for (size_t i = 0; i < r->count; i++) {
        if (r->row[i].time == TIME_SETTLED) {
            TRY(place(r, o, i, report));
        }
    }
    return RESULT_OK;
}

struct result readings_settle(struct readings *r, struct feed_report *report)
{
    struct local_day day = {0};
    for (size_t i = 0; i < r->count; i++) {
        if (r->row[i].time == TIME_LOCAL) {
            TRY(localize(r, &r->row[i], &day));
        }
    }
    TRY(settle_repeated(r));
    struct order o = {.kept = calloc(r->count, sizeof *o.kept)};
    CHECK(o.kept != NULL);
    struct result result = place_all(r, &o, report);
    free(o.kept);
    return result;
}

#include "calc/heat/hold_check.h"

#include <stdio.h>

#include "base/check.h"
#include "calc/range.h"

enum { US_PER_MS = 1000, US_PER_S = 1000000 };

#define HOLD_MAX_MS INT64_C(86400000000)

/* A stretch in which every probe is hot enough, in microseconds after the first point. */
struct stretch {
    int64_t from_us;
    int64_t to_us;
};

struct scan {
    const struct heat_log_mc *log;
    const struct hold_recipe *recipe;
    int64_t cool_us; /* INT64_MAX where not known */
    bool found;
    bool judged_good; /* the judged stretch meets hold and cooling */
    struct stretch judged;
};

static struct result recipe_check(const struct hold_recipe *r)
{
    TRY(range_check("temp_mc", r->temp_mc, -60000, 300000));
    TRY(range_check("hold_ms", r->hold_ms, 1, HOLD_MAX_MS));
    TRY(range_check("cool_within_ms", r->cool_within_ms, HOLD_COOL_ANY, HOLD_MAX_MS));
    TRY(range_check("gap_max_ms", r->gap_max_ms, 1, HOLD_GAP_MAX_MS));
    if (r->has_cool_start) {
        TRY(range_check("cool_start_ms", r->cool_start_ms, -HEAT_TIME_MAX_MS, HEAT_TIME_MAX_MS));
    }
    return RESULT_OK;
}

/* How far a probe, less its uncertainty, is above the recipe's temperature. */
static int64_t margin_mc(const struct scan *s, size_t point, size_t probe)
{
    return (int64_t)s->log->temp_mc[point * s->log->probes + probe] -
           s->log->uncertainty_mc[probe] - s->recipe->temp_mc;
}

static bool all_hot(const struct scan *s, size_t point)
{
    for (size_t k = 0; k < s->log->probes; k++) {
        if (margin_mc(s, point, k) < 0) {
            return false;
        }
    }
    return true;
}

/* Differences first: a log may stand anywhere on the calendar. */
static int64_t point_us(const struct scan *s, size_t point)
{
    return (s->log->time_ms[point] - s->log->time_ms[0]) * US_PER_MS;
}

static int64_t seconds(const struct stretch *x)
{
    return (x->to_us - x->from_us) / US_PER_S;
}

static bool is_good(const struct scan *s, const struct stretch *x)
{
    if (seconds(x) * 1000 < s->recipe->hold_ms) {
        return false;
    }
    if (s->recipe->cool_within_ms == HOLD_COOL_ANY) {
        return true;
    }
    return s->recipe->has_cool_start &&
           s->cool_us - x->to_us <= s->recipe->cool_within_ms * US_PER_MS;
}

/* A stretch has ended: keep it if it meets the recipe, or is longer than what was kept. */
static void offer(struct scan *s, struct stretch x)
{
    if (x.to_us > s->cool_us) {
        x.to_us = s->cool_us;
    }
    if (x.to_us < x.from_us) {
        return;
    }
    bool good = is_good(s, &x);
    bool longer = x.to_us - x.from_us > s->judged.to_us - s->judged.from_us;
    if (!s->found || (good && !s->judged_good) || (good == s->judged_good && longer)) {
        s->judged = x;
        s->judged_good = good;
    }
    s->found = true;
}

/* The part of the interval before point in which every probe is hot enough; empty when it ends
 * before it begins. Crossings are rounded towards the inside. */
static struct stretch interval_hot(const struct scan *s, size_t point)
{
    struct stretch x = {point_us(s, point - 1), point_us(s, point)};
    int64_t begin_us = x.from_us;
    int64_t dt_us = x.to_us - x.from_us; /* at most 8.64e10; times 6e5 mC stays in 64 bits */
    for (size_t k = 0; k < s->log->probes; k++) {
        int64_t a = margin_mc(s, point - 1, k);
        int64_t b = margin_mc(s, point, k);
        if (a < 0 && b < 0) {
            return (struct stretch){1, 0};
        }
        if (a < 0) {
            int64_t enter_us = begin_us + (-a * dt_us + (b - a) - 1) / (b - a);
            x.from_us = enter_us > x.from_us ? enter_us : x.from_us;
        } else if (b < 0) {
            int64_t leave_us = begin_us + a * dt_us / (a - b);
            x.to_us = leave_us < x.to_us ? leave_us : x.to_us;
        }
    }
    return x;
}

static void scan_log(struct scan *s, struct hold_report *out)
{
    bool open = all_hot(s, 0);
    struct stretch now = {0, 0};
    for (size_t i = 1; i < s->log->points; i++) {
        int64_t dt_ms = s->log->time_ms[i] - s->log->time_ms[i - 1];
        bool hot = all_hot(s, i);
        out->gap_longest_ms = dt_ms > out->gap_longest_ms ? dt_ms : out->gap_longest_ms;
        if (dt_ms > s->recipe->gap_max_ms) {
            out->gaps++;
            if (open) {
                offer(s, now);
            }
            now = (struct stretch){point_us(s, i), point_us(s, i)};
            open = hot;
            continue;
        }
        struct stretch x = interval_hot(s, i);
        if (open) {
            now.to_us = x.to_us;
        } else {
            now = x;
        }
        if (!hot && (open || now.from_us <= now.to_us)) {
            offer(s, now);
        }
        open = hot;
    }
    if (open) {
        offer(s, now);
    }
}

static void coldest_find(const struct heat_log_mc *log, struct hold_report *out)
{
    for (size_t k = 0; k < log->probes; k++) {
        int32_t peak_mc = INT32_MIN;
        for (size_t i = 0; i < log->points; i++) {
            int32_t temp_mc = log->temp_mc[i * log->probes + k] - log->uncertainty_mc[k];
            peak_mc = temp_mc > peak_mc ? temp_mc : peak_mc;
        }
        if (k == 0 || peak_mc < out->coldest_peak_mc) {
            out->coldest_peak_mc = peak_mc;
            out->coldest_probe = k;
        }
    }
}

static int64_t ceil_ms(int64_t us)
{
    return us / US_PER_MS + (us % US_PER_MS > 0);
}

static int64_t floor_ms(int64_t us)
{
    return us / US_PER_MS - (us % US_PER_MS < 0);
}

static void report_fill(const struct scan *s, struct hold_report *out)
{
    const struct hold_recipe *recipe = s->recipe;
    int64_t zero_ms = s->log->time_ms[0];
    if (!s->found) {
        out->state = HOLD_NEVER_REACHED;
        return;
    }
    out->hold_s = seconds(&s->judged);
    out->hold_start_ms = zero_ms + ceil_ms(s->judged.from_us);
    out->hold_end_ms = zero_ms + floor_ms(s->judged.to_us);
    if (recipe->has_cool_start) {
        out->has_cool_delay = true;
        out->cool_delay_ms = ceil_ms(s->cool_us - s->judged.to_us);
    }
    if (s->judged_good) {
        out->state = HOLD_MET;
    } else if (out->hold_s * 1000 < recipe->hold_ms) {
        out->state = HOLD_TOO_SHORT;
    } else {
        out->state = recipe->has_cool_start ? HOLD_COOL_LATE : HOLD_COOL_UNKNOWN;
    }
    out->met = out->state == HOLD_MET;
}

struct result hold_check(const struct heat_log_mc *log, const struct hold_recipe *recipe,
                         struct hold_report *out)
{
    *out = (struct hold_report){.state = HOLD_NO_DATA};
    TRY(recipe_check(recipe));
    TRY(heat_log_mc_check(log));
    if (log->points < 2 || log->time_ms[0] == log->time_ms[log->points - 1]) {
        return RESULT_OK;
    }
    struct scan s = {.log = log, .recipe = recipe, .cool_us = INT64_MAX};
    if (recipe->has_cool_start) {
        s.cool_us = (recipe->cool_start_ms - log->time_ms[0]) * US_PER_MS;
    }
    coldest_find(log, out);
    scan_log(&s, out);
    report_fill(&s, out);
    return RESULT_OK;
}

const char *hold_state_word(enum hold_state state)
{
    static const char *const words[] = {"met",       "no-data",      "never-reached",
                                        "too-short", "cool-unknown", "cool-late"};
    CHECK((size_t)state < sizeof words / sizeof words[0]);
    return words[state];
}

#include "calc/heat/cooling_check.h"

#include "base/check.h"
#include "calc/range.h"

enum { US_PER_MS = 1000, GAP_MAX_MS = 86400000 };

static const size_t nowhere = (size_t)-1;

static int64_t probe_mc(const struct heat_log_mc *log, size_t point, size_t probe)
{
    return (int64_t)log->temp_mc[point * log->probes + probe] + log->uncertainty_mc[probe];
}

static int64_t warmest_mc(const struct heat_log_mc *log, size_t point)
{
    int64_t out = probe_mc(log, point, 0);
    for (size_t k = 1; k < log->probes; k++) {
        int64_t temp_mc = probe_mc(log, point, k);
        out = temp_mc > out ? temp_mc : out;
    }
    return out;
}

/* Differences first: a log may stand anywhere on the calendar. */
static int64_t point_us(const struct heat_log_mc *log, size_t point)
{
    return (log->time_ms[point] - log->time_ms[0]) * US_PER_MS;
}

/* The last point at or above limit_mc; nowhere where none is. */
static size_t last_above(const struct heat_log_mc *log, int64_t limit_mc)
{
    for (size_t i = log->points; i > 0; i--) {
        if (warmest_mc(log, i - 1) >= limit_mc) {
            return i - 1;
        }
    }
    return nowhere;
}

/* Was any point up to and with last below the limit? */
static bool was_below(const struct heat_log_mc *log, size_t last, int64_t limit_mc)
{
    for (size_t i = 0; i < last; i++) {
        if (warmest_mc(log, i) < limit_mc) {
            return true;
        }
    }
    return false;
}

/* When the last probe comes down to limit_mc between point and the next one, at which none is above
 * it. up: rounded up, otherwise down. In an interval longer than a day nothing is known: its end or
 * its begin, which also keeps the product within 64 bits. */
static int64_t cross_us(const struct heat_log_mc *log, size_t point, int64_t limit_mc, bool up)
{
    int64_t begin_us = point_us(log, point);
    int64_t dt_us = point_us(log, point + 1) - begin_us;
    if (dt_us > (int64_t)GAP_MAX_MS * US_PER_MS) {
        return up ? begin_us + dt_us : begin_us;
    }
    int64_t latest_us = 0;
    for (size_t k = 0; k < log->probes; k++) {
        int64_t above_mc = probe_mc(log, point, k) - limit_mc;
        int64_t fall_mc = probe_mc(log, point, k) - probe_mc(log, point + 1, k);
        if (above_mc <= 0) {
            continue;
        }
        int64_t share = above_mc * dt_us;
        int64_t us = (up ? share + fall_mc - 1 : share) / fall_mc;
        latest_us = us > latest_us ? us : latest_us;
    }
    return begin_us + latest_us;
}

/* The clock's start: the point before it, and the moment. */
static size_t stage_start(const struct heat_log_mc *log, const struct cooling_stage *stage,
                          struct cooling_stage_report *out)
{
    if (stage->from_begin) {
        return 0;
    }
    size_t last = last_above(log, stage->from_mc);
    if (last == nowhere) {
        out->state = COOLING_START_LOST;
        return 0;
    }
    if (last + 1 == log->points) {
        out->state = COOLING_NOT_BEGUN;
        out->start_us = point_us(log, last);
        return last;
    }
    out->start_us = cross_us(log, last, stage->from_mc, false);
    if (was_below(log, last, stage->from_mc)) {
        out->state = COOLING_REWARMED;
    }
    return last;
}

/* The point at which the stage ends, or the last one of the log. */
static size_t stage_end(const struct heat_log_mc *log, const struct cooling_stage *stage,
                        struct cooling_stage_report *out)
{
    int64_t too_warm_mc = stage->to_mc + (stage->below ? 0 : 1);
    size_t last = last_above(log, too_warm_mc);
    if (last == nowhere) {
        out->reached = true;
        return 0;
    }
    out->reopened = was_below(log, last, too_warm_mc);
    if (last + 1 == log->points) {
        return last;
    }
    out->reached = true;
    out->crossed_us = cross_us(log, last, stage->to_mc, true);
    return last + 1;
}

static bool gap_between(const struct heat_log_mc *log, size_t from, size_t to, int64_t gap_max_ms)
{
    for (size_t i = from; i < to; i++) {
        if (log->time_ms[i + 1] - log->time_ms[i] > gap_max_ms) {
            return true;
        }
    }
    return false;
}

static void stage_judge(const struct heat_log_mc *log, const struct cooling_stage *stage,
                        int64_t gap_max_ms, struct cooling_stage_report *out)
{
    *out = (struct cooling_stage_report){.state = COOLING_DONE};
    size_t from = stage_start(log, stage, out);
    size_t to = stage_end(log, stage, out);
    out->late_us = point_us(log, to);
    if (out->state == COOLING_NOT_BEGUN) {
        return;
    }
    /* Whatever else is unknown, this much time it took at least. */
    if (out->late_us - out->start_us > stage->limit_ms * US_PER_MS) {
        out->state = COOLING_LATE;
    } else if (out->state != COOLING_DONE) {
        return;
    } else if (gap_between(log, from, to, gap_max_ms)) {
        out->state = COOLING_GAP;
    } else if (!out->reached) {
        out->state = COOLING_OPEN;
    }
}

static enum cooling_verdict start_judge(const struct heat_log_mc *log,
                                        const struct cooling_ask *ask)
{
    if (ask->rule->start_within_ms == 0) {
        return COOLING_PASS;
    }
    if (!ask->has_chill_start) {
        return COOLING_REVIEW;
    }
    bool late = ask->chill_start_ms - log->time_ms[0] > ask->rule->start_within_ms;
    return late ? COOLING_FAIL : COOLING_PASS;
}

static void gaps_count(const struct heat_log_mc *log, int64_t gap_max_ms,
                       struct cooling_report *out)
{
    for (size_t i = 1; i < log->points; i++) {
        int64_t dt_ms = log->time_ms[i] - log->time_ms[i - 1];
        out->gaps += dt_ms > gap_max_ms;
        out->gap_longest_ms = dt_ms > out->gap_longest_ms ? dt_ms : out->gap_longest_ms;
    }
}

struct result cooling_check(const struct heat_log_mc *log, const struct cooling_ask *ask,
                            struct cooling_report *out)
{
    *out = (struct cooling_report){.verdict = COOLING_REVIEW, .no_data = true};
    TRY(range_check("gap_max_ms", ask->gap_max_ms, 1, GAP_MAX_MS));
    if (ask->has_chill_start) {
        TRY(range_check("chill_start_ms", ask->chill_start_ms, -HEAT_TIME_MAX_MS,
                        HEAT_TIME_MAX_MS));
    }
    TRY(heat_log_mc_check(log));
    if (log->points < 2 || log->time_ms[0] == log->time_ms[log->points - 1]) {
        return RESULT_OK;
    }
    out->no_data = false;
    out->stages = ask->rule->stages;
    out->start = start_judge(log, ask);
    gaps_count(log, ask->gap_max_ms, out);
    bool failed = out->start == COOLING_FAIL;
    bool open = out->start == COOLING_REVIEW || !ask->rule->whole;
    for (size_t i = 0; i < out->stages; i++) {
        stage_judge(log, &ask->rule->stage[i], ask->gap_max_ms, &out->stage[i]);
        failed = failed || out->stage[i].state == COOLING_LATE;
        open = open || out->stage[i].state != COOLING_DONE;
    }
    out->verdict = failed ? COOLING_FAIL : open ? COOLING_REVIEW : COOLING_PASS;
    return RESULT_OK;
}

const char *cooling_verdict_word(enum cooling_verdict verdict)
{
    static const char *const words[] = {"pass", "fail", "review"};
    CHECK((size_t)verdict < sizeof words / sizeof words[0]);
    return words[verdict];
}

const char *cooling_state_word(enum cooling_state state)
{
    static const char *const words[] = {"done",       "late",     "open", "not-begun",
                                        "start-lost", "rewarmed", "gap"};
    CHECK((size_t)state < sizeof words / sizeof words[0]);
    return words[state];
}

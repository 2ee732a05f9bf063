#include "ledger/treat_findings.h"

#include "base/civil.h"
#include "base/decimal.h"

/* A log coarser than this part of the hold can miss its beginning and its end: common practice. */
enum { HOLD_PARTS = 5 };

static const char *seconds(struct draft *d, int64_t ms)
{
    return decimal_text(d->arena, ms, 3, false);
}

static struct result find_gaps(struct draft *d, int64_t load, const char *load_code,
                               const char *place, const struct treat_log *log, int64_t gap_max_ms)
{
    for (size_t i = 1; i < log->mc.points; i++) {
        int64_t from_ms = log->mc.time_ms[i - 1], to_ms = log->mc.time_ms[i];
        if (to_ms - from_ms > gap_max_ms) {
            return draft_deviation(d, "log-gap", load, place, from_ms, to_ms,
                                   FAIL3(LOG_GAP, "log", load_code, seconds(d, to_ms - from_ms),
                                         civil_short(d->arena, from_ms)));
        }
    }
    return RESULT_OK;
}

struct result treat_findings(struct draft *d, int64_t load, const char *load_code,
                             const char *place, const struct treat_log *log, int64_t hold_ms,
                             int64_t gap_max_ms)
{
    int64_t usual_ms = heat_log_usual_ms(d->arena, log->mc.time_ms, log->mc.points);
    int64_t from_ms = log->mc.points > 0 ? log->mc.time_ms[0] : 0;
    int64_t to_ms = log->mc.points > 0 ? log->mc.time_ms[log->mc.points - 1] : 0;
    if (hold_ms > 0 && usual_ms * HOLD_PARTS > hold_ms) {
        TRY(draft_deviation(
            d, "log-coarse", load, place, from_ms, to_ms,
            FAIL3(LOG_COARSE, "log", load_code, seconds(d, usual_ms), seconds(d, hold_ms))));
    }
    if (log->lost > 0) {
        TRY(draft_deviation(
            d, "probe-lost", load, place, from_ms, to_ms,
            FAIL2(PROBE_LOST, "log", load_code, arena_printf(d->arena, "%zu", log->lost))));
    }
    gap_max_ms = gap_max_ms > 0 ? gap_max_ms : heat_log_gap_max_ms(usual_ms);
    return find_gaps(d, load, load_code, place, log, gap_max_ms);
}

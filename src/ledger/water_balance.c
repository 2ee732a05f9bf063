#include "ledger/water_balance.h"

#include "ledger/evidence.h"
#include "ledger/view.h"

#define DAY_MS INT64_C(86400000)
/* Of older readings nothing follows any more. */
#define BACK_MS (60 * DAY_MS)

/* The newest of each, and what of it leaves: the smaller where both were read, as the larger would
 * thin more than was seen. */
static int64_t leaves(const struct water_book *b, int64_t from_ms, bool *out_read)
{
    int64_t newest[2] = {-1, -1};
    for (size_t i = 0; i < b->read_count; i++) {
        const struct water_read *r = &b->reads[i];
        if (r->at_ms >= from_ms && (r->meter == METER_MAKE_UP || r->meter == METER_BLOW_DOWN)) {
            newest[r->meter == METER_BLOW_DOWN] = r->value;
        }
    }
    *out_read = newest[0] >= 0 || newest[1] >= 0;
    int64_t least =
        newest[0] < 0 || (newest[1] >= 0 && newest[1] < newest[0]) ? newest[1] : newest[0];
    return *out_read ? least : 0;
}

static void take_seen(const struct water_book *b, struct arena *a, int64_t from_ms,
                      struct water_balance *out)
{
    struct wash_seen *seen = NULL;
    for (size_t i = 0; i < b->read_count; i++) {
        const struct water_read *r = &b->reads[i];
        if (r->meter == out->measure && r->at_ms >= from_ms) {
            struct wash_seen *one = evidence_grow(a, &seen, &out->seen_count, sizeof *one);
            *one = (struct wash_seen){.at_ms = r->at_ms, .level_milli = r->value};
        }
    }
    out->seen = seen;
}

static void judge(struct water_balance *b, int64_t now_ms)
{
    int64_t planned_ms = b->next_change_ms != 0 ? b->next_change_ms : now_ms + DAY_MS;
    b->change_by_ms = b->next_change_ms;
    if (b->forecast.reach == WASH_ABOVE_NOW) {
        b->due = true;
        b->change_by_ms = now_ms;
    } else if (b->forecast.reach == WASH_REACHES && b->forecast.reach_ms < planned_ms) {
        b->due = true;
        b->change_by_ms = b->forecast.reach_ms;
    } else if (b->next_change_ms != 0 && b->next_change_ms <= now_ms && b->seen_count > 0) {
        b->due = true; /* it has been used since it was new */
    }
}

struct result water_balance(struct store *s, struct arena *a, const struct profile *p,
                            const char *place, int64_t now_ms, struct water_balance *out)
{
    struct water_book b;
    struct limit limit = {0};
    *out = (struct water_balance){.measure = METERS};
    TRY(water_book_read(s, a, place, now_ms - BACK_MS, now_ms, &b));
    const struct water_loop *loop = water_loop_at(&b, now_ms);
    if (loop == NULL || loop->measure == METERS) {
        return RESULT_OK;
    }
    out->measure = loop->measure;
    const char *name = water_meters[loop->measure].limit;
    if (profile_limit(p, name, NULL) != NULL) {
        TRY(limit_in_force(s, p, name, NULL, now_ms, &limit));
    }
    if (!limit.has_high || limit.high <= 0) {
        return RESULT_OK;
    }
    out->followed = true;
    out->limit_milli = limit.high;
    out->source = limit.source;
    TRY(water_changed(s, place, now_ms, &out->changed_ms));
    out->changed_ms = out->changed_ms < now_ms - BACK_MS ? 0 : out->changed_ms;
    int64_t begun_ms = out->changed_ms != 0 ? out->changed_ms : loop->from_ms;
    out->next_change_ms = loop->change_ms != 0 ? begun_ms + loop->change_ms : 0;
    out->record = (struct wash_record){.volume_ml = loop->volume_ml,
                                       .supply_milli = loop->fresh_milli,
                                       .leaves_ml_h = leaves(&b, begun_ms, &out->flows_read),
                                       .decay_milli = loop->decay_milli,
                                       .limit_milli = limit.high};
    take_seen(&b, a, begun_ms, out);
    TRY(wash_forecast(&out->record, out->seen, out->seen_count, &out->forecast));
    judge(out, now_ms);
    return RESULT_OK;
}

#include "ledger/water_credit.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"

static const enum water_meter needed[] = {METER_CHLORINE, METER_PH, METER_TEMP};

void water_period_at(const struct water_book *b, const struct profile *p, int64_t at_ms,
                     int64_t *out_from_ms, int64_t *out_to_ms)
{
    int32_t day = day_of_house(at_ms, civil_offset_min(at_ms), p->day_starts_min);
    struct result r = house_day_begin(day, p->day_starts_min, out_from_ms);
    CHECK(r.code == CODE_OK);
    r = house_day_begin(day + 1, p->day_starts_min, out_to_ms);
    CHECK(r.code == CODE_OK);
    for (size_t i = 0; i < b->restart_count; i++) {
        int64_t restart_ms = b->restarts[i];
        if (restart_ms <= at_ms && restart_ms > *out_from_ms) {
            *out_from_ms = restart_ms;
        }
        if (restart_ms > at_ms && restart_ms < *out_to_ms) {
            *out_to_ms = restart_ms;
        }
    }
}

static bool is_worse(enum water_meter meter, int64_t value, int64_t than)
{
    return meter == METER_PH || meter == METER_FLOW ? value > than : value < than;
}

/* -> whether one of the good readings is behind each value that is needed. */
static bool take_worst(const struct water_book *b, int64_t from_ms, int64_t to_ms,
                       int64_t without_entry, struct water_credit *out)
{
    bool good[METERS] = {false};
    for (size_t i = 0; i < b->read_count; i++) {
        const struct water_read *r = &b->reads[i];
        if (r->at_ms < from_ms || r->at_ms >= to_ms || r->entry == without_entry) {
            continue;
        }
        good[r->meter] = good[r->meter] || r->ok;
        if (!out->has[r->meter] || is_worse(r->meter, r->value, out->worst[r->meter])) {
            out->has[r->meter] = true;
            out->worst[r->meter] = r->value;
            out->entry[r->meter] = r->entry;
        }
    }
    return good[METER_CHLORINE] && good[METER_PH] && good[METER_TEMP];
}

/* Of each code the version that stood at the end of the period. */
static void take_tanks(const struct water_book *b, int64_t to_ms, struct water_credit *out)
{
    for (size_t i = 0; i < b->tank_count;) {
        const struct water_tank *t = NULL;
        const char *code = b->tanks[i].code;
        for (; i < b->tank_count && strcmp(b->tanks[i].code, code) == 0; i++) {
            t = b->tanks[i].from_ms < to_ms ? &b->tanks[i] : t;
        }
        if (t == NULL || !t->active || out->tank_count == CT_RECORD_TANKS_MAX) {
            continue;
        }
        bool faster = out->has[METER_FLOW] && out->worst[METER_FLOW] > t->flow_ml_min;
        out->tanks[out->tank_count++] = (struct water_credit_tank){
            .code = code,
            .tank = {.volume_ml = t->volume_ml,
                     .flow_ml_min = faster ? out->worst[METER_FLOW] : t->flow_ml_min,
                     .baffling_milli = t->baffling_milli}};
    }
}

static bool work_out(struct water_credit *out)
{
    struct ct_record_tank tanks[CT_RECORD_TANKS_MAX];
    struct ct_record each[CT_RECORD_TANKS_MAX];
    struct ct_record_water worst = {.chlorine_milli = out->worst[METER_CHLORINE],
                                    .ph_milli = out->worst[METER_PH],
                                    .temp_mc = out->worst[METER_TEMP]};
    for (size_t i = 0; i < out->tank_count; i++) {
        tanks[i] = out->tanks[i].tank;
    }
    /* what it was told by was held against the same ends: it does not fail but for a flow or volume
     * beyond all reason, which is then worth nothing */
    if (ct_record(tanks, out->tank_count, &worst, each, &out->worth).code != CODE_OK) {
        return false;
    }
    for (size_t i = 0; i < out->tank_count; i++) {
        out->tanks[i].worth = each[i];
    }
    return true;
}

void water_credit(const struct water_book *b, const struct profile *p, int64_t at_ms,
                  int64_t from_ms, int64_t to_ms, int64_t without_entry, struct water_credit *out)
{
    *out = (struct water_credit){0};
    const struct water_loop *loop = water_loop_at(b, at_ms);
    const struct water_rule *rule =
        loop != NULL && loop->rule != NULL ? profile_water_rule(p, loop->rule) : NULL;
    out->asked = rule != NULL && (rule->giardia_milli > 0 || rule->virus_milli > 0);
    if (!out->asked) {
        return;
    }
    out->rule = rule;
    bool good = take_worst(b, from_ms, to_ms, without_entry, out);
    take_tanks(b, to_ms, out);
    bool all = out->tank_count > 0;
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        all = all && out->has[needed[i]];
    }
    if (!all) {
        return;
    }
    out->known = work_out(out) && good;
    out->low = out->worth.giardia_milli < rule->giardia_milli ||
               out->worth.virus_milli < rule->virus_milli;
}

const char *water_credit_text(struct arena *a, const struct water_credit *c)
{
    CHECK(c->asked);
    return arena_printf(a, "Giardia %s (%s), virus %s (%s)",
                        decimal_text(a, c->worth.giardia_milli, 3, false),
                        decimal_text(a, c->rule->giardia_milli, 3, false),
                        decimal_text(a, c->worth.virus_milli, 3, false),
                        decimal_text(a, c->rule->virus_milli, 3, false));
}

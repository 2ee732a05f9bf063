/* Which decisions an entry reopens. */
#include "ledger/judge_subject.h"

#include <string.h>

#include "base/check.h"
#include "ledger/piece.h"
#include "ledger/touch.h"

static struct result touch_entry(struct consequence *c, int64_t seq, struct id_set *lots)
{
    struct entry e;
    bool found;
    TRY(entry_by_seq(c->lg->store, c->arena, seq, &e, &found));
    CHECK(found);
    return touch_add(c->lg->store, c->arena, &e, lots);
}

struct result judge_column(struct statement *q, struct id_set *out)
{
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        id_set_add(out, store_int(q, 0));
    }
}

/* What was struck, and what was put in its place. */
static struct result subject_of_strike(struct consequence *c, struct judge_subject *out)
{
    struct id_set struck = id_set_new(c->arena), caused = id_set_new(c->arena);
    struct statement *q = store_prepare(c->lg->store, Q_STRUCK_ENTRIES);
    store_bind_int(q, 1, c->cause_seq);
    TRY(judge_column(q, &struck));
    q = store_prepare(c->lg->store, Q_DAYBOOK_CAUSED_BY);
    store_bind_int(q, 1, c->cause_seq);
    TRY(judge_column(q, &caused));
    for (size_t i = 0; i < struck.count; i++) {
        TRY(touch_entry(c, struck.id[i], &out->lots));
        TRY(releases_naming(c->lg->store, c->arena, struck.id[i], &out->lots));
    }
    for (size_t i = 0; i < caused.count; i++) {
        TRY(touch_entry(c, caused.id[i], &out->lots));
    }
    return RESULT_OK;
}

/* Everything measured with an instrument since it was last known to be good: what was read or
 * treated by it is evidence no more; what was weighed by it is judged by its clauses. */
static struct result subject_of_calibration(struct consequence *c, const json_t *effect,
                                            struct judge_subject *out)
{
    const char *instrument = effect_text(effect, 1);
    int64_t error = effect_int(effect, 3), at_ms = effect_int(effect, 6);
    struct statement *q = store_prepare(c->lg->store, Q_JUDGE_CALIBRATED);
    store_bind_text(q, 1, instrument);
    store_bind_int(q, 2, at_ms);
    store_bind_int(q, 3, c->cause_seq);
    bool row;
    TRY(store_step(q, &row));
    int64_t since_ms = row ? store_int(q, 0) : INT64_MIN / 2;
    while (row) {
        TRY(store_step(q, &row));
    }
    static const enum query queries[] = {Q_JUDGE_MEASURED, Q_JUDGE_WEIGHED};
    for (int i = 0; i < 2; i++) {
        q = store_prepare(c->lg->store, queries[i]);
        store_bind_text(q, 1, instrument);
        store_bind_int(q, 2, since_ms);
        store_bind_int(q, 3, at_ms);
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            if (i == 0) {
                id_set_add(&out->void_entries, store_int(q, 0));
            }
            if (!store_is_null(q, i == 0 ? 1 : 0)) {
                id_set_add(&out->lots, store_int(q, i == 0 ? 1 : 0));
            }
        }
    }
    for (size_t i = 0; i < out->void_entries.count; i++) {
        TRY(releases_naming(c->lg->store, c->arena, out->void_entries.id[i], &out->lots));
    }
    out->void_reason =
        FAIL2(INSTRUMENT_WRONG, "", instrument, arena_printf(c->arena, "%lld", (long long)error));
    return RESULT_OK;
}

/* decide_calibrate says whether it was beyond what its readings had been taken for. */
static struct result found_wrong(struct consequence *c, const struct entry *e,
                                 struct judge_subject *out)
{
    json_t *effects, *effect, *calibration = NULL;
    bool wrong = false;
    size_t i;
    TRY(entry_effects(e, &effects));
    json_array_foreach(effects, i, effect)
    {
        calibration = effect_is(effect, "calibration") ? effect : calibration;
        wrong = wrong || (effect_is(effect, "deviation") &&
                          strcmp(effect_text(effect, 2), "calibration-off") == 0);
    }
    struct result r =
        wrong && calibration != NULL ? subject_of_calibration(c, calibration, out) : RESULT_OK;
    json_decref(effects);
    return r;
}

/* A corrected series: what was treated by the piece that it takes the place of was judged by a log
 * that no longer stands. */
static struct result subject_of_seal(struct consequence *c, struct judge_subject *out)
{
    const char *text = json_string_value(json_object_get(c->cause->body, "replaces"));
    struct piece p;
    struct hash sha;
    bool found;
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(hex_read(text, "replaces", sha.b, sizeof sha.b));
    TRY(piece_by_sha(c->lg->store, c->arena, &sha, &p, &found));
    if (!found) {
        return RESULT_OK;
    }
    TRY(piece_readers(c->lg->store, &p, &out->void_entries));
    for (size_t i = 0; i < out->void_entries.count; i++) {
        TRY(releases_naming(c->lg->store, c->arena, out->void_entries.id[i], &out->lots));
    }
    out->void_reason = FAIL1(LOG_REPLACED, "", p.series);
    return RESULT_OK;
}

static struct result subject_of_rules(struct consequence *c, struct judge_subject *out)
{
    struct statement *q = store_prepare(c->lg->store, Q_JUDGE_IN_TRADE);
    store_bind_int(q, 1, c->cause->day);
    TRY(judge_column(q, &out->lots));
    if (strcmp(c->cause->kind, "profile") != 0 || out->lots.count == 0) {
        return RESULT_OK;
    }
    q = store_prepare(c->lg->store, Q_PROFILE_IN_FORCE);
    store_bind_int(q, 1, c->cause->recorded_ms);
    bool row;
    struct result r = RESULT_OK;
    TRY(store_step(q, &row));
    if (row) {
        size_t len;
        const void *text = store_bytes(q, 1, &len);
        r = text != NULL ? profile_read(text, len, &out->profile)
                         : FAIL1(STORE_DAMAGED, "", "the profile's text is missing");
    }
    while (row && r.code == CODE_OK) {
        r = store_step(q, &row);
    }
    return r;
}

/* Does the entry take something away from decisions already made, whenever it happened? */
static struct result takes_away(struct consequence *c, bool *out)
{
    const char *act = c->cause->act;
    *out = strcmp(act, "environment") == 0;
    if (strcmp(act, "approve") == 0) {
        const char *state = json_string_value(json_object_get(c->cause->body, "state"));
        *out = state == NULL || strcmp(state, "approved") != 0;
    }
    if (strcmp(act, "result") != 0 && strcmp(act, "second-reading") != 0) {
        return RESULT_OK;
    }
    struct statement *q = store_prepare(c->lg->store, Q_JUDGE_FINDING_HARMLESS);
    store_bind_int(q, 1, c->cause_seq);
    bool row;
    TRY(store_step(q, &row));
    *out = row && store_int(q, 0) > 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result subject_of_entry(struct consequence *c, int64_t newest_ms,
                                      struct judge_subject *out)
{
    struct entry e;
    bool found, away;
    TRY(takes_away(c, &away));
    out->after_ms = away ? INT64_MIN : c->cause->happened_ms;
    if (!away && newest_ms <= c->cause->happened_ms) {
        return RESULT_OK; /* no decision was booked since it happened */
    }
    TRY(entry_by_seq(c->lg->store, c->arena, c->cause_seq, &e, &found));
    CHECK(found);
    if (list_has("calibrate,instrument-check", c->cause->act)) {
        return found_wrong(c, &e, out);
    }
    return touch_add(c->lg->store, c->arena, &e, &out->lots);
}

struct result judge_subject_of(struct consequence *c, struct judge_subject *out)
{
    static const char no_history[] = "release,hold,lift,review";
    *out = (struct judge_subject){.lots = id_set_new(c->arena),
                                  .void_entries = id_set_new(c->arena),
                                  .after_ms = INT64_MIN,
                                  .void_reason = RESULT_OK};
    struct statement *q = store_prepare(c->lg->store, Q_JUDGE_NEWEST);
    bool row;
    TRY(store_step(q, &row));
    bool any = row;
    int64_t newest_ms = row ? store_int(q, 0) : 0;
    store_done(q);
    if (!any || list_has(no_history, c->cause->act)) {
        return RESULT_OK;
    }
    if (strcmp(c->cause->kind, "strike") == 0) {
        TRY(subject_of_strike(c, out));
    } else if (strcmp(c->cause->kind, "limit") == 0 || strcmp(c->cause->kind, "profile") == 0) {
        return subject_of_rules(c, out);
    } else if (strcmp(c->cause->kind, "seal") == 0) {
        return subject_of_seal(c, out);
    } else if (list_has("calibrate,instrument-check", c->cause->act)) {
        TRY(subject_of_entry(c, INT64_MAX, out));
        out->after_ms = INT64_MIN;
    } else {
        TRY(subject_of_entry(c, newest_ms, out));
    }
    return kin_onward(c->lg->store, &out->lots);
}

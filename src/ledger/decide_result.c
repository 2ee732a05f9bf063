/* Laboratory results: one state after another, a positive for ever, what is typed read twice. */
#include <string.h>

#include "base/civil.h"
#include "ledger/finding.h"
#include "ledger/sample.h"

static bool known_organism(const struct draft *d, const char *organism)
{
    if (list_has(WATER_ORGANISM ",Listeria spp.,Listeria monocytogenes", organism)) {
        return true;
    }
    for (size_t i = 0; i < d->profile->market_count; i++) {
        const struct market *m = &d->profile->markets[i];
        for (size_t k = 0; k < m->organism_count; k++) {
            if (strcmp(m->organisms[k].organism, organism) == 0) {
                return true;
            }
        }
    }
    return false;
}

static const char *known_organisms(const struct draft *d)
{
    const char *all = WATER_ORGANISM ", Listeria spp., Listeria monocytogenes";
    for (size_t i = 0; i < d->profile->market_count; i++) {
        for (size_t k = 0; k < d->profile->markets[i].organism_count; k++) {
            const char *name = d->profile->markets[i].organisms[k].organism;
            if (strstr(all, name) == NULL) {
                all = arena_printf(d->arena, "%s, %s", name, all);
            }
        }
    }
    return all;
}

struct told {
    struct sample sample;
    const char *organism, *state, *method;
    bool has_report, by_hand;
    struct hash report;
};

static struct result read_report(struct draft *d, struct told *out)
{
    const char *report = NULL;
    TRY(json_get_text(d->cmd->body, "report", "report", JSON_OPTIONAL, &report));
    if (report == NULL) {
        return RESULT_OK;
    }
    TRY(hex_read(report, "report", out->report.b, sizeof out->report.b));
    struct statement *q = store_prepare(d->store, Q_EVIDENCE_PAPER);
    store_bind_bytes(q, 1, out->report.b, sizeof out->report.b);
    bool row;
    TRY(store_step(q, &row));
    out->has_report = row && strcmp(store_text(q, 0), "report") == 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return out->has_report ? RESULT_OK : FAIL1(PAPER_UNKNOWN, "report", report);
}

/* A result of a day before its sample was drawn is another sample's, or of a wrong date: it must
 * not clear this one. Bad news is heard all the same. Days, since a laboratory may report only
 * those. */
static struct result check_day(const struct draft *d, const struct told *t)
{
    int32_t drawn =
        day_of_house(t->sample.taken_ms, d->cmd->offset_min, d->profile->day_starts_min);
    if (list_has("presumptive,confirmed-positive", t->state) || d->cmd->day >= drawn) {
        return RESULT_OK;
    }
    return FAIL3(RESULT_EARLY, "at", t->sample.code, civil_short(d->arena, t->sample.taken_ms),
                 civil_short(d->arena, d->cmd->happened_ms));
}

static struct result read_told(struct draft *d, struct told *out)
{
    static const char states[] =
        "pending,presumptive,negative,confirmed-positive,confirmed-negative,invalid";
    const json_t *o = d->cmd->body;
    *out = (struct told){.method = "", .by_hand = true};
    TRY(sample_named(d, &out->sample));
    TRY(json_get_text(o, "organism", "organism", JSON_NEEDED, &out->organism));
    TRY(json_get_text(o, "state", "state", JSON_NEEDED, &out->state));
    if (!list_has(states, out->state)) {
        return FAIL2(FIELD_CHOICE, "state", out->state, states);
    }
    bool pending = strcmp(out->state, "pending") == 0;
    TRY(json_get_text(o, "method", "method", pending ? JSON_OPTIONAL : JSON_NEEDED, &out->method));
    TRY(json_get_bool(o, "by_hand", "by_hand", JSON_OPTIONAL, &out->by_hand));
    /* a positive is heard whatever it is called; anything milder must be spelt so that it counts */
    if (!list_has("presumptive,confirmed-positive", out->state) &&
        !known_organism(d, out->organism)) {
        return FAIL2(ORGANISM_UNKNOWN, "organism", out->organism, known_organisms(d));
    }
    TRY(check_day(d, out));
    return read_report(d, out);
}

static const char *next_states(enum finding_stand stand)
{
    switch (stand) {
    case STAND_PRESUMPTIVE:
        return "presumptive,confirmed-positive,confirmed-negative";
    case STAND_NEGATIVE:
        return "negative,presumptive,confirmed-positive,invalid";
    case STAND_POSITIVE:
        return "";
    default:
        return "pending,presumptive,negative,confirmed-positive,invalid";
    }
}

static struct result check_order(struct draft *d, const struct told *t, const struct standing *now,
                                 const char *confirms)
{
    const char *code = t->sample.code;
    if (now->stand == STAND_POSITIVE) {
        return draft_break(d, "positive-stays", t->sample.lot, t->sample.place, 0, 0,
                           FAIL2(RESULT_STAYS, "state", code, t->organism));
    }
    if (!list_has(next_states(now->stand), t->state)) {
        return draft_break(d, "result-order", t->sample.lot, t->sample.place, 0, 0,
                           FAIL3(RESULT_ORDER, "state", code, stand_text(now->stand), t->state));
    }
    if (strcmp(t->state, "confirmed-negative") == 0 && !list_has(confirms, t->method)) {
        return draft_break(d, "result-not-confirmed", t->sample.lot, t->sample.place, 0, 0,
                           FAIL3(RESULT_CONFIRM, "method", code, t->method, t->organism));
    }
    return RESULT_OK;
}

static void add_finding(struct draft *d, const struct told *t, int64_t second_person)
{
    if (t->has_report) {
        draft_add(d, EFFECT_FINDING, "itttbioi", t->sample.id, t->organism, t->state, t->method,
                  &t->report, (int64_t)t->by_hand, second_person, d->cmd->happened_ms);
    } else {
        draft_add(d, EFFECT_FINDING, "itttnioi", t->sample.id, t->organism, t->state, t->method,
                  (int64_t)t->by_hand, second_person, d->cmd->happened_ms);
    }
}

static void answer(struct draft *d, const struct told *t, enum finding_stand stand)
{
    json_object_set_new(d->answer, "sample", json_string(t->sample.code));
    json_object_set_new(d->answer, "organism", json_string(t->organism));
    json_object_set_new(d->answer, "stands", json_string(stand_text(stand)));
}

struct result decide_result(struct draft *d)
{
    static const char *const names[] = {"sample", "organism", "state", "method",
                                        "report", "by_hand",  NULL};
    struct told t;
    struct evidence e;
    TRY(draft_only(d, "a laboratory result", names));
    TRY(read_told(d, &t));
    TRY(evidence_of_sample(d->store, d->arena, t.sample.id, t.sample.code, &e));
    const char *confirms = confirming_methods(d->profile, t.organism, d->arena);
    struct standing now = finding_standing(&e, 0, t.organism, confirms);
    TRY(check_order(d, &t, &now, confirms));
    add_finding(d, &t, 0);
    struct evidence_finding *after = EVIDENCE_ADD(d->arena, &e, finding);
    *after = (struct evidence_finding){
        .organism = t.organism, .state = t.state, .method = t.method, .person = d->cmd->person};
    answer(d, &t, finding_standing(&e, 0, t.organism, confirms).stand);
    if (t.by_hand) {
        json_object_set_new(d->answer, "second_reading", json_true());
    }
    return RESULT_OK;
}

/* The report read again by another person, against what was typed. */
struct result decide_second_reading(struct draft *d)
{
    static const char *const names[] = {"sample", "organism", NULL};
    struct told t = {0};
    struct evidence e;
    TRY(draft_only(d, "a second reading", names));
    TRY(sample_named(d, &t.sample));
    TRY(json_get_text(d->cmd->body, "organism", "organism", JSON_NEEDED, &t.organism));
    TRY(evidence_of_sample(d->store, d->arena, t.sample.id, t.sample.code, &e));
    const char *confirms = confirming_methods(d->profile, t.organism, d->arena);
    struct standing now = finding_standing(&e, 0, t.organism, confirms);
    if (now.row == NULL || !now.row->by_hand || now.second != NULL || !now.row->report) {
        return FAIL2(SECOND_NONE, "sample", t.sample.code, t.organism);
    }
    if (now.row->person == d->cmd->person) {
        return FAIL1(SECOND_OWN, "person",
                     arena_printf(d->arena, "%lld", (long long)d->cmd->person));
    }
    t.state = now.row->state;
    t.method = now.row->method;
    t.by_hand = t.has_report = true;
    t.report = now.row->report_sha256;
    add_finding(d, &t, d->cmd->person);
    answer(d, &t, now.stand);
    return RESULT_OK;
}

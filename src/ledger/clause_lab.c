/* Laboratory: sampled by the plan of every market, and finally negative for its organisms
 * (21 CFR 112.144(b), 112.147, published (seen, in part); Regulation (EC) 2073/2005, Annex I
 * chapter 3, from memory: a rule that holds, holds). */
#include <string.h>

#include "ledger/clause_inner.h"

/* Every market that is asked for, or one line that says why there is none. */
static bool markets_known(struct judging *j, size_t lot)
{
    size_t asked = j->markets[0] != '\0' ? 1 : 0, known = 0;
    for (const char *p = j->markets; *p != '\0'; p++) {
        asked += *p == ',' ? 1 : 0;
    }
    for (size_t i = 0; i < j->p->market_count; i++) {
        known += list_has(j->markets, j->p->markets[i].name) ? 1 : 0;
    }
    if (asked > 0 && asked == known) {
        return true;
    }
    struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
    clause_fail(line, asked == 0 ? FAIL1(CLAUSE_MARKET_NONE, "", line->lot_code)
                                 : FAIL1(CLAUSE_MARKET_UNKNOWN, "", j->markets));
    return false;
}

/* The recorded reason of somebody who may waive the age, where the market lets it be waived. */
static const struct evidence_waiver *waiver_of(const struct evidence *e, size_t sample,
                                               const struct market *m)
{
    for (size_t i = 0; i < e->waiver_count && !m->min_age_hard; i++) {
        const struct evidence_waiver *w = &e->waivers[i];
        if (w->sample == e->samples[sample].id && strcmp(w->market, m->name) == 0 &&
            w->reason[0] != '\0' && list_has(m->age_waiver_roles, w->role)) {
            return w;
        }
    }
    return NULL;
}

struct sampled {
    int64_t good, young; /* how many fit the plan, how many would but for their age */
    size_t youngest;     /* a sample that was too young */
};

static bool fits_plan(const struct evidence_sample *s, size_t lot, const struct market *m)
{
    return s->lot == lot && list_has(m->what, s->what) && s->volume_ml >= m->volume_ml;
}

/* Counts the samples that fit; with a location only those from there. */
static struct sampled count_samples(struct judging *j, struct clause_line *line,
                                    const struct market *m, const char *location)
{
    const struct evidence *e = j->e;
    struct sampled n = {0};
    for (size_t i = 0; i < e->sample_count; i++) {
        const struct evidence_sample *s = &e->samples[i];
        if (!fits_plan(s, line->lot, m) ||
            (location != NULL && strcmp(s->location, location) != 0)) {
            continue;
        }
        const struct evidence_waiver *w = waiver_of(e, i, m);
        if (s->taken_ms - e->lots[line->lot].wet_ms < m->min_age_ms && w == NULL) {
            n.young++;
            n.youngest = i;
            continue;
        }
        n.good++;
        clause_entry(j, line, s->entry);
        if (w != NULL) {
            clause_entry(j, line, w->entry);
        }
    }
    return n;
}

static struct result too_young(struct judging *j, size_t lot, size_t sample, const struct market *m)
{
    const struct evidence_sample *s = &j->e->samples[sample];
    const char *age = span_text(j, s->taken_ms - j->e->lots[lot].wet_ms);
    const char *least = arena_printf(j->arena, "%s (%s, %s)", span_text(j, m->min_age_ms), m->name,
                                     m->source->title);
    return FAIL3(CLAUSE_SAMPLE_YOUNG, "", s->code, age, least);
}

static void check_locations(struct judging *j, struct clause_line *line, const struct market *m)
{
    for (const char *at = m->locations; *at != '\0';) {
        size_t len = strcspn(at, ",");
        const char *location = arena_copy_n(j->arena, at, len);
        struct sampled there = count_samples(j, line, m, location);
        if (there.good == 0 && there.young > 0) {
            clause_fail(line, too_young(j, line->lot, there.youngest, m));
        } else if (there.good == 0) {
            clause_fail(line, FAIL3(CLAUSE_SAMPLE_LOCATION, "", line->lot_code, location, m->name));
        }
        at += at[len] == ',' ? len + 1 : len;
    }
}

static void judge_plan(struct judging *j, size_t lot, const struct market *m)
{
    struct clause_line *line = clause_line_new(j, lot, NULL, m->name);
    if (m->samples <= 0 || m->locations[0] == '\0' || m->what[0] == '\0') {
        clause_fail(line, FAIL2(CLAUSE_PLAN, "", "number, locations and kind of samples", m->name));
        return;
    }
    if (j->e->lots[lot].wet_ms == 0) {
        clause_fail(line, FAIL1(CLAUSE_SAMPLE_CLOCK, "", line->lot_code));
        return;
    }
    struct sampled n = count_samples(j, line, m, NULL);
    if (n.good < m->samples && n.good + n.young >= m->samples) {
        clause_fail(line, too_young(j, lot, n.youngest, m));
    } else if (n.good < m->samples) {
        const char *of =
            arena_printf(j->arena, "%lld of %lld", (long long)n.good, (long long)m->samples);
        clause_fail(line, FAIL3(CLAUSE_SAMPLE_FEW, "", line->lot_code, of, m->name));
    }
    check_locations(j, line, m);
}

void judge_sampled(struct judging *j, size_t lot)
{
    if (!markets_known(j, lot)) {
        return;
    }
    for (size_t i = 0; i < j->p->market_count; i++) {
        if (list_has(j->markets, j->p->markets[i].name)) {
            judge_plan(j, lot, &j->p->markets[i]);
        }
    }
}

void require_negative(struct judging *j, struct clause_line *line, size_t sample,
                      const char *organism, const char *methods, const char *confirms)
{
    const char *code = j->e->samples[sample].code;
    struct standing s = finding_standing(j->e, sample, organism, confirms);
    if (s.row == NULL) {
        clause_fail(line, FAIL2(CLAUSE_RESULT_MISSING, "", code, organism));
        return;
    }
    clause_entry(j, line, s.row->entry);
    if (s.stand == STAND_POSITIVE) {
        clause_fail(line, FAIL2(CLAUSE_RESULT_POSITIVE, "", code, organism));
    } else if (s.stand != STAND_NEGATIVE) {
        clause_fail(line, FAIL3(CLAUSE_RESULT_OPEN, "", code, organism, stand_text(s.stand)));
    } else if (methods != NULL && !list_has(methods, s.row->method)) {
        clause_fail(line, FAIL3(CLAUSE_RESULT_METHOD, "", code, organism, s.row->method));
    } else if (!s.row->report) {
        clause_fail(line, FAIL2(CLAUSE_RESULT_REPORT, "", code, organism));
    } else if (s.row->by_hand && s.second == NULL) {
        clause_fail(line, FAIL2(CLAUSE_RESULT_SECOND, "", code, organism));
    } else if (s.second != NULL) {
        clause_entry(j, line, s.second->entry);
    }
}

/* A positive of any organism, asked for or not, stays a positive. */
static void check_positives(struct judging *j, struct clause_line *line)
{
    const struct evidence *e = j->e;
    for (size_t i = 0; i < e->finding_count; i++) {
        const struct evidence_finding *f = &e->findings[i];
        const struct evidence_sample *s = &e->samples[f->sample];
        if (s->lot == line->lot && strcmp(f->state, "confirmed-positive") == 0) {
            clause_entry(j, line, f->entry);
            clause_fail(line, FAIL2(CLAUSE_RESULT_POSITIVE, "", s->code, f->organism));
        }
    }
}

static void judge_organisms(struct judging *j, size_t lot, const struct market *m)
{
    const struct evidence *e = j->e;
    struct clause_line *line = clause_line_new(j, lot, NULL, m->name);
    size_t samples = 0;
    check_positives(j, line);
    for (size_t i = 0; i < e->sample_count; i++) {
        if (e->samples[i].lot != lot) {
            continue;
        }
        samples++;
        for (size_t k = 0; k < m->organism_count; k++) {
            const struct market_organism *o = &m->organisms[k];
            require_negative(j, line, i, o->organism, o->methods, o->confirms);
        }
    }
    if (m->organism_count == 0) {
        clause_fail(line, FAIL2(CLAUSE_PLAN, "", "an organism to test for", m->name));
    }
    if (samples == 0) {
        clause_fail(line, FAIL1(CLAUSE_RESULT_NO_SAMPLE, "", line->lot_code));
    }
}

/* Another lot than a batch was sampled: what was begun for it must end negative. */
static void judge_begun(struct judging *j, size_t lot)
{
    const struct evidence *e = j->e;
    struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
    check_positives(j, line);
    for (size_t i = 0; i < e->finding_count; i++) {
        const struct evidence_finding *f = &e->findings[i];
        if (e->samples[f->sample].lot == lot) {
            require_negative(j, line, f->sample, f->organism, NULL, "");
        }
    }
}

void judge_negative(struct judging *j, size_t lot)
{
    if (!list_has(j->clause->kinds, j->e->lots[lot].kind)) {
        judge_begun(j, lot);
        return;
    }
    if (!markets_known(j, lot)) {
        return;
    }
    for (size_t i = 0; i < j->p->market_count; i++) {
        if (list_has(j->markets, j->p->markets[i].name)) {
            judge_organisms(j, lot, &j->p->markets[i]);
        }
    }
}

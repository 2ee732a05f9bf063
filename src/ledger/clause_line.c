/* The line's surroundings: open actions that hold product, and the water that was used. */
#include <string.h>

#include "ledger/clause_inner.h"

/* An action covers a place that is its own, lies in it, or that it lies in. */
static bool covers(const struct evidence *e, const struct evidence_environment *action,
                   const char *place)
{
    return evidence_place_within(e, place, action->place) ||
           evidence_place_within(e, action->place, place);
}

static void check_action(struct judging *j, struct clause_line *line,
                         const struct evidence_environment *action)
{
    const struct evidence *e = j->e;
    /* where it stands now is asked of the goods themselves, not of what they were made from */
    const char *stands = line->lot == 0 ? e->lots[0].place : NULL;
    bool anywhere = stands != NULL, covered = false;
    for (size_t i = 0; i < e->contact_count; i++) {
        const struct evidence_contact *k = &e->contacts[i];
        if (k->lot == line->lot && k->place != NULL) {
            anywhere = true;
            covered = covered || (k->to_ms >= action->from_ms && covers(e, action, k->place));
        }
    }
    covered = covered || (stands != NULL && covers(e, action, stands));
    if (covered) {
        clause_entry(j, line, action->entry);
        clause_fail(line, FAIL3(CLAUSE_ENVIRONMENT_HOLD, "", line->lot_code, action->place,
                                time_text(j, action->from_ms)));
    } else if (!anywhere) {
        clause_fail(line, FAIL2(CLAUSE_ENVIRONMENT_PLACE, "", line->lot_code, action->place));
    }
}

void judge_environment(struct judging *j, size_t lot)
{
    struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
    for (size_t i = 0; i < j->e->environment_count; i++) {
        check_action(j, line, &j->e->environments[i]);
    }
}

/* A water sample with a result. */
struct water_result {
    size_t sample;
    bool bad;
};

static void read_water(struct judging *j)
{
    const struct evidence *e = j->e;
    j->water_read = true;
    for (size_t i = 0; i < e->sample_count; i++) {
        if (e->samples[i].place == NULL || strcmp(e->samples[i].what, "water") != 0) {
            continue;
        }
        if (water_settled(e, i)) {
            struct water_result *w = evidence_grow(j->arena, &j->water, &j->water_count, sizeof *w);
            enum finding_stand stand = finding_standing(e, i, WATER_ORGANISM, "").stand;
            *w = (struct water_result){.sample = i, .bad = stand != STAND_NEGATIVE};
        }
    }
}

static bool newest_result(const struct judging *j, const char *source, int64_t at_ms,
                          size_t *out_sample)
{
    bool found = false;
    for (size_t i = 0; i < j->water_count; i++) {
        const struct evidence_sample *s = &j->e->samples[j->water[i].sample];
        if (strcmp(s->place, source) == 0 && s->taken_ms <= at_ms &&
            (!found || s->taken_ms >= j->e->samples[*out_sample].taken_ms)) {
            *out_sample = j->water[i].sample;
            found = true;
        }
    }
    return found;
}

static void check_use(struct judging *j, struct clause_line *line, int64_t at_ms)
{
    size_t sample = 0;
    if (!newest_result(j, line->place, at_ms, &sample)) {
        clause_fail(line, FAIL3(CLAUSE_WATER_MISSING, "", line->place, line->lot_code,
                                time_text(j, at_ms)));
        return;
    }
    clause_entry(j, line, j->e->samples[sample].entry);
    require_negative(j, line, sample, WATER_ORGANISM, NULL, "");
    int64_t age_ms = at_ms - j->e->samples[sample].taken_ms;
    if (age_ms > j->clause->within_ms) {
        clause_fail(line,
                    FAIL3(CLAUSE_WATER_OLD, "", line->place, line->lot_code, span_text(j, age_ms)));
    }
}

/* A positive while the lot was being watered speaks against all of it since the last good result.
 */
static void check_period(struct judging *j, struct clause_line *line, int64_t from_ms,
                         int64_t to_ms)
{
    for (size_t i = 0; i < j->water_count; i++) {
        const struct evidence_sample *s = &j->e->samples[j->water[i].sample];
        if (j->water[i].bad && strcmp(s->place, line->place) == 0 && s->taken_ms >= from_ms &&
            s->taken_ms <= to_ms) {
            clause_entry(j, line, s->entry);
            clause_fail(line,
                        FAIL3(CLAUSE_WATER_POSITIVE, "", line->place, line->lot_code, s->code));
        }
    }
}

struct period {
    int64_t from_ms, to_ms;
};

static void widen(struct period *p, int64_t at_ms)
{
    p->from_ms = at_ms < p->from_ms ? at_ms : p->from_ms;
    p->to_ms = at_ms > p->to_ms ? at_ms : p->to_ms;
}

/* One source: every time it was used for the lot. told: see all_told; else all sources count,
 * at every time the lot was on a place as well. */
static void judge_source(struct judging *j, size_t lot, const char *source, bool told)
{
    const struct evidence *e = j->e;
    struct clause_line *line = clause_line_new(j, lot, source, NULL);
    struct period used = {INT64_MAX, INT64_MIN};
    for (size_t i = 0; i < e->watering_count; i++) {
        const struct evidence_watering *w = &e->waterings[i];
        if (w->lot == lot && strcmp(w->source, source) == 0) {
            check_use(j, line, w->at_ms);
            judge_contact_time(j, line, source, w->at_ms, w->to_ms);
            clause_entry(j, line, w->entry);
            widen(&used, w->at_ms);
            widen(&used, w->to_ms);
        }
    }
    for (size_t i = 0; i < e->contact_count && !told; i++) {
        const struct evidence_contact *k = &e->contacts[i];
        if (k->lot == lot) {
            check_use(j, line, k->start_ms);
            judge_contact_time(j, line, source, k->start_ms, k->to_ms);
            widen(&used, k->start_ms);
            widen(&used, k->to_ms);
        }
    }
    check_period(j, line, used.from_ms, used.to_ms);
}

static bool used_source(const struct evidence *e, size_t lot, const char *source)
{
    for (size_t i = 0; i < e->watering_count; i++) {
        if (e->waterings[i].lot == lot &&
            (source == NULL || strcmp(e->waterings[i].source, source) == 0)) {
            return true;
        }
    }
    return false;
}

/* Did every step that may have used water name where it came from? The waterings of what grows
 * stand for all of its time in the chamber. A lot of which none is told met water all the same. */
static bool all_told(const struct evidence *e, size_t lot)
{
    for (size_t i = 0; i < e->contact_count; i++) {
        const struct evidence_contact *k = &e->contacts[i];
        bool told = k->lot != lot || strcmp(k->act, "grow") == 0;
        for (size_t n = 0; n < e->watering_count && !told; n++) {
            told = e->waterings[n].lot == lot && e->waterings[n].entry == k->entry;
        }
        if (!told) {
            return false;
        }
    }
    return used_source(e, lot, NULL);
}

static bool on_a_place(const struct evidence *e, size_t lot)
{
    for (size_t i = 0; i < e->contact_count; i++) {
        if (e->contacts[i].lot == lot) {
            return true;
        }
    }
    return false;
}

void judge_water(struct judging *j, size_t lot)
{
    const struct evidence *e = j->e;
    bool told = all_told(e, lot), any = false;
    if (!j->water_read) {
        read_water(j);
    }
    if (j->clause->within_ms <= 0) {
        struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
        clause_fail(line, FAIL2(CLAUSE_PLAN, "", "how long a result of water is good", "water"));
        return;
    }
    for (size_t i = 0; i < e->place_count && (told || on_a_place(e, lot)); i++) {
        const struct evidence_place *p = &e->places[i];
        if (strcmp(p->kind, "water-system") == 0 && (!told || used_source(e, lot, p->code))) {
            judge_source(j, lot, p->code, told);
            any = true;
        }
    }
    judge_wash_water(j, lot);
    if (!any) {
        struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
        clause_fail(line, FAIL1(CLAUSE_WATER_SOURCE, "", line->lot_code));
    }
}

/* Water that washes product: its disinfectant was read and in range before the lot came in, at no
 * time out while it was there, and again afterwards. What lies between a good reading and a bad one
 * is not known to have been good (Codex HACCP: product between the last good reading and the next
 * is in the scope of a deviation; wording from memory). */
#include <string.h>

#include "ledger/clause_inner.h"
#include "ledger/water_credit.h"

struct bracket {
    const struct evidence_check *before, *after, *out; /* NULL: none */
    int64_t longest_ms; /* between two readings that follow one another around the lot */
};

static const char *kind_of(const struct evidence *e, const char *place)
{
    for (size_t i = 0; i < e->place_count; i++) {
        if (strcmp(e->places[i].code, place) == 0) {
            return e->places[i].kind;
        }
    }
    return "";
}

static bool is_reading_of(const struct evidence_check *c, const char *place)
{
    return strcmp(c->kind, "water-reading") == 0 && strcmp(c->place, place) == 0;
}

/* The newest at or before a moment; the first at or after one. Of two at one moment the bad one. */
static const struct evidence_check *nearest(const struct evidence *e, const char *place,
                                            int64_t at_ms, bool after)
{
    const struct evidence_check *found = NULL;
    for (size_t i = 0; i < e->check_count; i++) {
        const struct evidence_check *c = &e->checks[i];
        if (!is_reading_of(c, place) || (after ? c->at_ms < at_ms : c->at_ms > at_ms)) {
            continue;
        }
        bool nearer = found == NULL || (c->at_ms == found->at_ms ? !c->ok
                                        : after                  ? c->at_ms < found->at_ms
                                                                 : c->at_ms > found->at_ms);
        found = nearer ? c : found;
    }
    return found;
}

static struct bracket bracket_of(const struct evidence *e, const struct evidence_contact *k)
{
    struct bracket b = {.before = nearest(e, k->place, k->from_ms, false),
                        .after = nearest(e, k->place, k->to_ms, true)};
    const struct evidence_check *last = b.before;
    for (const struct evidence_check *c = b.before; c != NULL && c != b.after; last = c) {
        c = nearest(e, k->place, c->at_ms + 1, true);
        if (c == NULL) {
            break;
        }
        b.longest_ms =
            c->at_ms - last->at_ms > b.longest_ms ? c->at_ms - last->at_ms : b.longest_ms;
        b.out = b.out == NULL && !c->ok ? c : b.out;
    }
    return b;
}

static void judge_contact(struct judging *j, struct clause_line *line,
                          const struct evidence_contact *k)
{
    struct bracket b = bracket_of(j->e, k);
    const struct evidence_check *behind[] = {b.before, b.after, b.out};
    for (size_t i = 0; i < 3; i++) {
        if (behind[i] != NULL) {
            clause_entry(j, line, behind[i]->entry);
        }
    }
    if (b.before == NULL || !b.before->ok ||
        k->from_ms - b.before->at_ms > j->clause->reading_within_ms) {
        clause_fail(line, FAIL3(CLAUSE_WASH_BEFORE, "", k->place, line->lot_code,
                                time_text(j, k->from_ms)));
    }
    if (b.out != NULL) {
        clause_fail(
            line, FAIL3(CLAUSE_WASH_OUT, "", k->place, line->lot_code, time_text(j, b.out->at_ms)));
    }
    if (b.after == NULL) {
        clause_fail(line,
                    FAIL3(CLAUSE_WASH_AFTER, "", k->place, line->lot_code, time_text(j, k->to_ms)));
    }
    if (b.longest_ms > j->clause->reading_within_ms) {
        clause_fail(
            line, FAIL3(CLAUSE_WASH_GAP, "", k->place, span_text(j, b.longest_ms), line->lot_code));
    }
}

static void judge_period(struct judging *j, struct clause_line *line, const struct water_book *b,
                         int64_t at_ms, int64_t from_ms, int64_t to_ms)
{
    static const enum water_meter behind[] = {METER_CHLORINE, METER_PH, METER_TEMP, METER_FLOW};
    struct water_credit c;
    water_credit(b, j->p, at_ms, from_ms, to_ms, 0, &c);
    if (!c.asked) {
        return;
    }
    for (size_t i = 0; i < sizeof behind / sizeof behind[0]; i++) {
        if (c.has[behind[i]]) {
            clause_entry(j, line, c.entry[behind[i]]);
        }
    }
    if (c.low) {
        clause_fail(line, FAIL3(CLAUSE_CONTACT_LOW, "", b->place, line->lot_code,
                                water_credit_text(j->arena, &c)));
    } else if (!c.known) {
        clause_fail(
            line, FAIL3(CLAUSE_CONTACT_UNKNOWN, "", b->place, line->lot_code, time_text(j, at_ms)));
    }
}

void judge_contact_time(struct judging *j, struct clause_line *line, const char *place,
                        int64_t from_ms, int64_t to_ms)
{
    const struct water_book *b = NULL;
    for (size_t i = 0; i < j->e->water_count; i++) {
        b = strcmp(j->e->waters[i].place, place) == 0 ? &j->e->waters[i] : b;
    }
    if (b == NULL) {
        return;
    }
    if (to_ms >= EVIDENCE_OPEN_MS) { /* still there: as far as it was read */
        to_ms = b->read_count > 0 ? b->reads[b->read_count - 1].at_ms : from_ms;
    }
    for (int64_t at_ms = from_ms, begin_ms, end_ms; at_ms <= to_ms; at_ms = end_ms) {
        water_period_at(b, j->p, at_ms, &begin_ms, &end_ms);
        judge_period(j, line, b, at_ms, begin_ms, end_ms);
    }
}

void judge_wash_water(struct judging *j, size_t lot)
{
    const struct evidence *e = j->e;
    for (size_t p = 0; p < e->place_count; p++) {
        const char *place = e->places[p].code;
        struct clause_line *line = NULL;
        for (size_t i = 0; i < e->contact_count; i++) {
            const struct evidence_contact *k = &e->contacts[i];
            if (k->lot != lot || k->place == NULL || strcmp(k->place, place) != 0 ||
                !list_has(j->clause->reading_places, kind_of(e, place))) {
                continue;
            }
            line = line != NULL ? line : clause_line_new(j, lot, place, NULL);
            judge_contact(j, line, k);
            judge_contact_time(j, line, place, k->from_ms, k->to_ms);
        }
    }
}

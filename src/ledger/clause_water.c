/* Water that washes product: its disinfectant was read and in range before the lot came in, at no
 * time out while it was there, and again afterwards. What lies between a good reading and a bad one
 * is not known to have been good (Codex HACCP: product between the last good reading and the next
 * is in the scope of a deviation; wording from memory). */
#include <string.h>

#include "ledger/clause_inner.h"

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
        }
    }
}

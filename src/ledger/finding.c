#include "ledger/finding.h"

#include <string.h>

#include "ledger/profile.h"

static enum finding_stand stand_of(const char *state)
{
    if (strcmp(state, "pending") == 0) {
        return STAND_PENDING;
    }
    if (strcmp(state, "negative") == 0 || strcmp(state, "confirmed-negative") == 0) {
        return STAND_NEGATIVE;
    }
    if (strcmp(state, "confirmed-positive") == 0) {
        return STAND_POSITIVE;
    }
    if (strcmp(state, "presumptive") == 0) {
        return STAND_PRESUMPTIVE;
    }
    return STAND_INVALID; /* also a word this program does not know: not negative */
}

struct standing finding_standing(const struct evidence *e, size_t sample, const char *organism,
                                 const char *confirms)
{
    struct standing s = {.stand = STAND_MISSING};
    bool suspect = false;
    for (size_t i = 0; i < e->finding_count; i++) {
        const struct evidence_finding *f = &e->findings[i];
        if (f->sample != sample || strcmp(f->organism, organism) != 0) {
            continue;
        }
        if (f->second_person != 0) {
            if (s.row != NULL && strcmp(f->state, s.row->state) == 0 &&
                f->second_person != s.row->person) {
                s.second = f;
            }
            continue;
        }
        if (strcmp(f->state, "confirmed-positive") == 0) {
            s.row = f;
            s.stand = STAND_POSITIVE;
            return s;
        }
        if (strcmp(f->state, "confirmed-negative") == 0) {
            suspect = !list_has(confirms, f->method);
        } else {
            suspect = suspect || strcmp(f->state, "presumptive") == 0;
        }
        s.row = f;
        s.second = NULL;
    }
    if (s.row != NULL) {
        s.stand = suspect ? STAND_PRESUMPTIVE : stand_of(s.row->state);
    }
    return s;
}

bool sample_positive(const struct evidence *e, size_t sample)
{
    for (size_t i = 0; i < e->finding_count; i++) {
        if (e->findings[i].sample == sample &&
            strcmp(e->findings[i].state, "confirmed-positive") == 0) {
            return true;
        }
    }
    return false;
}

bool water_settled(const struct evidence *e, size_t sample)
{
    enum finding_stand stand = finding_standing(e, sample, WATER_ORGANISM, "").stand;
    return stand == STAND_NEGATIVE || stand == STAND_POSITIVE || stand == STAND_PRESUMPTIVE;
}

const char *stand_text(enum finding_stand stand)
{
    static const char *const texts[] = {"missing", "pending",  "presumptive",
                                        "invalid", "negative", "confirmed positive"};
    return texts[stand];
}

#include "calc/microbe/switching.h"

enum {
    WINDOW = 5,
    REFUSED_IN_WINDOW = 2,
    ACCEPTED_RUN = 5,
    REFUSED_TIGHTENED = 5,
    ACCEPT_SMALL = 1
};

static void begin(struct switching *s, enum inspection inspection)
{
    *s = (struct switching){.inspection = inspection};
}

static void take_normal(struct switching *s, const struct switching_lot *lot)
{
    s->refused = (s->refused << 1 | !lot->accepted) & ((1U << WINDOW) - 1);
    if (__builtin_popcount(s->refused) >= REFUSED_IN_WINDOW) {
        begin(s, INSPECTION_TIGHTENED);
        return;
    }
    bool small = lot->accept <= ACCEPT_SMALL;
    bool good = lot->accepted && (small || lot->passes_tighter);
    s->score = good ? s->score + (small ? 2 : 3) : 0;
    if (s->score >= SWITCHING_SCORE_REDUCED && lot->steady && lot->reduced_agreed) {
        begin(s, INSPECTION_REDUCED);
    }
}

static void take_tightened(struct switching *s, const struct switching_lot *lot)
{
    s->accepted_run = lot->accepted ? s->accepted_run + 1 : 0;
    s->refused_tightened += !lot->accepted;
    if (s->accepted_run >= ACCEPTED_RUN) {
        begin(s, INSPECTION_NORMAL);
    } else if (s->refused_tightened >= REFUSED_TIGHTENED) {
        begin(s, INSPECTION_NONE);
    }
}

void switching_take(struct switching *s, const struct switching_lot *lot)
{
    if (lot->resubmitted) {
        return;
    }
    switch (s->inspection) {
    case INSPECTION_NORMAL:
        take_normal(s, lot);
        break;
    case INSPECTION_TIGHTENED:
        take_tightened(s, lot);
        break;
    case INSPECTION_REDUCED:
        if (!lot->accepted || !lot->steady) {
            begin(s, INSPECTION_NORMAL);
        }
        break;
    case INSPECTION_NONE:
        break;
    }
}

void switching_resume(struct switching *s)
{
    if (s->inspection == INSPECTION_NONE) {
        begin(s, INSPECTION_TIGHTENED);
    }
}

const char *inspection_word(enum inspection inspection)
{
    static const char *const words[] = {"normal", "tightened", "reduced", "discontinued"};
    return words[inspection];
}

/* Which inspection the next lot gets, from what became of those before it.
 *
 *   normal -> tightened      two of five or fewer consecutive lots not accepted
 *   tightened -> normal      five consecutive lots accepted
 *   tightened -> none        five lots in all not accepted: stop, until the supplier has acted
 *   normal -> reduced        switching score of 30 or more, steady production, and leave to do so
 *   reduced -> normal        a lot not accepted, or production not steady
 *
 * The score starts at zero on normal inspection. A plan with an acceptance number of two or more
 * adds 3 for a lot that would also have passed one limit tighter, one of at most one adds 2 for an
 * accepted lot; any other lot puts it back to zero. Lots given in again never count.
 *
 * ISO 2859-1, rules as reported in the sources seen (published (seen)); details of the score from
 * memory. */
#ifndef CALC_MICROBE_SWITCHING_H
#define CALC_MICROBE_SWITCHING_H

#include "base/result.h"

enum { SWITCHING_SCORE_REDUCED = 30 };

enum inspection {
    INSPECTION_NORMAL,
    INSPECTION_TIGHTENED,
    INSPECTION_REDUCED,
    INSPECTION_NONE /* discontinued */
};

/* Zeroed: a start on normal inspection. */
struct switching {
    enum inspection inspection; /* for the next lot */
    unsigned refused;           /* the last five lots on normal, newest in bit 0, 1: not accepted */
    int64_t accepted_run;       /* on tightened */
    int64_t refused_tightened;  /* since it was last begun or taken up again */
    int64_t score;
};

struct switching_lot {
    bool accepted;
    bool resubmitted;    /* changes nothing */
    int64_t accept;      /* the plan's acceptance number */
    bool passes_tighter; /* would have passed one limit tighter */
    bool steady;         /* production is steady */
    bool reduced_agreed; /* whoever is responsible agrees to reduced inspection */
};

/* While inspection is discontinued a lot changes nothing. */
void switching_take(struct switching *s, const struct switching_lot *lot);
/* The supplier has acted: tightened inspection begins anew. Only where it was discontinued. */
void switching_resume(struct switching *s);

const char *inspection_word(enum inspection inspection);

#endif

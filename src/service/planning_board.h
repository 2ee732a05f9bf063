/* What stands on the plan board beside the plan itself: what one more of each limit would give,
 * what each start is for, when the rest of a short order can be had, what seed and ingredients to
 * buy, and how the plan differs from another. */
#ifndef SERVICE_PLANNING_BOARD_H
#define SERVICE_PLANNING_BOARD_H

#include "plan/differ.h"
#include "plan/margin.h"
#include "plan/purchase.h"
#include "service/planning.h"

/* Worked out once, said in each language. */
struct planning_why {
    struct plan_margin *margins;
    struct plan_short_margin *of; /* by short */
    struct plan_promise *promises;
    int promise_count;
    struct purchase *purchases;
    struct purchase_rule *rules; /* by seed item, then ingredient */
    const char **suppliers;      /* by the same; NULL: any */
    double *waiting_kg;          /* seed that is here and not approved */
    int purchase_count;
};

/* What to buy alone; no margin and no promise. */
void planning_seed(const struct planning_case *c, const struct plan_outcome *outcome,
                   const struct profile *profile, struct arena *a, struct planning_why *out);
/* Plans at once some dozens of times; in the arena. */
void planning_why(const struct planning_case *c, const struct plan_outcome *outcome,
                  const struct profile *profile, struct arena *a, struct planning_why *out);

/* Puts into a plan of planning_json: starts[].for [{order|null, item, group, day, g}];
 * shorts[].gain {pieces, g, sentence}|null; orders [{order, item, group, day, pieces, met,
 * rest:{pieces, day|null}|null, instead:[{given, pieces, sentence}]}]; running [{lot, chamber,
 * item, harvest, g, ready, off_days, sentence, reckoned, later_days}] (harvest: as planned, ready:
 * the day it would be by itself, g: on the day planned, sentence "" where they are one; reckoned
 * and later_days as in view_chambers.h); out [{chamber, from, to|null}]; dropped [{day, chamber,
 * item, reason, sentence}]; purchase [{item, supplier|null, here_g, agreed_g, use_g, useless_g,
 * waiting_g, out, order_by, late_days, order_g, order_pieces (0: it is bought by mass), lead_known,
 * sentence}]; agreed, deliveries awaited [{delivery, item, supplier, day, g, pieces, whole_g,
 * whole_pieces, from|null, late, sentence}]; retests as planning_retests_json; chambers; sums. */
void planning_board(const struct planning_case *c, const struct plan_outcome *outcome,
                    const struct planning_why *why, struct arena *a, const char *lang,
                    json_t *plan);
/* {wanted, met, booked, booked_met, short_lines (orders), starts, seed_g, packed_g, cost}; pieces
 * over all days. Owned by the caller. */
json_t *planning_sums(const struct planning_case *c, const struct plan_outcome *outcome);

/* How after differs from before, in an order of before's starts and lines: {kept, filled, moved,
 * gone, added: counts, starts:[{kind, item, before|null, after|null, sentence}],
 * lines:[{order|null, item, group, day, before|null, after|null, sentence}], harvests:[{lot,
 * chamber, before, after (days), sentence}] of lots that grow}; before and after of a
 * start {day, harvest, chamber, seed_g, lot|null}, of a line {pieces, met}. taken: the starts taken
 * stand for those of before, met is what planning_at_once makes of them, and the lines of after are
 * as planning_met_at_once has them. Owned by the caller. */
json_t *planning_difference(const struct planning_case *before, const struct plan_outcome *met,
                            bool taken, const struct planning_case *after,
                            const struct plan_outcome *outcome, struct arena *a, const char *lang);
/* Pieces met by line, of a plan whose starts and harvests stand and whose goods are shared out at
 * once, as those of the plan taken are: only what another start brings tells the two apart. */
const int64_t *planning_met_at_once(const struct planning_case *c,
                                    const struct plan_outcome *outcome, struct arena *a);
/* Its lines alone. Owned by the caller. */
json_t *planning_lines_differ(struct arena *a, const char *lang, struct differ_line *before,
                              int before_count, struct differ_line *after, int after_count);

#endif

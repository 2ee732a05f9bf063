/* What changed between two plans: start by start, and order by order.
 *
 * Starts are the same where item, chamber and day of soaking are; then they are kept, filled (other
 * seed) or moved (other harvest day). Of the rest, those of an item are paired nearest day first, a
 * chamber kept before one changed, and at most MOVE_DAYS apart; what finds no partner is gone or
 * added. So the changes applied to the first plan give the second. */
#ifndef PLAN_DIFFER_H
#define PLAN_DIFFER_H

#include "base/arena.h"
#include <stdbool.h>

enum { DIFFER_MOVE_DAYS = 3 };

struct differ_start {
    const char *chamber, *item;
    const char *seed_lot; /* "": none named */
    int32_t day, harvest_day;
    int64_t seed_g;
};

enum differ_kind { DIFFER_KEPT, DIFFER_FILLED, DIFFER_MOVED, DIFFER_GONE, DIFFER_ADDED };

struct differ_change {
    enum differ_kind kind;
    int before, after; /* indices; -1: none */
};

/* Every start of both stands in exactly one change; by day of soaking. -> count */
int differ_starts(struct arena *a, const struct differ_start *before, int before_count,
                  const struct differ_start *after, int after_count, struct differ_change **out);
/* "kept", "filled", ... */
const char *differ_kind_id(enum differ_kind kind);

/* One order line; key "": a forecast, known by item, group and day. */
struct differ_line {
    const char *key, *item, *group;
    int32_t day;
    int64_t pieces, met;
    const char *standing; /* of a standing order: its code; NULL: none */
};

struct differ_met {
    int before, after; /* indices; -1: no such line */
};

/* Lines of which other pieces are wanted or met, in the order of after, then those gone. -> count
 */
int differ_lines(struct arena *a, const struct differ_line *before, int before_count,
                 const struct differ_line *after, int after_count, struct differ_met **out);

#endif

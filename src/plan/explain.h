/* Why a line is short, and what each start is for.
 *
 * Every start that could have served the line (day, way, pool, blend), every started chamber that
 * could hold more seed and every harvest that could have been taken is one way to serve it. A limit
 * binds when it stops all of them; it is named by walking them with what the plan leaves of each
 * limit. More of that limit is therefore necessary for the line to be met; where several bind at
 * once, all are in also. */
#ifndef PLAN_EXPLAIN_H
#define PLAN_EXPLAIN_H

#include "plan/place.h"
#include "plan/slack.h"

struct plan_short {
    int line;
    int64_t pieces; /* short */
    enum plan_limit limit;
    uint32_t also;   /* bits 1 << enum plan_limit: binding in every way as well */
    bool everywhere; /* false: no one limit stops every way; limit is the one that stops most */
    int from_day, to_day; /* where it binds; TOO_LATE, LABORATORY: the first day it could be; both
                             PLAN_NONE where no day does */
    int ingredient;       /* PLAN_LIMIT_INGREDIENT: which; else PLAN_NONE */
    int crop; /* that the limit stops: its own, or of a dish of several the first that is stopped */
    bool has_dearer; /* the limit stops every start; what stands or grows already could serve it,
                        at more than the shortage costs */
};

/* One for each short line, in the order of lines. -> count */
int plan_shorts(struct arena *a, const struct plan *plan, const int64_t *met_pieces,
                struct plan_short **out);
/* Is nothing at all of what is limited done on the days on which it binds? */
bool plan_short_is_closed(const struct plan_problem *p, const struct plan_short *x);
/* "chambers", "laboratory", ... */
const char *plan_limit_id(enum plan_limit limit);
/* The day goods of the line leave; where it is wanted on a day when nothing is dispatched, that one
 * too. */
const char *plan_line_day(struct arena *a, const char *lang, const struct plan_problem *p,
                          const struct plan_line *line);
/* One sentence for a person, in a language of base/words.h; group: how the line's is called. */
const char *plan_short_sentence(struct arena *a, const char *lang, const struct plan_problem *p,
                                const char *group, const struct plan_short *x);

/* "one day early", "2 days late"; off_days: not 0. */
const char *plan_off_text(struct arena *a, const char *lang, int off_days);

/* What a running lot harvested on another day than it is ready means: "Harvest RADICLE-3 one day
 * early, on ...: ..."; "": it is harvested on that day. starts: placed ones. */
const char *plan_harvest_sentence(struct arena *a, const char *lang, const struct plan *plan,
                                  int running, const struct plan_placed *starts, int start_count);

/* Packed kg of a start that serve a line. What is in no purpose stands at the end, keeps or is
 * wasted. */
struct plan_purpose {
    int start, line;
    double kg;
};

/* By start, then day. -> count */
int plan_purposes(struct arena *a, const struct plan *plan, const struct plan_placed *placed,
                  int placed_count, const struct plan_sale *sales, int sale_count,
                  struct plan_purpose **out);

#endif

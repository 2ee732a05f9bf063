/* What the uses of a house that receives fruit are counted on to give: by its record, or by its
 * profile where that is too short. */
#include <math.h>

#include "base/check.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/planning_received_inner.h"

static const char *percent(struct arena *a, double share)
{
    return decimal_text(a, llround(share * 1000), 1, false);
}

/* "firsts 41.2 % (44 %), seconds 33 % (31 %)": shares by part, and the profile's. */
static const char *beside_told(const struct planning_received *c, int use, const double *shares,
                               struct arena *a)
{
    const struct intake_use *u = &c->told[use];
    const char *text = "";
    for (int k = 0; k < u->part_count; k++) {
        text = arena_printf(a, "%s%s%s %s %% (%s %%)", text, k > 0 ? ", " : "",
                            c->problem.goods[u->parts[k].good].code, percent(a, shares[k]),
                            percent(a, u->parts[k].share));
    }
    return text;
}

static const char *counted_text(const struct planning_received *c, int use, struct arena *a)
{
    const struct intake_use *u = &c->problem.uses[use];
    const char *text = "";
    for (int k = 0; k < u->part_count; k++) {
        text = arena_printf(a, "%s%s%s %s %%", text, k > 0 ? ", " : "",
                            c->problem.goods[u->parts[k].good].code, percent(a, u->parts[k].share));
    }
    return text;
}

const char *planning_received_counts_on(const struct planning_received *c, int use, struct arena *a,
                                        const char *lang)
{
    const struct intake_luck_use *x = &c->learnt[use];
    const char *name = c->problem.uses[use].code, *days = arena_printf(a, "%d", x->days),
               *counted = counted_text(c, use, a);
    return x->is_known ? WORDS(a, lang, "received.learnt.use", name, days,
                               beside_told(c, use, x->shares, a), counted)
                       : WORDS(a, lang, "received.learnt.use-few", name, days, counted);
}

json_t *planning_received_counted(const struct planning_received *c, struct arena *a,
                                  const char *lang)
{
    json_t *list = json_array();
    for (int u = 0; u < c->problem.use_count; u++) {
        json_t *parts = json_array();
        for (int k = 0; k < c->told[u].part_count; k++) {
            double counted = c->problem.uses[u].parts[k].share, told = c->told[u].parts[k].share;
            json_array_append_new(parts, json_pack("{s:s,s:I,s:I}", "good",
                                                   c->problem.goods[c->told[u].parts[k].good].code,
                                                   "ppm", (json_int_t)llround(counted * 1e6),
                                                   "told_ppm", (json_int_t)llround(told * 1e6)));
        }
        json_t *o = json_pack("{s:s,s:i,s:b,s:o,s:s}", "use", c->problem.uses[u].code, "days",
                              c->learnt[u].days, "by_record", c->learnt[u].is_known, "parts", parts,
                              "sentence", planning_received_counts_on(c, u, a, lang));
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}

/* Harvests early and late, as the profile lets them be: ways of what is started, and other days of
 * what grows. */
#include <string.h>

#include "service/planning_inner.h"

int planning_ways(struct arena *a, const struct profile *p, const char *item,
                  const struct plan_way *first, const struct plan_way **out)
{
    const struct planning *pl = &p->planning;
    struct plan_way *ways = ARENA_ARRAY(a, struct plan_way, pl->early_late_count + 1);
    int count = 0;
    ways[count++] = *first;
    for (size_t i = 0; i < pl->early_late_count; i++) {
        const struct item_early_late *x = &pl->early_late[i];
        int days = first->grow_days + (int)x->days;
        if (strcmp(x->item, item) == 0 && days >= 1 && days <= PLAN_DAYS_MAX) {
            ways[count] = *first;
            ways[count].code = x->days < 0 ? "early" : "late";
            ways[count].grow_days = days;
            ways[count].off_days = (int)x->days;
            ways[count++].packed_kg_per_seed_kg *= (double)x->yield / 1000.0;
        }
    }
    *out = ways;
    return count;
}

void planning_other_days(const struct reading *r, const struct chamber_run *g, int ready,
                         struct plan_running *x)
{
    const struct planning *pl = &r->profile->planning;
    struct plan_other *others = ARENA_ARRAY(r->arena, struct plan_other, pl->early_late_count + 1);
    int last_day = r->out->problem.day_count - 1;
    int forecast = planning_harvest_open(r, x->harvest_day);
    if (forecast > last_day) {
        return;
    }
    double whole = chamber_off_yield(r->profile, g->item, x->harvest_day - ready);
    whole = whole > 0 ? whole : 1; /* the house says nothing of such a day */
    x->packed_kg *= whole;
    x->off_days = x->harvest_day - ready;
    for (size_t i = 0; i < pl->early_late_count && x->other_count < PLAN_OTHERS_MAX; i++) {
        const struct item_early_late *e = &pl->early_late[i];
        int day = ready + (int)e->days, first = g->off_days == e->days ? 0 : 1;
        if (strcmp(e->item, g->item) != 0 || day < first || day > last_day || day == forecast ||
            planning_harvest_open(r, day) != day) {
            continue;
        }
        others[x->other_count++] =
            (struct plan_other){.day = day,
                                .yield_factor = (double)e->yield / 1000.0 / whole,
                                .off_days = (int)e->days};
        x->told = g->off_days == e->days ? x->other_count : x->told;
    }
    x->others = others;
}

/* Harvests early and late, as the profile lets them be: ways of what is started. */
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

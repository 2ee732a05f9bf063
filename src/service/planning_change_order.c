#include "service/planning_change_order.h"

#include <math.h>
#include <string.h>

#include "ledger/closing.h"

/* The dearest cost that a line of the product is short at: a new order is one like the others. */
static double dearest(const struct plan_problem *p, int product, double otherwise)
{
    double cost = 0;
    for (int i = 0; i < p->line_count; i++) {
        cost = p->lines[i].product == product ? fmax(cost, p->lines[i].shortage_cost_per_kg) : cost;
    }
    return cost > 0 ? cost : otherwise;
}

static struct result one_more(const struct change *x, const struct profile *profile,
                              const struct planning_case *c, struct plan_line *line)
{
    const struct plan_problem *p = &c->problem;
    TRY(change_named(x, "item", CHANGE_LIST(p->products, p->product_count, ITEM_UNKNOWN),
                     &line->product));
    TRY(change_day(x, "day", &line->day));
    int leaves = closing_leaves(profile, p->first_day + line->day, p->first_day) - p->first_day;
    line->moved_days = line->day - leaves;
    line->day = leaves;
    if (json_object_get(x->o, "group") != NULL) {
        TRY(change_named(x, "group", CHANGE_LIST(c->names.groups, p->group_count, PARTNER_UNKNOWN),
                         &line->group));
    } else if (p->group_count == 0) {
        return FAIL2(PARTNER_UNKNOWN, change_field(x, "group"), "", "customer");
    }
    line->key = arena_printf(x->arena, "+%d", p->line_count + 1);
    line->shortage_cost_per_kg =
        dearest(p, line->product, (double)profile->planning.value_per_kg / 500.0);
    return RESULT_OK;
}

/* What is booked for the line's day, as the page shows it. */
static void book(struct arena *a, struct planning_case *c, const struct plan_line *line,
                 int64_t more)
{
    const struct plan_problem *p = &c->problem;
    struct demand_day *days = change_copy(
        a, c->demand.days, p->product_count * p->group_count * p->day_count, 0, sizeof *days);
    days[(line->product * p->group_count + line->group) * p->day_count + line->day].booked_pieces +=
        more;
    c->demand.days = days;
}

struct result planning_change_order(const struct change *x, const struct profile *profile,
                                    struct planning_case *c)
{
    struct plan_problem *p = &c->problem;
    const char *key = NULL;
    int64_t pieces;
    int at = 0;
    TRY(change_optional(x, "order", &key));
    TRY(change_int(x, "pieces", 0, 100000000, &pieces));
    struct plan_line *list = change_copy(x->arena, p->lines, p->line_count, 1, sizeof *list);
    if (key == NULL) {
        at = p->line_count;
        TRY(one_more(x, profile, c, &list[at]));
        p->line_count++;
    }
    while (key != NULL && at < p->line_count &&
           (planning_order(c, at) == NULL || strcmp(list[at].key, key) != 0)) {
        at++;
    }
    if (at == p->line_count) {
        return FAIL1(ORDER_UNKNOWN, change_field(x, "order"), key);
    }
    book(x->arena, c, &list[at], pieces - list[at].pieces);
    list[at].pieces = pieces;
    p->lines = list;
    return RESULT_OK;
}

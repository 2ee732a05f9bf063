#include "plan/purchase.h"

#include <math.h>
#include <stdlib.h>

/* What is below this is rounding. */
static const double NOTHING_KG = 1e-6;

struct walk {
    const double *use_kg; /* of the item */
    int day_count, item;
    double mean_kg;
    const struct purchase_lot *lots;
    int lot_count;
    double *left_kg; /* by lot */
};

/* What the day takes from the lots; the rest, uncovered, is returned. */
static double draw(struct walk *w, int day)
{
    double wanted = day < w->day_count ? w->use_kg[day] : w->mean_kg;
    while (wanted > NOTHING_KG) {
        int best = -1;
        for (int i = 0; i < w->lot_count; i++) {
            const struct purchase_lot *lot = &w->lots[i];
            if (lot->item != w->item || w->left_kg[i] <= NOTHING_KG || lot->from_day > day ||
                lot->last_day < day)
                continue;
            if (best < 0 || lot->last_day < w->lots[best].last_day) best = i;
        }
        if (best < 0) return wanted;
        double kg = fmin(wanted, w->left_kg[best]);
        w->left_kg[best] -= kg;
        wanted -= kg;
    }
    return 0;
}

static double rounded_up(double kg, const struct purchase_rule *rule)
{
    double order = fmax(kg, rule->least_kg);
    if (rule->step_kg > 0) order = ceil(order / rule->step_kg - 1e-9) * rule->step_kg;
    return order;
}

/* false: it does not run out in time to be of this plan's concern. */
static bool one_item(struct walk *w, const struct purchase_rule *rule, struct purchase *out)
{
    *out = (struct purchase){.item = w->item, .out_day = PURCHASE_LOOK_DAYS};
    for (int i = 0; i < w->lot_count; i++) {
        w->left_kg[i] = w->lots[i].kg;
        out->here_kg += w->lots[i].item == w->item ? w->lots[i].kg : 0;
    }
    for (int day = 0; day < w->day_count; day++)
        out->use_kg += w->use_kg[day];
    w->mean_kg = out->use_kg / w->day_count;
    if (out->use_kg <= NOTHING_KG) return false;
    for (int day = 0; day < PURCHASE_LOOK_DAYS && day < out->out_day + rule->cover_days; day++) {
        double missing = draw(w, day);
        if (missing <= NOTHING_KG) continue;
        if (out->out_day == PURCHASE_LOOK_DAYS) out->out_day = day;
        out->need_kg += missing;
    }
    if (out->out_day == PURCHASE_LOOK_DAYS) return false;
    for (int i = 0; i < w->lot_count; i++)
        if (w->lots[i].item == w->item && w->lots[i].last_day < out->out_day + rule->cover_days)
            out->useless_kg += w->left_kg[i];
    out->order_kg = rounded_up(out->need_kg, rule);
    out->order_by_day = out->out_day - (rule->lead_days == PURCHASE_UNKNOWN ? 0 : rule->lead_days);
    return out->order_by_day < w->day_count;
}

static int by_order_day(const void *x, const void *y)
{
    const struct purchase *a = x, *b = y;
    if (a->order_by_day != b->order_by_day) return a->order_by_day < b->order_by_day ? -1 : 1;
    return (a->item > b->item) - (a->item < b->item);
}

int purchase_list(struct arena *a, const double *use_kg, int item_count, int day_count,
                  const struct purchase_lot *lots, int lot_count, const struct purchase_rule *rules,
                  struct purchase **out)
{
    int count = 0;
    *out = ARENA_ARRAY(a, struct purchase, (size_t)item_count + 1);
    double *left_kg = ARENA_ARRAY(a, double, (size_t)lot_count + 1);
    for (int item = 0; item < item_count; item++) {
        struct walk w = {.use_kg = use_kg + (size_t)item * (size_t)day_count,
                         .day_count = day_count,
                         .item = item,
                         .lots = lots,
                         .lot_count = lot_count,
                         .left_kg = left_kg};
        if (one_item(&w, &rules[item], &(*out)[count])) count++;
    }
    qsort(*out, (size_t)count, sizeof **out, by_order_day);
    return count;
}

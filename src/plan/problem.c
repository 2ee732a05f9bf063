#include "plan/problem.h"

#include <limits.h>
#include <math.h>

#include "plan/ranges.h"

int plan_ready_day_tested(const struct plan_problem *p, int market, int start_day, bool again)
{
    const struct plan_market *m = &p->markets[market];
    double wait_h = m->sample_age_h + m->transit_h + m->laboratory_h;
    if (wait_h <= 0) return start_day;
    if (again) wait_h += m->retest_h;
    /* a result in the very hour of dispatch is in time; the tolerance absorbs hours such as 0.1 +
     * 0.2 */
    double days = ceil((p->soak_hour + wait_h - p->dispatch_hour) / 24 - 1e-9);
    return start_day + (int)fmax(0, days);
}

int plan_ready_day(const struct plan_problem *p, int market, int start_day)
{
    return plan_ready_day_tested(p, market, start_day, p->retest_planned);
}

int plan_open_day(const struct plan_problem *p, int day)
{
    while (p->is_shut != NULL && day >= 0 && day < p->day_count && p->is_shut[day])
        day++;
    return day < p->day_count ? day : PLAN_NEVER;
}

int plan_oldest_harvest_day(const struct plan_problem *p, const struct plan_line *line)
{
    return line->day + p->groups[line->group].remaining_days - p->products[line->product].life_days;
}

int plan_way_harvests(const struct plan_way *w)
{
    return w->part_count > 0 ? w->part_count : 1;
}

int plan_way_harvest_days(const struct plan_way *w, int harvest)
{
    return w->part_count > 0 ? w->grow_days + w->parts[harvest].after_days : w->grow_days;
}

int plan_way_days(const struct plan_way *w)
{
    return plan_way_harvest_days(w, plan_way_harvests(w) - 1);
}

/* Of what is left in the bed, what the parts bear together. */
static double borne(const struct plan_way *w)
{
    double sum = 0;
    for (int i = 0; i < w->part_count; i++)
        sum += w->parts[i].share * w->parts[i].yield_factor;
    return w->part_count > 0 ? sum : 1;
}

double plan_way_yield(const struct plan_way *w)
{
    return w->packed_kg_per_seed_kg * borne(w);
}

double plan_way_share(const struct plan_way *w, int harvest)
{
    if (w->part_count == 0) return 1;
    return w->parts[harvest].share * w->parts[harvest].yield_factor / borne(w);
}

bool plan_swap_suits(const struct plan_problem *p, int swap, const struct plan_line *line)
{
    const struct plan_swap *x = &p->swaps[swap];
    return x->from_product == line->product && (!x->groups || x->groups[line->group]);
}

double plan_piece_kg(const struct plan_problem *p, int product)
{
    const struct plan_product *x = &p->products[product];
    return x->crop_kg > 0 ? x->crop_kg : x->net_kg;
}

double plan_crop_kg(const struct plan_problem *p, int product, int crop)
{
    const struct plan_product *x = &p->products[product];
    if (x->crop == crop) return plan_piece_kg(p, product);
    for (int i = 0; i < x->with_count; i++)
        if (x->with[i].crop == crop) return x->with[i].kg;
    return 0;
}

double plan_line_worth(const struct plan_problem *p, const struct plan_line *line)
{
    const struct plan_product *x = &p->products[line->product];
    double own_kg = plan_piece_kg(p, line->product), all_kg = own_kg;
    for (int i = 0; i < x->with_count; i++)
        all_kg += x->with[i].kg;
    return line->shortage_cost_per_kg * (own_kg / all_kg);
}

double plan_line_kg(const struct plan_problem *p, const struct plan_line *line)
{
    return (double)line->pieces * plan_piece_kg(p, line->product);
}

int plan_running_day(const struct plan_running *r, int choice)
{
    return choice > 0 ? r->others[choice - 1].day : r->harvest_day;
}

int plan_running_off_days(const struct plan_running *r, int choice)
{
    return choice > 0 ? r->others[choice - 1].off_days : r->off_days;
}

double plan_running_kg(const struct plan_running *r, int choice)
{
    return choice > 0 ? r->packed_kg * r->others[choice - 1].yield_factor : r->packed_kg;
}

struct plan_problem *plan_problem_chosen(struct arena *a, const struct plan_problem *p,
                                         const int *choices)
{
    struct plan_problem *out = ARENA_NEW(a, struct plan_problem);
    struct plan_running *list = ARENA_ARRAY(a, struct plan_running, (size_t)p->running_count + 1);
    for (int i = 0; i < p->running_count; i++) {
        list[i] = p->running[i];
        list[i].harvest_day = plan_running_day(&p->running[i], choices[i]);
        list[i].packed_kg = plan_running_kg(&p->running[i], choices[i]);
        list[i].others = NULL;
        list[i].other_count = list[i].told = 0;
    }
    *out = *p;
    out->running = list;
    return out;
}

int plan_chamber_free_day(const struct plan_problem *p, int chamber, const int *choices)
{
    int day = 0;
    for (int r = 0; r < p->running_count; r++) {
        int choice = choices ? choices[r] : p->running[r].told;
        int end = plan_running_day(&p->running[r], choice) + p->cleaning_days;
        if (p->running[r].chamber == chamber && end > day) day = end;
    }
    const struct plan_chamber *c = &p->chambers[chamber];
    for (bool moved = true; moved;) {
        moved = false;
        for (int o = 0; o < c->outage_count; o++) {
            if (c->outages[o].from_day > day || c->outages[o].to_day < day) continue;
            day = c->outages[o].to_day + 1;
            moved = true;
        }
    }
    return day;
}

static struct result check_frame(const struct plan_problem *p)
{
    if (p->day_count < 1 || p->day_count > PLAN_DAYS_MAX)
        return FAIL1(PLAN_FIELD, "day_count", "it must be from 1 to 120");
    if (p->frozen_days < 0 || p->frozen_days > p->day_count)
        return FAIL1(PLAN_FIELD, "frozen_days", "it must be from 0 to day_count");
    if (p->cleaning_days < 1 || p->cleaning_days > PLAN_DAYS_MAX)
        return FAIL1(PLAN_FIELD, "cleaning_days", "it must be at least 1");
    if (!(p->soak_hour >= 0 && p->soak_hour <= 24 && p->dispatch_hour >= 0 &&
          p->dispatch_hour <= 24))
        return FAIL1(PLAN_FIELD, "soak_hour", "hours must be from 0 to 24");
    if (!not_negative(p->change_cost))
        return FAIL1(PLAN_FIELD, "change_cost", "it must be 0 or more");
    if (p->market_count < 1 || p->market_count > PLAN_MARKETS_MAX)
        return FAIL1(PLAN_FIELD, "markets", "there must be 1 to 8");
    for (int m = 0; m < p->market_count; m++) {
        const struct plan_market *k = &p->markets[m];
        if (!not_negative(k->sample_age_h) || !not_negative(k->transit_h) ||
            !not_negative(k->laboratory_h))
            return wrong("markets", m, "laboratory_h", "hours must be 0 or more");
        if (!not_negative(k->retest_h))
            return wrong("markets", m, "retest_h", "hours must be 0 or more");
    }
    for (int g = 0; g < p->group_count; g++) {
        const struct plan_group *k = &p->groups[g];
        if (!below(k->market, p->market_count))
            return wrong("groups", g, "market", "there is no such market");
        if (k->remaining_days < 0)
            return wrong("groups", g, "remaining_days", "it must be 0 or more");
        if (k->late_days < 0 || k->late_days > PLAN_DAYS_MAX)
            return wrong("groups", g, "late_days", "it must be from 0 to 120");
        if (!not_negative(k->late_cost_per_kg_day))
            return wrong("groups", g, "late_cost_per_kg_day", "it must be 0 or more");
        if (k->priority < 1 || k->priority > 9)
            return wrong("groups", g, "priority", "it must be from 1 to 9");
    }
    return RESULT_OK;
}

static bool parts_are_right(const struct plan_way *w)
{
    double sum = 0;
    if (w->part_count == 0) return true;
    if (w->part_count < 0 || w->part_count > PLAN_PARTS_MAX) return false;
    for (int i = 0; i < w->part_count; i++) {
        const struct plan_part *x = &w->parts[i];
        bool in_order = i == 0 ? x->after_days == 0 : x->after_days > w->parts[i - 1].after_days;
        if (!in_order || !positive(x->share) || !positive(x->yield_factor)) return false;
        sum += x->share;
    }
    return fabs(sum - 1) < 1e-6 && plan_way_days(w) <= PLAN_DAYS_MAX;
}

static struct result check_crop(const struct plan_problem *p, int index)
{
    const struct plan_crop *c = &p->crops[index];
    if (c->way_count < 1) return wrong("crops", index, "ways", "there must be one at least");
    for (int w = 0; w < c->way_count; w++) {
        if (c->ways[w].grow_days < 1 || c->ways[w].grow_days > PLAN_DAYS_MAX)
            return wrong("crops", index, "ways", "grow_days must be from 1 to 120");
        if (!positive(c->ways[w].packed_kg_per_seed_kg))
            return wrong("crops", index, "ways", "packed_kg_per_seed_kg must be above 0");
        if (!parts_are_right(&c->ways[w]))
            return wrong("crops", index, "ways",
                         "parts come day by day from the first harvest on, and sum to the whole");
    }
    for (int k = 0; k < p->class_count; k++) {
        const struct plan_fill *f = &c->fills[k];
        if (!not_negative(f->seed_min_kg) || !not_negative(f->seed_max_kg))
            return wrong("crops", index, "fills", "seed must be 0 kg or more");
        if (f->seed_min_kg > f->seed_max_kg)
            return wrong("crops", index, "fills", "seed_min_kg is above seed_max_kg");
    }
    if (!below(c->seed_item, p->seed_item_count))
        return wrong("crops", index, "seed_item", "there is no such seed item");
    if (!(isfinite(c->bed_kg_per_packed_kg) && c->bed_kg_per_packed_kg >= 1))
        return wrong("crops", index, "bed_kg_per_packed_kg", "it must be at least 1");
    if (!not_negative(c->start_cost) || !not_negative(c->waste_cost_per_kg) ||
        !not_negative(c->hold_cost_per_kg_day) || !not_negative(c->end_kg_wanted) ||
        !not_negative(c->end_value_per_kg))
        return wrong("crops", index, "start_cost", "costs and amounts must be 0 or more");
    return RESULT_OK;
}

/* Each crop once, and a mass of each: what is left of the piece for its own crop is not guessed. */
static struct result check_with(const struct plan_problem *p, int product)
{
    const struct plan_product *x = &p->products[product];
    if (x->with_count < 0 || x->with_count > PLAN_WITH_MAX)
        return wrong("products", product, "with", "there may be 4 crops more at most");
    if (x->with_count > 0 && !positive(x->crop_kg))
        return wrong("products", product, "crop_kg", "it must be given beside other crops");
    for (int i = 0; i < x->with_count; i++) {
        if (!below(x->with[i].crop, p->crop_count))
            return wrong("products", product, "with", "there is no such crop");
        if (!positive(x->with[i].kg))
            return wrong("products", product, "with", "each crop's kg must be above 0");
        bool again = x->with[i].crop == x->crop;
        for (int k = 0; k < i; k++)
            again = again || x->with[k].crop == x->with[i].crop;
        if (again) return wrong("products", product, "with", "a crop stands in it twice");
    }
    return RESULT_OK;
}

static struct result check_things(const struct plan_problem *p)
{
    for (int k = 0; k < p->crop_count; k++)
        TRY(check_crop(p, k));
    for (int i = 0; i < p->product_count; i++) {
        const struct plan_product *x = &p->products[i];
        if (!below(x->crop, p->crop_count))
            return wrong("products", i, "crop", "there is no such crop");
        if (!positive(x->net_kg)) return wrong("products", i, "net_kg", "it must be above 0");
        if (!not_negative(x->crop_kg))
            return wrong("products", i, "crop_kg", "it must be 0 or more");
        if (x->life_days < 0) return wrong("products", i, "life_days", "it must be 0 or more");
        TRY(check_with(p, i));
    }
    for (int c = 0; c < p->chamber_count; c++) {
        const struct plan_chamber *x = &p->chambers[c];
        if (!below(x->class_index, p->class_count))
            return wrong("chambers", c, "class_index", "there is no such class");
        for (int o = 0; o < x->outage_count; o++)
            if (x->outages[o].from_day > x->outages[o].to_day || x->outages[o].to_day > PLAN_NEVER)
                return wrong("chambers", c, "outages", "it ends before it begins");
    }
    for (int i = 0; i < p->seed_lot_count; i++) {
        const struct plan_seed_lot *x = &p->seed_lots[i];
        if (!below(x->seed_item, p->seed_item_count))
            return wrong("seed_lots", i, "seed_item", "there is no such seed item");
        if (!not_negative(x->kg)) return wrong("seed_lots", i, "kg", "it must be 0 or more");
        if (!positive(x->yield_factor))
            return wrong("seed_lots", i, "yield_factor", "it must be above 0");
        if (!not_negative(x->cost_per_kg))
            return wrong("seed_lots", i, "cost_per_kg", "it must be 0 or more");
    }
    return RESULT_OK;
}

static struct result check_others(const struct plan_problem *p, int index)
{
    const struct plan_running *x = &p->running[index];
    if (x->other_count < 0 || x->other_count > PLAN_OTHERS_MAX)
        return wrong("running", index, "others", "there may be 10 at most");
    if (x->told < 0 || x->told > x->other_count)
        return wrong("running", index, "told", "there is no such choice");
    for (int i = 0; i < x->other_count; i++) {
        if (!below(x->others[i].day, p->day_count) || !below(x->harvest_day, p->day_count))
            return wrong("running", index, "others", "a day lies outside the days looked at");
        if (!positive(x->others[i].yield_factor))
            return wrong("running", index, "others", "yield_factor must be above 0");
    }
    for (int i = 0; i < p->running_count && x->other_count > 0; i++)
        if (i != index && p->running[i].chamber == x->chamber)
            return wrong("running", index, "others", "another lot is in its chamber");
    return RESULT_OK;
}

static struct result check_here(const struct plan_problem *p)
{
    for (int i = 0; i < p->running_count; i++) {
        const struct plan_running *x = &p->running[i];
        if (!below(x->chamber, p->chamber_count))
            return wrong("running", i, "chamber", "there is no such chamber");
        if (!below(x->crop, p->crop_count))
            return wrong("running", i, "crop", "there is no such crop");
        if (x->harvest_day < 0 || x->harvest_day > PLAN_NEVER)
            return wrong("running", i, "harvest_day", "it must be today or later");
        if (!not_negative(x->packed_kg))
            return wrong("running", i, "packed_kg", "it must be 0 or more");
        TRY(check_others(p, i));
    }
    for (int i = 0; i < p->stock_count; i++) {
        const struct plan_stock *x = &p->stock[i];
        if (!below(x->crop, p->crop_count))
            return wrong("stock", i, "crop", "there is no such crop");
        if (x->product != PLAN_NONE && !below(x->product, p->product_count))
            return wrong("stock", i, "product", "there is no such product");
        if (x->product != PLAN_NONE && p->products[x->product].crop != x->crop)
            return wrong("stock", i, "product", "it is of another crop");
        if (x->harvest_day > 0)
            return wrong("stock", i, "harvest_day", "it must be today or earlier");
        if (!not_negative(x->kg)) return wrong("stock", i, "kg", "it must be 0 or more");
    }
    for (int i = 0; i < p->taken_count; i++) {
        const struct plan_taken *x = &p->taken[i];
        if (!below(x->day, p->day_count))
            return wrong("taken", i, "day", "it lies outside the days looked at");
        if (!below(x->chamber, p->chamber_count))
            return wrong("taken", i, "chamber", "there is no such chamber");
        if (!below(x->crop, p->crop_count) || !below(x->way, p->crops[x->crop].way_count))
            return wrong("taken", i, "way", "there is no such crop or way");
        if (!positive(x->seed_kg)) return wrong("taken", i, "seed_kg", "it must be above 0");
        if (x->seed_lot != PLAN_NONE && !below(x->seed_lot, p->seed_lot_count))
            return wrong("taken", i, "seed_lot", "there is no such lot");
    }
    return RESULT_OK;
}

static struct result check_ingredients(const struct plan_problem *p)
{
    if (p->ingredient_count < 0 || p->ingredient_count > PLAN_INGREDIENTS_MAX)
        return wrong("ingredients", p->ingredient_count, "code", "there may be 64 at most");
    for (int i = 0; i < p->ingredient_count; i++) {
        const struct plan_ingredient *x = &p->ingredients[i];
        for (int k = 0; k < p->product_count; k++)
            if (!not_negative(x->kg_per_piece[k]))
                return wrong("ingredients", i, "kg_per_piece", "it must be 0 or more");
        if (x->lot_count < 0 || x->lot_count > PLAN_INGREDIENT_LOTS_MAX)
            return wrong("ingredients", i, "lots", "there may be 128 at most");
        for (int k = 0; k < x->lot_count; k++)
            if (!not_negative(x->lots[k].kg))
                return wrong("ingredients", i, "lots", "kg must be 0 or more");
    }
    return RESULT_OK;
}

static struct result check_wanted(const struct plan_problem *p)
{
    for (int d = 0; d < p->day_count; d++) {
        const struct plan_day *x = &p->days[d];
        if (!(x->treat_seed_kg >= 0 && x->soak_seed_kg >= 0 && x->harvest_bed_kg >= 0 &&
              x->wash_bed_kg >= 0 && x->pack_kg >= 0 && x->starts_max >= 0 && x->harvests_max >= 0))
            return wrong("days", d, "pack_kg", "every limit must be 0 or more");
    }
    if (p->work_count < 0 || p->work_count > PLAN_WORKS_MAX)
        return wrong("works", p->work_count, "code", "there may be 8 at most");
    for (int w = 0; w < p->work_count; w++) {
        for (int k = 0; k < p->crop_count; k++)
            if (!not_negative(p->works[w].per_packed_kg[k]))
                return wrong("works", w, "per_packed_kg", "it must be 0 or more");
        for (int d = 0; d < p->day_count; d++)
            if (!(p->works[w].limit[d] >= 0))
                return wrong("works", w, "limit", "it must be 0 or more");
    }
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *x = &p->lines[i];
        if (!below(x->product, p->product_count))
            return wrong("lines", i, "product", "there is no such product");
        if (!below(x->group, p->group_count))
            return wrong("lines", i, "group", "there is no such group");
        if (!below(x->day, p->day_count))
            return wrong("lines", i, "day", "it lies outside the days looked at");
        if (x->pieces < 0) return wrong("lines", i, "pieces", "it must be 0 or more");
        if (x->moved_days < 0) return wrong("lines", i, "moved_days", "it must be 0 or more");
        if (!not_negative(x->spread_pieces) || !not_negative(x->shortage_cost_per_kg))
            return wrong("lines", i, "shortage_cost_per_kg", "it must be 0 or more");
    }
    return RESULT_OK;
}

static bool has_recipe(const struct plan_problem *p, int product)
{
    bool has = p->products[product].crop_kg > 0;
    for (int i = 0; i < p->ingredient_count; i++)
        has = has || p->ingredients[i].kg_per_piece[product] > 0;
    return has;
}

static struct result check_swaps(const struct plan_problem *p)
{
    if (p->swap_count < 0 || p->swap_count > PLAN_SWAPS_MAX)
        return FAIL1(PLAN_FIELD, "swaps", "there may be 32 at most");
    for (int i = 0; i < p->swap_count; i++) {
        const struct plan_swap *x = &p->swaps[i];
        if (!below(x->from_product, p->product_count) || !below(x->to_product, p->product_count))
            return wrong("swaps", i, "to_product", "there is no such product");
        if (x->from_product == x->to_product)
            return wrong("swaps", i, "to_product", "it is what was ordered");
        if (has_recipe(p, x->from_product) || has_recipe(p, x->to_product))
            return wrong("swaps", i, "to_product", "it has a recipe: dishes are not given instead");
        if (!not_negative(x->cost_per_kg))
            return wrong("swaps", i, "cost_per_kg", "it must be 0 or more");
    }
    return RESULT_OK;
}

struct result plan_problem_check(const struct plan_problem *p)
{
    TRY(check_frame(p));
    TRY(check_things(p));
    TRY(check_here(p));
    TRY(check_ingredients(p));
    TRY(check_wanted(p));
    return check_swaps(p);
}

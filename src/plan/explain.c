#include "plan/explain.h"

#include <inttypes.h>
#include <math.h>

#include "base/civil.h"
#include "base/words.h"
#include "plan/pool.h"

/* Unsold goods below this are the rounding of a solver. */
static const double NOTHING_KG = 1e-4;

struct ways {
    const struct plan *plan;
    const struct plan_frame *f;
    const struct plan_slack *slack;
    const double *made, *used; /* by node */
    const struct plan_cell *cell;
    int last_day;    /* on which it may leave */
    bool is_one_day; /* of a dish: it leaves on the cell's day, not on any on which it may */
    int crop;        /* whose ways are looked at: the cell's own, or one given in its place */
    int count, stopped[PLAN_LIMIT_COUNT];
    uint32_t all; /* limits that stop every way so far */
    bool is_open; /* one way is not stopped at all */
    int from_day[PLAN_LIMIT_COUNT], to_day[PLAN_LIMIT_COUNT];
};

static void mark(struct ways *w, enum plan_limit limit, int from_day, int to_day)
{
    if (w->from_day[limit] == PLAN_NONE || from_day < w->from_day[limit])
        w->from_day[limit] = from_day;
    if (to_day > w->to_day[limit]) w->to_day[limit] = to_day;
}

static bool on_harvest_day(int limit)
{
    return limit == PLAN_LIMIT_HARVESTS || limit == PLAN_LIMIT_HARVEST ||
           limit == PLAN_LIMIT_WASHING || limit == PLAN_LIMIT_PACKING ||
           limit == PLAN_LIMIT_INGREDIENT || limit >= PLAN_LIMIT_WORK;
}

static void way(struct ways *w, uint32_t blocks, int day, int harvest_day)
{
    w->all = w->count == 0 ? blocks : w->all & blocks;
    w->count++;
    if (blocks == 0) w->is_open = true;
    for (int limit = 0; limit < PLAN_LIMIT_COUNT; limit++) {
        if (!(blocks >> limit & 1)) continue;
        w->stopped[limit]++;
        if (limit == PLAN_LIMIT_CHAMBERS) continue;
        int at = on_harvest_day(limit) ? harvest_day : day;
        mark(w, (enum plan_limit)limit, at, at);
    }
}

/* The days of a start on which its pool has no chamber left. */
static void mark_chambers(struct ways *w, int day, int last_day, int pool)
{
    for (int d = day; d < last_day + w->f->p->cleaning_days; d++)
        if (w->slack->chambers[pool * w->f->span_days + d] < 1) mark(w, PLAN_LIMIT_CHAMBERS, d, d);
}

/* Seed of the crop that may go to the cell's market; PLAN_LIMIT_APPROVAL or PLAN_LIMIT_SEED where
 * there is none. */
static uint32_t seed_missing(const struct ways *w, int day)
{
    const struct plan_problem *p = w->f->p;
    uint32_t blocks = 1u << PLAN_LIMIT_SEED;
    for (int l = 0; l < p->seed_lot_count; l++) {
        const struct plan_seed_lot *lot = &p->seed_lots[l];
        if (lot->seed_item != p->crops[w->crop].seed_item || !plan_lot_usable(lot, day) ||
            lot->kg <= 0)
            continue;
        if (lot->markets >> w->cell->market & 1) return 0;
        blocks = 1u << PLAN_LIMIT_APPROVAL;
    }
    return blocks;
}

static void start_in_pool(struct ways *w, int day, const struct plan_way *by, int harvest_day,
                          int pool)
{
    const struct plan_frame *f = w->f;
    const struct plan_crop *crop = &f->p->crops[w->crop];
    const struct plan_fill *fill = &crop->fills[f->pools[pool].class_index];
    double least_kg = by->part_count > 0 ? fill->seed_max_kg : fill->seed_min_kg;
    uint32_t blocks = slack_start_blocks(w->slack, day, by, pool, least_kg) |
                      slack_goods_blocks(w->slack, w->crop, harvest_day, w->cell->mix);
    if (blocks >> PLAN_LIMIT_CHAMBERS & 1) mark_chambers(w, day, day + plan_way_days(by), pool);
    uint32_t missing = seed_missing(w, day);
    if (missing != 0) {
        way(w, blocks | missing, day, harvest_day);
        return;
    }
    for (int b = 0; b < f->blend_count; b++) {
        if (f->blends[b].seed_item != crop->seed_item ||
            !(f->blends[b].markets >> w->cell->market & 1))
            continue;
        way(w, blocks | slack_seed_blocks(w->slack, day, b, least_kg), day, harvest_day);
    }
}

/* Starts of the crop on a day, by one way, for one of its harvests. */
static void start_on(struct ways *w, int day, const struct plan_way *by, int harvest_day)
{
    const struct plan_frame *f = w->f;
    const struct plan_crop *crop = &f->p->crops[w->crop];
    bool any = false;
    for (int q = 0; q < f->pool_count; q++) {
        if (crop->fills[f->pools[q].class_index].seed_max_kg <= 0) continue;
        any = true;
        start_in_pool(w, day, by, harvest_day, q);
    }
    if (!any) way(w, 1u << PLAN_LIMIT_NO_CHAMBER, day, harvest_day);
}

static bool serves(const struct ways *w, int node, int cell)
{
    return w->is_one_day ? plan_serves(w->f, node, cell)
                         : plan_first_cell(w->f, node, cell) != PLAN_NONE;
}

/* Running lots that could be harvested on another day. */
static void other_days(struct ways *w, int cell)
{
    const struct plan_frame *f = w->f;
    for (int c = 0; c < f->choice_count; c++) {
        const struct plan_choice *x = &f->choices[c];
        if (x->choice == w->plan->choices[x->running] || x->node == PLAN_NONE ||
            f->nodes[x->node].crop != w->crop || !serves(w, x->node, cell))
            continue;
        uint32_t blocks = slack_node_blocks(w->slack, x->node, w->cell->mix);
        if (w->slack->days[x->day].harvests_max < 1) blocks |= 1u << PLAN_LIMIT_HARVESTS;
        int now = f->choices[plan_chosen(w->plan, x->running)].day;
        int pool = f->pool_of_chamber[f->p->running[x->running].chamber];
        for (int d = now + f->p->cleaning_days; d < x->day + f->p->cleaning_days; d++) {
            if (!plan_choice_counts(f, c, d) || w->slack->chambers[pool * f->span_days + d] > 0)
                continue;
            blocks |= 1u << PLAN_LIMIT_CHAMBERS;
            mark(w, PLAN_LIMIT_CHAMBERS, d, d);
        }
        way(w, blocks, x->day, x->day);
    }
}

/* Chambers that are started and not full, and goods that nobody takes. */
static void what_is_there(struct ways *w, int cell)
{
    const struct plan_frame *f = w->f;
    for (int o = 0; o < f->option_count; o++) {
        const struct plan_option *x = &f->options[o];
        double room_kg = x->seed_max_kg * w->plan->counts[o] - plan_option_seed_kg(w->plan, o);
        if (w->plan->counts[o] == 0 || room_kg <= NOTHING_KG || x->node == PLAN_NONE ||
            x->crop != w->crop || !serves(w, x->node, cell))
            continue;
        uint32_t blocks = slack_seed_blocks(w->slack, x->day, x->blend, 0) |
                          slack_node_blocks(w->slack, x->node, w->cell->mix);
        if (w->slack->days[x->day].treat_seed_kg < NOTHING_KG) blocks |= 1u << PLAN_LIMIT_TREATMENT;
        if (w->slack->days[x->day].soak_seed_kg < NOTHING_KG) blocks |= 1u << PLAN_LIMIT_SOAKING;
        way(w, blocks, x->day, x->harvest_day);
    }
    for (int n = 0; n < f->node_count; n++) {
        const struct plan_node *x = &f->nodes[n];
        if (w->made[n] - w->used[n] <= NOTHING_KG || x->crop != w->crop || !serves(w, n, cell))
            continue;
        way(w, slack_node_blocks(w->slack, n, w->cell->mix), x->harvest_day,
            x->harvest_day > 0 ? x->harvest_day : 0);
    }
}

/* What of the calendar lets starts through, and the first days it would. */
struct calendar {
    bool in_time, fresh, tested;
    int harvest_first, ready_first;
};

/* One harvest of a start on a day, by one way. */
static void walk_harvest(struct ways *w, int day, const struct plan_way *by, int harvest,
                         struct calendar *c)
{
    const struct plan_problem *p = w->f->p;
    int harvest_day = day + plan_way_harvest_days(by, harvest);
    int ready_day = plan_ready_day(p, w->cell->market, day);
    if (harvest_day < c->harvest_first) c->harvest_first = harvest_day;
    int leaves = plan_open_day(p, harvest_day > w->cell->day ? harvest_day : w->cell->day);
    if (leaves > w->last_day) return;
    c->in_time = true;
    int oldest_day = plan_cell_oldest_day(w->f, w->cell, w->crop);
    if (harvest_day < oldest_day + (leaves - w->cell->day)) return;
    c->fresh = true;
    if (ready_day < c->ready_first) c->ready_first = ready_day;
    if (plan_open_day(p, ready_day) > w->last_day) return;
    c->tested = true;
    start_on(w, day, by, harvest_day);
}

/* Walks the starts that the calendar allows; where there is none, what of the calendar forbids them
 * all. */
static bool walk_starts(struct ways *w, struct plan_short *out)
{
    const struct plan_problem *p = w->f->p;
    const struct plan_crop *crop = &p->crops[w->crop];
    if (plan_open_day(p, w->cell->day) > w->last_day) {
        out->everywhere = true;
        out->limit = PLAN_LIMIT_DISPATCH;
        out->from_day = w->cell->day;
        out->to_day = w->last_day < p->day_count ? w->last_day : p->day_count - 1;
        return false;
    }
    struct calendar c = {.harvest_first = PLAN_NEVER, .ready_first = PLAN_NEVER};
    for (int day = 0; day < p->day_count; day++) {
        if (day < p->frozen_days && plan_dropped(w->f, day, w->crop) == 0) continue;
        for (int k = 0; k < crop->way_count; k++)
            for (int h = 0; h < plan_way_harvests(&crop->ways[k]); h++)
                walk_harvest(w, day, &crop->ways[k], h, &c);
    }
    if (c.tested) return true;
    out->everywhere = true;
    out->limit = !c.in_time ? PLAN_LIMIT_TOO_LATE
                 : !c.fresh ? PLAN_LIMIT_SHELF_LIFE
                            : PLAN_LIMIT_LABORATORY;
    int first = !c.in_time ? c.harvest_first : !c.fresh ? PLAN_NEVER : c.ready_first;
    out->from_day = out->to_day = first == PLAN_NEVER ? PLAN_NONE : first;
    return false;
}

static void name_limit(const struct ways *w, struct plan_short *out)
{
    out->everywhere = true;
    out->limit = PLAN_LIMIT_WORTH;
    if (w->is_open) return;
    out->everywhere = w->all != 0;
    int most = 0;
    for (int limit = 0; limit < PLAN_LIMIT_COUNT; limit++) {
        bool better =
            out->everywhere ? (w->all >> limit & 1) && most == 0 : w->stopped[limit] > most;
        if (!better) continue;
        out->limit = (enum plan_limit)limit;
        most = w->stopped[limit];
    }
    out->also = w->all & ~(1u << out->limit);
    out->from_day = w->from_day[out->limit];
    out->to_day = w->to_day[out->limit];
    if (out->limit == PLAN_LIMIT_INGREDIENT)
        out->ingredient = slack_lacks(w->slack, out->from_day, w->cell->mix);
}

/* Why there is no more of a crop for the cell. -> whether something stands in the way */
static bool look_at_crop(struct ways w, int cell, int crop, struct plan_short *out)
{
    w.cell = &w.f->cells[cell];
    w.crop = crop;
    for (int limit = 0; limit < PLAN_LIMIT_COUNT; limit++)
        w.from_day[limit] = w.to_day[limit] = PLAN_NONE;
    out->crop = crop;
    what_is_there(&w, cell);
    other_days(&w, cell);
    bool walked = walk_starts(&w, out);
    out->has_dearer = !walked && w.is_open;
    if (walked || (w.count > 0 && !w.is_open)) name_limit(&w, out);
    return !w.is_open;
}

/* What stops a cell is told of its own crop, unless one given in its place would not be stopped. */
static bool look_at(struct ways w, int cell, struct plan_short *out)
{
    const struct plan_cell *c = &w.f->cells[cell];
    bool stopped = look_at_crop(w, cell, c->crop, out);
    for (int k = 0; w.f->has_ties && stopped && k < w.f->p->crop_count; k++) {
        struct plan_short other = *out;
        if (k == c->crop || plan_cell_oldest_day(w.f, c, k) == PLAN_NEVER) continue;
        stopped = look_at_crop(w, cell, k, &other);
        if (!stopped) *out = other;
    }
    return stopped;
}

/* Of a dish of several crops the first crop that is stopped. */
static bool look_at_all(struct ways w, int cell, struct plan_short *out)
{
    const struct plan_frame *f = w.f;
    const struct plan_dish *dish =
        f->cells[cell].dish == PLAN_NONE ? NULL : &f->dishes[f->cells[cell].dish];
    struct plan_short with, none = *out;
    bool stopped = look_at(w, cell, out);
    for (int k = 0; dish && k < dish->count && !stopped; k++) {
        with = none;
        stopped = look_at(w, dish->first + k, &with);
        if (stopped) *out = with;
    }
    return stopped;
}

/* Each crop of a dish might come on one of the days on which it may leave, and all of them on none:
 * told is what stops it on the first of these days. */
static void look_at_days(struct ways w, int cell, struct plan_short *out)
{
    struct plan_short none = *out, first = none;
    if (look_at_all(w, cell, out) || w.f->cells[cell].later == PLAN_NONE) return;
    w.is_one_day = true;
    bool any = false;
    for (int c = cell; c != PLAN_NONE; c = w.f->cells[c].later) {
        struct plan_short x = none;
        w.last_day = w.f->cells[c].day;
        if (plan_open_day(w.f->p, w.last_day) != w.last_day) continue;
        if (!look_at_all(w, c, &x)) return;
        if (!any) first = x;
        any = true;
    }
    if (any) *out = first;
}

int plan_shorts(struct arena *a, const struct plan *plan, const int64_t *met_pieces,
                struct plan_short **out)
{
    const struct plan_frame *f = plan->f;
    const struct plan_problem *p = f->p;
    struct ways ways = {.plan = plan,
                        .f = f,
                        .slack = slack_of_plan(a, plan),
                        .made = plan_node_kg(a, plan),
                        .used = plan_node_used_kg(a, plan)};
    struct plan_short *shorts = ARENA_ARRAY(a, struct plan_short, (size_t)p->line_count + 1);
    int count = 0;
    for (int i = 0; i < p->line_count; i++) {
        if (met_pieces[i] >= p->lines[i].pieces) continue;
        struct plan_short *x = &shorts[count++];
        *x = (struct plan_short){.line = i,
                                 .pieces = p->lines[i].pieces - met_pieces[i],
                                 .from_day = PLAN_NONE,
                                 .to_day = PLAN_NONE,
                                 .ingredient = PLAN_NONE};
        ways.last_day = p->lines[i].day + p->groups[p->lines[i].group].late_days;
        look_at_days(ways, f->cell_of_line[i], x);
    }
    *out = shorts;
    return count;
}

/* Index is enum plan_limit. What each says: "short.ID" of the catalogue. */
static const char *const limits[PLAN_LIMIT_WORK + 1] = {
    "too-late", "shelf-life", "laboratory", "no-chamber", "chambers", "seed",
    "approval", "starts",     "treatment",  "soaking",    "harvests", "harvest",
    "washing",  "packing",    "ingredient", "worth",      "dispatch", "work"};

const char *plan_limit_id(enum plan_limit limit)
{
    return limits[limit < PLAN_LIMIT_WORK ? limit : PLAN_LIMIT_WORK];
}

bool plan_short_is_closed(const struct plan_problem *p, const struct plan_short *x)
{
    if (x->from_day == PLAN_NONE) return false;
    for (int d = x->from_day; d <= x->to_day && d < p->day_count; d++) {
        const struct plan_day *day = &p->days[d];
        bool none = (x->limit == PLAN_LIMIT_STARTS && day->starts_max == 0) ||
                    (x->limit == PLAN_LIMIT_TREATMENT && day->treat_seed_kg <= 0) ||
                    (x->limit == PLAN_LIMIT_SOAKING && day->soak_seed_kg <= 0) ||
                    (x->limit == PLAN_LIMIT_HARVESTS && day->harvests_max == 0) ||
                    (x->limit == PLAN_LIMIT_HARVEST && day->harvest_bed_kg <= 0) ||
                    (x->limit == PLAN_LIMIT_WASHING && day->wash_bed_kg <= 0) ||
                    (x->limit == PLAN_LIMIT_PACKING && day->pack_kg <= 0);
        if (!none) return false;
    }
    return true;
}

/* Where the limit binds; its first word goes on from what the limit says. */
static const char *days_text(struct arena *a, const char *lang, const struct plan_problem *p,
                             const struct plan_short *x)
{
    if (x->from_day == PLAN_NONE) {
        return "";
    }
    const char *from = words_day(a, lang, p->first_day + x->from_day);
    if (x->limit == PLAN_LIMIT_TOO_LATE || x->limit == PLAN_LIMIT_LABORATORY) {
        return arena_printf(a, " %s", from); /* the first day it could be */
    }
    return x->from_day == x->to_day ? WORDS(a, lang, "short.on", from)
                                    : WORDS(a, lang, "short.between", from,
                                            words_day(a, lang, p->first_day + x->to_day));
}

const char *plan_line_day(struct arena *a, const char *lang, const struct plan_problem *p,
                          const struct plan_line *line)
{
    const char *day = words_day(a, lang, p->first_day + line->day);
    return line->moved_days == 0
               ? day
               : WORDS(a, lang, "plan.line.moved", day,
                       words_day(a, lang, p->first_day + line->day + line->moved_days));
}

const char *plan_short_sentence(struct arena *a, const char *lang, const struct plan_problem *p,
                                const char *group, const struct plan_short *x)
{
    const struct plan_line *line = &p->lines[x->line];
    const char *what = plan_short_is_closed(p, x) ? WORDS(a, lang, "short.closed", NULL)
                       : x->limit == PLAN_LIMIT_INGREDIENT
                           ? WORDS(a, lang, "short.ingredient", p->ingredients[x->ingredient].code)
                       : x->limit >= PLAN_LIMIT_WORK
                           ? WORDS(a, lang, "short.work", p->works[x->limit - PLAN_LIMIT_WORK].code)
                           : words_of(a, lang, "short.", limits[x->limit], "");
    const char *why = arena_printf(a, "%s%s", what, days_text(a, lang, p, x));
    if (p->products[line->product].with_count > 0)
        why = WORDS(a, lang, "plan-short.of", p->crops[x->crop].code, why);
    const char *says =
        WORDS(a, lang, "plan-short.line", p->products[line->product].code, group,
              plan_line_day(a, lang, p, line), arena_printf(a, "%" PRId64, x->pieces),
              x->everywhere ? why : WORDS(a, lang, "plan-short.mostly", why));
    return x->has_dearer ? arena_printf(a, "%s %s", says, WORDS(a, lang, "plan-short.dearer", NULL))
                         : says;
}

const char *plan_off_text(struct arena *a, const char *lang, int off_days)
{
    const char *days = arena_printf(a, "%d", off_days < 0 ? -off_days : off_days);
    return off_days == -1  ? WORDS(a, lang, "plan.harvest.one-early", NULL)
           : off_days == 1 ? WORDS(a, lang, "plan.harvest.one-late", NULL)
           : off_days < 0  ? WORDS(a, lang, "plan.harvest.early", days)
                           : WORDS(a, lang, "plan.harvest.late", days);
}

const char *plan_harvest_sentence(struct arena *a, const char *lang, const struct plan *plan,
                                  int running, const struct plan_placed *starts, int start_count)
{
    const struct plan_problem *p = plan->f->p;
    const struct plan_running *r = &p->running[running];
    int choice = plan->choices[running], off_days = plan_running_off_days(r, choice);
    int day = plan_running_day(r, choice), forecast = plan_running_day(r, 0), again = PLAN_NEVER;
    if (off_days == 0 || choice == 0) return "";
    const char *says = WORDS(a, lang, "plan.harvest.off", r->lot, plan_off_text(a, lang, off_days),
                             words_day(a, lang, p->first_day + day),
                             arena_printf(a, "%.0f", plan_running_kg(r, choice)),
                             arena_printf(a, "%.0f", plan_running_kg(r, 0)));
    for (int i = 0; i < start_count; i++)
        if (starts[i].chamber == r->chamber && starts[i].day < again) again = starts[i].day;
    if (again >= forecast + p->cleaning_days) return says;
    return WORDS(a, lang, "plan.harvest.again", says, p->chambers[r->chamber].code,
                 words_day(a, lang, p->first_day + again));
}

int plan_purposes(struct arena *a, const struct plan *plan, const struct plan_placed *placed,
                  int placed_count, const struct plan_sale *sales, int sale_count,
                  struct plan_purpose **out)
{
    const struct plan_frame *f = plan->f;
    struct plan_purpose *list = ARENA_ARRAY(
        a, struct plan_purpose, (size_t)(sale_count + placed_count * PLAN_PARTS_MAX) + 1);
    int *at = ARENA_ARRAY(a, int, (size_t)f->node_count + 1); /* next sale of the node */
    double *open_kg = ARENA_ARRAY(a, double, (size_t)sale_count + 1);
    double *given_kg = plan_given_kg(a, plan);
    for (int i = 0; i < placed_count; i++)
        for (int h = 0; h < placed[i].harvest_count && placed[i].is_fixed; h++)
            if (placed[i].harvests[h].node != PLAN_NONE)
                given_kg[placed[i].harvests[h].node] -=
                    placed[i].packed_kg * placed[i].harvests[h].share;
    /* goods that are there already serve first */
    for (int i = sale_count - 1; i >= 0; i--)
        at[sales[i].node] = i;
    for (int i = 0; i < sale_count; i++) {
        double from_given = fmin(sales[i].kg, fmax(0, given_kg[sales[i].node]));
        given_kg[sales[i].node] -= from_given;
        open_kg[i] = sales[i].kg - from_given;
    }
    int count = 0;
    for (int s = 0; s < placed_count; s++)
        for (int h = 0; h < placed[s].harvest_count; h++) {
            int n = placed[s].harvests[h].node;
            double kg = n == PLAN_NONE ? 0 : placed[s].packed_kg * placed[s].harvests[h].share;
            while (kg > 1e-6 && at[n] < sale_count && sales[at[n]].node == n) {
                double part = fmin(kg, open_kg[at[n]]);
                if (part > 1e-6) list[count++] = (struct plan_purpose){s, sales[at[n]].line, part};
                kg -= part;
                open_kg[at[n]] -= part;
                if (open_kg[at[n]] <= 1e-9) at[n]++;
            }
        }
    *out = list;
    return count;
}

#include "plan/margin.h"

#include <inttypes.h>
#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "plan/construct.h"

/* Less packed than this is nothing to speak of. */
static const double NOTHING_KG = 0.05;

/* What a problem meets when it is planned at once; counts by line, in the arena given. */
static int64_t *met_at_once(struct arena *a, const struct plan_problem *p)
{
    struct arena scratch;
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    const struct plan_frame *f = plan_frame_make(&scratch, p);
    const struct plan *plan = plan_construct(&scratch, f);
    struct plan_sale *sales;
    int count = plan_sales(&scratch, plan, &sales);
    const int64_t *met = plan_met_pieces(&scratch, plan, sales, count);
    int64_t *out = ARENA_ARRAY(a, int64_t, (size_t)p->line_count + 1);
    if (p->line_count > 0) memcpy(out, met, (size_t)p->line_count * sizeof *out);
    arena_release(&scratch);
    return out;
}

/* ---- the steps */

static void one_more_chamber(struct arena *a, struct plan_problem *p, struct plan_margin *m)
{
    int class_index = 0;
    while (class_index < p->class_count - 1 &&
           p->crops[m->crop].fills[class_index].seed_max_kg <= 0)
        class_index++;
    struct plan_chamber *list = ARENA_ARRAY(a, struct plan_chamber, (size_t)p->chamber_count + 1);
    if (p->chamber_count > 0) memcpy(list, p->chambers, (size_t)p->chamber_count * sizeof *list);
    list[p->chamber_count++] = (struct plan_chamber){.code = "", .class_index = class_index};
    p->chambers = list;
    m->step = 1;
    m->units = p->day_count;
}

/* The least seed a chamber of the crop is started with; one harvested in parts is filled to the
 * top.
 */
static double least_filling_kg(const struct plan_problem *p, const struct plan_crop *crop)
{
    bool in_parts = true;
    double least_kg = INFINITY;
    for (int k = 0; k < crop->way_count; k++)
        in_parts = in_parts && crop->ways[k].part_count > 0;
    for (int c = 0; c < p->class_count; c++) {
        const struct plan_fill *x = &crop->fills[c];
        if (x->seed_max_kg > 0)
            least_kg = fmin(least_kg, in_parts ? x->seed_max_kg : x->seed_min_kg);
    }
    return isfinite(least_kg) && least_kg > 0 ? least_kg : 1;
}

static void more_seed(struct arena *a, struct plan_problem *p, struct plan_margin *m)
{
    const struct plan_crop *crop = &p->crops[m->crop];
    double factor = 0, cost = 0;
    int alike = 0;
    struct plan_seed_lot *lots =
        ARENA_ARRAY(a, struct plan_seed_lot, (size_t)p->seed_lot_count + 1);
    for (int i = 0; i < p->seed_lot_count; i++) {
        lots[i] = p->seed_lots[i];
        if (lots[i].seed_item != crop->seed_item) continue;
        factor += lots[i].yield_factor;
        cost += lots[i].cost_per_kg;
        alike++;
    }
    m->step = m->units = least_filling_kg(p, crop);
    lots[p->seed_lot_count++] =
        (struct plan_seed_lot){.code = "",
                               .seed_item = crop->seed_item,
                               .kg = m->step,
                               .last_day = PLAN_NEVER,
                               .markets = (1u << p->market_count) - 1,
                               .yield_factor = alike > 0 ? factor / alike : 1,
                               .cost_per_kg = alike > 0 ? cost / alike : 0,
                               .received_day = p->first_day};
    p->seed_lots = lots;
}

static void approve(struct arena *a, struct plan_problem *p, struct plan_margin *m)
{
    struct plan_seed_lot *lots =
        ARENA_ARRAY(a, struct plan_seed_lot, (size_t)p->seed_lot_count + 1);
    for (int i = 0; i < p->seed_lot_count; i++) {
        lots[i] = p->seed_lots[i];
        if (lots[i].seed_item != p->crops[m->crop].seed_item ||
            (lots[i].markets >> m->market & 1) != 0)
            continue;
        lots[i].markets |= 1u << m->market;
        m->step += lots[i].kg;
    }
    m->units = m->step;
    p->seed_lots = lots;
}

static void more_of_days(struct arena *a, struct plan_problem *p, struct plan_margin *m,
                         double hours)
{
    struct plan_day *days = ARENA_ARRAY(a, struct plan_day, (size_t)p->day_count);
    memcpy(days, p->days, (size_t)p->day_count * sizeof *days);
    for (int d = 0; d < p->day_count; d++) {
        if (m->from_day != PLAN_NONE && (d < m->from_day || d > m->to_day)) continue;
        struct plan_day *day = &days[d];
        double *kg = m->limit == PLAN_LIMIT_TREATMENT ? &day->treat_seed_kg
                     : m->limit == PLAN_LIMIT_SOAKING ? &day->soak_seed_kg
                     : m->limit == PLAN_LIMIT_HARVEST ? &day->harvest_bed_kg
                     : m->limit == PLAN_LIMIT_WASHING ? &day->wash_bed_kg
                                                      : &day->pack_kg;
        int *count = m->limit == PLAN_LIMIT_STARTS ? &day->starts_max : &day->harvests_max;
        /* where the house is closed nobody works an hour more */
        bool counts = m->limit == PLAN_LIMIT_STARTS || m->limit == PLAN_LIMIT_HARVESTS;
        if (counts ? *count == 0 : *kg <= 0) continue;
        m->units++;
        if (counts) {
            m->step = 1;
            *count += *count < INT_MAX ? 1 : 0;
        } else if (isfinite(*kg)) {
            m->step = *kg / hours;
            *kg += m->step;
        }
    }
    p->days = days;
}

/* A round share of what the day has of it. */
static double work_step(double limit)
{
    return limit > 10 ? pow(10, floor(log10(limit)) - 1) : 1;
}

static void more_work(struct arena *a, struct plan_problem *p, struct plan_margin *m)
{
    int at = (int)m->limit - PLAN_LIMIT_WORK;
    struct plan_work *works = ARENA_ARRAY(a, struct plan_work, (size_t)p->work_count);
    double *limit = ARENA_ARRAY(a, double, (size_t)p->day_count);
    memcpy(works, p->works, (size_t)p->work_count * sizeof *works);
    memcpy(limit, works[at].limit, (size_t)p->day_count * sizeof *limit);
    for (int d = 0; d < p->day_count; d++) {
        if (m->from_day != PLAN_NONE && (d < m->from_day || d > m->to_day)) continue;
        if (!isfinite(limit[d])) continue;
        m->step = fmax(m->step, work_step(limit[d]));
    }
    for (int d = 0; d < p->day_count; d++) {
        if (m->from_day != PLAN_NONE && (d < m->from_day || d > m->to_day)) continue;
        limit[d] += m->step;
        m->units += m->step;
    }
    works[at].limit = limit;
    p->works = works;
}

static void more_of_ingredient(struct arena *a, struct plan_problem *p, struct plan_margin *m)
{
    struct plan_ingredient *list =
        ARENA_ARRAY(a, struct plan_ingredient, (size_t)p->ingredient_count);
    memcpy(list, p->ingredients, (size_t)p->ingredient_count * sizeof *list);
    struct plan_ingredient *x = &list[m->ingredient];
    struct plan_ingredient_lot *lots =
        ARENA_ARRAY(a, struct plan_ingredient_lot, (size_t)x->lot_count + 1);
    if (x->lot_count > 0) memcpy(lots, x->lots, (size_t)x->lot_count * sizeof *lots);
    m->step = m->units = ceil(m->step);
    int at = x->lot_count < PLAN_INGREDIENT_LOTS_MAX ? x->lot_count++ : x->lot_count - 1;
    lots[at] = (struct plan_ingredient_lot){lots[at].kg + m->step, 0, PLAN_NEVER};
    x->lots = lots;
    p->ingredients = list;
}

static void sooner_answer(struct arena *a, struct plan_problem *p, struct plan_margin *m)
{
    struct plan_market *markets = ARENA_ARRAY(a, struct plan_market, (size_t)p->market_count);
    memcpy(markets, p->markets, (size_t)p->market_count * sizeof *markets);
    double *hours = &markets[m->market].laboratory_h;
    *hours = fmax(0, *hours - 24);
    m->step = m->units = 1;
    p->markets = markets;
}

static void less_life(struct arena *a, struct plan_problem *p, struct plan_margin *m)
{
    struct plan_group *groups = ARENA_ARRAY(a, struct plan_group, (size_t)p->group_count);
    memcpy(groups, p->groups, (size_t)p->group_count * sizeof *groups);
    groups[m->group].remaining_days -= groups[m->group].remaining_days > 0;
    m->step = m->units = 1;
    p->groups = groups;
}

/* false: no step of this limit is one that somebody could take. */
static bool has_step(enum plan_limit limit)
{
    return limit != PLAN_LIMIT_TOO_LATE && limit != PLAN_LIMIT_NO_CHAMBER &&
           limit != PLAN_LIMIT_WORTH && limit != PLAN_LIMIT_DISPATCH;
}

static struct plan_problem with_step(struct arena *a, const struct plan_problem *p,
                                     struct plan_margin *m, double hours)
{
    struct plan_problem q = *p;
    switch (m->limit) {
    case PLAN_LIMIT_CHAMBERS:
        one_more_chamber(a, &q, m);
        break;
    case PLAN_LIMIT_SEED:
        more_seed(a, &q, m);
        break;
    case PLAN_LIMIT_APPROVAL:
        approve(a, &q, m);
        break;
    case PLAN_LIMIT_INGREDIENT:
        more_of_ingredient(a, &q, m);
        break;
    case PLAN_LIMIT_LABORATORY:
        sooner_answer(a, &q, m);
        break;
    case PLAN_LIMIT_SHELF_LIFE:
        less_life(a, &q, m);
        break;
    default:
        if (m->limit >= PLAN_LIMIT_WORK)
            more_work(a, &q, m);
        else
            more_of_days(a, &q, m, hours);
        break;
    }
    return q;
}

static bool of_days(enum plan_limit limit)
{
    return limit == PLAN_LIMIT_STARTS || limit == PLAN_LIMIT_TREATMENT ||
           limit == PLAN_LIMIT_SOAKING || limit == PLAN_LIMIT_HARVESTS ||
           limit == PLAN_LIMIT_HARVEST || limit == PLAN_LIMIT_WASHING ||
           limit == PLAN_LIMIT_PACKING || limit >= PLAN_LIMIT_WORK;
}

static double gained(const struct plan_problem *p, const int64_t *met, const int64_t *base)
{
    double kg = 0;
    for (int i = 0; i < p->line_count; i++)
        kg += (double)(met[i] - base[i]) * p->products[p->lines[i].product].net_kg;
    return fmax(0, kg);
}

/* Limits of days that bind together are of use only together. Soaking and harvesting lie on other
 * days, so the step is given on all. */
static void take_together(struct arena *a, const struct plan_problem *p, const int64_t *base,
                          double hours, struct plan_margin *m)
{
    struct plan_margin step = *m;
    struct plan_problem q = with_step(a, p, &step, hours);
    for (int limit = 0; limit < PLAN_LIMIT_COUNT; limit++) {
        if (!(m->also >> limit & 1)) continue;
        step = (struct plan_margin){
            .limit = (enum plan_limit)limit, .from_day = PLAN_NONE, .to_day = PLAN_NONE};
        q = with_step(a, &q, &step, hours);
    }
    m->together_kg = gained(p, met_at_once(a, &q), base);
}

/* ---- which of them are asked for */

static struct plan_margin margin_of(const struct plan_problem *p, const struct plan_short *x)
{
    const struct plan_line *line = &p->lines[x->line];
    struct plan_margin m = {.limit = x->limit,
                            .crop = x->crop,
                            .market = PLAN_NONE,
                            .group = PLAN_NONE,
                            .ingredient = PLAN_NONE,
                            .from_day = x->from_day,
                            .to_day = x->to_day};
    for (int limit = 0; limit < PLAN_LIMIT_COUNT; limit++)
        if (limit != (int)x->limit && of_days((enum plan_limit)limit))
            m.also |= x->also & 1u << limit;
    if (x->limit == PLAN_LIMIT_APPROVAL || x->limit == PLAN_LIMIT_LABORATORY)
        m.market = p->groups[line->group].market;
    if (x->limit == PLAN_LIMIT_SHELF_LIFE) m.group = line->group;
    if (x->limit == PLAN_LIMIT_INGREDIENT) {
        m.ingredient = x->ingredient;
        m.step = (double)x->pieces * p->ingredients[x->ingredient].kg_per_piece[line->product];
    }
    if (x->limit == PLAN_LIMIT_CHAMBERS || x->limit == PLAN_LIMIT_SEED ||
        x->limit == PLAN_LIMIT_APPROVAL || x->limit == PLAN_LIMIT_LABORATORY ||
        x->limit == PLAN_LIMIT_SHELF_LIFE || x->limit == PLAN_LIMIT_INGREDIENT)
        m.from_day = m.to_day = PLAN_NONE;
    return m;
}

static bool by_crop(enum plan_limit limit)
{
    return limit == PLAN_LIMIT_SEED || limit == PLAN_LIMIT_APPROVAL;
}

/* The same step: one limit of one crop, market or group; days are joined. */
static bool joins(struct plan_margin *known, const struct plan_margin *m)
{
    if (known->limit != m->limit || known->ingredient != m->ingredient ||
        known->market != m->market || known->group != m->group ||
        (by_crop(m->limit) && known->crop != m->crop))
        return false;
    known->also &= m->also;
    known->step += m->step;
    if (m->from_day != PLAN_NONE && known->from_day != PLAN_NONE) {
        known->from_day = m->from_day < known->from_day ? m->from_day : known->from_day;
        known->to_day = m->to_day > known->to_day ? m->to_day : known->to_day;
    }
    return true;
}

int plan_margins(struct arena *a, const struct plan_problem *p, const struct plan_short *shorts,
                 int short_count, double hours_a_day, struct plan_margin **out,
                 struct plan_short_margin **of)
{
    struct plan_margin *list = ARENA_ARRAY(a, struct plan_margin, MARGINS_MAX);
    struct plan_short_margin *each =
        ARENA_ARRAY(a, struct plan_short_margin, (size_t)short_count + 1);
    int count = 0;
    for (int i = 0; i < short_count; i++) {
        each[i].margin = PLAN_NONE;
        if (!has_step(shorts[i].limit) || plan_short_is_closed(p, &shorts[i])) continue;
        struct plan_margin m = margin_of(p, &shorts[i]);
        int at = 0;
        while (at < count && !joins(&list[at], &m))
            at++;
        if (at == MARGINS_MAX) continue;
        if (at == count) list[count++] = m;
        each[i].margin = at;
    }
    const int64_t *base = count > 0 ? met_at_once(a, p) : NULL;
    for (int k = 0; k < count; k++) {
        struct plan_problem q = with_step(a, p, &list[k], hours_a_day);
        const int64_t *met = met_at_once(a, &q);
        list[k].gained_kg = gained(p, met, base);
        if (list[k].gained_kg < NOTHING_KG && list[k].also != 0)
            take_together(a, p, base, hours_a_day, &list[k]);
        for (int i = 0; i < short_count; i++) {
            int64_t more = met[shorts[i].line] - base[shorts[i].line];
            /* the plan made at once may be short of more than the one that is asked about */
            if (more > shorts[i].pieces) more = shorts[i].pieces;
            if (each[i].margin == k) each[i].pieces = more > 0 ? more : 0;
        }
    }
    *out = list;
    *of = each;
    return count;
}

/* ---- in words */

static const char *tenths(struct arena *a, double value)
{
    return decimal_text(a, llround(value * 10), 1, false);
}

/* "One more hour of washing a day (556 kg) between Tue 3 Mar and Thu 5 Mar" */
static const char *step_text(struct arena *a, const char *lang, const struct plan_problem *p,
                             const struct plan_margin *m)
{
    const char *about = "";
    if (by_crop(m->limit)) about = p->seed_items[p->crops[m->crop].seed_item];
    if (m->limit == PLAN_LIMIT_INGREDIENT) about = p->ingredients[m->ingredient].code;
    if (m->limit == PLAN_LIMIT_LABORATORY) about = p->markets[m->market].code;
    if (m->group != PLAN_NONE) about = p->groups[m->group].code;
    if (m->from_day != PLAN_NONE) {
        const char *from = words_day(a, lang, p->first_day + m->from_day);
        about = m->from_day == m->to_day ? WORDS(a, lang, "short.on", from)
                                         : WORDS(a, lang, "short.between", from,
                                                 words_day(a, lang, p->first_day + m->to_day));
    }
    const char *key = arena_printf(a, "plan-margin.step.%s", plan_limit_id(m->limit));
    const char *work = m->limit >= PLAN_LIMIT_WORK ? p->works[m->limit - PLAN_LIMIT_WORK].code : "";
    return words(a, lang, key, (const char *const[]){tenths(a, m->step), about, work}, 3);
}

static const char *rate_text(struct arena *a, const char *lang, const struct plan_margin *m)
{
    const char *key = arena_printf(a, "plan-margin.unit.%s", plan_limit_id(m->limit));
    double each = m->units > 0 ? m->gained_kg / m->units : 0;
    return WORDS(a, lang, "plan-margin.rate", tenths(a, each), words(a, lang, key, NULL, 0));
}

static const char *also_text(struct arena *a, const char *lang, const struct plan_problem *p,
                             const struct plan_margin *m)
{
    const char *out = "";
    for (int limit = 0; limit < PLAN_LIMIT_COUNT; limit++) {
        if (!(m->also >> limit & 1)) continue;
        const char *one =
            limit >= PLAN_LIMIT_WORK
                ? p->works[limit - PLAN_LIMIT_WORK].code
                : words_of(a, lang, "plan-margin.also.", plan_limit_id((enum plan_limit)limit), "");
        out = out[0] == '\0' ? one : arena_printf(a, "%s, %s", out, one);
    }
    return out;
}

const char *plan_margin_sentence(struct arena *a, const char *lang, const struct plan_problem *p,
                                 const struct plan_margin *m, int64_t pieces)
{
    const char *step = step_text(a, lang, p, m);
    if (m->gained_kg < NOTHING_KG && m->together_kg >= NOTHING_KG)
        return WORDS(a, lang, "plan-margin.together", step, also_text(a, lang, p, m),
                     tenths(a, m->together_kg));
    if (m->gained_kg < NOTHING_KG && pieces == 0)
        return WORDS(a, lang, "plan-margin.nothing", step);
    return WORDS(a, lang, "plan-margin.gives", step, arena_printf(a, "%" PRId64, pieces),
                 tenths(a, m->gained_kg), rate_text(a, lang, m));
}

/* ---- promises */

/* What is met stays wanted first of all; the rest is one line more, on a later day. */
static bool rest_is_met(struct arena *a, const struct plan_problem *p, const int64_t *met, int line,
                        int64_t rest, int day)
{
    struct plan_problem q = *p;
    struct plan_line *lines = ARENA_ARRAY(a, struct plan_line, (size_t)p->line_count + 1);
    memcpy(lines, p->lines, (size_t)p->line_count * sizeof *lines);
    for (int i = 0; i < p->line_count; i++)
        lines[i].pieces = met[i];
    if (lines[line].pieces > p->lines[line].pieces - rest)
        lines[line].pieces = p->lines[line].pieces - rest;
    lines[p->line_count] = p->lines[line];
    lines[p->line_count].day = day;
    lines[p->line_count].pieces = rest;
    q.lines = lines;
    q.line_count++;
    const int64_t *now = met_at_once(a, &q);
    for (int i = 0; i < q.line_count; i++)
        if (now[i] < lines[i].pieces) return false;
    return true;
}

int plan_promises(struct arena *a, const struct plan_problem *p, const struct plan_short *shorts,
                  int short_count, struct plan_promise **out)
{
    int count = 0;
    *out = ARENA_ARRAY(a, struct plan_promise, PROMISES_MAX);
    const int64_t *met = short_count > 0 ? met_at_once(a, p) : NULL;
    for (int i = 0; i < short_count && count < PROMISES_MAX; i++) {
        int line = shorts[i].line;
        const struct plan_line *x = &p->lines[line];
        if (x->key == NULL) continue;
        struct plan_promise found = {line, shorts[i].pieces, PLAN_NONE};
        for (int day = x->day + 1;
             day < p->day_count && day <= x->day + PROMISE_DAYS && found.day == PLAN_NONE; day++) {
            struct arena scratch;
            arena_init(&scratch, ARENA_LIMIT_DEFAULT);
            if (rest_is_met(&scratch, p, met, line, found.pieces, day)) found.day = day;
            arena_release(&scratch);
        }
        (*out)[count++] = found;
    }
    return count;
}

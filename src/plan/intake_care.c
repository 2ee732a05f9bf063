#include "plan/intake_care.h"

#include <math.h>
#include <string.h>

#include "plan/intake_construct.h"
#include "plan/intake_follow.h"

const double intake_care_levels[INTAKE_CARE_LEVELS] = {-1, 0, 0.5, 1, 1.5, 2, 3};
/* A level is taken for what it saves, not for rounding. */
#define ROUNDING 1e-9

/* Standard deviation of a part, kg for each kg taken in: that of a day and that of the mean. */
static double part_deviation(const struct intake_luck_use *x, const struct intake_use *use,
                             int part)
{
    double whole = 1 + use->added_per_kg, mean = x->expected[part] / whole;
    double spread = fmax(0, mean * (1 - mean));
    return whole * sqrt(spread / (x->precision + 1) + spread / (x->mean_precision + 1));
}

static void careful_uses(struct arena *a, const struct intake_luck *luck, double level,
                         struct intake_problem *q)
{
    struct intake_use *uses = ARENA_ARRAY(a, struct intake_use, (size_t)q->use_count + 1);
    for (int u = 0; u < q->use_count; u++) {
        uses[u] = q->uses[u];
        struct intake_part *parts =
            ARENA_ARRAY(a, struct intake_part, (size_t)uses[u].part_count + 1);
        for (int k = 0; k < uses[u].part_count; k++) {
            parts[k] = uses[u].parts[k];
            if (luck->uses[u].is_known)
                parts[k].share =
                    fmax(INTAKE_CARE_LEAST * parts[k].share,
                         parts[k].share - level * part_deviation(&luck->uses[u], &uses[u], k));
        }
        uses[u].parts = parts;
    }
    q->uses = uses;
}

/* kg of a delivery that count: what comes late counts for nothing on its day. */
static double careful_kg(const struct intake_came_list *came, double kg, double level)
{
    double sum = 0, squares = 0;
    if (came->count < INTAKE_LUCK_MIN) return kg;
    for (int i = 0; i < came->count; i++) {
        double share = came->list[i].late_days == 0 ? came->list[i].share : 0;
        sum += share;
        squares += share * share;
    }
    double mean = sum / came->count, variance = fmax(0, squares / came->count - mean * mean);
    return kg * fmax(0, mean - level * sqrt(variance));
}

const struct intake_problem *intake_careful(struct arena *a, const struct intake_problem *p,
                                            const struct intake_luck *luck, double level)
{
    struct intake_problem *q = ARENA_NEW(a, struct intake_problem);
    *q = *p;
    careful_uses(a, luck, level, q);
    struct intake_delivery *deliveries =
        ARENA_ARRAY(a, struct intake_delivery, (size_t)p->delivery_count + 1);
    for (int i = 0; i < p->delivery_count; i++) {
        deliveries[i] = p->deliveries[i];
        deliveries[i].kg = careful_kg(&luck->came[i], p->deliveries[i].kg, level);
    }
    struct plan_line *lines = ARENA_ARRAY(a, struct plan_line, (size_t)p->line_count + 1);
    for (int i = 0; i < p->line_count; i++) {
        lines[i] = p->lines[i];
        if (!lines[i].key && lines[i].pieces > 0)
            lines[i].pieces += (int64_t)llround(level * lines[i].spread_pieces);
    }
    q->deliveries = deliveries;
    q->lines = lines;
    return q;
}

struct intake_plan *intake_expected(struct arena *a, const struct intake_problem *p,
                                    const struct intake_plan *careful)
{
    const struct intake_frame *f = intake_frame_make(a, p);
    struct intake_wanted *w = intake_wanted_new(a, f);
    int births = f->birth_count, days = p->day_count;
    memcpy(w->use_kg, careful->use_kg, sizeof(double) * (size_t)(p->use_count * births * days));
    memcpy(w->buy_kg, careful->buy_kg, sizeof(double) * (size_t)(p->offer_count * days));
    memcpy(w->turn_kg, careful->turn_kg, sizeof(double) * (size_t)p->delivery_count);
    intake_wanted_out(careful, w);
    w->rooms_bind = true;
    return intake_follow(a, f, w, NULL);
}

bool intake_varies(const struct intake_problem *p, const struct intake_luck *luck)
{
    for (int u = 0; u < p->use_count; u++)
        if (luck->uses[u].is_known && isfinite(luck->uses[u].precision)) return true;
    for (int i = 0; i < p->delivery_count; i++)
        if (luck->came[i].count >= INTAKE_LUCK_MIN) return true;
    for (int i = 0; i < p->line_count; i++)
        if (!p->lines[i].key && p->lines[i].pieces > 0 && p->lines[i].spread_pieces > 0)
            return true;
    return false;
}

double intake_share(const struct intake_chance *x)
{
    return x->wanted_kg.mean > 0 ? 1 - x->short_kg.mean / x->wanted_kg.mean : 1;
}

bool intake_care_better(const struct intake_chance *x, const struct intake_chance *other,
                        double service)
{
    double share = intake_share(x), was = intake_share(other), cost = other->cost.mean;
    bool reaches = share >= service, reached = was >= service;
    if (service > 0 && reaches != reached) return reaches;
    if (service > 0 && !reaches && fabs(share - was) > ROUNDING) return share > was;
    return x->cost.mean < cost - ROUNDING * fabs(cost);
}

double intake_care_level(struct arena *a, const struct intake_problem *p,
                         const struct intake_luck *luck, double service,
                         double costs[INTAKE_CARE_LEVELS])
{
    struct intake_luck few = *luck;
    struct intake_chance best = {0};
    double level = intake_care_levels[0];
    few.future_count =
        luck->future_count < INTAKE_CARE_FUTURES ? luck->future_count : INTAKE_CARE_FUTURES;
    for (int i = 0; i < INTAKE_CARE_LEVELS; i++) {
        double at = intake_care_levels[i];
        const struct intake_problem *q = at < 0 ? p : intake_careful(a, p, luck, at);
        struct intake_plan *plan = intake_construct(a, intake_frame_make(a, q));
        if (at >= 0) plan = intake_expected(a, p, plan);
        struct intake_chance chance = intake_chance_of(a, plan, &few);
        if (costs) costs[i] = chance.cost.mean;
        if (i > 0 && !intake_care_better(&chance, &best, service)) continue;
        best = chance;
        level = at;
    }
    return level;
}

/* Of the futures, pair by pair. */
static void compare(struct intake_care *care)
{
    double sum = 0, squares = 0;
    int n = care->chance.future_count;
    for (int i = 0; i < n; i++) {
        double saved = care->told.costs[i] - care->chance.costs[i];
        sum += saved;
        squares += saved * saved;
    }
    care->futures = n;
    care->saved = sum / n;
    double variance = n > 1 ? fmax(0, squares - sum * care->saved) / (n - 1) : 0;
    care->saved_error = sqrt(variance / n);
}

/* The careful plan as one of p: what it costs, how far from the bound, why it is short. */
static void tell(struct arena *a, const struct intake_plan *plan,
                 const struct intake_outcome *careful, const struct intake_outcome *told,
                 struct intake_outcome *out)
{
    const struct intake_explain how = {0};
    *out = *careful;
    intake_measure(a, plan, out);
    out->has_bound = told->has_bound;
    if (out->has_bound) {
        out->bound = fmin(told->bound, out->cost);
        out->gap = fmin(1, (out->cost - out->bound) / fmax(1e-9, fabs(out->cost)));
    }
    out->short_count =
        intake_shorts(a, plan, out->met_pieces, &how, &out->shorts, &out->gains, &out->gain_count);
}

struct trying {
    struct arena *a;
    const struct intake_problem *p;
    const struct intake_luck *luck;
    const struct intake_outcome *told;
    struct intake_outcome *out; /* the best so far, and its care */
    struct intake_care *care;
};

static struct result try_level(const struct trying *x, double level,
                               const struct improve_options *options)
{
    struct intake_outcome careful;
    struct intake_care *care = x->care;
    const struct intake_problem *q = intake_careful(x->a, x->p, x->luck, level);
    TRY(intake_make(x->a, q, options, &careful));
    const struct intake_plan *plan = intake_expected(x->a, x->p, careful.plan);
    struct intake_chance chance = intake_chance_of(x->a, plan, x->luck);
    if (intake_care_better(&chance, &care->chance, care->service)) {
        care->chance = chance;
        care->level = level;
        tell(x->a, plan, &careful, x->told, x->out);
    }
    return RESULT_OK;
}

/* More care than was tried before, until it is enough. */
static struct result try_more(const struct trying *x, double level)
{
    for (int i = 0; i < INTAKE_CARE_LEVELS; i++) {
        double at = intake_care_levels[i];
        if (at >= fmax(level, 0) && intake_share(&x->care->chance) < x->care->service)
            TRY(try_level(x, at, NULL));
    }
    return RESULT_OK;
}

struct result intake_make_careful(struct arena *a, const struct intake_problem *p,
                                  const struct intake_luck *luck, double service,
                                  const struct improve_options *options, struct intake_outcome *out,
                                  struct intake_care *care)
{
    struct improve_options half;
    struct intake_outcome told;
    const struct trying x = {a, p, luck, &told, out, care};
    double level = -1;
    TRY(intake_check(p));
    if (!(service >= 0 && service <= 1))
        return FAIL1(PLAN_FIELD, "service", "it must be from 0 to 1");
    *care =
        (struct intake_care){.level = -1, .service = service, .is_chosen = intake_varies(p, luck)};
    if (care->is_chosen) level = intake_care_level(a, p, luck, service, NULL);
    if (options) {
        half = *options;
        half.solver.seconds /= level < 0 ? 1 : 2;
    }
    TRY(intake_make(a, p, options ? &half : NULL, &told));
    *out = told;
    care->told = care->chance = intake_chance_of(a, told.plan, luck);
    if (level >= 0) TRY(try_level(&x, level, options ? &half : NULL));
    if (care->is_chosen) TRY(try_more(&x, level));
    compare(care);
    return RESULT_OK;
}

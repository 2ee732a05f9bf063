#include "plan/safety.h"

#include <math.h>
#include <string.h>

#include "calc/distribution.h"
#include "plan/construct.h"

/* Levels tried round the critical ratio's, in standard deviations, and how finely each product is
 * then tried by itself. common practice */
static const double BUFFERS[] = {0, 0.25, 0.5, 0.75, 1, 1.5, 2};
static const double CAUTIONS[] = {0, 0.5, 1};
static const double STEP = 0.25;
enum { BUFFER_COUNT = 7, CAUTION_COUNT = 3 };
/* A yield is never counted below this share of its mean. common practice */
static const double YIELD_MIN = 0.1;
static const double BUFFER_MAX = 3;

double safety_critical_ratio(double under, double over)
{
    return under / (under + over);
}

double safety_quantity(double mean, double spread, double share)
{
    return mean + spread * normal_quantile(share);
}

/* the problem with safety in it */

static double yield_share(const struct chance_crop *c, double caution)
{
    return c->yield_mean * fmax(YIELD_MIN, 1 - caution * c->yield_relative);
}

static const struct plan_crop *cautious_crops(struct arena *a, const struct plan_problem *p,
                                              const struct chance_model *model, double caution)
{
    struct plan_crop *crops = ARENA_ARRAY(a, struct plan_crop, (size_t)p->crop_count + 1);
    for (int k = 0; k < p->crop_count; k++) {
        crops[k] = p->crops[k];
        struct plan_way *ways = ARENA_ARRAY(a, struct plan_way, (size_t)crops[k].way_count);
        for (int w = 0; w < crops[k].way_count; w++) {
            ways[w] = p->crops[k].ways[w];
            ways[w].packed_kg_per_seed_kg *= yield_share(&model->crops[k], caution);
        }
        crops[k].ways = ways;
    }
    return crops;
}

static const struct plan_running *cautious_running(struct arena *a, const struct plan_problem *p,
                                                   const struct chance_model *model, double caution)
{
    struct plan_running *list = ARENA_ARRAY(a, struct plan_running, (size_t)p->running_count + 1);
    for (int i = 0; i < p->running_count; i++) {
        list[i] = p->running[i];
        list[i].packed_kg *= yield_share(&model->crops[list[i].crop], caution);
    }
    return list;
}

struct plan_problem *safety_problem(struct arena *a, const struct plan_problem *p,
                                    const struct chance_model *model, const struct safety *safety)
{
    struct plan_problem *out = ARENA_NEW(a, struct plan_problem);
    *out = *p;
    out->crops = cautious_crops(a, p, model, safety->caution);
    out->running = cautious_running(a, p, model, safety->caution);
    struct plan_line *lines = ARENA_ARRAY(a, struct plan_line, (size_t)p->line_count * 2 + 1);
    if (p->line_count > 0) memcpy(lines, p->lines, (size_t)p->line_count * sizeof *lines);
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        double buffer = safety->buffer[l->product];
        int64_t pieces = llround(buffer * l->spread_pieces);
        if (l->key || pieces <= 0) continue;
        struct plan_line *more = &lines[out->line_count++];
        *more = *l;
        more->pieces = pieces;
        more->spread_pieces = 0;
        /* the chance that the piece in the middle of the buffer is wanted */
        more->shortage_cost_per_kg *= 1 - normal_below(buffer / 2);
    }
    out->lines = lines;
    return out;
}

/* choosing */

struct choosing {
    struct arena *a; /* of what is kept */
    const struct plan_problem *p;
    const struct chance_model *model;
    const struct safety_wish *wish;
    double caution, *buffer; /* the best so far */
    double cost, service;
    int trial_count;
};

/* Enough of a plan to be scored. */
static struct result score(struct choosing *c, const struct safety *safety, double *out_cost,
                           double *out_service)
{
    struct arena scratch;
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    struct plan_problem *q = safety_problem(&scratch, c->p, c->model, safety);
    struct plan_placed *starts;
    struct chance chance;
    struct chance_model model = *c->model;
    if (c->wish->trial_futures > 0 && c->wish->trial_futures < model.future_count)
        model.future_count = c->wish->trial_futures;
    const struct plan *plan = plan_construct(&scratch, plan_frame_make(&scratch, q));
    int count = plan_place(&scratch, plan, &starts);
    struct result r = chance_of(&scratch, c->p, starts, count, &model, &chance);
    if (r.code == CODE_OK) {
        *out_cost = chance.cost.mean;
        *out_service = chance.wanted_kg.mean > 0 ? chance.met_kg.mean / chance.wanted_kg.mean : 1;
    }
    arena_release(&scratch);
    c->trial_count++;
    return r;
}

/* Is the new one better: by what was wished for? */
static bool is_better(const struct choosing *c, double cost, double service)
{
    double least = c->wish->service;
    if (least <= 0) return cost < c->cost;
    if (c->service < least || service < least) return service > c->service && (c->service < least);
    return cost < c->cost;
}

static struct result try_level(struct choosing *c, double caution, const double *buffer,
                               bool *out_better)
{
    struct safety safety = {caution, buffer};
    double cost, service;
    TRY(score(c, &safety, &cost, &service));
    *out_better = c->trial_count == 1 || is_better(c, cost, service);
    if (!*out_better) return RESULT_OK;
    c->caution = caution;
    memcpy(c->buffer, buffer, (size_t)c->p->product_count * sizeof *buffer);
    c->cost = cost;
    c->service = service;
    return RESULT_OK;
}

static struct result all_alike(struct choosing *c, double *buffer)
{
    bool better;
    for (int k = 0; k < CAUTION_COUNT; k++)
        for (int b = 0; b < BUFFER_COUNT; b++) {
            for (int i = 0; i < c->p->product_count; i++)
                buffer[i] = BUFFERS[b];
            TRY(try_level(c, CAUTIONS[k], buffer, &better));
        }
    return RESULT_OK;
}

/* Each product by itself, up or down as long as that helps. */
static struct result one_by_one(struct choosing *c, double *buffer)
{
    for (int i = 0; i < c->p->product_count; i++)
        for (int way = -1; way <= 1; way += 2) {
            bool better = true;
            while (better) {
                memcpy(buffer, c->buffer, (size_t)c->p->product_count * sizeof *buffer);
                buffer[i] += way * STEP;
                if (buffer[i] < 0 || buffer[i] > BUFFER_MAX) break;
                TRY(try_level(c, c->caution, buffer, &better));
            }
        }
    return RESULT_OK;
}

/* Leaves the lines of p: what serves a buffer serves nobody yet. */
static void strip(struct plan_outcome *o, int line_count)
{
    int sales = 0, shorts = 0, purposes = 0;
    for (int i = 0; i < o->sale_count; i++)
        if (o->sales[i].line < line_count) o->sales[sales++] = o->sales[i];
    for (int i = 0; i < o->short_count; i++)
        if (o->shorts[i].line < line_count) o->shorts[shorts++] = o->shorts[i];
    for (int i = 0; i < o->purpose_count; i++)
        if (o->purposes[i].line < line_count) o->purposes[purposes++] = o->purposes[i];
    o->sale_count = sales;
    o->short_count = shorts;
    o->purpose_count = purposes;
}

struct result safety_choose(struct arena *a, const struct plan_problem *p,
                            const struct chance_model *model, const struct safety_wish *wish,
                            const struct improve_options *options, struct safety_choice *out)
{
    *out = (struct safety_choice){0};
    TRY(plan_problem_check(p));
    if (!(wish->service >= 0 && wish->service <= 1))
        return FAIL1(PLAN_FIELD, "service", "it must be from 0 to 1");
    struct choosing c = {.a = a, .p = p, .model = model, .wish = wish};
    c.buffer = ARENA_ARRAY(a, double, (size_t)p->product_count + 1);
    double *trial = ARENA_ARRAY(a, double, (size_t)p->product_count + 1);
    TRY(all_alike(&c, trial));
    if (p->product_count > 1) TRY(one_by_one(&c, trial));
    out->safety = (struct safety){c.caution, c.buffer};
    out->trial_count = c.trial_count;
    TRY(plan_make(a, safety_problem(a, p, model, &out->safety), options, &out->outcome));
    TRY(chance_of(a, p, out->outcome.starts, out->outcome.start_count, model, &out->chance));
    strip(&out->outcome, p->line_count);
    return RESULT_OK;
}

#ifndef TESTS_PLAN_CHANCE_SCENE_H
#define TESTS_PLAN_CHANCE_SCENE_H

#include "instance.h"
#include "plan/chance.h"
#include "support.h"

/* A handmade problem, a model that leaves nothing to chance, and the plan made at once. */
struct scene {
    struct handmade h;
    struct chance_crop crop;
    struct chance_model model;
    struct plan_outcome plan;
    struct chance chance;
};

static inline void scene_init(struct scene *s)
{
    *s = (struct scene){.crop = {.yield_mean = 1}};
    handmade_init(&s->h);
    s->model = (struct chance_model){&s->crop, 0, 7, 4000};
}

static inline void play(struct arena *a, struct scene *s)
{
    plan_of(a, &s->h.p, NULL, &s->plan);
    struct result r =
        chance_of(a, &s->h.p, s->plan.starts, s->plan.start_count, &s->model, &s->chance);
    if (r.code != CODE_OK) fail_msg("%s", result_sentence(a, &r));
}

/* Five standard errors of a share. */
static inline double about(double share, int futures)
{
    return 5 * sqrt(share * (1 - share) / futures) + 1e-9;
}

#define assert_share(x, share)                                                                   \
    do {                                                                                         \
        double x_ = (x), y_ = (share);                                                           \
        if (fabs(x_ - y_) > about(y_, 4000)) fail_msg("%s is %.4f, not about %.4f", #x, x_, y_); \
    } while (0)

#endif

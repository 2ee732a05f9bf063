#include "service/planning_received_care.h"

#include <math.h>

#include "base/check.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/planning_inner.h"

struct result planning_received_careful(struct arena *a, const struct planning_received *c,
                                        const struct intake_luck *luck,
                                        const struct planning_ask *ask, struct intake_outcome *out,
                                        struct intake_care *care)
{
    struct improve_options options = {.solver = {.path = planning_solver(a),
                                                 .seconds = ask->seconds,
                                                 .gap = PLANNING_GAP,
                                                 .stop = ask->stop}};
    return intake_make_careful(a, &c->problem, luck, ask->service,
                               ask->seconds > 0 ? &options : NULL, out, care);
}

static const char *whole(struct arena *a, double value)
{
    return decimal_text(a, llround(value), 0, false);
}

/* Down: what is a little less than was asked for is not told as that. */
static const char *percent(struct arena *a, double share)
{
    return decimal_text(a, (int64_t)floor(share * 1000 + 1e-6), 1, false);
}

/* Whether what was asked for is met. */
static const char *reached(const struct intake_care *x, struct arena *a, const char *lang)
{
    double share = intake_share(&x->chance);
    const char *asked = percent(a, x->service), *futures = whole(a, x->futures);
    return share >= x->service
               ? WORDS(a, lang, "received.care.reached", asked, futures, percent(a, share))
               : WORDS(a, lang, "received.care.missed", asked, futures, percent(a, share));
}

static const char *chosen(const struct intake_care *x, struct arena *a, const char *lang)
{
    const char *futures = whole(a, x->futures);
    if (!x->is_chosen) {
        return WORDS(a, lang, "received.care.certain", NULL);
    }
    if (x->level < 0) {
        return x->service > 0 ? WORDS(a, lang, "received.care.none-asked", NULL)
                              : WORDS(a, lang, "received.care.none", futures);
    }
    const char *how = x->level > 0 ? WORDS(a, lang, "received.care.level",
                                           decimal_text(a, llround(x->level * 10), 1, false))
                                   : WORDS(a, lang, "received.care.mean", NULL);
    const char *key = x->saved < 0 ? "received.care.dearer" : "received.care";
    return WORDS(a, lang, key, how, futures, whole(a, x->chance.cost.mean),
                 whole(a, fabs(x->saved)), whole(a, x->saved_error),
                 whole(a, x->chance.short_kg.mean), whole(a, x->told.short_kg.mean),
                 whole(a, x->chance.left_kg.mean), whole(a, x->told.left_kg.mean));
}

static const char *sentence(const struct intake_care *x, bool of_profile, struct arena *a,
                            const char *lang)
{
    const char *how = chosen(x, a, lang), *met = reached(x, a, lang);
    if (x->service <= 0) {
        return how;
    }
    return of_profile
               ? arena_printf(a, "%s %s %s", met, WORDS(a, lang, "plan.service.profile", NULL), how)
               : arena_printf(a, "%s %s", met, how);
}

static json_int_t grams(double kg)
{
    return (json_int_t)llround(kg * 1000);
}

void planning_received_care_put(const struct intake_care *care, bool of_profile, struct arena *a,
                                const char *lang, json_t *plan)
{
    json_t *o = json_pack(
        "{s:o,s:b,s:i,s:f,s:f,s:f,s:f,s:I,s:I,s:I,s:I,s:s}", "level_milli",
        care->level >= 0 ? json_integer(llround(care->level * 1000)) : json_null(), "tried",
        care->is_chosen, "futures", care->futures, "cost", care->chance.cost.mean, "told_cost",
        care->told.cost.mean, "saved", care->saved, "saved_error", care->saved_error, "short_g",
        grams(care->chance.short_kg.mean), "told_short_g", grams(care->told.short_kg.mean),
        "left_g", grams(care->chance.left_kg.mean), "told_left_g", grams(care->told.left_kg.mean),
        "sentence", sentence(care, of_profile, a, lang));
    CHECK(o != NULL);
    json_object_set_new(plan, "care", o);
}

#include "calc/heat/seed_curve.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/heat/heat_log.h"
#include "calc/heat/survival.h"
#include "calc/heat/within.h"

#define S_PER_D 86400.0

static const char temp_words[] = "from -60 to 300 C";

static struct result kill_check(const struct seed_kill *k)
{
    TRY(within("reference_c", k->reference_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, temp_words));
    TRY(within("z_c", k->z_c, 1e-9, 1e12, "above 0 C"));
    TRY(within("d_s", k->d_s, 1e-12, 1e12, "above 0 s"));
    TRY(within("tested_max_c", k->tested_max_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, temp_words));
    return within("reduction_seen", k->seen, 0, 20, "from 0 to 20 log10");
}

static struct result loss_check(const struct seed_loss *l)
{
    TRY(within("germination_pct", l->initial_share * 100, 1, 99.99, "from 1 to 99.99 %"));
    if (l->model == SEED_LOSS_PROBIT) {
        return RESULT_OK;
    }
    TRY(within("germination_reference_c", l->reference_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C,
               temp_words));
    TRY(within("germination_z_c", l->z_c, 1e-9, 1e12, "above 0 C"));
    TRY(within("germination_shoulder_s", l->shoulder_s, 0, 80 * l->d_s,
               "from 0 to 80 times germination_d_s"));
    return within("germination_d_s", l->d_s, 1e-12, 1e12, "above 0 s");
}

struct result seed_curve_make(const struct seed_kill *kill, const struct seed_loss *loss,
                              double temp_c, struct seed_curve *out)
{
    *out = (struct seed_curve){.temp_c = 0};
    TRY(kill_check(kill));
    TRY(loss_check(loss));
    TRY(within("temp_c", temp_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, temp_words));
    struct seed_curve c = {.kill = *kill, .loss = *loss, .temp_c = temp_c};
    c.credited_c = fmin(temp_c, kill->tested_max_c + CONSTANT_HEAT_CREDIT_ABOVE_TESTED_C);
    c.d_s = kill->d_s * pow(10, (kill->reference_c - c.credited_c) / kill->z_c);
    TRY(finite_result("z_c", kill->z_c, c.d_s > 0 ? c.d_s : INFINITY));
    if (loss->model == SEED_LOSS_PROBIT) {
        TRY(longevity_sigma_d(loss->species, loss->moisture_pct, temp_c, &c.loss_s));
        c.loss_s *= S_PER_D;
    } else {
        c.loss_s = loss->d_s * pow(10, (loss->reference_c - temp_c) / loss->z_c);
        TRY(finite_result("germination_z_c", loss->z_c, c.loss_s > 0 ? c.loss_s : INFINITY));
    }
    *out = c;
    return RESULT_OK;
}

double seed_curve_reduction(const struct seed_curve *c, double time_s)
{
    return fmin(time_s / c->d_s, c->kill.seen);
}

static struct survival loss_survival(const struct seed_loss *l)
{
    bool shoulder = l->model == SEED_LOSS_SHOULDER;
    return (struct survival){.model = shoulder ? SURVIVAL_GEERAERD : SURVIVAL_LOG_LINEAR,
                             .shoulder = shoulder ? M_LN10 * l->shoulder_s / l->d_s : 0};
}

double seed_curve_germination(const struct seed_curve *c, double time_s)
{
    const struct seed_loss *l = &c->loss;
    if (l->model == SEED_LOSS_PROBIT) {
        return probit_share(probit(l->initial_share) - time_s / c->loss_s);
    }
    struct survival s = loss_survival(l);
    return l->initial_share * pow(10, -survival_reduction(&s, time_s / c->loss_s, 0));
}

double seed_curve_earliest_s(const struct seed_curve *c, double target)
{
    return target > c->kill.seen ? INFINITY : target * c->d_s;
}

double seed_curve_latest_s(const struct seed_curve *c, double least_share)
{
    const struct seed_loss *l = &c->loss;
    if (l->initial_share <= least_share) {
        return 0;
    }
    if (l->model == SEED_LOSS_PROBIT) {
        return (probit(l->initial_share) - probit(least_share)) * c->loss_s;
    }
    struct survival s = loss_survival(l);
    return survival_time_s(&s, 1 / c->loss_s, 0, log10(l->initial_share / least_share));
}

struct result seed_loss_d_s(double time_s, double before_pct, double after_pct, double *out_s)
{
    *out_s = 0;
    TRY(within("time_s", time_s, WITHIN_ABOVE_ZERO, 1e12, "above 0 s"));
    TRY(within("before_pct", before_pct, 1e-9, 100, "above 0 and at most 100 %"));
    TRY(within("after_pct", after_pct, 1e-9, nextafter(before_pct, 0),
               "above 0 and below before_pct"));
    *out_s = time_s / log10(before_pct / after_pct);
    return RESULT_OK;
}

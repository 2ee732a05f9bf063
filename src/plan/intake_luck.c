#include "plan/intake_luck.h"

#include <math.h>

/* A share that is less is none: a gamma of no shape can't be drawn. */
#define NO_SHARE 1e-9

/* Share of the whole, 1 + added, that a part or (part_count) the loss has on a day. */
static double share_of(const struct intake_use *use, const double *taken_kg, const double *given_kg,
                       int day, int part)
{
    double whole = taken_kg[day] * (1 + use->added_per_kg), given = 0;
    for (int k = 0; k < use->part_count; k++)
        given += given_kg[day * use->part_count + k];
    whole = fmax(whole, given); /* weighed: no loss is below 0 */
    if (part == use->part_count) return (whole - given) / whole;
    return given_kg[day * use->part_count + part] / whole;
}

struct intake_luck_use intake_luck_learn(struct arena *a, const struct intake_use *use,
                                         const double *taken_kg, const double *given_kg, int days)
{
    struct intake_luck_use out = {.days = days, .is_known = days >= INTAKE_LUCK_MIN};
    double *shares = ARENA_ARRAY(a, double, (size_t)use->part_count + 1),
           *expected = ARENA_ARRAY(a, double, (size_t)use->part_count + 1);
    double spread = 0, variance = 0;
    for (int k = 0; k <= use->part_count && out.is_known; k++) {
        double sum = 0, squares = 0;
        for (int d = 0; d < days; d++)
            sum += share_of(use, taken_kg, given_kg, d, k);
        double mean = sum / days;
        for (int d = 0; d < days; d++)
            squares += pow(share_of(use, taken_kg, given_kg, d, k) - mean, 2);
        spread += mean * (1 - mean);
        variance += squares / (days - 1);
        shares[k] = mean * (1 + use->added_per_kg);
    }
    for (int k = 0; k < use->part_count; k++)
        expected[k] = out.is_known
                          ? (days * shares[k] + INTAKE_LUCK_TOLD_DAYS * use->parts[k].share) /
                                (days + INTAKE_LUCK_TOLD_DAYS)
                          : use->parts[k].share;
    out.shares = shares;
    out.expected = expected;
    bool varies = variance > NO_SHARE * NO_SHARE;
    out.precision = varies ? fmax(NO_SHARE, spread / variance - 1) : INFINITY;
    out.mean_precision = varies ? (out.precision + 1) * days - 1 : INFINITY;
    return out;
}

/* A Dirichlet of a mean, whose parts and loss are kg for each kg taken in. */
static void scatter(const double *mean, const struct intake_use *use, double precision,
                    struct draw *d, double *out)
{
    double whole = 1 + use->added_per_kg, loss = whole, sum = 0;
    for (int k = 0; k < use->part_count; k++) {
        double share = mean[k] / whole;
        loss -= mean[k];
        out[k] = isinf(precision) ? share : share > NO_SHARE ? draw_gamma(d, share * precision) : 0;
        sum += out[k];
    }
    loss = fmax(0, loss / whole);
    sum += isinf(precision) ? loss : loss > NO_SHARE ? draw_gamma(d, loss * precision) : 0;
    for (int k = 0; k < use->part_count; k++)
        out[k] *= sum > 0 ? whole / sum : 0;
}

void intake_luck_mean(const struct intake_luck_use *x, const struct intake_use *use, struct draw *d,
                      double *out_shares)
{
    if (x->is_known) {
        scatter(x->expected, use, x->mean_precision, d, out_shares);
        return;
    }
    for (int k = 0; k < use->part_count; k++)
        out_shares[k] = use->parts[k].share;
}

void intake_luck_day(const struct intake_luck_use *x, const struct intake_use *use,
                     const double *from, struct draw *d, double *out_shares)
{
    scatter(from, use, x->is_known ? x->precision : INFINITY, d, out_shares);
}

#include "calc/heat/exchanger.h"

#include <math.h>

#include "calc/heat/within.h"

#define TEMP_MAX_C 200

static const char temp_words[] = "from 0 to 200 C";

static struct result in_check(const struct exchanger_in *in)
{
    TRY(within("flow_kg_s", in->flow_kg_s, WITHIN_ABOVE_ZERO, 1000, "above 0, at most 1000 kg/s"));
    TRY(within("heat_j_kg_k", in->heat_j_kg_k, 100, 1e4, "from 100 to 10000 J/kg/K"));
    TRY(within("in_c", in->in_c, 0, TEMP_MAX_C, temp_words));
    TRY(within("past_c", in->past_c, nextafter(in->in_c, 300), TEMP_MAX_C,
               "above in_c and at most 200 C"));
    TRY(within("out_c", in->out_c, 0, TEMP_MAX_C, temp_words));
    TRY(within("regeneration", in->regeneration, 0, 0.99, "from 0 to 0.99"));
    return in->u_w_m2_k == 0
               ? RESULT_OK
               : within("u_w_m2_k", in->u_w_m2_k, 1, 1e5, "from 1 to 100000 W/m2/K, or 0");
}

struct result exchanger_work(const struct exchanger_in *in, struct exchanger *out)
{
    *out = (struct exchanger){0};
    TRY(in_check(in));
    double per_c = in->flow_kg_s * in->heat_j_kg_k;
    double rise_c = in->past_c - in->in_c;
    double e = in->regeneration;
    struct exchanger r = {
        .regen_c = in->in_c + e * rise_c,
        .hot_leaves_c = in->past_c - e * rise_c,
        .heater_w = per_c * rise_c * (1 - e),
        .regenerator_w = per_c * rise_c * e,
        .total_w = per_c * rise_c,
        .difference_c = (1 - e) * rise_c,
        .ntu = e / (1 - e),
    };
    r.cooler_w = fmax(0, per_c * (r.hot_leaves_c - in->out_c));
    r.ua_w_k = per_c * r.ntu;
    r.area_m2 = in->u_w_m2_k > 0 ? r.ua_w_k / in->u_w_m2_k : 0;
    *out = r;
    return RESULT_OK;
}

struct result exchanger_regeneration(double in_c, double regen_c, double past_c, double *out)
{
    *out = 0;
    TRY(within("in_c", in_c, 0, TEMP_MAX_C, temp_words));
    TRY(within("past_c", past_c, nextafter(in_c, 300), TEMP_MAX_C, "above in_c and at most 200 C"));
    TRY(within("regen_c", regen_c, in_c, past_c, "between in_c and past_c"));
    *out = (regen_c - in_c) / (past_c - in_c);
    return RESULT_OK;
}

struct result exchanger_lmtd(double hot_in_c, double hot_out_c, double cold_in_c, double cold_out_c,
                             double *out_c)
{
    *out_c = 0;
    TRY(within("cold_in_c", cold_in_c, 0, TEMP_MAX_C, temp_words));
    TRY(within("cold_out_c", cold_out_c, 0, TEMP_MAX_C, temp_words));
    TRY(within("hot_in_c", hot_in_c, nextafter(cold_out_c, 300), 300, "above cold_out_c"));
    TRY(within("hot_out_c", hot_out_c, nextafter(cold_in_c, 300), 300, "above cold_in_c"));
    double one = hot_in_c - cold_out_c, other = hot_out_c - cold_in_c;
    double ratio = one / other;
    /* Where both are alike the quotient is 0/0; there the mean is theirs. */
    *out_c = fabs(ratio - 1) < 1e-6 ? (one + other) / 2 : (one - other) / log(ratio);
    return RESULT_OK;
}

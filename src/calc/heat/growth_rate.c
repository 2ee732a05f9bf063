#include "calc/heat/growth_rate.h"

#include <math.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/range.h"

#define H_PER_D 24.0
#define REFERENCE_C 5.0

struct root_growth root_growth_listeria(double egr5_log_d)
{
    return (struct root_growth){egr5_log_d, CONSTANT_LISTERIA_ROOT_T0_C};
}

struct cardinal_growth cardinal_growth_listeria(double egr_opt_log_d)
{
    return (struct cardinal_growth){
        .egr_opt_log_d = egr_opt_log_d,
        .temp_min_c = CONSTANT_LISTERIA_TEMP_MIN_C,
        .temp_opt_c = CONSTANT_LISTERIA_TEMP_OPT_C,
        .temp_max_c = CONSTANT_LISTERIA_TEMP_MAX_C,
        .ph_min = CONSTANT_LISTERIA_PH_MIN,
        .ph_opt = CONSTANT_LISTERIA_PH_OPT,
        .ph_max = CONSTANT_LISTERIA_PH_MAX,
        .aw_min = CONSTANT_LISTERIA_AW_MIN,
        .aw_opt = CONSTANT_LISTERIA_AW_OPT,
        .ph = CONSTANT_LISTERIA_PH_OPT,
        .aw = CONSTANT_LISTERIA_AW_OPT,
    };
}

struct result root_growth_check(const struct root_growth *g)
{
    TRY(range_number("egr5_log_d", g->egr5_log_d, 0, 100));
    return range_number("t0_c", g->t0_c, -10, 4);
}

struct result cardinal_growth_check(const struct cardinal_growth *g)
{
    TRY(range_number("egr_opt_log_d", g->egr_opt_log_d, 0, 1000));
    TRY(range_number("temp_min_c", g->temp_min_c, -20, 60));
    TRY(range_number("temp_opt_c", g->temp_opt_c, g->temp_min_c + 1, 80));
    TRY(range_number("temp_max_c", g->temp_max_c, g->temp_opt_c + 0.1, 100));
    TRY(range_number("ph_min", g->ph_min, 0, 14));
    TRY(range_number("ph_opt", g->ph_opt, g->ph_min + 0.01, 14));
    TRY(range_number("ph_max", g->ph_max, g->ph_opt + 0.01, 14));
    TRY(range_number("aw_min", g->aw_min, 0, 1));
    TRY(range_number("aw_opt", g->aw_opt, g->aw_min + 0.001, 1));
    TRY(range_number("ph", g->ph, 0, 14));
    return range_number("aw", g->aw, 0, 1);
}

double root_rate(const struct root_growth *g, double temp_c)
{
    double above = fmax(0, temp_c - g->t0_c) / (REFERENCE_C - g->t0_c);
    return g->egr5_log_d * above * above;
}

double cardinal_temp(const struct cardinal_growth *g, double temp_c)
{
    if (temp_c <= g->temp_min_c || temp_c >= g->temp_max_c) {
        return 0;
    }
    double span = g->temp_opt_c - g->temp_min_c;
    double above = temp_c - g->temp_min_c;
    double below =
        span * (span * (temp_c - g->temp_opt_c) -
                (g->temp_opt_c - g->temp_max_c) * (g->temp_opt_c + g->temp_min_c - 2 * temp_c));
    return (temp_c - g->temp_max_c) * above * above / below;
}

double gamma_temp(const struct cardinal_growth *g, double temp_c)
{
    double share =
        fmax(0, fmin(temp_c, g->temp_opt_c) - g->temp_min_c) / (g->temp_opt_c - g->temp_min_c);
    return share * share;
}

double cardinal_ph(const struct cardinal_growth *g)
{
    if (g->ph <= g->ph_min || g->ph >= g->ph_max) {
        return 0;
    }
    double between = (g->ph - g->ph_min) * (g->ph - g->ph_max);
    double off = g->ph - g->ph_opt;
    return between / (between - off * off);
}

double cardinal_aw(const struct cardinal_growth *g)
{
    double share = fmax(0, fmin(g->aw, g->aw_opt) - g->aw_min) / (g->aw_opt - g->aw_min);
    return share * share;
}

double cardinal_rate(const struct cardinal_growth *g, double temp_c)
{
    return g->egr_opt_log_d * cardinal_temp(g, temp_c) * cardinal_ph(g) * cardinal_aw(g);
}

struct result root_egr5(double growth_log, double time_d, double temp_c, double t0_c,
                        double *out_log_d)
{
    *out_log_d = 0;
    TRY(range_number("growth_log", growth_log, 0, 20));
    TRY(range_number("time_d", time_d, 1e-3, 1e4));
    TRY(range_number("t0_c", t0_c, -10, 4));
    TRY(range_number("temp_c", temp_c, t0_c + 0.1, CONSTANT_LISTERIA_ROOT_HIGH_C));
    double scale = (REFERENCE_C - t0_c) / (temp_c - t0_c);
    *out_log_d = growth_log / time_d * scale * scale;
    return RESULT_OK;
}

double generation_h(double rate_log_d)
{
    CHECK(rate_log_d > 0);
    return H_PER_D * log10(2) / rate_log_d;
}

#include "calc/water/wash_balance.h"

#include <math.h>

#include "calc/range.h"

#define MG_PER_G 1000.0
#define FLOW_MAX 1e9
#define LEVEL_MAX 1e6

static struct result loop_check(const struct wash_loop *loop)
{
    TRY(range_number("volume_l", loop->volume_l, 1e-3, FLOW_MAX));
    TRY(range_number("load_g_h", loop->load_g_h, 0, FLOW_MAX));
    TRY(range_number("supply_mg_l", loop->supply_mg_l, 0, LEVEL_MAX));
    TRY(range_number("blow_down_l_h", loop->blow_down_l_h, 0, FLOW_MAX));
    TRY(range_number("carry_out_l_h", loop->carry_out_l_h, 0, FLOW_MAX));
    TRY(range_number("decay_per_h", loop->decay_per_h, 0, 1e4));
    return range_number("start_mg_l", loop->start_mg_l, 0, LEVEL_MAX);
}

static double make_up_l_h(const struct wash_loop *loop)
{
    return loop->blow_down_l_h + loop->carry_out_l_h;
}

/* What comes in, in mg/L of the tank and hour. */
static double gain(const struct wash_loop *loop)
{
    return (loop->load_g_h * MG_PER_G + make_up_l_h(loop) * loop->supply_mg_l) / loop->volume_l;
}

static double loss_per_h(const struct wash_loop *loop)
{
    return make_up_l_h(loop) / loop->volume_l + loop->decay_per_h;
}

struct result wash_steady(const struct wash_loop *loop, struct wash_steady *out)
{
    *out = (struct wash_steady){0};
    TRY(loop_check(loop));
    double loss = loss_per_h(loop);
    if (loss > 0) {
        *out = (struct wash_steady){true, gain(loop) / loss, 1 / loss};
    }
    return RESULT_OK;
}

struct result wash_level(const struct wash_loop *loop, double time_h, double *out_mg_l)
{
    *out_mg_l = 0;
    TRY(loop_check(loop));
    TRY(range_number("time_h", time_h, 0, 1e6));
    double loss = loss_per_h(loop);
    /* (1 - e^(-loss t)) / loss, which goes to t as the loss vanishes. */
    double worth_h = loss > 0 ? -expm1(-loss * time_h) / loss : time_h;
    *out_mg_l = loop->start_mg_l + (gain(loop) - loss * loop->start_mg_l) * worth_h;
    return RESULT_OK;
}

struct result wash_reach(const struct wash_loop *loop, double limit_mg_l, enum wash_reach *out,
                         double *out_h)
{
    *out = WASH_STAYS_BELOW;
    *out_h = 0;
    TRY(loop_check(loop));
    TRY(range_number("limit_mg_l", limit_mg_l, 1e-9, LEVEL_MAX));
    if (loop->start_mg_l >= limit_mg_l) {
        *out = WASH_ABOVE_NOW;
        return RESULT_OK;
    }
    double loss = loss_per_h(loop);
    double rise = gain(loop) - loss * loop->start_mg_l;
    double need = limit_mg_l - loop->start_mg_l;
    if (rise <= 0 || need * loss >= rise) {
        return RESULT_OK;
    }
    *out = WASH_REACHES;
    *out_h = loss > 0 ? -log1p(-need * loss / rise) / loss : need / rise;
    return RESULT_OK;
}

struct result wash_make_up(const struct wash_loop *loop, double limit_mg_l, double *out_l_h)
{
    *out_l_h = 0;
    TRY(loop_check(loop));
    TRY(range_number("limit_mg_l", limit_mg_l, loop->supply_mg_l, LEVEL_MAX));
    double left_mg_h = loop->load_g_h * MG_PER_G - loop->decay_per_h * loop->volume_l * limit_mg_l;
    if (left_mg_h <= 0) {
        return RESULT_OK;
    }
    TRY(range_number("limit_mg_l", limit_mg_l, loop->supply_mg_l + 1e-9, LEVEL_MAX));
    *out_l_h = left_mg_h / (limit_mg_l - loop->supply_mg_l);
    return RESULT_OK;
}

#include "calc/water/water_loop.h"

#include <math.h>

#include "calc/range.h"

#define FLOW_MAX 1e9
#define LEVEL_MAX 1e6

struct result water_cycles(double evaporation_l_h, double drift_l_h, double cycles,
                           struct water_cycles *out)
{
    *out = (struct water_cycles){0};
    TRY(range_number("evaporation_l_h", evaporation_l_h, 0, FLOW_MAX));
    TRY(range_number("drift_l_h", drift_l_h, 0, FLOW_MAX));
    TRY(range_number("cycles", cycles, 1.0001, 1000));
    double blow_down = fmax(0, evaporation_l_h / (cycles - 1) - drift_l_h);
    double leaves = blow_down + drift_l_h;
    *out = (struct water_cycles){
        .blow_down_l_h = blow_down,
        .make_up_l_h = evaporation_l_h + leaves,
        .cycles = leaves > 0 ? (evaporation_l_h + leaves) / leaves : 0,
    };
    return RESULT_OK;
}

struct result water_reuse(double reuse, double removal, double fresh_mg_l, double pick_up_mg_l,
                          struct water_reuse *out)
{
    *out = (struct water_reuse){0};
    TRY(range_number("reuse", reuse, 0, 1));
    TRY(range_number("removal", removal, 0, 1));
    TRY(range_number("fresh_mg_l", fresh_mg_l, 0, LEVEL_MAX));
    TRY(range_number("pick_up_mg_l", pick_up_mg_l, 0, LEVEL_MAX));
    double comes_back = reuse * (1 - removal);
    /* Used again whole and untreated, it would gather without end. */
    TRY(range_number("reuse", comes_back, 0, 0.9999));
    double in = ((1 - reuse) * fresh_mg_l + comes_back * pick_up_mg_l) / (1 - comes_back);
    *out = (struct water_reuse){.in_mg_l = in, .out_mg_l = in + pick_up_mg_l};
    return RESULT_OK;
}

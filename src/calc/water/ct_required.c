#include "calc/water/ct_required.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/range.h"

#define LAST_ROW_C 25.0

struct result ct_required(const struct ct_ask *ask, struct ct_need *out)
{
    *out = (struct ct_need){0};
    if (!ct_table_has(ask->organism, ask->disinfectant)) {
        return FAIL2(FIELD_CHOICE, "disinfectant", ct_disinfectant_word(ask->disinfectant),
                     "free-chlorine, where viruses are asked for");
    }
    bool by_residual = ask->organism == CT_GIARDIA && ask->disinfectant == CT_FREE_CHLORINE;
    if (ask->between && !by_residual) {
        return FAIL2(FIELD_CHOICE, "method", "interpolated",
                     "table, except for giardia by free chlorine");
    }
    TRY(range_number("log", ask->log, 0.01, ask->organism == CT_VIRUS ? 4 : 3));
    TRY(ct_table_find(ask->organism, ask->disinfectant, &ask->water, &out->cell));
    double ct = out->cell.ct;
    if (ask->between) {
        TRY(ct_table_between(&ask->water, &ct));
    }
    if (ask->warm_halving && ask->water.temp_c > LAST_ROW_C) {
        ct *= exp2((LAST_ROW_C - ask->water.temp_c) / CONSTANT_WATER_CT_WARM_HALVING_C);
    }
    out->ct = ct * ask->log / out->cell.log;
    return RESULT_OK;
}

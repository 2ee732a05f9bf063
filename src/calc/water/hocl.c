#include "calc/water/hocl.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/range.h"

#define ZERO_C_K 273.15
#define PKA_LOW 4.0
#define PKA_HIGH 11.0

struct result hocl_pka(double temp_c, double *out_pka)
{
    *out_pka = 0;
    TRY(range_number("temp_c", temp_c, 0, 50));
    double kelvin = temp_c + ZERO_C_K;
    *out_pka = CONSTANT_WATER_PKA_A / kelvin - CONSTANT_WATER_PKA_B + CONSTANT_WATER_PKA_C * kelvin;
    return RESULT_OK;
}

struct result hocl_share(double ph, double pka, struct hocl *out)
{
    *out = (struct hocl){0};
    TRY(range_number("ph", ph, 0, 14));
    TRY(range_number("pka", pka, PKA_LOW, PKA_HIGH));
    *out = (struct hocl){
        .pka = pka,
        .hocl = 1 / (1 + pow(10, ph - pka)),
        .ocl = 1 / (1 + pow(10, pka - ph)),
    };
    return RESULT_OK;
}

struct result hocl_ph(double share, double pka, double *out_ph)
{
    *out_ph = 0;
    TRY(range_number("hocl_pct", share * 100, 1e-6, 100 - 1e-6));
    TRY(range_number("pka", pka, PKA_LOW, PKA_HIGH));
    *out_ph = pka + log10((1 - share) / share);
    return RESULT_OK;
}

bool hocl_milli(int64_t chlorine_milli, int64_t ph_milli, int64_t temp_mc, int64_t *out_milli)
{
    struct hocl share;
    double pka;
    if (hocl_pka((double)temp_mc / 1000, &pka).code != CODE_OK ||
        hocl_share((double)ph_milli / 1000, pka, &share).code != CODE_OK) {
        return false;
    }
    *out_milli = (int64_t)floor((double)chlorine_milli * share.hocl);
    return true;
}

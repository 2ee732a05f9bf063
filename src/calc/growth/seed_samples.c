#include "calc/growth/seed_samples.h"

#include <math.h>
#include <stdio.h>

#include "calc/constants.gen.h"

#define SEED_MAX_MG INT64_C(1000000000000)

struct result seed_samples(int64_t seed_mg, int64_t *out_count)
{
    *out_count = 0;
    if (seed_mg < 1 || seed_mg > SEED_MAX_MG) {
        char text[24];
        snprintf(text, sizeof text, "%lld", (long long)seed_mg);
        return FAIL2(FIELD_RANGE, "seed_mg", text, "from 1 to 1000000000000 mg");
    }
    int64_t seed_per_sample_mg =
        llround(CONSTANT_SEED_SAMPLE_G * 1000 / CONSTANT_SEED_SAMPLE_SHARE);
    *out_count = (seed_mg + seed_per_sample_mg - 1) / seed_per_sample_mg;
    return RESULT_OK;
}

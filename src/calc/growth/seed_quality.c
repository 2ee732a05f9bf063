#include "calc/growth/seed_quality.h"

#include <math.h>
#include <stdio.h>

#include "calc/constants.gen.h"
#include "calc/whole.h"

static struct result mass_check(const char *field, int64_t mass_mg, int64_t low_mg)
{
    if (mass_mg >= low_mg && mass_mg <= SEED_SAMPLE_MAX_MG) {
        return RESULT_OK;
    }
    char text[32], range[64];
    snprintf(text, sizeof text, "%lld", (long long)mass_mg);
    snprintf(range, sizeof range, "from %lld to %lld mg", (long long)low_mg,
             (long long)SEED_SAMPLE_MAX_MG);
    return FAIL2(FIELD_RANGE, field, text, range);
}

struct result seed_purity(const struct seed_parts *parts, struct seed_purity *out)
{
    *out = (struct seed_purity){0};
    TRY(mass_check("pure_mg", parts->pure_mg, 0));
    TRY(mass_check("other_mg", parts->other_mg, 0));
    TRY(mass_check("weed_mg", parts->weed_mg, 0));
    TRY(mass_check("inert_mg", parts->inert_mg, 0));
    int64_t all_mg = parts->pure_mg + parts->other_mg + parts->weed_mg + parts->inert_mg;
    if (all_mg == 0) {
        return FAIL2(FIELD_RANGE, "pure_mg", "0", "above 0 mg, or one of the other parts must");
    }
    out->purity_pct = 100.0 * (double)parts->pure_mg / (double)all_mg;
    out->purity_ppm = parts->pure_mg * 1000000 / all_mg;
    return RESULT_OK;
}

static struct result percent_check(const char *field, double pct, double high)
{
    if (!isfinite(pct)) {
        return FAIL0(NUMBER_BAD, field);
    }
    if (pct >= 0 && pct <= high) {
        return RESULT_OK;
    }
    char text[40], range[64];
    snprintf(text, sizeof text, "%.6g", pct);
    snprintf(range, sizeof range, "from 0 to %.6g %%", high);
    return FAIL2(FIELD_RANGE, field, text, range);
}

struct result pure_live_seed(double purity_pct, double germination_pct, double hard_pct,
                             struct pure_live_seed *out)
{
    *out = (struct pure_live_seed){0};
    TRY(percent_check("purity_pct", purity_pct, 100));
    TRY(percent_check("germination_pct", germination_pct, 100));
    TRY(percent_check("hard_pct", hard_pct, 100 - germination_pct));
    out->pls_pct = purity_pct * germination_pct / 100;
    out->pls_with_hard_pct = purity_pct * (germination_pct + hard_pct) / 100;
    out->pls_ppm = whole_down(out->pls_pct * 1e4);
    return RESULT_OK;
}

struct result seed_mass(const int64_t *mass_mg, size_t replicates, struct seed_mass *out)
{
    *out = (struct seed_mass){0};
    if (replicates < SEED_MASS_REPLICATES_MIN || replicates > SEED_MASS_REPLICATES_MAX) {
        char text[24];
        snprintf(text, sizeof text, "%zu", replicates);
        return FAIL2(FIELD_RANGE, "replicates", text, "from 8 to 16 weighings of 100 seeds");
    }
    int64_t sum_mg = 0;
    for (size_t i = 0; i < replicates; i++) {
        char field[40];
        snprintf(field, sizeof field, "replicates_mg[%zu]", i);
        TRY(mass_check(field, mass_mg[i], 1));
        sum_mg += mass_mg[i];
    }
    double n = (double)replicates;
    double mean_mg = (double)sum_mg / n;
    double squares = 0;
    for (size_t i = 0; i < replicates; i++) {
        squares += ((double)mass_mg[i] - mean_mg) * ((double)mass_mg[i] - mean_mg);
    }
    double deviation_mg = sqrt(squares / (n - 1));
    out->tsm_g = 10 * mean_mg / 1000;
    out->deviation_g = deviation_mg / 1000;
    out->cv_pct = 100 * deviation_mg / mean_mg;
    out->tsm_mg = llround(10 * mean_mg);
    out->cv_ppm = (int64_t)ceil(out->cv_pct * 1e4);
    out->accepted = out->cv_pct <= CONSTANT_SEED_MASS_CV_MAX_PCT;
    return RESULT_OK;
}

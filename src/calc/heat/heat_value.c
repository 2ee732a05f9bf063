#include "calc/heat/heat_value.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/heat/lethal_rate.h"
#include "calc/heat/within.h"
#include "calc/sum.h"

#define MS_PER_MIN 60000.0

static const struct heat_value_set sets[] = {
    {"beer",
     "beer, 1.393 to the power of degrees above 60 C",
     CONSTANT_PU_BEER_REFERENCE_C,
     CONSTANT_PU_BEER_Z_C,
     {"pu_beer_reference_c", "pu_beer_z_c"}},
    {"beer-z7",
     "beer with z 7 C",
     CONSTANT_PU_BEER_REFERENCE_C,
     CONSTANT_PU_BEER_OTHER_Z_C,
     {"pu_beer_reference_c", "pu_beer_other_z_c"}},
    {"juice-80",
     "juice with spore formers",
     CONSTANT_PU_JUICE_REFERENCE_C,
     CONSTANT_PU_JUICE_Z_C,
     {"pu_juice_reference_c", "pu_juice_z_c"}},
    {"p70",
     "pasteurisation value of chilled food",
     CONSTANT_PU_P70_REFERENCE_C,
     CONSTANT_PU_P70_Z_C,
     {"pu_p70_reference_c", "pu_p70_z_c"}},
    {"acid-195",
     "acid juice for the shelf, 195 F",
     CONSTANT_LETHALITY_ACID_JUICE_REFERENCE_C,
     CONSTANT_LETHALITY_ACID_JUICE_Z_C,
     {"lethality_acid_juice_reference_c", "lethality_acid_juice_z_c"}},
};

size_t heat_value_set_count(void)
{
    return sizeof sets / sizeof sets[0];
}

const struct heat_value_set *heat_value_set_at(size_t index)
{
    CHECK(index < heat_value_set_count());
    return &sets[index];
}

const struct heat_value_set *heat_value_set_find(const char *name)
{
    for (size_t i = 0; i < heat_value_set_count(); i++) {
        if (strcmp(sets[i].name, name) == 0) {
            return &sets[i];
        }
    }
    return NULL;
}

/* The hottest reading of a point, and the hottest plus its uncertainty. */
static void hottest(const struct heat_log *log, size_t point, double *out_c, double *out_upper_c)
{
    *out_c = -INFINITY;
    *out_upper_c = -INFINITY;
    for (size_t k = 0; k < log->probes; k++) {
        double temp_c = log->temp_c[point * log->probes + k];
        *out_c = fmax(*out_c, temp_c);
        *out_upper_c = fmax(*out_upper_c, temp_c + log->uncertainty_c[k]);
    }
}

struct result cook_value(const struct heat_log *log, double reference_c, double z_c,
                         int64_t gap_max_ms, struct cook_value *out)
{
    struct lethal_scale scale;
    struct sum best = {0}, upper = {0};
    *out = (struct cook_value){0};
    TRY(within("gap_max_ms", (double)gap_max_ms, 1, 8.64e10, "above 0 ms and at most 1000 days"));
    TRY(heat_log_check(log));
    TRY(lethal_scale_make(reference_c, z_c, -INFINITY, INFINITY, &scale));
    double from_c, from_upper_c, to_c, to_upper_c;
    size_t gaps = 0;
    for (size_t i = 1; i < log->points; i++) {
        double minutes = (double)(log->time_ms[i] - log->time_ms[i - 1]) / MS_PER_MIN;
        hottest(log, i - 1, &from_c, &from_upper_c);
        hottest(log, i, &to_c, &to_upper_c);
        if (log->time_ms[i] - log->time_ms[i - 1] > gap_max_ms) {
            from_upper_c = to_upper_c = fmax(from_upper_c, to_upper_c);
            gaps++;
        }
        sum_add(&best, lethal_piece_s(&scale, minutes, from_c, to_c));
        sum_add(&upper, lethal_piece_s(&scale, minutes, from_upper_c, to_upper_c));
    }
    TRY(finite_result("z_c", z_c, sum_value(&best) + sum_value(&upper)));
    out->best_min = sum_value(&best);
    out->upper_min = fmax(out->best_min, sum_value(&upper));
    out->gaps = gaps;
    return RESULT_OK;
}

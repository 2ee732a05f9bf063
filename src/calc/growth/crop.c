#include "calc/growth/crop.h"

#include <string.h>

#include "base/check.h"
#include "calc/constants.gen.h"

#define HEAT(base_c, optimum_c, goal_c_h)                                                 \
    {                                                                                     \
        (int32_t)((base_c)*1000), (int32_t)((optimum_c)*1000), (int64_t)((goal_c_h)*1000) \
    }

static const struct crop crops[] = {
    {"soybean",
     HEAT(CONSTANT_SOYBEAN_BASE_C, CONSTANT_SOYBEAN_OPTIMUM_C, CONSTANT_SOYBEAN_HEAT_SUM_C_H),
     {"soybean_base_c", "soybean_optimum_c", "soybean_heat_sum_c_h"}},
    {"mung",
     HEAT(CONSTANT_MUNG_BASE_C, CONSTANT_MUNG_OPTIMUM_C, CONSTANT_MUNG_HEAT_SUM_C_H),
     {"mung_base_c", "mung_optimum_c", "mung_heat_sum_c_h"}},
    {"mung-short",
     HEAT(CONSTANT_MUNG_BASE_C, CONSTANT_MUNG_OPTIMUM_C, CONSTANT_MUNG_SHORT_HEAT_SUM_C_H),
     {"mung_base_c", "mung_optimum_c", "mung_short_heat_sum_c_h"}},
    {"black-gram",
     HEAT(CONSTANT_BLACK_GRAM_BASE_C, CONSTANT_BLACK_GRAM_OPTIMUM_C,
          CONSTANT_BLACK_GRAM_HEAT_SUM_C_H),
     {"black_gram_base_c", "black_gram_optimum_c", "black_gram_heat_sum_c_h"}},
};

size_t crop_count(void)
{
    return sizeof crops / sizeof crops[0];
}

const struct crop *crop_at(size_t index)
{
    CHECK(index < crop_count());
    return &crops[index];
}

const struct crop *crop_find(const char *name)
{
    for (size_t i = 0; i < crop_count(); i++) {
        if (strcmp(crops[i].name, name) == 0) {
            return &crops[i];
        }
    }
    return NULL;
}

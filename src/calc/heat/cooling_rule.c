#include "calc/heat/cooling_rule.h"

#include <string.h>

#include "base/check.h"

#define MS_PER_MIN 60000

/* Whole thousandths: the rules have no more than tenths of a degree. */
#define MC(degrees) ((int32_t)((degrees)*1000 + 0.5))

static const struct cooling_rule rules[] = {
#define COOLING_RULE(name, title, start_min, whole, stages, one, two) \
    {name, title, (start_min) * (int64_t)MS_PER_MIN, whole, stages, {one, two}},
#define COOLING_STAGE(from_f, from_c, to_f, to_c, below, min)                         \
    {                                                                                 \
        false, MC(from_c), MC(to_c), below, (min) * (int64_t)MS_PER_MIN, from_f, to_f \
    }
#define COOLING_FROM_BEGIN(to_f, to_c, below, min)                     \
    {                                                                  \
        true, 0, MC(to_c), below, (min) * (int64_t)MS_PER_MIN, 0, to_f \
    }
#define COOLING_NONE \
    {                \
        0            \
    }
#include "calc/heat/cooling_rules.def"
#undef COOLING_RULE
#undef COOLING_STAGE
#undef COOLING_FROM_BEGIN
#undef COOLING_NONE
};

size_t cooling_rule_count(void)
{
    return sizeof rules / sizeof rules[0];
}

const struct cooling_rule *cooling_rule_at(size_t index)
{
    CHECK(index < cooling_rule_count());
    return &rules[index];
}

const struct cooling_rule *cooling_rule_find(const char *name)
{
    for (size_t i = 0; i < cooling_rule_count(); i++) {
        if (strcmp(rules[i].name, name) == 0) {
            return &rules[i];
        }
    }
    return NULL;
}

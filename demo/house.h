/* What stands in the invented plant, as the JSON lines that `plumule init --house` takes. */
#ifndef DEMO_HOUSE_H
#define DEMO_HOUSE_H

#include "demo/play.h"

struct demo_item {
    const char *item, *crop, *seed;
    double net_kg;
    int per_case;
    int life_days;
    double weekly_share; /* of the chambers */
    const char *gtin;
};
extern const struct demo_item demo_items[];
enum { DEMO_ITEMS = 4 };

struct demo_customer {
    const char *code, *group, *market;
    double size; /* relative */
    int life_days, priority;
};
extern const struct demo_customer demo_customers[];
enum { DEMO_CUSTOMERS = 6 };

extern const char *const house_suppliers[];
enum { HOUSE_SUPPLIERS = 3 };

/* due: when instruments are due next. */
void house_lines(struct sheet *out, int chambers, const char *due);
/* Mappings of the invented sources, validation paper, names of people and partners. */
MUST_USE struct result house_papers(struct play *p, const char **out_validation_sha);

#endif

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

/* Of a chamber of soy, on its day and the day after; what a tray weighs. */
#define SOY_FIRST_PART "60 %"
#define SOY_SECOND_PART "40 %"
#define TRAY_NET "12 g"
enum { AGAIN_DAYS = 3 }; /* that a second test of a sample takes */

/* The profile of the settings with what this house has chosen, written to a path. */
MUST_USE struct result house_profile(struct play *p, const char *path);

/* due: when instruments are due next. */
void house_lines(struct sheet *out, int chambers, const char *due);
/* Mappings of the invented sources, validation paper, names of people and partners. */
MUST_USE struct result house_papers(struct play *p, const char **out_validation_sha);

#endif

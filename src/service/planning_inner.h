/* Between the files that read a planning problem; nobody else includes this. */
#ifndef SERVICE_PLANNING_INNER_H
#define SERVICE_PLANNING_INNER_H

#include "service/planning.h"

struct reading {
    struct store *store;
    const struct profile *profile;
    struct arena *arena;
    int64_t now_ms;
    int offset_min;
    int32_t first_day;
    struct planning_case *out;
    /* being built; the problem's const views point here */
    struct plan_market *markets;
    struct plan_group *groups;
    struct group_key {
        const char *group, *market;
    } * group_keys;
    struct plan_crop *crops;
    struct plan_product *products;
    struct plan_chamber *chambers;
    const char **chamber_codes;
    const char **seed_items;
    int seed_item_count;
    const double *value_per_kg; /* by product; NULL: the profile's for all */
};

int planning_group_of(const struct reading *r, const char *group,
                      const char *market); /* PLAN_NONE: none */
int planning_product_of(const struct reading *r, const char *item);
int planning_crop_of(const struct reading *r, const char *item);
int planning_market_of(const struct reading *r, const char *market);
uint32_t planning_market_bits(const struct reading *r, const char *markets); /* "": all */

/* How the crop would grow at a temperature kept. PLAN_FIELD where nothing grows. */
MUST_USE struct result planning_way_at(struct store *s, const struct profile *p,
                                       const struct crop *crop, int64_t temp_mc,
                                       struct plan_way *out);

/* Markets and groups. */
MUST_USE struct result planning_read_partners(struct reading *r);
MUST_USE struct result
planning_read_house(struct reading *r); /* markets, groups, crops, products, chambers */
MUST_USE struct result planning_read_goods(struct reading *r);  /* running, stock, seed, taken */
MUST_USE struct result planning_read_demand(struct reading *r); /* lines */
/* How batches went otherwise than planned; after house and demand. */
MUST_USE struct result planning_read_chance(struct reading *r);

#endif

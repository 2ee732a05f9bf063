/* The profile: routes, checks, limits, clean scopes, market sets and clauses of a kind of plant, as
 * data. The ledger's acts are code, everything that says when, how much and what counts is here.
 * Read from JSON; a bad one is refused with its line (PROFILE_BAD and the field errors carry line
 * and path). All pointers live in the profile's own arena. */
#ifndef LEDGER_PROFILE_H
#define LEDGER_PROFILE_H

#include "base/digest.h"
#include "base/result.h"

/* Where a value comes from: one of the six words. */
enum word { WORD_SEEN, WORD_ABSTRACT, WORD_COMPUTED, WORD_DERIVED, WORD_COMMON, WORD_MEMORY };

struct source {
    const char *key, *title, *locator;
    enum word word;
};

/* A value that may release a lot or widen a limit must not be from memory or common practice
 * without a source. */
struct limit {
    const char *name, *item; /* item "*": all */
    bool has_low, has_high;
    int64_t low, high; /* in 1/1000 of the unit */
    const char *unit;
    const struct source *source;
};

struct step_out {
    const char *role, *kind;               /* lot kind */
    const char *item;                      /* NULL: the input's item */
    int64_t yield_low_ppm, yield_high_ppm; /* of the input's mass; 0,0: not checked */
};

struct profile_step {
    const char *name, *act, *title;
    bool asks_by_default;
    const char *roles;       /* comma list */
    const char *in_kinds;    /* comma list of lot kinds; "" any */
    const char *place_kinds; /* comma list of place kinds; "" none needed */
    const char *check;       /* act check: which check; else "" */
    const char *difference;  /* account that takes the leg by difference */
    int64_t tolerance_ppm;   /* of the input, for the wet balance */
    bool on_run;             /* works inside a run */
    bool reviewed;           /* its entry needs a review before release */
    bool wets;               /* starts the clock of sprouting */
    struct step_out *outs;
    size_t out_count;
};

enum clean_scope { SCOPE_BATCH, SCOPE_RUN };
struct surface {
    const char *name, *place_kinds;
    enum clean_scope scope;
    int64_t hours_ms, stop_ms; /* run scope: how long a clean is good, and the longest stop */
    int64_t strength_low, strength_high; /* mg/L, 1/1000 */
    int64_t contact_ms;
    const struct source *source;
};

struct market_organism {
    const char *organism;
    const char *methods;  /* comma list of approved methods */
    const char *confirms; /* comma list of those whose confirmed negative clears a presumptive; "":
                             none, also where no source that may release stands behind them */
};
struct market {
    const char *name;
    struct market_organism *organisms;
    size_t organism_count;
    int64_t samples, volume_ml; /* least number and volume each */
    const char *locations;      /* comma list, each needs one */
    const char *what;           /* comma list: spent-water, sprouts */
    int64_t min_age_ms;
    bool min_age_hard; /* may nobody waive it */
    const char *age_waiver_roles;
    int64_t retest_ms; /* for plans: that a second test of a sample adds; 0: not said */
    const struct source *retest_source; /* NULL: the house's own choice */
    const struct source *source;
};

struct recipe {
    const char *name, *items; /* comma list of seed items */
    int64_t temp_mc, hold_ms, cool_ms,
        interval_ms; /* cooling must start within; the log's longest step */
    const struct source *source;
};

struct clause {
    const char *name;     /* one of the ten */
    const char *kinds;    /* lot kinds it is asked for */
    const char *na_items; /* comma list for which it is not applicable */
    const struct source *na_source;
    const struct source *source;
    int64_t
        within_ms; /* water: how long a result is good; foreign body: longest time between checks */
    /* water: kinds of places whose water is read while product is in it, "" none, and how far two
     * readings may lie apart */
    const char *reading_places;
    int64_t reading_within_ms;
};

/* Growing: per growing item. */
struct crop {
    const char *item, *seed_items;
    int64_t heat_base_mc, heat_best_mc,
        heat_goal_ch; /* degC h, in 1/1000 of a degree: mC h / 1000 */
    int64_t set_point_mc;
    int64_t expansion_std; /* 1/1000 kg/kg */
    int64_t hull_ppm, trim_ppm, cull_ppm, carry_ppm;
    int64_t seed_moisture_ppm, dry_loss_ppm;
    int64_t chamber_seed_low_mg, chamber_seed_high_mg;
    const struct source *source;
};

/* A house that receives fruit instead of growing it (plan/intake.h says what is done with it): its
 * goods by name, what is made of what, where they stand. All masses are mg, all costs 1/1000 of any
 * one unit. */
struct received_store {
    const char *name;
    const char *place_kinds, *class_; /* its places: comma list of kinds; class NULL: any */
    bool in_litres;                   /* room in mL: a place's capacity is the water it holds */
    bool tanks;                       /* each place holds one good of one day and nothing else */
    bool cleaned_next_day;
    const struct source *source;
};

struct received_good {
    const char *name, *item; /* the record's item; NULL: planned with and never told */
    const char *supplier;    /* NULL: any that no other row of the item names */
    int64_t store;           /* index; -1: takes no room */
    int64_t density_milli;   /* kg/L in 1/1000, of goods in litres; 0 elsewhere */
    int64_t room_milli;      /* kg of room for a kg of goods, in 1/1000: packs and their air */
    int64_t keep_days;
    int64_t hold_per_kg_day, out_per_kg; /* out: may be below 0 where somebody pays for it */
    int64_t end_mg, end_per_kg;
    int64_t value_per_kg; /* sold; 0: the house's value_per_kg */
    const struct source *source;
};

struct received_machine {
    const char *name;
    int64_t day_ms; /* of work, on its weekdays */
    unsigned weekdays;
    const struct source *source;
};

struct received_part {
    int64_t good, share_ppm;
};

struct received_use {
    const char *name;
    int64_t good, machine; /* machine -1: none */
    int64_t hour_mg;       /* taken in an hour of the machine */
    struct received_part *parts;
    size_t part_count;
    int64_t added_ppm, cost_per_kg;
    bool keeps_age;
    const struct source *source;
};

struct received_offer {
    const char *name;
    int64_t good, lead_days, day_mg, all_mg, price_per_kg; /* all_mg 0: no end */
    const struct source *source;
};

/* Fruit that comes by standing agreement. */
struct received_delivery {
    const char *name;
    int64_t good, mg, turn_per_kg;
    bool booked;
    unsigned weekdays;
    const struct source *source;
};

struct received {
    bool given;
    struct received_store *stores;
    struct received_good *goods;
    struct received_machine *machines;
    struct received_use *uses;
    struct received_offer *offers;
    struct received_delivery *deliveries;
    size_t store_count, good_count, machine_count, use_count, offer_count, delivery_count;
};

/* What the house plans by: its own choices and a day's limits. 0 in a limit: none. Costs in any one
 * unit. */
struct planning {
    int64_t horizon_days, frozen_days, cleaning_days;
    bool retest_planned;                      /* ready days always count the market's second test */
    int64_t soak_ms, harvest_ms, dispatch_ms; /* of the house day, from midnight */
    int64_t lead_ms;                          /* soaking and rest before heat counts */
    int64_t starts_a_day, harvests_a_day;
    int64_t treat_mg, soak_mg, harvest_mg, wash_mg, pack_mg;                      /* a day */
    int64_t value_per_kg, waste_per_kg, start_cost, hold_per_kg_day, change_cost; /* 1/1000 */
    int64_t caution;     /* standard deviations below the mean yield, 1/1000 */
    int64_t service_ppm; /* share of what is wanted that a plan is to meet where nobody asks
                            otherwise; 0: not said, whatever costs least */
    struct holiday {
        int32_t day;
        int64_t factor; /* 1/1000 */
    } * holidays;
    size_t holiday_count;
    struct seed_order *seed_orders;
    size_t seed_order_count;
    struct planning_work *works;
    size_t work_count;
    struct late_group *late;
    size_t late_count;
    struct closing *closings;
    size_t closing_count;
    struct item_swap *swaps;
    size_t swap_count;
    struct item_part *parts; /* of one crop in the order of days */
    size_t part_count;
    struct item_early_late *early_late;
    size_t early_late_count;
    struct pack_recipe *recipes;
    size_t recipe_count;
    struct seed_order *ingredient_orders; /* how ingredients and packaging are bought */
    size_t ingredient_order_count;
    struct received received; /* given: the house receives, and plans no chambers */
};

/* Work of a harvest day that packed goods ask for, in any unit. */
struct planning_work {
    const char *name;
    int64_t a_day;               /* 1/1000 */
    int64_t *per_t;              /* by crop of the profile: of a tonne packed, 1/1000 */
    const struct source *source; /* NULL: the house's own choice */
};

/* One of the harvests of a crop that is not harvested at once. */
struct item_part {
    const char *item;
    int64_t after_days;          /* after the first, whose own are 0 */
    int64_t share_ppm;           /* of the bed */
    int64_t yield;               /* 1/1000 of what the share would have borne on the first day */
    const struct source *source; /* NULL: the house's own choice */
};

/* A crop may be harvested so many days before (below 0) or after the day it is ready. */
struct item_early_late {
    const char *item;
    int64_t days;                /* not 0 */
    int64_t yield;               /* 1/1000 of what it would have borne on its day */
    const struct source *source; /* NULL: the house's own choice */
};

/* A packed item that customers take in place of another. */
struct item_swap {
    const char *item, *given;
    const char *groups;          /* comma list; "": all */
    int64_t cost_per_kg;         /* 1/1000 */
    const struct source *source; /* NULL: the house's own choice */
};

/* A customer group that takes goods after their day. */
struct late_group {
    const char *group;
    int64_t days, cost_per_kg_day; /* 1/1000 */
    const struct source *source;   /* NULL: the house's own choice */
};

enum { PLANNING_DISH_CROPS_MAX = 5 };

/* What one piece of a packed item is made of: kg of its crop, and what goes in or around it. */
struct pack_recipe {
    const char *item;
    const char *crop; /* the growing item it is packed from, where the recipe names it; NULL */
    int64_t crop_mg;  /* 0: all of the net mass */
    struct pack_crop {
        const char *item; /* another growing item in it */
        int64_t mg;
    } * with;
    size_t with_count; /* above 0: a dish of several crops; crop_mg is above 0, too */
    struct pack_take {
        const char *item; /* an ingredient or packaging */
        int64_t mg;
    } * takes;
    size_t take_count;
    const struct source *source; /* NULL: the house's own choice */
};

/* What the house does not do on some days (closing.h). */
enum closes { CLOSES_SOAK = 1, CLOSES_HARVEST = 2, CLOSES_PACK = 4, CLOSES_DISPATCH = 8 };
struct closing {
    int32_t from_day, to_day; /* both included; INT32_MIN, INT32_MAX: no such end */
    unsigned weekdays;        /* of these days: bit 0 Monday ... bit 6 Sunday */
    unsigned what;            /* enum closes, as bits */
    const char *reason;
};

/* How a seed item is bought. */
struct seed_order {
    const char *item, *supplier; /* supplier NULL: any */
    int64_t lead_ms;             /* from the order to seed that may be used */
    int64_t least_mg, step_mg;   /* 0: any amount */
    int64_t cover_ms;            /* how long a delivery is to last */
    int64_t accept_ms;           /* from its coming to goods that may be used; -1: not said */
    const struct source *source; /* NULL: the house's own choice */
};

/* What a case label says of keeping the goods. */
struct label_storage {
    const char *items; /* comma list of packed items; "": all that no other row names */
    const char *text;
    const char *language; /* of the market of sale: of the text, and of the label's own words */
    const struct source *source;
};

/* One shift of the house day; it ends where the next begins. */
struct profile_shift {
    const char *name;  /* small letters, digits, hyphens: it stands in names of files */
    int64_t start_min; /* from midnight; past 1440 on the next date, but in the same house day */
};

/* Which steps somebody must be trained for, and how long a training is good. */
struct training {
    const char *name, *title, *steps; /* comma list of steps and house kinds */
    int64_t valid_ms;
    const struct source *source;
};

/* How often the sites of a zone are swabbed at least, how many negatives in a row close an action,
 * and whether a positive holds product at once. */
struct swab_zone {
    int64_t zone, every_ms, clear;
    bool holds;
    const struct source *source;
};

/* The lines within a day: stages in their order, what lies between two families, trucks
 * (plan/day.h says what is done with them). */
struct line_stage {
    const char *name;        /* small letters, digits, hyphens */
    const char *steps;       /* comma list of steps that tell its runs; the last of them ends it */
    const char *place_kinds; /* comma list; "": hands only, or room for all */
    int64_t lines;           /* how many work at once at most; 0: every place of those kinds */
    bool has_room;           /* takes any number at once and knows no pause: a cold room */
    int64_t rate_mg;    /* a minute, of what came out of the chamber; 0: only fixed_ms counts */
    int64_t fixed_ms;   /* for each job besides */
    int64_t overlap_ms; /* -1: after the stage before; else begun so long after it began */
    int64_t wait_ms, longest_wait_ms; /* after the stage before; longest -1: no limit */
    int64_t change_ms, clean_ms;      /* between two families */
    int64_t step_down_ms;             /* the clean where an allergen must not come along */
    const char *passes;               /* comma list of growing items that pass it by */
    const struct source *source;
};

struct line_family {
    const char *family; /* of items */
    int64_t colour;     /* 1 light ... 9 dark */
};

/* Instead of a stage's own times, from one family to another. */
struct line_change {
    const char *from, *to;
    const char *stages; /* comma list; "": all */
    int64_t change_ms, clean_ms;
    const struct source *source;
};

struct line_pause {
    int64_t start_min, span_min; /* from midnight; the start past 1440 as for shifts */
};

struct truck {
    const char *name;
    const char *groups, *customers; /* comma lists: either is enough */
    unsigned weekdays;              /* bit 0 Monday ... bit 6 Sunday */
    int64_t cut_off_min;            /* as a pause's start */
    int64_t ahead_days;             /* it takes what is ordered for so many days later */
    int64_t load_ms;                /* the goods stand ready so long before */
    const struct source *source;
};

struct lines {
    bool given;
    bool blocks;        /* families strictly one after the other: allergen-free and light first */
    int64_t margin_ms;  /* a truck with less to spare is tight */
    const char *shifts; /* comma list of shifts that work; "": all the day */
    struct line_stage *stages;
    size_t stage_count;
    struct line_family *families;
    size_t family_count;
    struct line_change *changes;
    size_t change_count;
    struct line_pause *pauses;
    size_t pause_count;
    struct truck *trucks;
    size_t truck_count;
};

/* Which roles a kind of task is told to. */
struct task_roles {
    const char *task, *roles;
};

/* How long before its end Today tells of what runs out. */
struct ahead {
    int64_t training_ms, health_ms, supplier_ms, certificate_ms, calibration_ms;
};

/* How deliveries of an item, or its packed lots, are inspected by sample, lot by lot. */
struct acceptance {
    const char *check; /* "": deliveries; else the check of packed lots that counts pieces */
    const char *items; /* comma list; "": every packed item */
    const char *level; /* S-1 .. S-4, I, II, III */
    int64_t aql_hundredths;
    const struct source *source;
};

/* What water is asked for, and whom its stop is told. A loop (decide_water_loop.c) names its rule;
 * for water that names none the first rule of its kind of place counts. */
struct water_rule {
    const char *name, *places;          /* comma list of kinds of places; may be "" */
    int64_t giardia_milli, virus_milli; /* decimals asked of contact time, 1/1000; 0: none */
    const char *told;                   /* comma list of roles */
    const struct source *source;
};

struct profile {
    struct arena arena;
    const char *name, *title;
    struct hash digest;
    const char *text; /* as taken in */
    int day_starts_min;
    int64_t shift_ms;
    struct profile_shift *shifts; /* in their order, the first with the house day; may be none */
    size_t shift_count;
    struct source *sources;
    size_t source_count;
    struct profile_step *steps;
    size_t step_count;
    struct limit *limits;
    size_t limit_count;
    struct surface *surfaces;
    size_t surface_count;
    struct market *markets;
    size_t market_count;
    struct recipe *recipes;
    size_t recipe_count;
    struct clause *clauses;
    size_t clause_count;
    struct crop *crops;
    size_t crop_count;
    struct label_storage *label_storages;
    size_t label_storage_count;
    struct training *trainings;
    size_t training_count;
    struct swab_zone *swab_zones;
    size_t swab_zone_count;
    struct task_roles *told;
    size_t told_count;
    struct ahead ahead;
    struct acceptance *acceptances;
    size_t acceptance_count;
    struct water_rule *water_rules;
    size_t water_rule_count;
    bool suppliers_approved;    /* goods of a supplier who is not approved are held */
    const char *organisms_rule; /* text shown with results */
    int64_t lab_transit_ms, lab_time_ms;
    struct planning planning;
    struct lines lines;
    struct result
        unproved; /* what it says without a source that it needs; read, and of no effect */
};

MUST_USE struct result profile_read(const char *text, size_t len, struct profile **out);
/* One that is to be taken in now: what is read and of no effect is refused. The record's own stay
 * readable for ever. */
MUST_USE struct result profile_propose(const char *text, size_t len, struct profile **out);
void profile_free(struct profile *p);

const struct profile_step *profile_step(const struct profile *p, const char *name);
/* The limit for an item, else for "*"; NULL when the profile has none. Changes in force are laid
 * over by limit_in_force (view.h). */
const struct limit *profile_limit(const struct profile *p, const char *name, const char *item);
/* The surface class of a kind of place; NULL: none. */
const struct surface *profile_surface(const struct profile *p, const char *place_kind);
const struct market *profile_market(const struct profile *p, const char *name);
const struct recipe *profile_recipe(const struct profile *p, const char *name);
const struct clause *profile_clause(const struct profile *p, const char *name);
const struct training *profile_training(const struct profile *p, const char *name);
const struct swab_zone *profile_swab_zone(const struct profile *p, int64_t zone);
/* Whom a kind of task is told to: as the profile says, else quality and hygiene. */
const char *profile_told(const struct profile *p, const char *task);
/* check "": deliveries. The row that names the item, else the one for all; NULL: such lots of the
 * item are not inspected by sample. */
const struct acceptance *profile_acceptance(const struct profile *p, const char *check,
                                            const char *item);
const struct water_rule *profile_water_rule(const struct profile *p, const char *name);
/* The first rule for a kind of place; NULL: none. */
const struct water_rule *profile_water_rule_at(const struct profile *p, const char *place_kind);
const struct crop *profile_crop(const struct profile *p, const char *item);
/* The row for a packed item's label: the one that names it, else the one for all; NULL: none. */
const struct label_storage *profile_label_storage(const struct profile *p, const char *item);
/* Every role that does something; an auditor only reads. */
extern const char profile_roles[];
/* The checks of packed lots at which pieces can be counted. */
extern const char profile_counting_checks[];
const char *word_text(enum word w);
bool source_may_release(const struct source *s);

/* "a,b,c" holds "b"; an empty list holds nothing. */
bool list_has(const char *comma_list, const char *word);
/* Calls back for each member; for loops: list_next(&at, buf, size) -> false at the end. */
bool list_next(const char **at, char *out, size_t size);

#endif

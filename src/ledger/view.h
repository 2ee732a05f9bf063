/* Reading what is folded. Texts live in the arena; struck rows are never seen. Every call names its
 * errors as store.h. */
#ifndef LEDGER_VIEW_H
#define LEDGER_VIEW_H

#include "ledger/draft.h"
#include "ledger/profile.h"
#include "store/store.h"

struct lot {
    int64_t id;
    const char *code, *item, *kind, *place; /* place may be NULL */
    int64_t born_ms;
    int32_t day;
    const char *supplier, *supplier_code; /* may be NULL */
    int64_t supplier_lot;
    int32_t best_before; /* 0 none */
    const char *markets;
    int64_t closed_ms; /* 0 open */
    int64_t entry;
};
MUST_USE struct result lot_by_code(struct store *s, struct arena *a, const char *code,
                                   struct lot *out, bool *out_found);
MUST_USE struct result lot_by_id(struct store *s, struct arena *a, int64_t id, struct lot *out,
                                 bool *out_found);
/* A lot named in a command: LOT_UNKNOWN. */
MUST_USE struct result lot_named(struct draft *d, const json_t *object, const char *key,
                                 const char *path, struct lot *out);
/* The growing lot now in a chamber: CHAMBER_EMPTY. */
MUST_USE struct result lot_in_chamber(struct draft *d, const char *chamber, const char *path,
                                      struct lot *out);

struct place {
    const char *code, *name, *kind, *class_, *parent;
    int64_t capacity_mg;
    bool in_service;
};
MUST_USE struct result place_by_code(struct store *s, struct arena *a, const char *code,
                                     struct place *out, bool *out_found);
/* PLACE_UNKNOWN; PLACE_KIND when the step wants another kind. */
MUST_USE struct result place_named(struct draft *d, const char *key, enum json_need need,
                                   struct place *out);

/* The code of a lot that was on the place as product at some moment between two; NULL: none. */
MUST_USE struct result place_in_use(struct store *s, struct arena *a, const char *place,
                                    int64_t from_ms, int64_t to_ms, const char **out_lot);

struct instrument {
    const char *code, *kind, *place;
    int64_t division, uncertainty, due_ms;
};
/* As calibrated at a moment; one that was found bad is past its calibration from then on. */
MUST_USE struct result instrument_on(struct store *s, struct arena *a, const char *code,
                                     int64_t at_ms, struct instrument *out, bool *out_found);

struct item {
    const char *code, *name, *kind, *family, *allergens, *gtin, *source_item;
    int64_t net_mg, pieces_per_case, life_days;
};
MUST_USE struct result item_by_code(struct store *s, struct arena *a, const char *code,
                                    struct item *out, bool *out_found);

struct partner {
    const char *code, *role, *group, *market;
    int64_t life_days, priority;
};
MUST_USE struct result partner_by_code(struct store *s, struct arena *a, const char *code,
                                       struct partner *out, bool *out_found);

MUST_USE struct result person_role(struct store *s, struct arena *a, int64_t number,
                                   const char **out_role, bool *out_active, bool *out_found);

MUST_USE struct result balance_of(struct store *s, int64_t lot, enum amount_unit unit,
                                  int64_t *out);

struct unit {
    int64_t id;
    const char *code, *kind, *state,
        *place; /* state: here shipped destroyed returned; place may be NULL */
    int64_t parent, lot, pieces, mg, shipment;
};
MUST_USE struct result unit_by_code(struct store *s, struct arena *a, const char *code,
                                    struct unit *out, bool *out_found);
/* A row of a query with the columns of unit_by_code. */
struct unit unit_row(struct statement *q, struct arena *a);
/* The units that a command's "units" array names: codes and ranges "X-0001..X-0100". UNIT_UNKNOWN,
 * RANGE_BAD. At most 4000. */
MUST_USE struct result units_named(struct draft *d, const json_t *object, const char *key,
                                   enum json_need need, struct unit **out, size_t *out_count);

struct run {
    int64_t id;
    const char *code, *place, *family, *allergens;
    int64_t start_ms, end_ms, carry_ms; /* end 0 open; carry -1 unknown */
};
MUST_USE struct result run_by_code(struct store *s, struct arena *a, const char *code,
                                   struct run *out, bool *out_found);

/* Open holds on a lot (unit 0) or unit that stop an action ("use"); an empty stop: all open holds.
 */
struct hold {
    int64_t id;
    const char *code, *kind, *stops, *needs, *reason;
    int64_t placed_ms;
};
MUST_USE struct result holds_on(struct store *s, struct arena *a, int64_t lot, int64_t unit,
                                const char *stop, struct hold **out, size_t *out_count);

/* The limit in force at a time: the profile's with the newest limit_change laid over.
 * has_low/has_high false: none. */
MUST_USE struct result limit_in_force(struct store *s, const struct profile *p, const char *name,
                                      const char *item, int64_t at_ms, struct limit *out);

#endif

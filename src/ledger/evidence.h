/* What stands in the record about one lot and everything it can contain, collected for the clauses
 * of release. Nothing is decided here: the same evidence and the same profile always give the same
 * clauses (clause.h).
 *
 * Lots come first-asked first, then by the number of steps back; every other list names a lot by
 * its place in that list. Struck rows are never in it. Lists are in ledger order unless said
 * otherwise. Times ms UTC. All texts live in the arena.
 *
 * What it takes rows of other steps to mean:
 * step_lot  side "out": the lot was made by the step at its place, or, when it stands on side "in"
 *           of it as well (a soak, a cooling), passed over the place. from_ms, to_ms say when.
 * chamber_use  the lot grew in place from start_ms, the first wetting, until emptied.
 * treatment    data may name "constants_entry", the entry of signed constants in heat_constants;
 *              the papers that its command named ("papers") count as long as they are on record.
 * reading   "metal-check" at a pack line, at a place in it, or for a run: ok 0 or 1;
 *           "label-check" of a packed lot: ok; "watering" of a lot: data {"source": place of kind
 *           water-system, "to_ms": until when, where a step named it}; "age-waiver" of a batch:
 * value the sample's id, data {"market", "role", "reason"} (decide_sample.c). sample    of what
 * "water" at a place of kind water-system: its finding of generic E. coli is the state of that
 * water. A "swab" at a place: a positive there ends what a clean is good for. environment  data may
 * have "from_ms": product from then on is covered. Otherwise from opened_ms.
 */
#ifndef LEDGER_EVIDENCE_H
#define LEDGER_EVIDENCE_H

#include "base/digest.h"
#include "store/store.h"

#define EVIDENCE_NO_LOT ((size_t)-1)
#define EVIDENCE_OPEN_MS (INT64_MAX / 4) /* the end of what is still going on */
#define WATER_ORGANISM "generic E. coli"

struct evidence_lot {
    int64_t id, entry;
    const char *code, *item, *kind, *place; /* place: where it stands; may be NULL */
    const char *family, *allergens;         /* of the item */
    int64_t supplier_lot;                   /* 0: none */
    int64_t wet_ms; /* start of sprouting, of what grew in a chamber; 0: not known */
    size_t via; /* the lot it went into, on a shortest way to the lot asked about; that: itself */
    bool made_from; /* something is recorded that it was made from */
};

struct evidence_edge {
    size_t parent, child;
};

struct evidence_place {
    const char *code, *kind, *class_, *parent; /* parent may be NULL */
};

/* The state of a seed lot, or of the supplier's lot that it is a delivery of. */
struct evidence_seed_state {
    size_t lot;
    bool of_supplier_lot;
    const char *state, *markets; /* markets "": all */
    int64_t at_ms, entry;
};

struct evidence_treatment {
    size_t lot;
    const char *way, *recipe, *reason;
    bool met;              /* as decided from log, constants and papers when it was told */
    bool constants_signed; /* way constants: the signed constants are on record */
    const char *papers;    /* comma list of the kinds of papers named with it that are on record */
    int64_t at_ms, entry;
};

struct evidence_contact {
    size_t lot;
    const char *place;              /* NULL: the step has none */
    const char *act;                /* "grow" for a chamber */
    bool made;                      /* it was made by the step; else it passed over the place */
    int64_t run;                    /* 0: none */
    const char *family, *allergens; /* of the run, else of the item */
    int64_t start_ms;               /* of the step */
    int64_t from_ms, to_ms, entry;  /* this lot's minutes of it */
};

struct evidence_run {
    int64_t id;
    const char *place, *code, *family, *allergens;
    int64_t start_ms, end_ms; /* EVIDENCE_OPEN_MS: still running */
};

/* Any lot on a place that a lot of this evidence touched, since that place was last clean. */
struct evidence_use {
    const char *place;
    int64_t lot; /* its id; it need not be in this evidence */
    const char *lot_code;
    int64_t run;
    const char *family, *allergens;
    bool positive; /* it holds a batch with a confirmed positive */
    int64_t from_ms, to_ms, entry;
};

struct evidence_clean {
    const char *place;
    bool valid; /* it was decided so, and no product was on the place meanwhile */
    int64_t start_ms, end_ms, entry;
};

struct evidence_sample {
    int64_t id;
    size_t lot;        /* EVIDENCE_NO_LOT: of a place */
    const char *place; /* NULL: of a lot */
    const char *code, *location, *what;
    int64_t taken_ms, volume_ml, entry;
};

struct evidence_finding {
    size_t sample;
    const char *organism, *state, *method;
    bool report, by_hand;
    struct hash report_sha256; /* of the attached report */
    int64_t second_person;     /* not 0: this row is a second reading of the one before */
    int64_t person;            /* who told it */
    int64_t at_ms, entry;
};

struct evidence_waiver {
    size_t lot;
    int64_t sample; /* its id */
    const char *market, *role, *reason;
    int64_t entry;
};

/* Open actions that hold product. */
struct evidence_environment {
    int64_t id;
    const char *place;
    int64_t from_ms, entry;
};

struct evidence_watering {
    size_t lot;
    const char *source;
    int64_t at_ms, to_ms, entry; /* a moment: both are the same */
};

struct evidence_check {
    const char *kind;  /* metal-check, label-check, water-reading */
    size_t lot;        /* EVIDENCE_NO_LOT: none */
    const char *place; /* may be NULL */
    int64_t run;       /* 0: none */
    bool ok;
    int64_t at_ms, entry;
};

struct evidence_entry {
    int64_t seq;
    const char *kind; /* the profile's step name */
    int64_t person;
};

struct evidence_review {
    int64_t of_entry, entry, person;
};

struct water_book; /* ledger/water_book.h */

struct evidence {
    struct evidence_lot *lots;
    size_t lot_count;
    struct evidence_edge *edges;
    size_t edge_count;
    struct evidence_place *places;
    size_t place_count;
    struct evidence_seed_state *seed_states;
    size_t seed_state_count;
    struct evidence_treatment *treatments;
    size_t treatment_count;
    struct evidence_contact *contacts;
    size_t contact_count;
    struct evidence_run *runs;
    size_t run_count;
    struct evidence_use *uses;
    size_t use_count;
    struct evidence_clean *cleans;
    size_t clean_count;
    struct evidence_sample *samples;
    size_t sample_count;
    struct evidence_finding *findings; /* by sample, in ledger order */
    size_t finding_count;
    struct evidence_waiver *waivers;
    size_t waiver_count;
    struct evidence_environment *environments;
    size_t environment_count;
    struct evidence_watering *waterings;
    size_t watering_count;
    struct evidence_check *checks;
    size_t check_count;
    struct evidence_entry *entries;
    size_t entry_count;
    struct evidence_review *reviews;
    size_t review_count;
    struct water_book *waters; /* of places whose water goes round */
    size_t water_count;
};

/* LOT_UNKNOWN and the errors of store.h. */
MUST_USE struct result evidence_collect(struct store *s, struct arena *a, int64_t lot,
                                        struct evidence *out);

/* One sample, at place 0, with its findings and nothing else. */
MUST_USE struct result evidence_of_sample(struct store *s, struct arena *a, int64_t sample,
                                          const char *code, struct evidence *out);

/* Appends one element of size to *array in the arena and gives it back zeroed; count grows by one.
 * The arrays of struct evidence grow like that. */
void *evidence_grow(struct arena *a, void *array, size_t *count, size_t size);
#define EVIDENCE_ADD(arena, e, list) \
    evidence_grow((arena), &(e)->list##s, &(e)->list##_count, sizeof *(e)->list##s)

/* -> NULL when the house has no such place. */
const struct evidence_place *evidence_place(const struct evidence *e, const char *code);
/* One is the other or lies in it. */
bool evidence_place_within(const struct evidence *e, const char *inner, const char *outer);

#endif

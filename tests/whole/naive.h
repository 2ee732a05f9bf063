/* The scope of a positive worked out a second time, by loops over what people told: the daybook's
 * lines as they stand, and nothing of the program that made them but its reader of times. It knows
 * only the rules in words:
 *
 * 1 batch: the lot of the sample, the batches in it, and everything made from these;
 * 2 seed: the seed lots of those batches, their supplier lots, and each delivery of these;
 * 3 same-seed: what else was made from that seed;
 * 4 surface: what came off a surface that the batch, or seed on its way into it, had been on, from
 *   then until the place was next cleaned and nothing lay on it, and everything made from that.
 *   What lies beside a line in bins, or is left of a lot that went over it in part, met nothing;
 * 5 water: what was given water of a system that goes round after the batch was, until that system
 *   was cleaned, and everything made from that.
 *
 * Rules 1 to 5: 21 CFR 112.148 and 112.142(b) (published (seen) and from memory); what a run holds
 * back: docs/daybook.md. Here as there, a lot that a line held back some of is made from it. */
#ifndef TESTS_WHOLE_NAIVE_H
#define TESTS_WHOLE_NAIVE_H

#include "../support.h"

#include <jansson.h>

enum way { WAY_BATCH, WAY_SEED, WAY_SAME_SEED, WAY_SURFACE, WAY_WATER, WAYS };
extern const char *const way_names[WAYS];

enum {
    LOTS_MAX = 4096,
    USES_MAX = 16384,
    LINKS_MAX = 32768,
    CLEANS_MAX = 4096,
    WATERINGS_MAX = 8192,
    NAMED_MAX = 4096
};

struct naive_lot {
    const char *code, *kind, *supplier_lot; /* of seed: "SUPPLIER/CODE" */
};
/* A lot on a place, from its first moment to its last; out: it comes off it, else it goes in. */
struct naive_use {
    size_t lot;
    const char *place, *run; /* run: NULL for none */
    int64_t from_ms, to_ms;
    bool out;
};
struct naive_link {
    size_t parent, child;
};
struct naive_clean {
    const char *place;
    int64_t from_ms, to_ms;
};
struct naive_watering {
    size_t lot;
    const char *source;
    int64_t at_ms;
};
/* A sample and its lot, a place and its kind, a run and its carry-over. */
struct naive_named {
    const char *code, *text;
    size_t lot;
    int64_t ms;
};
struct naive_list {
    struct naive_named row[NAMED_MAX];
    size_t count;
};

struct naive {
    struct arena arena;
    struct naive_lot lots[LOTS_MAX];
    struct naive_use uses[USES_MAX];
    struct naive_link links[LINKS_MAX];
    struct naive_clean cleans[CLEANS_MAX];
    struct naive_watering waterings[WATERINGS_MAX];
    size_t lot_count, use_count, link_count, clean_count, watering_count;
    struct naive_list samples, kinds, classes, runs;
};

/* For each way the lots that it finds, as if the others were not there: but no way says again what
 * is of the batch itself, nor same-seed what is the seed. */
struct naive_scope {
    bool in[WAYS][LOTS_MAX];
};

/* Reads the lines of a record up to one of them. surfaces: kinds of places whose surface touches
 * product, as the profile lists them. The test is over when a line can't be read. */
void naive_read(struct naive *n, const char *path, int64_t last_entry);
void naive_close(struct naive *n);
/* -> false where the sample is not of a lot: a swab, water. */
bool naive_scope_of(const struct naive *n, const char *sample, struct naive_scope *out);
/* Does any way find it? */
bool naive_found(const struct naive_scope *s, size_t lot);
/* The first way that finds it. */
enum way naive_first(const struct naive_scope *s, size_t lot);

#endif

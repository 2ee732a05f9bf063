#include "ledger/ladder.h"

#include <string.h>

#include "ledger/listed.h"

enum { SWABS_TO_CLOSE = 3 }; /* consecutive negatives: common practice, never fewer */
#define REPEAT_MS (INT64_C(90) * 86400000)

static struct result site_of(struct store *s, struct arena *a, const char *location,
                             struct rung *out)
{
    struct listed site;
    bool found = false;
    if (location != NULL) {
        TRY(listed_one(s, a, "site", location, &site, &found));
    }
    if (found) {
        out->site = site.code;
        out->zone = listed_int(&site, "zone");
        listed_free(&site, 1);
    }
    return RESULT_OK;
}

/* Earlier swabs of the site: was one positive within 90 days, and when was the last negative? */
static struct result history(struct store *s, const char *site, int64_t taken_ms,
                             bool *out_repeated, int64_t *out_negative_ms)
{
    struct statement *q = store_prepare(s, Q_SWABS_BEFORE);
    store_bind_text(q, 1, site);
    store_bind_int(q, 2, taken_ms);
    *out_repeated = false;
    *out_negative_ms = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t at_ms = store_int(q, 0);
        bool positive = store_int(q, 1) != 0, negative = store_int(q, 2) != 0;
        *out_repeated = *out_repeated || (positive && taken_ms - at_ms <= REPEAT_MS);
        if (negative && !positive && *out_negative_ms == 0) {
            *out_negative_ms = at_ms;
        }
    }
}

struct result ladder_rung(struct store *s, struct arena *a, const struct profile *p,
                          const char *place, const char *location, const char *organism,
                          int64_t taken_ms, struct rung *out)
{
    struct place where;
    bool found, mono = organism != NULL && strcmp(organism, "Listeria monocytogenes") == 0;
    int64_t negative_ms = 0;
    *out = (struct rung){.from_ms = taken_ms, .clear = SWABS_TO_CLOSE};
    TRY(place_by_code(s, a, place, &where, &found));
    TRY(site_of(s, a, location, out));
    bool surface = found && profile_surface(p, where.kind) != NULL;
    const struct swab_zone *zone = profile_swab_zone(p, out->zone);
    if (out->site != NULL) {
        TRY(history(s, out->site, taken_ms, &out->repeated, &negative_ms));
    }
    out->clear = zone != NULL && zone->clear > out->clear ? zone->clear : out->clear;
    out->holds = out->site == NULL
                     ? surface
                     : out->zone == 1 || (out->zone == 2 && mono) || (zone != NULL && zone->holds);
    if (out->zone == 1 && (out->repeated || mono)) {
        out->from_ms = negative_ms; /* 0: none before, so all of it */
    }
    return RESULT_OK;
}

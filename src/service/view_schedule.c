#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "calc/microbe/hit_rate.h"
#include "ledger/evidence.h"
#include "service/safety.h"
#include "service/view_safety.h"

enum { SWABS_BACK_DAYS = 366, ZONES = 4, PPM = 1000000 };
#define DAY_MS INT64_C(86400000)

static struct result put_duties(const struct view *v, json_t *o)
{
    struct duty *list;
    size_t count;
    json_t *rows = json_array();
    view_put(o, "duties", rows);
    TRY(duties_at(v->store, v->arena, v->now_ms, &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct duty *d = &list[i];
        struct duty_way way = duty_way(d);
        view_append(rows,
                    json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:o,s:o,s:I,s:o,s:I,s:s,s:b,s:s,s:s,s:o}",
                              "code", d->code, "title", d->title, "kind", d->kind, "by", d->by,
                              "role", d->role, "source", d->source, "place", view_text(d->place),
                              "about", view_text(d->about), "every_ms", (json_int_t)d->every_ms,
                              "last_ms", view_int(d->last_ms != 0, d->last_ms), "due_ms",
                              (json_int_t)d->due_ms, "state", duty_state_text(d->state), "blocks",
                              (int)d->blocks, "form", way.form, "verb",
                              words_of(v->arena, v->lang, "verb.", way.verb, way.verb), "with",
                              way.with));
    }
    return RESULT_OK;
}

struct site {
    const char *code, *place, *surface, *result;
    int64_t zone, last_ms; /* last_ms 0: never */
    bool next;
};

/* Positive swabs of a zone in a month. */
struct hits {
    int32_t month; /* year * 12 + month - 1 */
    int64_t zone, swabs, hits;
};

struct map {
    const struct view *v;
    struct site *sites;
    size_t count;
    struct hits *hits;
    size_t hit_count;
};

static struct result read_sites(struct map *m)
{
    struct listed *list;
    const struct view *v = m->v;
    TRY(listed_all(v->store, v->arena, "site", &list, &m->count));
    m->sites = ARENA_ARRAY(v->arena, struct site, m->count + 1);
    for (size_t i = 0; i < m->count; i++) {
        m->sites[i] =
            (struct site){.code = list[i].code,
                          .place = list[i].place,
                          .surface = arena_copy(v->arena, listed_text(&list[i], "surface")),
                          .zone = listed_int(&list[i], "zone"),
                          .result = "none"};
    }
    listed_free(list, m->count);
    return RESULT_OK;
}

/* Only what the laboratory decided counts: what waits is neither. */
static void count_hit(struct map *m, int64_t zone, int64_t taken_ms, bool positive)
{
    struct civil c = civil_from_ms(taken_ms, civil_offset_min(taken_ms));
    int32_t month = (int32_t)c.year * 12 + (int32_t)c.month - 1;
    struct hits *found = NULL;
    for (size_t i = 0; i < m->hit_count && found == NULL; i++) {
        bool same = m->hits[i].month == month && m->hits[i].zone == zone;
        found = same ? &m->hits[i] : NULL;
    }
    if (found == NULL) {
        found = evidence_grow(m->v->arena, &m->hits, &m->hit_count, sizeof *m->hits);
        *found = (struct hits){.month = month, .zone = zone};
    }
    found->swabs++;
    found->hits += positive;
}

static struct result read_swabs(struct map *m)
{
    struct statement *q = store_prepare(m->v->store, Q_SCHEDULE_SWABS);
    store_bind_int(q, 1, m->v->now_ms - SWABS_BACK_DAYS * DAY_MS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        bool positive = store_int(q, 2) != 0, presumptive = store_int(q, 3) != 0,
             negative = store_int(q, 4) != 0;
        for (size_t i = 0; i < m->count; i++) {
            struct site *s = &m->sites[i];
            if (strcmp(s->code, store_text(q, 0)) != 0) {
                continue;
            }
            s->last_ms = store_int(q, 1);
            s->result = positive      ? "confirmed-positive"
                        : negative    ? "negative"
                        : presumptive ? "presumptive"
                                      : "waiting";
            if (positive || negative) {
                count_hit(m, s->zone, s->last_ms, positive);
            }
        }
    }
}

static int by_last(const void *x, const void *y)
{
    const struct site *const *a = x, *const *b = y;
    return (*a)->last_ms != (*b)->last_ms ? ((*a)->last_ms < (*b)->last_ms ? -1 : 1)
                                          : strcmp((*a)->code, (*b)->code);
}

static int by_month(const void *x, const void *y)
{
    const struct hits *a = x, *b = y;
    return a->month != b->month ? (a->month < b->month ? 1 : -1)
                                : (a->zone > b->zone) - (a->zone < b->zone);
}

static void put_sites(struct map *m, int64_t per_round, json_t *o)
{
    struct site **order = ARENA_ARRAY(m->v->arena, struct site *, m->count + 1);
    json_t *rows = json_array();
    for (size_t i = 0; i < m->count; i++) {
        order[i] = &m->sites[i];
    }
    if (m->count > 0) {
        qsort(order, m->count, sizeof(struct site *), by_last);
    }
    for (size_t i = 0; i < m->count; i++) {
        const struct site *s = order[i];
        view_append(rows, json_pack("{s:s,s:s,s:s,s:I,s:o,s:s,s:b}", "site", s->code, "place",
                                    s->place, "surface", s->surface, "zone", (json_int_t)s->zone,
                                    "last_ms", view_int(s->last_ms != 0, s->last_ms), "result",
                                    s->result, "next", (int)((int64_t)i < per_round)));
    }
    view_put(o, "sites", rows);
    view_put(o, "per_round", json_integer(per_round));
    view_put(o, "rounds", json_integer(((int64_t)m->count + per_round - 1) / per_round));
}

static struct result put_hits(struct map *m, json_t *o)
{
    json_t *rows = json_array();
    view_put(o, "hits", rows);
    if (m->hit_count > 0) {
        qsort(m->hits, m->hit_count, sizeof *m->hits, by_month);
    }
    for (size_t i = 0; i < m->hit_count; i++) {
        const struct hits *h = &m->hits[i];
        struct hit_rate rate;
        TRY(hit_rate(h->hits, h->swabs, &rate));
        view_append(rows, json_pack("{s:s,s:I,s:I,s:I,s:I,s:I}", "month",
                                    arena_printf(m->v->arena, "%04d-%02d", (int)(h->month / 12),
                                                 (int)(h->month % 12 + 1)),
                                    "zone", (json_int_t)h->zone, "swabs", (json_int_t)h->swabs,
                                    "hits", (json_int_t)h->hits, "low_ppm",
                                    (json_int_t)floor(rate.exact_low * PPM), "high_ppm",
                                    (json_int_t)ceil(rate.exact_high * PPM)));
    }
    return RESULT_OK;
}

static void put_zones(const struct view *v, json_t *o)
{
    json_t *rows = json_array();
    view_put(o, "zones", rows);
    for (int64_t zone = 1; zone <= ZONES; zone++) {
        const struct swab_zone *z = profile_swab_zone(v->profile, zone);
        view_append(rows, json_pack("{s:I,s:o,s:o,s:o}", "zone", (json_int_t)zone, "every_ms",
                                    view_int(z != NULL, z != NULL ? z->every_ms : 0), "source",
                                    view_text(z != NULL ? z->source->title : NULL), "clear",
                                    view_int(z != NULL, z != NULL ? z->clear : 0)));
    }
}

static struct result fill(const struct view *v, int64_t per_round, json_t *o)
{
    struct map m = {.v = v};
    view_put(o, "now_ms", json_integer(v->now_ms));
    TRY(put_duties(v, o));
    put_zones(v, o);
    TRY(read_sites(&m));
    TRY(read_swabs(&m));
    put_sites(&m, per_round, o);
    return put_hits(&m, o);
}

struct result view_schedule(struct view *v, int64_t per_round, json_t **out)
{
    CHECK(per_round > 0);
    json_t *o = json_object();
    struct result r = fill(v, per_round, o);
    return view_hand_over(r, o, out);
}

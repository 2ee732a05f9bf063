#include "plan_instance.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/check.h"

enum { WORDS = 624, TYPES_MAX = 16, WAYS_MAX = 3, GIVEN_DAYS = 10 };

static const double CHAMBER_KG = 950, SEED_KG = 110;

struct twister {
    uint32_t word[WORDS];
    int at;
};

static void twister_seed(struct twister *t, uint32_t seed)
{
    uint32_t *w = t->word;
    w[0] = 19650218u;
    for (uint32_t i = 1; i < WORDS; i++)
        w[i] = 1812433253u * (w[i - 1] ^ w[i - 1] >> 30) + i;
    int i = 1;
    for (int k = 0; k < WORDS; k++) {
        w[i] = (w[i] ^ (w[i - 1] ^ w[i - 1] >> 30) * 1664525u) + seed;
        if (++i == WORDS) {
            w[0] = w[WORDS - 1];
            i = 1;
        }
    }
    for (int k = 1; k < WORDS; k++) {
        w[i] = (w[i] ^ (w[i - 1] ^ w[i - 1] >> 30) * 1566083941u) - (uint32_t)i;
        if (++i == WORDS) {
            w[0] = w[WORDS - 1];
            i = 1;
        }
    }
    w[0] = 0x80000000u;
    t->at = WORDS;
}

static uint32_t twister_word(struct twister *t)
{
    if (t->at == WORDS) {
        for (int i = 0; i < WORDS; i++) {
            uint32_t y = (t->word[i] & 0x80000000u) | (t->word[(i + 1) % WORDS] & 0x7fffffffu);
            t->word[i] = t->word[(i + 397) % WORDS] ^ y >> 1 ^ (y & 1 ? 0x9908b0dfu : 0);
        }
        t->at = 0;
    }
    uint32_t y = t->word[t->at++];
    y ^= y >> 11;
    y ^= y << 7 & 0x9d2c5680u;
    y ^= y << 15 & 0xefc60000u;
    return y ^ y >> 18;
}

/* In [0, 1), 53 bits. */
static double unit(struct twister *t)
{
    uint32_t high = twister_word(t) >> 5, low = twister_word(t) >> 6;
    return (high * 67108864.0 + low) / 9007199254740992.0;
}

static double between(struct twister *t, double low, double high)
{
    return low + (high - low) * unit(t);
}

struct making {
    struct arena *a;
    struct plan_instance_size size;
    struct twister twister;
    double share[TYPES_MAX], share_sum;
    struct plan_problem *p;
    int given_a_day;
};

static int pick_type(struct making *m)
{
    double at = unit(&m->twister) * m->share_sum, sum = 0;
    for (int k = 0; k < m->size.types - 1; k++) {
        sum += m->share[k];
        if (at < sum) return k;
    }
    return m->size.types - 1;
}

static void make_crops(struct making *m)
{
    int types = m->size.types;
    struct plan_crop *crops = ARENA_ARRAY(m->a, struct plan_crop, (size_t)types);
    struct plan_product *products = ARENA_ARRAY(m->a, struct plan_product, (size_t)types);
    struct plan_seed_lot *lots = ARENA_ARRAY(m->a, struct plan_seed_lot, (size_t)types);
    const char **items = ARENA_ARRAY(m->a, const char *, (size_t)types);
    for (int k = 0; k < types; k++) {
        int first_days = k % 2 == 0 ? 8 : 6, way_count = k % 2 == 0 ? 3 : 2;
        struct plan_way *ways = ARENA_ARRAY(m->a, struct plan_way, WAYS_MAX);
        struct plan_fill *fill = ARENA_NEW(m->a, struct plan_fill);
        *fill = (struct plan_fill){SEED_KG * 0.5, SEED_KG};
        for (int w = 0; w < way_count; w++) {
            int days = first_days + w;
            ways[w] = (struct plan_way){.grow_days = days,
                                        .packed_kg_per_seed_kg = 5.5 + 0.6 * days / 2 + 0.2 * k};
        }
        items[k] = arena_printf(m->a, "seed-%d", k);
        crops[k] = (struct plan_crop){.code = arena_printf(m->a, "type-%d", k),
                                      .seed_item = k,
                                      .ways = ways,
                                      .way_count = way_count,
                                      .fills = fill,
                                      .bed_kg_per_packed_kg = 1,
                                      .start_cost = 40,
                                      .waste_cost_per_kg = 0.15,
                                      .hold_cost_per_kg_day = 0.02};
        products[k] =
            (struct plan_product){.code = crops[k].code, .crop = k, .net_kg = 0.1, .life_days = 4};
        lots[k] = (struct plan_seed_lot){.code = items[k],
                                         .seed_item = k,
                                         .kg = 1e6,
                                         .last_day = PLAN_NEVER,
                                         .markets = 1,
                                         .yield_factor = 1,
                                         .cost_per_kg = 2.2};
    }
    m->p->crops = crops;
    m->p->products = products;
    m->p->seed_lots = lots;
    m->p->seed_items = items;
    m->p->crop_count = m->p->product_count = m->p->seed_lot_count = m->p->seed_item_count = types;
}

static void make_wanted(struct making *m)
{
    static const double week[7] = {1.0, .95, .9, 1.0, 1.25, 1.35, .55};
    int days = m->size.days, types = m->size.types;
    double a_day_kg = m->size.chambers * CHAMBER_KG / (10 + 1);
    for (int k = 0; k < types; k++) {
        m->share[k] = between(&m->twister, .5, 2);
        m->share_sum += m->share[k];
    }
    struct plan_line *lines = ARENA_ARRAY(m->a, struct plan_line, (size_t)(days * types));
    for (int k = 0; k < types; k++)
        for (int t = 0; t < days; t++) {
            double kg = a_day_kg * m->share[k] / m->share_sum * week[t % 7] *
                        between(&m->twister, .85, 1.15) * 0.97;
            char text[40];
            snprintf(text, sizeof text, "%.1f", kg);
            lines[m->p->line_count++] =
                (struct plan_line){.product = k,
                                   .day = t,
                                   .pieces = llround(strtod(text, NULL) * 10),
                                   .shortage_cost_per_kg = t > 5 ? 1.8 : 0.9};
        }
    m->p->lines = lines;
}

static void make_chambers(struct making *m)
{
    static const struct plan_class alike = {"chambers"};
    static const int ready_day[PLAN_MARKETS_MAX];
    int count = m->size.chambers;
    struct plan_chamber *chambers = ARENA_ARRAY(m->a, struct plan_chamber, (size_t)count);
    struct plan_running *running = ARENA_ARRAY(m->a, struct plan_running, (size_t)count);
    for (int c = 0; c < count; c++)
        chambers[c] = (struct plan_chamber){.code = arena_printf(m->a, "c-%d", c)};
    m->given_a_day = (int)lrint(count / 11.0);
    for (int t = 0; t < GIVEN_DAYS; t++)
        for (int i = 0; i < m->given_a_day; i++) {
            int at = m->p->running_count++, k = pick_type(m);
            CHECK(at < count);
            running[at] = (struct plan_running){
                .lot = "", .chamber = at, .crop = k, .harvest_day = t, .markets = 1};
            running[at].packed_kg = between(&m->twister, .85, 1) * CHAMBER_KG;
            running[at].ready_day = ready_day;
            /* the first cleaning takes a day longer */
            struct plan_outage *cleaning = ARENA_NEW(m->a, struct plan_outage);
            *cleaning = (struct plan_outage){t + 1, t + 1};
            chambers[at].outages = cleaning;
            chambers[at].outage_count = 1;
        }
    m->p->classes = &alike;
    m->p->class_count = 1;
    m->p->chambers = chambers;
    m->p->chamber_count = count;
    m->p->running = running;
}

static void make_days(struct making *m)
{
    struct plan_day *days = ARENA_ARRAY(m->a, struct plan_day, (size_t)m->size.days);
    int harvests = (int)(m->size.chambers / 10.0 * 1.6) + 1;
    int starts = (int)(m->size.chambers / 10.0 * 1.5) + 1;
    for (int t = 0; t < m->size.days; t++)
        days[t] =
            (struct plan_day){.treat_seed_kg = INFINITY,
                              .soak_seed_kg = INFINITY,
                              .harvest_bed_kg = INFINITY,
                              .wash_bed_kg = INFINITY,
                              .pack_kg = INFINITY,
                              .starts_max = starts,
                              /* for new starts alone */
                              .harvests_max = harvests + (t < GIVEN_DAYS ? m->given_a_day : 0)};
    m->p->days = days;
}

struct plan_problem *plan_instance_make(struct arena *a, uint32_t seed,
                                        struct plan_instance_size size)
{
    static const struct plan_market market = {.code = "market"};
    static const struct plan_group group = {.code = "group", .priority = 1};
    CHECK(size.types >= 1 && size.types <= TYPES_MAX && size.days > GIVEN_DAYS);
    struct making *m = ARENA_NEW(a, struct making);
    m->a = a;
    m->size = size;
    m->p = ARENA_NEW(a, struct plan_problem);
    *m->p = (struct plan_problem){.first_day = 20000,
                                  .day_count = size.days,
                                  .cleaning_days = 1,
                                  .soak_hour = 6,
                                  .dispatch_hour = 12,
                                  .markets = &market,
                                  .market_count = 1,
                                  .groups = &group,
                                  .group_count = 1};
    twister_seed(&m->twister, seed);
    make_crops(m);
    make_wanted(m);
    make_chambers(m);
    make_days(m);
    return m->p;
}

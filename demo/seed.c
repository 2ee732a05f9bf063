#include "base/check.h"
#include "base/civil.h"
#include "demo/story.h"

#include <string.h>

static double left_of(const struct story *st, const char *item)
{
    double kg = 0;
    for (size_t i = 0; i < st->seed_count; i++) {
        /* the last of a lot is too little for a chamber and waits for somebody to count it */
        if (st->seeds[i].usable && st->seeds[i].left_kg > 130 &&
            strcmp(st->seeds[i].item, item) == 0) {
            kg += st->seeds[i].left_kg;
        }
    }
    return kg;
}

enum { SACK_KG = 25, LOOKED_AT = 50 };

static int sacks_of(const struct seed_lot *lot)
{
    return (int)(lot->left_kg / SACK_KG) + 1;
}

static void add_row(struct story *st, struct sheet *file, const struct seed_lot *lot,
                    const char *supplier)
{
    struct play *p = st->p;
    int germination[4];
    for (int i = 0; i < 4; i++) {
        germination[i] = 96 + (int)random_below(&p->random, 4);
    }
    double tsm = lot->item[0] == 'S' ? 9.8 : lot->item[0] == 'U' ? 4.5 : 5.6;
    sheet_add(file, "%s,%c-%d,%s,%.1f,DS-1,%s,%d,%sT09:30,%.1f,%.1f,%.1f,%.1f,%.1f,%d,%d,%d,%d",
              supplier, lot->item[0], (int)(lot->day % 1000), lot->item, lot->left_kg, lot->code,
              sacks_of(lot), day_text(&p->scratch, lot->day), 10.0 + random_unit(&p->random), 99.1,
              0.4, 0.1, 0.4, germination[0], germination[1], germination[2], germination[3]);
    for (int i = 0; i < 8; i++) {
        sheet_add(file, ",%.2f", vary(p, tsm, 0.008));
    }
    sheet_add(file, "\n");
}

/* As many as the profile's plan asks of the largest deliveries here. */
static struct result inspect_delivery(struct story *st, int64_t t, const struct seed_lot *lot)
{
    int sacks = sacks_of(lot);
    return say(st->p, t, DEMO_INTAKE, false,
               json_pack("{s:s,s:s,s:i,s:i}", "kind", "delivery-check", "lot", lot->code,
                         "inspected", sacks < LOOKED_AT ? sacks : LOOKED_AT, "bad", 0));
}

static struct result look_and_approve(struct story *st, const struct seed_lot *lot)
{
    struct play *p = st->p;
    TRY(inspect_delivery(st, at(p, 10, 20), lot));
    TRY(say(p, at(p, 10, 30), DEMO_INTAKE, false,
            json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "seed-test", "lot", lot->code, "test",
                      "look", "seed", "good", "sacks", "good")));
    return say(p, at(p, 11, 0), DEMO_QUALITY, false,
               json_pack("{s:s,s:s,s:s,s:[s,s]}", "kind", "approve", "lot", lot->code, "state",
                         "approved", "markets", "EU", "house"));
}

/* In turn, but nobody who is suspended. */
static size_t supplier_for(const struct story *st, size_t turn)
{
    size_t n = turn % HOUSE_SUPPLIERS;
    return (int)n == st->suspended ? (n + 1) % HOUSE_SUPPLIERS : n;
}

/* ---- what is bought beside seed, and what is agreed with those who sell it */

enum { TRAYS_HERE = 500, TRAYS_AGREED = 20000, DISH_DAYS = 6 };

static struct result agree(struct story *st, int64_t t, const char *code, size_t supplier,
                           const char *item, int32_t day, const char *key, json_t *amount)
{
    struct play *p = st->p;
    return say(p, t, DEMO_PLANNER, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s,s:o}", "kind", "delivery-agree", "code", code,
                         "supplier", house_suppliers[supplier], "item", item, "day",
                         day_text(&p->scratch, day), key, amount));
}

static struct result receive(struct story *st, int64_t t, size_t supplier, const char *item,
                             json_t *more)
{
    struct play *p = st->p;
    json_t *command = json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "receive", "supplier",
                                house_suppliers[supplier], "item", item, "place", "DS-1",
                                "best_before", day_text(&p->scratch, p->day + 120));
    CHECK(command != NULL && more != NULL);
    json_object_update(command, more);
    json_decref(more);
    return say(p, t, DEMO_INTAKE, false, command);
}

/* For the dish that is offered next week: what it takes comes as agreed, more trays do not, and
 * seed is awaited. */
static struct result bought(struct story *st)
{
    struct play *p = st->p;
    int32_t last = p->s->last_day, dish_day = last - DISH_DAYS;
    size_t one = supplier_for(st, 0), other = supplier_for(st, 1);
    int64_t t = at(p, 11, 20);
    if (p->day == dish_day - 7) {
        return agree(st, t, "BOX-1", 1, "TRAY", dish_day, "pieces", json_integer(TRAYS_HERE));
    }
    if (p->day != dish_day) {
        return RESULT_OK;
    }
    TRY(receive(st, t, one, "DRESSING",
                json_pack("{s:s,s:s}", "mass", "12 kg", "instrument", "SC-1")));
    TRY(receive(st, t + MINUTE, 1, "TRAY",
                json_pack("{s:i,s:s}", "pieces", TRAYS_HERE, "delivery", "BOX-1")));
    TRY(agree(st, t + 2 * MINUTE, "BOX-2", 1, "TRAY", last - 1, "pieces",
              json_integer(TRAYS_AGREED)));
    return agree(st, t + 3 * MINUTE, "SACKS-1", other, "MUNGSEED", last + 5, "mass",
                 json_string(arena_printf(&p->scratch, "%d kg",
                                          (p->s->chambers * 80 / SACK_KG + 1) * SACK_KG)));
}

struct result story_seed(struct story *st)
{
    static const char header[] =
        "supplier,their "
        "lot,item,kg,place,lot,sacks,arrived,moisture,pure,other,weed,inert,g1,g2,g3,g4,"
        "t1,t2,t3,t4,t5,t6,t7,t8\n";
    static const char *const items[] = {"MUNGSEED", "URDSEED", "SOYSEED"};
    static const double shares[] = {0.65, 0.15, 0.20};
    struct play *p = st->p;
    struct sheet file = {0};
    size_t first = st->seed_count;
    for (size_t i = 0; i < 3; i++) {
        double a_week = p->s->chambers / 10.0 * 7 * shares[i] * 115;
        if (left_of(st, items[i]) > a_week * 0.8) {
            continue;
        }
        double kg = vary(p, a_week * 0.9 + 240, 0.05);
        struct seed_lot *lot = &st->seeds[st->seed_count++];
        *lot = (struct seed_lot){.code = keep_text(st, "%s-%d", items[i], (int)st->seed_count),
                                 .item = items[i],
                                 .left_kg = (int)kg,
                                 .day = p->day,
                                 .usable = true,
                                 .supplier = supplier_for(st, i + st->seed_count)};
        if (file.len == 0) {
            sheet_add(&file, "%s", header);
        }
        add_row(st, &file, lot, house_suppliers[lot->supplier]);
    }
    struct result r = bought(st);
    if (file.len > 0 && r.code == CODE_OK) {
        const char *name = arena_printf(&p->scratch, "seed-%s.csv", day_text(&p->scratch, p->day));
        r = file_in(p, at(p, 10, 0), DEMO_INTAKE, "seed", "dock", name, file.at, file.len, NULL);
    }
    sheet_release(&file);
    for (size_t i = first; i < st->seed_count && r.code == CODE_OK; i++) {
        r = look_and_approve(st, &st->seeds[i]);
    }
    return r;
}

/* Seed, orders and plans in the invented house of the ledger's tests. */
#ifndef TESTS_SERVICE_PLANS_H
#define TESTS_SERVICE_PLANS_H

#include "fixture.h"

#include "base/words.h"
#include "service/planning_board.h"
#include "service/planning_change.h"

enum { PLANS_DAY_MS = 86400000 };

static inline const char *plans_day(struct house *h, int days)
{
    return day_text(&h->arena, (int32_t)(h->fixed.now_ms / PLANS_DAY_MS) + days);
}

/* Seed of an item that may be used in every market. -> its lot */
static inline const char *plans_seed_of(struct house *h, const char *item, int kg)
{
    static const char *const tests[] = {
        "'test':'purity','pure':'99 g','other':'0.4 g','weed':'0.1 g','inert':'0.5 g'",
        "'test':'germination','replicates':[96,95,97,96]",
        "'test':'thousand-seed-mass','replicates_g':['5.52','5.50','5.49','5.51','5.53','5.50',"
        "'5.52','5.51']",
        "'test':'moisture','moisture':'10.2 %'",
        "'test':'look','seed':'good','sacks':'good'",
    };
    house_take(h,
               "{'kind':'receive','supplier':'RADICLE','item':'%s','mass':'%d kg',"
               "'instrument':'SCALE','place':'STORE','supplier_lot':'R-77'}",
               item, kg);
    const char *lot = house_answer(h, "lot");
    for (size_t i = 0; i < sizeof tests / sizeof tests[0]; i++) {
        house_take(h, "{'kind':'seed-test','lot':'%s',%s}", lot, tests[i]);
    }
    house_take(h,
               "{'kind':'approve','lot':'%s','state':'approved','person':2,"
               "'markets':['US','EU','house']}",
               lot);
    return lot;
}

/* 300 kg of it. */
static inline const char *plans_seed(struct house *h)
{
    return plans_seed_of(h, "MUNGSEED", 300);
}

/* The house with such seed in its store. */
static inline void plans_open(struct house *h)
{
    house_open(h);
    plans_seed(h);
}

static inline void plans_order(struct house *h, const char *key, int days, int pieces)
{
    house_take(h,
               "{'kind':'order','source':'shop','lines':[{'key':'%s','customer':'COTYLEDON',"
               "'item':'MUNG250','day':'%s','pieces':%d}]}",
               key, plans_day(h, days), pieces);
}

static inline void plans_read(struct house *h, struct planning_case *out)
{
    assert_ok(planning_read(h->store, NULL, h->lg->profile, h->fixed.now_ms, &h->arena, out));
}

/* The same with one order of 1600 packs for the fifteenth day, read. */
static inline void plans_open_order(struct house *h, struct planning_case *out)
{
    plans_open(h);
    plans_order(h, "O-1", 14, 1600);
    plans_read(h, out);
}

/* Changes as JSON with ' for ", done to a problem. */
static inline struct result plans_change(struct house *h, struct planning_case *c,
                                         const char *wish_text)
{
    json_t *body;
    char *text = arena_copy(&h->arena, wish_text);
    for (char *at = text; *at != '\0'; at++) {
        *at = *at == '\'' ? '"' : *at;
    }
    assert_ok(json_read(text, strlen(text), 1 << 20, &body));
    struct planning_wish wish;
    struct result r = planning_wish_read(body, &wish);
    if (r.code == CODE_OK) {
        r = planning_change(h->store, NULL, h->lg->profile, h->fixed.now_ms, &h->arena, &wish, c);
    }
    json_decref(body);
    return r;
}

#endif

#include "../support.h"

#include "house.h"

static const int64_t KG = 1000000;

static void lots(struct store *s)
{
    fill_lot(s, HOUSE_SUPPLIER, "SUP-1", "supplier", 0);
    fill_lot(s, HOUSE_SEED_A, "SEED-A", "seed", HOUSE_SUPPLIER);
    fill_lot(s, HOUSE_SEED_B, "SEED-B", "seed", HOUSE_SUPPLIER);
    fill_lot(s, HOUSE_GROWING, "GROW-1", "growing", 0);
    fill_lot(s, HOUSE_HARVEST, "HARV-1", "harvested", 0);
    fill_lot(s, HOUSE_PACK_1, "PACK-1", "packed", 0);
    fill_lot(s, HOUSE_PACK_2, "PACK-2", "packed", 0);
    fill_lot(s, HOUSE_OTHER, "OTHER-1", "harvested", 0);
    fill_lot(s, HOUSE_PACK_3, "PACK-3", "packed", 0);
    fill_lot(s, HOUSE_REWORK, "REW-1", "reworked", 0);
    fill_lot(s, HOUSE_ALONE, "ALONE-1", "ingredient", 0);
}

static void edges(struct store *s)
{
    const struct graph_edge edge[] = {
        {HOUSE_SEED_A, HOUSE_GROWING, 4, 6 * KG, BASIS_MEASURED},
        {HOUSE_SEED_B, HOUSE_GROWING, 4, 4 * KG, BASIS_MEASURED},
        {HOUSE_GROWING, HOUSE_HARVEST, 5, 10 * KG, BASIS_MEASURED},
        {HOUSE_HARVEST, HOUSE_PACK_1, 6, 40 * KG, BASIS_MEASURED},
        {HOUSE_HARVEST, HOUSE_PACK_2, 6, 30 * KG, BASIS_POSSIBLE},
        {HOUSE_OTHER, HOUSE_PACK_3, 8, 20 * KG, BASIS_MEASURED},
        {HOUSE_HARVEST, HOUSE_PACK_3, 8, 0, BASIS_UNKNOWN},
        {HOUSE_PACK_1, HOUSE_REWORK, 9, 5 * KG, BASIS_MEASURED},
    };
    for (size_t i = 0; i < sizeof edge / sizeof edge[0]; i++) {
        fill_edge(s, &edge[i]);
    }
}

static void legs(struct store *s)
{
    static const struct {
        int64_t entry, lot;
        const char *account;
        const char *unit;
        int64_t amount;
    } leg[] = {
        {2, HOUSE_SEED_A, NULL, "mg", 10 * KG},   {2, 0, "supplier", "mg", -10 * KG},
        {3, HOUSE_SEED_B, NULL, "mg", 10 * KG},   {3, 0, "supplier", "mg", -10 * KG},
        {4, HOUSE_SEED_A, NULL, "mg", -6 * KG},   {4, HOUSE_SEED_B, NULL, "mg", -4 * KG},
        {4, HOUSE_GROWING, NULL, "mg", 10 * KG},  {5, HOUSE_GROWING, NULL, "mg", -10 * KG},
        {5, 0, "water", "mg", -70 * KG},          {5, HOUSE_HARVEST, NULL, "mg", 80 * KG},
        {6, HOUSE_HARVEST, NULL, "mg", -80 * KG}, {6, HOUSE_PACK_1, NULL, "mg", 40 * KG},
        {6, HOUSE_PACK_2, NULL, "mg", 30 * KG},   {6, 0, "waste", "mg", 8 * KG},
        {6, 0, "unexplained", "mg", 2 * KG},      {6, HOUSE_PACK_1, NULL, "pc", 160},
        {6, HOUSE_PACK_2, NULL, "pc", 120},       {6, 0, "made", "pc", -280},
        {7, HOUSE_OTHER, NULL, "mg", 20 * KG},    {7, 0, "supplier", "mg", -20 * KG},
        {8, HOUSE_OTHER, NULL, "mg", -20 * KG},   {8, HOUSE_PACK_3, NULL, "mg", 20 * KG},
        {9, HOUSE_PACK_1, NULL, "mg", -5 * KG},   {9, HOUSE_REWORK, NULL, "mg", 5 * KG},
        {9, HOUSE_PACK_1, NULL, "pc", -20},       {9, 0, "made", "pc", 20},
        {10, HOUSE_PACK_1, NULL, "mg", -20 * KG}, {10, 0, "customer", "mg", 20 * KG},
        {10, HOUSE_PACK_1, NULL, "pc", -80},      {10, 0, "customer", "pc", 80},
        {11, HOUSE_PACK_2, NULL, "mg", -10 * KG}, {11, HOUSE_PACK_1, NULL, "mg", -5 * KG},
        {11, 0, "customer", "mg", 15 * KG},       {11, HOUSE_PACK_2, NULL, "pc", -40},
        {11, HOUSE_PACK_1, NULL, "pc", -20},      {11, 0, "customer", "pc", 60},
        {12, HOUSE_PACK_2, NULL, "mg", -1 * KG},  {12, 0, "sample", "mg", 1 * KG},
        {12, HOUSE_PACK_2, NULL, "pc", -4},       {12, 0, "sample", "pc", 4},
        {20, HOUSE_ALONE, NULL, "mg", 3 * KG},    {20, 0, "supplier", "mg", -3 * KG},
    };
    for (size_t i = 0; i < sizeof leg / sizeof leg[0]; i++) {
        fill_leg(s, leg[i].entry, (int64_t)i, leg[i].lot, leg[i].account, leg[i].unit,
                 leg[i].amount);
    }
}

static void units(struct store *s)
{
    /* id code kind parent lot pieces mg place state shipment made_ms entry */
    fill(s, Q_FOLD_UNIT, "ittniiittnii", (int64_t)501, "PAL-1", "pallet", (int64_t)0, (int64_t)0,
         (int64_t)0, "cold-1", "here", (int64_t)0, (int64_t)6);
    fill(s, Q_FOLD_UNIT, "ittiiiittnii", (int64_t)502, "CASE-1", "case", (int64_t)501,
         (int64_t)HOUSE_PACK_1, (int64_t)40, 10 * KG, "cold-1", "here", (int64_t)0, (int64_t)6);
    fill(s, Q_FOLD_UNIT, "ittiiiittnii", (int64_t)503, "CASE-2", "case", (int64_t)501,
         (int64_t)HOUSE_PACK_2, (int64_t)40, 10 * KG, "cold-1", "here", (int64_t)0, (int64_t)6);
    fill(s, Q_FOLD_UNIT, "ittniiittiii", (int64_t)504, "CASE-3", "case", (int64_t)HOUSE_PACK_1,
         (int64_t)80, 20 * KG, (const char *)NULL, "shipped", (int64_t)601, (int64_t)0, (int64_t)6);
}

static void shipments(struct store *s)
{
    /* id code customer at_ms entry; shipment lot unit order pieces mg entry */
    fill(s, Q_FOLD_SHIPMENT, "ittii", (int64_t)601, "SHIP-1", "root.example", (int64_t)5000,
         (int64_t)10);
    fill(s, Q_FOLD_SHIPMENT, "ittii", (int64_t)602, "SHIP-2", "leaf.example", (int64_t)6000,
         (int64_t)11);
    fill(s, Q_FOLD_SHIPPED, "iiitiii", (int64_t)601, (int64_t)HOUSE_PACK_1, (int64_t)504, "",
         (int64_t)80, 20 * KG, (int64_t)10);
    fill(s, Q_FOLD_SHIPPED, "iiitiii", (int64_t)602, (int64_t)HOUSE_PACK_2, (int64_t)0, "",
         (int64_t)40, 10 * KG, (int64_t)11);
    fill(s, Q_FOLD_SHIPPED, "iiitiii", (int64_t)602, (int64_t)HOUSE_PACK_1, (int64_t)0, "",
         (int64_t)20, 5 * KG, (int64_t)11);
}

static void hold(struct store *s, int64_t id, const char *code, int64_t lot, int64_t unit)
{
    fill(s, Q_FOLD_HOLD, "itttttinnnni", id, code, "laboratory", "release", "result",
         "a result is pending", (int64_t)7000, (int64_t)13);
    fill(s, Q_FOLD_HOLD_ON, "iiiti", id, lot, unit, "named", (int64_t)13);
}

static void step(struct store *s, int64_t entry, const char *kind)
{
    /* id entry kind act place run start end lot note */
    fill(s, Q_FOLD_STEP, "iitttniint", entry * 4096 + 9, entry, kind, "process", "line-1",
         entry * 100, entry * 100 + 50, "");
}

struct store *house_open(void)
{
    struct store *s = fill_open();
    lots(s);
    edges(s);
    legs(s);
    units(s);
    shipments(s);
    hold(s, 701, "HOLD-1", HOUSE_PACK_1, 0);
    hold(s, 702, "HOLD-2", HOUSE_PACK_1, 502);
    hold(s, 703, "HOLD-3", HOUSE_HARVEST, 0);
    hold(s, 704, "HOLD-4", HOUSE_OTHER, 0);
    fill(s, Q_SET_HOLD_LIFTED, "ii", (int64_t)703, (int64_t)14);
    step(s, 4, "grow");
    step(s, 5, "harvest");
    step(s, 6, "pack");
    step(s, 8, "pack");
    step(s, 9, "rework");
    return s;
}

#include "demo/house.h"

#include "base/check.h"

const struct demo_item demo_items[DEMO_ITEMS] = {
    {"M250", "MUNG", "MUNGSEED", 0.25, 20, 7, 0.40, "09520000000018"},
    {"M1000", "MUNG", "MUNGSEED", 1.0, 10, 7, 0.25, "09520000000025"},
    {"U200", "URD", "URDSEED", 0.2, 20, 7, 0.15, "09520000000032"},
    {"S300", "SOY", "SOYSEED", 0.3, 20, 6, 0.20, "09520000000049"},
};

const struct demo_customer demo_customers[DEMO_CUSTOMERS] = {
    {"RADICLE-1", "retail", "house", 3.0, 4, 2},     {"STIPULE-2", "retail", "house", 2.0, 4, 3},
    {"COTYLEDON-3", "kitchens", "house", 1.5, 2, 4}, {"PETIOLE-4", "wholesale", "house", 2.5, 3, 5},
    {"NODE-5", "wholesale", "house", 1.0, 3, 6},     {"EPICOTYL-6", "kitchens", "EU", 1.0, 2, 5},
};

const char *const house_suppliers[HOUSE_SUPPLIERS] = {"TESTA-1", "HILUM-2", "RAPHE-3"};

static void places(struct sheet *out, int chambers)
{
    static const char *const list[][3] = {
        {"SITE-1", "site", ""},
        {"TR-1", "treater", ""},
        {"ST-1", "soak-tank", ""},
        {"ST-2", "soak-tank", ""},
        {"ST-3", "soak-tank", ""},
        {"W-1", "wash-line", ""},
        {"W-2", "wash-line", ""},
        {"T-1", "trimmer", ""},
        {"S-1", "sorter", ""},
        {"P-1", "pack-line", ""},
        {"P-2", "pack-line", ""},
        {"CR-1", "cold-room", ""},
        {"DS-1", "store", ""},
        {"D-1", "dock", ""},
        {"WS-1", "water-system", "mains"},
        {"WS-2", "water-system", "recirculated"},
        {"DR-1", "dryer", ""},
        {"L-1", "lab", ""},
    };
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        sheet_add(out,
                  "{\"kind\":\"place\",\"code\":\"%s\",\"place_kind\":\"%s\",\"class\":\"%s\"}\n",
                  list[i][0], list[i][1], list[i][2]);
    }
    for (int i = 1; i <= chambers; i++) {
        sheet_add(out,
                  "{\"kind\":\"place\",\"code\":\"C-%02d\",\"place_kind\":\"chamber\",\"class\":"
                  "\"one tonne\","
                  "\"parent\":\"SITE-1\",\"capacity\":\"1 t\"}\n",
                  i);
    }
}

static void instruments(struct sheet *out, const char *due)
{
    static const struct {
        const char *code, *kind;
        int division, uncertainty;
    } list[] = {
        {"SC-1", "scale", 10000, 10000},      {"SC-2", "scale", 10000, 10000},
        {"SC-3", "scale", 50000, 50000},      {"CW-1", "checkweigher", 100, 200},
        {"TH-1", "thermometer", 100, 300},    {"TH-2", "thermometer", 100, 300},
        {"TH-3", "thermometer", 100, 300},    {"TH-9", "thermometer", 100, 500},
        {"MM-1", "moisture-meter", 100, 300}, {"CL-1", "chlorine-meter", 100, 200},
        {"MD-1", "detector", 0, 0},
    };
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        sheet_add(
            out,
            "{\"kind\":\"instrument\",\"code\":\"%s\",\"instrument_kind\":\"%s\",\"division\":%d,"
            "\"uncertainty\":%d,\"due\":\"%s\"}\n",
            list[i].code, list[i].kind, list[i].division, list[i].uncertainty, due);
    }
}

static void items(struct sheet *out)
{
    static const char *const plain[][4] = {
        {"MUNGSEED", "seed", "mung", "[]"},
        {"URDSEED", "seed", "mung", "[]"},
        {"SOYSEED", "seed", "soy", "[\"soy\"]"},
        {"MUNG", "growing", "mung", "[]"},
        {"URD", "growing", "mung", "[]"},
        {"SOY", "growing", "soy", "[\"soy\"]"},
        {"HULLS", "by-product", "hulls", "[]"},
        {"ROOTS", "by-product", "roots", "[]"},
        {"CULLS", "by-product", "culls", "[]"},
        {"HULLTEA", "by-product", "hulls", "[]"},
        {"DRESSING", "ingredient", "dishes", "[\"soy\"]"},
    };
    for (size_t i = 0; i < sizeof plain / sizeof plain[0]; i++) {
        sheet_add(out,
                  "{\"kind\":\"item\",\"code\":\"%s\",\"item_kind\":\"%s\",\"family\":\"%s\","
                  "\"allergens\":%s}\n",
                  plain[i][0], plain[i][1], plain[i][2], plain[i][3]);
    }
    sheet_add(out,
              "{\"kind\":\"item\",\"code\":\"TRAY\",\"item_kind\":\"packaging\",\"family\":"
              "\"trays\",\"allergens\":[],\"net\":\"%s\"}\n",
              TRAY_NET);
    static const char *const titles[DEMO_ITEMS] = {
        "Mung bean sprouts 250 g", "Mung bean sprouts 1 kg", "Black gram sprouts 200 g",
        "Soybean sprouts 300 g"};
    for (int i = 0; i < DEMO_ITEMS; i++) {
        const struct demo_item *it = &demo_items[i];
        sheet_add(out,
                  "{\"kind\":\"item\",\"code\":\"%s\",\"name\":\"%s\",\"item_kind\":\"packed\","
                  "\"family\":\"%s\","
                  "\"allergens\":%s,\"net\":\"%.0f "
                  "g\",\"pieces_per_case\":%d,\"gtin\":\"%s\",\"life_days\":%d,"
                  "\"source_item\":\"%s\"}\n",
                  it->item, titles[i], it->crop[0] == 'S' ? "soy" : "mung",
                  it->crop[0] == 'S' ? "[\"soy\"]" : "[]", it->net_kg * 1000, it->per_case,
                  it->gtin, it->life_days, it->crop);
    }
}

/* Offered from next week on: planned for, never packed yet. */
static void dish(struct sheet *out)
{
    sheet_add(out,
              "{\"kind\":\"item\",\"code\":\"D250\",\"name\":\"Seasoned mung bean sprouts "
              "250 g\",\"item_kind\":\"packed\",\"family\":\"dishes\",\"allergens\":[\"soy\"],"
              "\"net\":\"250 g\",\"pieces_per_case\":12,\"life_days\":7,\"source_item\":\"MUNG\"}"
              "\n");
}

static void people_and_partners(struct sheet *out)
{
    static const struct {
        int number;
        const char *role;
    } people[] = {
        {2, "quality"},  {3, "quality"},   {4, "grower"},       {5, "grower"},
        {6, "line"},     {7, "line"},      {8, "planner"},      {9, "intake"},
        {10, "hygiene"}, {11, "dispatch"}, {12, "maintenance"}, {13, "auditor"},
    };
    for (size_t i = 0; i < sizeof people / sizeof people[0]; i++) {
        sheet_add(out, "{\"kind\":\"person\",\"number\":%d,\"role\":\"%s\"}\n", people[i].number,
                  people[i].role);
    }
    for (int i = 0; i < DEMO_CUSTOMERS; i++) {
        const struct demo_customer *c = &demo_customers[i];
        sheet_add(out,
                  "{\"kind\":\"partner\",\"code\":\"%s\",\"role\":\"customer\",\"group\":\"%s\","
                  "\"market\":\"%s\","
                  "\"life_days\":%d,\"priority\":%d}\n",
                  c->code, c->group, c->market, c->life_days, c->priority);
    }
    for (size_t i = 0; i < HOUSE_SUPPLIERS; i++) {
        sheet_add(out, "{\"kind\":\"partner\",\"code\":\"%s\",\"role\":\"supplier\"}\n",
                  house_suppliers[i]);
    }
}

void house_lines(struct sheet *out, int chambers, const char *due)
{
    places(out, chambers);
    instruments(out, due);
    items(out);
    dish(out);
    people_and_partners(out);
}

static struct result mapping(struct play *p, const char *source, const char *kind, const char *data)
{
    json_t *object = json_loads(data, 0, NULL);
    CHECK(object != NULL);
    return say(p, at(p, 6, 0), DEMO_MANAGER, false,
               json_pack("{s:s,s:s,s:s,s:o}", "kind", "mapping", "source", source, "for", kind,
                         "data", object));
}

static struct result names(struct play *p)
{
    static const char *const list[] = {"Hilum 1",   "Cotyledon 2", "Cotyledon 3", "Radicle 4",
                                       "Radicle 5", "Plumule 6",   "Plumule 7",   "Stipule 8",
                                       "Testa 9",   "Raphe 10",    "Petiole 11",  "Node 12",
                                       "Stele 13"};
    /* one hash for all: the invented people share one published password */
    const char *stored;
    TRY(password_hash(&p->scratch, DEMO_PASSWORD, &stored));
    for (int i = 2; i <= 13; i++) {
        json_t *answer = NULL;
        json_t *request =
            json_pack("{s:s,s:i,s:s,s:s,s:i,s:s}", "do", "person", "number", i, "name", list[i - 1],
                      "stored_password", stored, "by", DEMO_MANAGER, "by_password", DEMO_PASSWORD);
        CHECK(request != NULL);
        struct result r = door_ask(p->door, request, &answer);
        json_decref(request);
        json_decref(answer);
        TRY(r);
    }
    return RESULT_OK;
}

struct result house_papers(struct play *p, const char **out_validation_sha)
{
    TRY(names(p));
    TRY(attach(p, at(p, 6, 0), DEMO_QUALITY, "hot-water-validation.txt", "validation",
               "Invented validation report: hot water 85 C 40 s and 80 C 100 s on the seed of this "
               "invented plant.\n",
               out_validation_sha));
    TRY(mapping(p, "shop", "orders",
                "{\"columns\":{\"customer\":\"Kunde\",\"order\":\"Bestellung\",\"line\":\"Pos\","
                "\"item\":\"Artikel\","
                "\"day\":\"Liefertag\",\"pieces\":\"St\\u00fcck\"},\"delimiter\":\";\",\"dates\":"
                "\"day-first\","
                "\"encoding\":\"windows-1252\",\"whole_book\":{\"from\":{\"row\":\"Von\"},\"to\":{"
                "\"row\":\"Bis\"}}}"));
    TRY(mapping(
        p, "dock", "seed",
        "{\"columns\":{\"supplier\":\"supplier\",\"supplier_lot\":\"their "
        "lot\",\"item\":\"item\",\"mass\":\"kg\","
        "\"place\":\"place\",\"lot\":\"lot\",\"sacks\":\"sacks\",\"at\":\"arrived\",\"moisture\":"
        "\"moisture\","
        "\"pure\":\"pure\",\"other\":\"other\",\"weed\":\"weed\",\"inert\":\"inert\",\"germination-"
        "1\":\"g1\","
        "\"germination-2\":\"g2\",\"germination-3\":\"g3\",\"germination-4\":\"g4\",\"thousand-1\":"
        "\"t1\","
        "\"thousand-2\":\"t2\",\"thousand-3\":\"t3\",\"thousand-4\":\"t4\",\"thousand-5\":\"t5\","
        "\"thousand-6\":\"t6\","
        "\"thousand-7\":\"t7\",\"thousand-8\":\"t8\"},\"delimiter\":\",\",\"dates\":\"iso\"}"));
    TRY(mapping(p, "lab-1", "results",
                "{\"columns\":{\"sample\":\"Sample\",\"organism\":\"Target\",\"state\":\"Result\","
                "\"method\":\"Method\","
                "\"at\":\"Reported\"},\"codes\":{\"state\":{\"not "
                "detected\":\"negative\",\"pending\":\"pending\","
                "\"presumptive\":\"presumptive\",\"no result\":\"invalid\",\"detected, "
                "confirmed\":\"confirmed-positive\"}},\"dates\":\"iso\"}"));
    TRY(mapping(
        p, "treater", "logger",
        "{\"columns\":{\"date\":\"Datum\",\"clock\":\"Zeit\",\"channel-1\":\"T1\",\"channel-2\":"
        "\"T2\","
        "\"channel-3\":\"T3\"},\"delimiter\":\";\",\"decimal\":\",\",\"dates\":\"day-first\","
        "\"zone\":\"Europe/"
        "Vienna\",\"unit\":\"Cel\",\"interval_s\":\"2\",\"series\":\"treater-1\"}"));
    TRY(mapping(p, "chambers", "logger",
                "{\"columns\":{\"time\":\"time\",\"channel-1\":\"core\",\"channel-2\":\"air\"},"
                "\"zone\":\"Europe/Vienna\","
                "\"unit\":\"Cel\",\"interval_s\":\"900\",\"series\":\"chamber-1\"}"));
    return mapping(
        p, "weigher", "checkweigher",
        "{\"columns\":{\"time\":\"time\",\"n\":\"no\",\"weight\":\"weight\",\"verdict\":"
        "\"verdict\"},"
        "\"zone\":\"Europe/Vienna\",\"unit\":\"g\",\"series\":\"weigher-1\",\"codes\":{\"verdict\":"
        "{\"ok\":\"accepted\",\"out\":\"rejected\"}}}");
}

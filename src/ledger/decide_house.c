/* The house itself: people, profile, limits, places, instruments, items, partners, mappings. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/mapping.h"
#include "ledger/view.h"

static struct result choice(const char *value, const char *field, const char *choices)
{
    return list_has(choices, value) ? RESULT_OK : FAIL2(FIELD_CHOICE, field, value, choices);
}

/* Codes stand on labels and in file names: capitals, small letters, digits and -._ */
static struct result read_code(const json_t *o, const char *key, const char **out)
{
    TRY(json_get_text(o, key, key, JSON_NEEDED, out));
    size_t len = strspn(*out, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._");
    if (len == 0 || (*out)[len] != '\0' || len > 20) {
        return FAIL2(FIELD_RANGE, key, *out,
                     "1 to 20 letters, digits, hyphens, points or underscores");
    }
    return RESULT_OK;
}

/* An array of texts to a comma list. */
static struct result read_list(struct draft *d, const json_t *o, const char *key, const char **out)
{
    json_t *array = NULL;
    *out = "";
    TRY(json_get_array(o, key, key, JSON_OPTIONAL, &array));
    size_t i;
    json_t *value;
    json_array_foreach(array, i, value)
    {
        const char *text = json_string_value(value);
        if (text == NULL || text[0] == '\0' || strchr(text, ',') != NULL) {
            return FAIL2(FIELD_TYPE, key, "a list of texts without commas", "something else");
        }
        *out = i == 0 ? text : arena_printf(d->arena, "%s,%s", *out, text);
    }
    return RESULT_OK;
}

struct result decide_person(struct draft *d)
{
    static const char *const names[] = {"number", "role", "active", NULL};
    const json_t *o = d->cmd->body;
    int64_t number;
    const char *role = NULL;
    bool active = true;
    TRY(draft_only(d, "a person", names));
    TRY(json_get_int(o, "number", "number", JSON_NEEDED, 1, 999999, &number));
    TRY(json_get_text(o, "role", "role", JSON_NEEDED, &role));
    TRY(choice(role, "role",
               "grower,line,quality,planner,intake,hygiene,dispatch,maintenance,manager,auditor"));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    draft_add(d, EFFECT_PERSON, "iti", number, role, (int64_t)active);
    return RESULT_OK;
}

struct result decide_profile(struct draft *d)
{
    static const char *const names[] = {"text", "from", NULL};
    const json_t *o = d->cmd->body;
    const char *text = NULL, *from = NULL;
    int64_t from_ms = d->cmd->happened_ms;
    TRY(draft_only(d, "a profile", names));
    TRY(json_get_text(o, "text", "text", JSON_NEEDED, &text));
    TRY(json_get_text(o, "from", "from", JSON_OPTIONAL, &from));
    if (from != NULL) {
        TRY(civil_read(from, "from", &from_ms));
    }
    struct profile *p = NULL;
    TRY(profile_propose(text, strlen(text), &p));
    const char *name =
        arena_copy(d->arena, p->name); /* outlives the profile: the draft is taken later */
    profile_free(p);
    struct hash digest = draft_blob(d, "profile", name, text, strlen(text));
    draft_add(d, EFFECT_PROFILE, "bti", &digest, name, from_ms);
    json_object_set_new(d->answer, "profile", json_string(name));
    json_object_set_new(d->answer, "digest", json_string(hex_text(d->arena, digest.b, 32)));
    return RESULT_OK;
}

static bool loosens(const struct limit *now, const struct limit *then)
{
    bool low = now->has_low && (!then->has_low || then->low < now->low);
    bool high = now->has_high && (!then->has_high || then->high > now->high);
    return low || high;
}

/* A change stands for every item, so it is looser when it is so for any that has a row of its own.
 */
static struct result loosens_any(struct draft *d, const char *name, int64_t from_ms,
                                 const struct limit *then, bool *out)
{
    *out = false;
    for (size_t i = 0; i < d->profile->limit_count; i++) {
        const struct limit *row = &d->profile->limits[i];
        const char *at = row->item;
        char item[64];
        while (strcmp(row->name, name) == 0 && list_next(&at, item, sizeof item)) {
            struct limit now;
            const char *of = strcmp(item, "*") == 0 ? NULL : item;
            TRY(limit_in_force(d->store, d->profile, name, of, from_ms, &now));
            *out = *out || loosens(&now, then);
        }
    }
    return RESULT_OK;
}

static struct result limit_source(struct draft *d, const char *word)
{
    for (int i = WORD_SEEN; i <= WORD_MEMORY; i++) {
        if (strcmp(word_text((enum word)i), word) == 0) {
            struct source s = {.word = (enum word)i};
            /* a value from memory or common practice never widens a limit */
            return source_may_release(&s) ? RESULT_OK : FAIL1(LIMIT_LOOSENED, "word", word);
        }
    }
    return FAIL2(FIELD_CHOICE, "word", word,
                 "published (seen), published (abstract only), computed here, derived");
}

/* An end that the limit no longer has is null; draft_add takes no argument for it. */
static void add_limit(struct draft *d, const char *name, const struct limit *l, int64_t from_ms,
                      bool looser, const char *source)
{
    const char *reason = d->cmd->reason;
    int64_t looser_than_now = looser;
    if (l->has_low && l->has_high) {
        draft_add(d, EFFECT_LIMIT_CHANGE, "tiiiitt", name, l->low, l->high, from_ms,
                  looser_than_now, reason, source);
    } else if (l->has_low) {
        draft_add(d, EFFECT_LIMIT_CHANGE, "tiniitt", name, l->low, from_ms, looser_than_now, reason,
                  source);
    } else if (l->has_high) {
        draft_add(d, EFFECT_LIMIT_CHANGE, "tniiitt", name, l->high, from_ms, looser_than_now,
                  reason, source);
    } else {
        draft_add(d, EFFECT_LIMIT_CHANGE, "tnniitt", name, from_ms, looser_than_now, reason,
                  source);
    }
}

struct result decide_limit(struct draft *d)
{
    static const char *const names[] = {"limit", "low", "high", "source", "word", "from", NULL};
    const json_t *o = d->cmd->body;
    const char *name = NULL, *low = NULL, *high = NULL, *source = NULL, *word = "", *from = NULL;
    struct limit then = {0};
    bool looser;
    int64_t from_ms = d->cmd->happened_ms;
    TRY(draft_only(d, "a limit", names));
    if (d->profile == NULL) {
        return FAIL0(PROFILE_MISSING, "");
    }
    TRY(json_get_text(o, "limit", "limit", JSON_NEEDED, &name));
    TRY(json_get_text(o, "low", "low", JSON_OPTIONAL, &low));
    TRY(json_get_text(o, "high", "high", JSON_OPTIONAL, &high));
    TRY(json_get_text(o, "source", "source", JSON_NEEDED, &source));
    TRY(json_get_text(o, "word", "word", JSON_OPTIONAL, &word));
    TRY(json_get_text(o, "from", "from", JSON_OPTIONAL, &from));
    if (from != NULL) {
        TRY(civil_read(from, "from", &from_ms));
    }
    if (profile_limit(d->profile, name, NULL) == NULL) {
        return FAIL1(LIMIT_UNKNOWN, "limit", name);
    }
    then.has_low = low != NULL;
    then.has_high = high != NULL;
    if (low != NULL) {
        TRY(decimal_read(low, 3, "low", &then.low));
    }
    if (high != NULL) {
        TRY(decimal_read(high, 3, "high", &then.high));
    }
    if (d->cmd->reason == NULL) {
        return FAIL1(FIELD_MISSING, "reason", "Say why the limit changes.");
    }
    TRY(loosens_any(d, name, from_ms, &then, &looser));
    if (looser) {
        TRY(limit_source(d, word));
    }
    add_limit(d, name, &then, from_ms, looser, source);
    json_object_set_new(d->answer, "loosens", json_boolean(looser));
    return RESULT_OK;
}

struct result decide_place(struct draft *d)
{
    static const char *const names[] = {"code",   "name",     "place_kind", "class",
                                        "parent", "capacity", "in_service", NULL};
    const json_t *o = d->cmd->body;
    const char *code = NULL, *name = NULL, *kind = NULL, *class_ = "", *parent = NULL,
               *capacity = NULL;
    int64_t capacity_mg = 0;
    bool in_service = true;
    TRY(draft_only(d, "a place", names));
    TRY(read_code(o, "code", &code));
    name = code;
    TRY(json_get_text(o, "name", "name", JSON_OPTIONAL, &name));
    TRY(json_get_text(o, "place_kind", "place_kind", JSON_NEEDED, &kind));
    TRY(choice(kind, "place_kind",
               "site,room,row,store,treater,soak-tank,chamber,wash-line,trimmer,sorter,detector,"
               "pack-line,cold-room,dryer,"
               "water-system,dock,lab,tank"));
    TRY(json_get_text(o, "class", "class", JSON_OPTIONAL, &class_));
    TRY(json_get_text(o, "parent", "parent", JSON_OPTIONAL, &parent));
    TRY(json_get_text(o, "capacity", "capacity", JSON_OPTIONAL, &capacity));
    if (capacity != NULL) {
        TRY(mass_read(capacity, "capacity", &capacity_mg));
    }
    TRY(json_get_bool(o, "in_service", "in_service", JSON_OPTIONAL, &in_service));
    draft_add(d, EFFECT_PLACE, "tttttii", code, name, kind, class_, parent, capacity_mg,
              (int64_t)in_service);
    return RESULT_OK;
}

/* Division and uncertainty are in the smallest unit of what the instrument measures: mg, mC, 1/1000
 * otherwise. */
struct result decide_instrument(struct draft *d)
{
    static const char *const names[] = {
        "code", "instrument_kind", "place", "division", "uncertainty", "due", NULL};
    const json_t *o = d->cmd->body;
    const char *code = NULL, *kind = NULL, *place = NULL, *due = NULL;
    int64_t division = 0, uncertainty = 0, due_ms;
    TRY(draft_only(d, "an instrument", names));
    TRY(read_code(o, "code", &code));
    TRY(json_get_text(o, "instrument_kind", "instrument_kind", JSON_NEEDED, &kind));
    TRY(choice(kind, "instrument_kind",
               "scale,checkweigher,thermometer,detector,moisture-meter,flow-meter,chlorine-meter,"
               "ph-meter"));
    TRY(json_get_text(o, "place", "place", JSON_OPTIONAL, &place));
    TRY(json_get_int(o, "division", "division", JSON_NEEDED, 0, INT64_MAX / 4, &division));
    TRY(json_get_int(o, "uncertainty", "uncertainty", JSON_NEEDED, 0, INT64_MAX / 4, &uncertainty));
    TRY(json_get_text(o, "due", "due", JSON_NEEDED, &due));
    TRY(civil_read(due, "due", &due_ms));
    draft_add(d, EFFECT_INSTRUMENT, "tttiii", code, kind, place, division, uncertainty, due_ms);
    return RESULT_OK;
}

struct result decide_item(struct draft *d)
{
    static const char *const names[] = {
        "code",      "name",        "item_kind", "family",          "allergens", "net",
        "life_days", "source_item", "gtin",      "pieces_per_case", NULL};
    const json_t *o = d->cmd->body;
    const char *code = NULL, *name = NULL, *kind = NULL, *family = "", *allergens, *net = NULL,
               *gtin = NULL, *source = NULL;
    int64_t net_mg = 0, per_case = 0, life_days = 0;
    TRY(draft_only(d, "an item", names));
    TRY(read_code(o, "code", &code));
    name = code;
    TRY(json_get_text(o, "name", "name", JSON_OPTIONAL, &name));
    TRY(json_get_text(o, "item_kind", "item_kind", JSON_NEEDED, &kind));
    TRY(choice(kind, "item_kind", "seed,growing,by-product,packed,ingredient,packaging"));
    TRY(json_get_text(o, "family", "family", JSON_OPTIONAL, &family));
    TRY(read_list(d, o, "allergens", &allergens));
    TRY(json_get_text(o, "net", "net", JSON_OPTIONAL, &net));
    if (net != NULL) {
        TRY(mass_read(net, "net", &net_mg));
    }
    TRY(json_get_int(o, "pieces_per_case", "pieces_per_case", JSON_OPTIONAL, 1, 10000, &per_case));
    TRY(json_get_int(o, "life_days", "life_days", JSON_OPTIONAL, 0, 3650, &life_days));
    TRY(json_get_text(o, "gtin", "gtin", JSON_OPTIONAL, &gtin));
    TRY(json_get_text(o, "source_item", "source_item", JSON_OPTIONAL, &source));
    if (strcmp(kind, "packed") == 0 &&
        (net_mg <= 0 || life_days <= 0 || source == NULL || per_case <= 0)) {
        return FAIL1(FIELD_MISSING, "net",
                     "A packed item needs net, pieces_per_case, life_days and source_item.");
    }
    draft_add(d, EFFECT_ITEM, "tttttiitit", code, name, kind, family, allergens, net_mg, per_case,
              gtin, life_days, source);
    return RESULT_OK;
}

struct result decide_partner(struct draft *d)
{
    static const char *const names[] = {"code",      "role",     "group", "market",
                                        "life_days", "priority", NULL};
    const json_t *o = d->cmd->body;
    const char *code = NULL, *role = NULL, *group = "", *market = "";
    int64_t life_days = 0, priority = 5;
    TRY(draft_only(d, "a partner", names));
    TRY(read_code(o, "code", &code));
    TRY(json_get_text(o, "role", "role", JSON_NEEDED, &role));
    TRY(choice(role, "role", "customer,supplier"));
    TRY(json_get_text(o, "group", "group", JSON_OPTIONAL, &group));
    bool customer = strcmp(role, "customer") == 0;
    TRY(json_get_text(o, "market", "market", customer ? JSON_NEEDED : JSON_OPTIONAL, &market));
    if (customer && d->profile != NULL && profile_market(d->profile, market) == NULL) {
        return FAIL2(FIELD_CHOICE, "market", market, "the profile's markets");
    }
    TRY(json_get_int(o, "life_days", "life_days", JSON_OPTIONAL, 0, 3650, &life_days));
    TRY(json_get_int(o, "priority", "priority", JSON_OPTIONAL, 1, 9, &priority));
    draft_add(d, EFFECT_PARTNER, "ttttii", code, role, group, market, life_days, priority);
    return RESULT_OK;
}

/* A mapping that could read no file is found now and not by the first file. */
static struct result try_mapping(struct draft *d, const char *source, const char *kind,
                                 const json_t *data)
{
    struct mapping *m = ARENA_NEW(d->arena, struct mapping);
    struct result r = mapping_read(d->arena, source, kind, data, m);
    return r.code == CODE_OK ? r
                             : result_make(r.code, arena_printf(d->arena, "data.%s", r.field),
                                           r.value[0], r.value[1], r.value[2]);
}

struct result decide_mapping(struct draft *d)
{
    static const char *const names[] = {"source", "for", "data", NULL};
    const json_t *o = d->cmd->body;
    const char *source = NULL, *kind = NULL;
    json_t *data = NULL;
    TRY(draft_only(d, "a mapping", names));
    TRY(read_code(o, "source", &source));
    TRY(json_get_text(o, "for", "for", JSON_NEEDED, &kind));
    TRY(choice(kind, "for", "orders,seed,results,logger,checkweigher"));
    TRY(json_get_object(o, "data", "data", JSON_NEEDED, &data));
    TRY(try_mapping(d, source, kind, data));
    draft_add(d, EFFECT_MAPPING, "ttt", source, kind, json_canonical(d->arena, data));
    return RESULT_OK;
}

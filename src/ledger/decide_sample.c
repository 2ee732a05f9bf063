/* Drawing a sample, and waiving the least age of one where the market lets somebody. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/duty.h"
#include "ledger/sample.h"

struct drawn {
    struct lot lot;     /* id 0: of a place */
    struct place place; /* code NULL: of a lot */
    const char *what, *location, *code;
    int64_t volume_ml;
    bool has_age; /* of a batch: since the start of sprouting */
    int64_t age_ms;
};

static struct result read_of(struct draft *d, struct drawn *out)
{
    const json_t *o = d->cmd->body;
    const char *chamber = NULL;
    bool of_place = list_has("swab,water", out->what);
    TRY(json_get_text(o, "chamber", "chamber", JSON_OPTIONAL, &chamber));
    if (of_place) {
        TRY(place_named(d, "place", JSON_NEEDED, &out->place));
        if (strcmp(out->what, "water") == 0 && strcmp(out->place.kind, "water-system") != 0) {
            return FAIL3(PLACE_KIND, "place", out->place.code, out->place.kind, "water-system");
        }
    } else if (chamber != NULL) {
        TRY(lot_in_chamber(d, chamber, "chamber", &out->lot));
    } else {
        TRY(lot_named(d, o, "lot", "lot", &out->lot));
    }
    if (strcmp(out->what, "spent-water") == 0 && strcmp(out->lot.kind, "growing") != 0) {
        return FAIL3(LOT_KIND, "lot", out->lot.code, out->lot.kind, "growing");
    }
    return RESULT_OK;
}

static struct result read_code(struct draft *d, const char **out)
{
    struct sample other;
    bool found;
    *out = arena_printf(d->arena, "S%lld", (long long)d->seq);
    TRY(json_get_text(d->cmd->body, "code", "code", JSON_OPTIONAL, out));
    static const char letters[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._";
    size_t len = strlen(*out);
    if (len == 0 || len > 20 || strspn(*out, letters) != len) {
        return FAIL2(FIELD_RANGE, "code", *out,
                     "1 to 20 letters, digits, hyphens, points or underscores");
    }
    TRY(sample_by_code(d->store, d->arena, *out, &other, &found));
    return found ? FAIL1(SAMPLE_EXISTS, "code", *out) : RESULT_OK;
}

/* Counted from the first wetting. */
static struct result read_age(struct draft *d, struct drawn *out)
{
    struct statement *q = store_prepare(d->store, Q_CHAMBER_USE_OF);
    store_bind_int(q, 1, out->lot.id);
    bool row;
    TRY(store_step(q, &row));
    int64_t wet_ms = row ? store_int(q, 3) : 0;
    out->has_age = row;
    while (row) {
        TRY(store_step(q, &row));
    }
    out->age_ms = d->cmd->happened_ms - wet_ms;
    if (out->has_age && out->age_ms < 0) {
        return FAIL2(END_BEFORE_START, "at", civil_short(d->arena, wet_ms),
                     civil_short(d->arena, d->cmd->happened_ms));
    }
    return RESULT_OK;
}

/* A sample too young for a market is heard all the same; it does not count there. */
static struct result check_age(struct draft *d, const struct drawn *s)
{
    for (size_t i = 0; s->has_age && i < d->profile->market_count; i++) {
        const struct market *m = &d->profile->markets[i];
        bool meant = s->lot.markets[0] == '\0' || list_has(s->lot.markets, m->name);
        if (!meant || !list_has(m->what, s->what) || s->age_ms >= m->min_age_ms) {
            continue;
        }
        const char *age =
            arena_printf(d->arena, "%lld h %lld min", (long long)(s->age_ms / 3600000),
                         (long long)(s->age_ms / 60000 % 60));
        const char *least =
            arena_printf(d->arena, "%lld h (%s: %s)", (long long)(m->min_age_ms / 3600000), m->name,
                         m->source->title);
        TRY(draft_break(d, "sample-too-young", s->lot.id, NULL, 0, 0,
                        FAIL3(SAMPLE_YOUNG, "at", s->lot.code, age, least)));
    }
    return RESULT_OK;
}

/* What a sample takes leaves the lot. A growing lot stands in the book with its seed's mass, so
 * what is cut from it before the harvest is taken from the water it gained. */
static struct result move_sample(struct draft *d, const struct drawn *s)
{
    struct amount mass;
    bool given;
    TRY(draft_read_mass(d, d->cmd->body, "", JSON_OPTIONAL, HOW_WEIGHED, &mass, &given));
    if (!given || s->lot.id == 0) {
        return RESULT_OK;
    }
    if (strcmp(s->lot.kind, "growing") == 0) {
        draft_move_account(d, "water", -1, &mass);
    } else {
        TRY(draft_move_lot(d, s->lot.id, s->lot.code, -1, &mass));
    }
    draft_move_account(d, "sample", 1, &mass);
    return RESULT_OK;
}

struct result decide_sample(struct draft *d)
{
    static const char *const names[] = {"lot",    "chamber", "place", "location", "what",
                                        "volume", "code",    "mass",  "how",      "instrument",
                                        "gross",  "tare",    NULL};
    const json_t *o = d->cmd->body;
    const char *volume = NULL;
    struct drawn s = {0};
    TRY(draft_only(d, "a sample", names));
    TRY(json_get_text(o, "what", "what", JSON_NEEDED, &s.what));
    if (!list_has("spent-water,sprouts,swab,water", s.what)) {
        return FAIL2(FIELD_CHOICE, "what", s.what, "spent-water, sprouts, swab, water");
    }
    TRY(read_of(d, &s));
    s.location = s.place.code;
    TRY(json_get_text(o, "location", "location", s.lot.id != 0 ? JSON_NEEDED : JSON_OPTIONAL,
                      &s.location));
    TRY(json_get_text(o, "volume", "volume",
                      strcmp(s.what, "spent-water") == 0 ? JSON_NEEDED : JSON_OPTIONAL, &volume));
    if (volume != NULL) {
        TRY(volume_read(volume, "volume", &s.volume_ml));
    }
    TRY(read_code(d, &s.code));
    if (s.lot.id != 0) {
        TRY(read_age(d, &s));
        TRY(check_age(d, &s));
    }
    TRY(move_sample(d, &s));
    if (s.has_age) {
        draft_add(d, EFFECT_SAMPLE, "itotttiii", draft_id(d), s.code, s.lot.id, s.place.code,
                  s.location, s.what, d->cmd->happened_ms, s.age_ms, s.volume_ml);
    } else {
        draft_add(d, EFFECT_SAMPLE, "itotttini", draft_id(d), s.code, s.lot.id, s.place.code,
                  s.location, s.what, d->cmd->happened_ms, s.volume_ml);
    }
    if (strcmp(s.what, "swab") == 0) {
        TRY(duties_met(d, "swab", s.place.code, s.location));
    }
    json_object_set_new(d->answer, "sample", json_string(s.code));
    if (s.has_age) {
        json_object_set_new(d->answer, "age_min", json_integer(s.age_ms / 60000));
    }
    return RESULT_OK;
}

/* A market may let somebody accept a sample drawn too early; the reason stands in the record. */
struct result decide_waive_age(struct draft *d)
{
    static const char *const names[] = {"sample", "market", NULL};
    const char *market = NULL, *role;
    struct sample s;
    bool active, found;
    TRY(draft_only(d, "waiving the age of a sample", names));
    if (d->profile == NULL) {
        return FAIL0(PROFILE_MISSING, "");
    }
    TRY(sample_named(d, &s));
    TRY(json_get_text(d->cmd->body, "market", "market", JSON_NEEDED, &market));
    const struct market *m = profile_market(d->profile, market);
    if (m == NULL) {
        return FAIL2(MARKET_UNKNOWN, "market", market, "other markets");
    }
    TRY(person_role(d->store, d->arena, d->cmd->person, &role, &active, &found));
    if (m->min_age_hard || !list_has(m->age_waiver_roles, role)) {
        const char *who = m->min_age_hard ? "nobody" : m->age_waiver_roles;
        return FAIL3(WAIVER_REFUSED, "market", market, role, who);
    }
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say why this sample counts all the same.");
    }
    if (s.lot == 0) {
        return FAIL2(FIELD_CHOICE, "sample", s.code, "samples of a batch");
    }
    json_t *data =
        json_pack("{s:s,s:s,s:s}", "market", market, "role", role, "reason", d->cmd->reason);
    const char *text = json_canonical(d->arena, data);
    json_decref(data);
    draft_add(d, EFFECT_READING, "itninitinti", (int64_t)0, "age-waiver", s.lot, s.id, "sample",
              (int64_t)1, text, d->cmd->happened_ms);
    json_object_set_new(d->answer, "sample", json_string(s.code));
    json_object_set_new(d->answer, "market", json_string(market));
    return RESULT_OK;
}

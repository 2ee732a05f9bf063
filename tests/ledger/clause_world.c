#include "clause_world.h"

#include "base/civil.h"
#include "base/file.h"

int64_t world_entry(struct clause_world *w, const char *kind)
{
    struct evidence_entry *entry =
        evidence_grow(&w->arena, &w->e.entries, &w->e.entry_count, sizeof *entry);
    *entry = (struct evidence_entry){.seq = ++w->seq, .kind = kind, .person = DOER};
    int64_t seq = w->seq;
    struct evidence_review *review = EVIDENCE_ADD(&w->arena, &w->e, review);
    *review = (struct evidence_review){.of_entry = seq, .entry = ++w->seq, .person = REVIEWER};
    entry = evidence_grow(&w->arena, &w->e.entries, &w->e.entry_count, sizeof *entry);
    *entry = (struct evidence_entry){.seq = w->seq, .kind = "review", .person = REVIEWER};
    return seq;
}

void world_unreview(struct clause_world *w, int64_t entry)
{
    for (size_t i = 0; i < w->e.review_count; i++) {
        if (w->e.reviews[i].of_entry == entry) {
            w->e.reviews[i].person = DOER; /* only by who told it */
        }
    }
}

size_t world_lot(const struct clause_world *w, const char *code)
{
    for (size_t i = 0; i < w->e.lot_count; i++) {
        if (strcmp(w->e.lots[i].code, code) == 0) {
            return i;
        }
    }
    print_error("no lot %s\n", code);
    fail();
    return 0;
}

static size_t add_lot(struct clause_world *w, const char *code, const char *item, const char *kind,
                      size_t via)
{
    size_t at = w->e.lot_count;
    struct evidence_lot *lot = EVIDENCE_ADD(&w->arena, &w->e, lot);
    *lot = (struct evidence_lot){.id = 100 + (int64_t)at,
                                 .code = code,
                                 .item = item,
                                 .kind = kind,
                                 .family = "mung",
                                 .allergens = "",
                                 .via = via,
                                 .made_from = strcmp(kind, "seed") != 0,
                                 .entry = world_entry(w, "receive")};
    if (via != at) {
        struct evidence_edge *edge = EVIDENCE_ADD(&w->arena, &w->e, edge);
        *edge = (struct evidence_edge){.parent = at, .child = via};
    }
    return at;
}

static void add_place(struct clause_world *w, const char *code, const char *kind,
                      const char *parent)
{
    struct evidence_place *p = EVIDENCE_ADD(&w->arena, &w->e, place);
    *p = (struct evidence_place){.code = code, .kind = kind, .class_ = "", .parent = parent};
}

struct evidence_clean *world_clean(struct clause_world *w, const char *place, int64_t end_ms)
{
    struct evidence_clean *c = EVIDENCE_ADD(&w->arena, &w->e, clean);
    *c = (struct evidence_clean){.place = place,
                                 .valid = true,
                                 .start_ms = end_ms - MINUTES(30),
                                 .end_ms = end_ms,
                                 .entry = world_entry(w, "clean")};
    return c;
}

/* The lot on a place, seen by its own line and by those of others. */
static void add_contact(struct clause_world *w, size_t lot, const char *act, const char *place,
                        int64_t run, int64_t from_ms, int64_t to_ms)
{
    int64_t entry = world_entry(w, act);
    struct evidence_contact *k = EVIDENCE_ADD(&w->arena, &w->e, contact);
    *k = (struct evidence_contact){.lot = lot,
                                   .place = place,
                                   .act = act,
                                   .made = strcmp(act, "pass") != 0,
                                   .run = run,
                                   .family = "mung",
                                   .allergens = "",
                                   .start_ms = from_ms,
                                   .from_ms = from_ms,
                                   .to_ms = to_ms,
                                   .entry = entry};
    struct evidence_use *u = EVIDENCE_ADD(&w->arena, &w->e, use);
    *u = (struct evidence_use){.place = place,
                               .lot = w->e.lots[lot].id,
                               .lot_code = w->e.lots[lot].code,
                               .run = run,
                               .family = "mung",
                               .allergens = "",
                               .from_ms = from_ms,
                               .to_ms = to_ms,
                               .entry = entry};
}

struct evidence_contact *world_contact(struct clause_world *w, const char *lot, const char *place)
{
    size_t at = world_lot(w, lot);
    for (size_t i = 0; i < w->e.contact_count; i++) {
        if (w->e.contacts[i].lot == at && strcmp(w->e.contacts[i].place, place) == 0) {
            return &w->e.contacts[i];
        }
    }
    print_error("%s was not on %s\n", lot, place);
    fail();
    return NULL;
}

struct evidence_finding *world_finding(struct clause_world *w, size_t sample, const char *organism,
                                       const char *state)
{
    int64_t entry = world_entry(w, "result");
    struct evidence_finding *f = EVIDENCE_ADD(&w->arena, &w->e, finding);
    *f = (struct evidence_finding){.sample = sample,
                                   .organism = organism,
                                   .state = state,
                                   .method = "FDA-SSIW-2015",
                                   .report = true,
                                   .person = DOER,
                                   .at_ms = PACK_MS,
                                   .entry = entry};
    return f;
}

struct evidence_finding *world_first_finding(struct clause_world *w, size_t sample,
                                             const char *organism)
{
    for (size_t i = 0; i < w->e.finding_count; i++) {
        if (w->e.findings[i].sample == sample && strcmp(w->e.findings[i].organism, organism) == 0) {
            return &w->e.findings[i];
        }
    }
    fail();
    return NULL;
}

static struct evidence_check *add_check(struct clause_world *w, const char *kind, const char *place,
                                        int64_t at_ms, bool ok)
{
    int64_t entry = world_entry(w, kind);
    struct evidence_check *c = EVIDENCE_ADD(&w->arena, &w->e, check);
    *c = (struct evidence_check){.kind = kind,
                                 .lot = EVIDENCE_NO_LOT,
                                 .place = place,
                                 .ok = ok,
                                 .at_ms = at_ms,
                                 .entry = entry};
    return c;
}

struct evidence_check *world_metal_check(struct clause_world *w, int64_t at_ms, bool ok)
{
    return add_check(w, "metal-check", "METAL", at_ms, ok);
}

struct evidence_check *world_water_reading(struct clause_world *w, int64_t at_ms, bool ok)
{
    return add_check(w, "water-reading", "WASH", at_ms, ok);
}

static size_t add_sample(struct clause_world *w, size_t lot, const char *place, const char *what,
                         const char *code, int64_t taken_ms)
{
    int64_t entry = world_entry(w, "sample");
    struct evidence_sample *s = EVIDENCE_ADD(&w->arena, &w->e, sample);
    *s = (struct evidence_sample){.id = 500 + (int64_t)w->e.sample_count,
                                  .lot = lot,
                                  .place = place,
                                  .code = code,
                                  .location = "drain",
                                  .what = what,
                                  .taken_ms = taken_ms,
                                  .volume_ml = 1000,
                                  .entry = entry};
    return w->e.sample_count - 1;
}

/* Five samples of a litre from the drain, 49 h old: enough for US and EU together. */
static void sample_batch(struct clause_world *w, size_t growing, int64_t wet_ms)
{
    const struct market *eu = profile_market(w->profile, "EU");
    for (int n = 1; n <= 5; n++) {
        const char *code = arena_printf(&w->arena, "S-%s-%d", w->e.lots[growing].code + 2, n);
        size_t s =
            add_sample(w, growing, NULL, "spent-water", code, wet_ms + HOURS(49) + MINUTES(n));
        for (size_t k = 0; k < eu->organism_count; k++) {
            world_finding(w, s, eu->organisms[k].organism, "negative");
        }
    }
}

static void treat(struct clause_world *w, size_t seed, size_t load, int64_t at_ms)
{
    struct evidence_seed_state *state = EVIDENCE_ADD(&w->arena, &w->e, seed_state);
    *state = (struct evidence_seed_state){
        .lot = seed, .state = "received", .markets = "", .at_ms = BEGIN_MS - HOURS(48)};
    state->entry = world_entry(w, "receive");
    state = EVIDENCE_ADD(&w->arena, &w->e, seed_state);
    *state = (struct evidence_seed_state){
        .lot = seed, .state = "approved", .markets = "", .at_ms = BEGIN_MS - HOURS(24)};
    state->entry = world_entry(w, "approve");
    struct evidence_treatment *t = EVIDENCE_ADD(&w->arena, &w->e, treatment);
    *t = (struct evidence_treatment){.lot = load,
                                     .way = "recipe",
                                     .recipe = "hot-water-85",
                                     .reason = "met",
                                     .met = true,
                                     .papers = "validation",
                                     .at_ms = at_ms};
    t->entry = world_entry(w, "heat-treat");
    world_clean(w, "TREAT", at_ms - MINUTES(10));
    add_contact(w, load, "treat", "TREAT", 0, at_ms, at_ms + MINUTES(30));
    world_clean(w, "SOAK", at_ms + MINUTES(40));
    add_contact(w, load, "pass", "SOAK", 0, at_ms + HOURS(1), at_ms + HOURS(1) + MINUTES(30));
}

static const char *code_of(struct clause_world *w, const char *stem, int batch)
{
    return arena_printf(&w->arena, "%s-%d", stem, batch);
}

static void add_batch(struct clause_world *w, int n)
{
    int64_t treat_ms = BEGIN_MS + HOURS(2 * n), wet_ms = treat_ms + HOURS(1);
    int64_t wash_ms = PACK_MS - HOURS(4 - n), sort_ms = wash_ms + MINUTES(10);
    size_t sorted = add_lot(w, code_of(w, "SORTED", n), "MUNG", "sorted", 0);
    size_t washed = add_lot(w, code_of(w, "WASHED", n), "MUNG", "washed", sorted);
    size_t harvested = add_lot(w, code_of(w, "HARVESTED", n), "MUNG", "harvested", washed);
    size_t growing = add_lot(w, code_of(w, "G", n), "MUNG", "growing", harvested);
    size_t load = add_lot(w, code_of(w, "LOAD", n), "MUNGSEED", "load", growing);
    size_t seed = add_lot(w, code_of(w, "SEED", n), "MUNGSEED", "seed", load);
    const char *chamber = code_of(w, "C", n);
    w->e.lots[growing].wet_ms = wet_ms;
    treat(w, seed, load, treat_ms);
    world_clean(w, chamber, treat_ms - HOURS(1));
    add_contact(w, growing, "grow", chamber, 0, treat_ms + HOURS(9), wash_ms - MINUTES(10));
    add_contact(w, harvested, "harvest", chamber, 0, wash_ms - MINUTES(10), wash_ms - MINUTES(10));
    add_contact(w, washed, "process", "WASH", 1, wash_ms, wash_ms + MINUTES(50));
    add_contact(w, sorted, "process", "SORT", 2, sort_ms, sort_ms + MINUTES(50));
    sample_batch(w, growing, wet_ms);
    for (int day = 1; day <= 7; day++) {
        int64_t entry = world_entry(w, "water");
        struct evidence_watering *water = EVIDENCE_ADD(&w->arena, &w->e, watering);
        *water = (struct evidence_watering){
            .lot = growing, .source = "WATER", .at_ms = treat_ms + HOURS(day * 24), .entry = entry};
        water->to_ms = water->at_ms;
    }
}

static void add_run(struct clause_world *w, int64_t id, const char *place, const char *code)
{
    struct evidence_run *r = EVIDENCE_ADD(&w->arena, &w->e, run);
    *r = (struct evidence_run){.id = id,
                               .place = place,
                               .code = code,
                               .family = "mung",
                               .allergens = "",
                               .start_ms = PACK_MS - HOURS(4),
                               .end_ms = PACK_MS + HOURS(2)};
}

static void add_packing(struct clause_world *w)
{
    static const char *const lines[] = {"WASH", "SORT", "PACK"};
    for (int i = 0; i < 3; i++) {
        world_clean(w, lines[i], PACK_MS - HOURS(4) - MINUTES(10));
        add_run(w, i + 1, lines[i], code_of(w, "R", i + 1));
    }
    add_contact(w, 0, "pack", "PACK", 3, PACK_MS, PACK_MS + HOURS(1));
    world_metal_check(w, PACK_MS - MINUTES(10), true);
    world_metal_check(w, PACK_MS + MINUTES(40), true);
    world_metal_check(w, PACK_MS + MINUTES(70), true);
    world_water_reading(w, PACK_MS - HOURS(3) - MINUTES(5), true);
    world_water_reading(w, PACK_MS - MINUTES(5), true);
    int64_t entry = world_entry(w, "label-check");
    struct evidence_check *label = EVIDENCE_ADD(&w->arena, &w->e, check);
    *label = (struct evidence_check){
        .kind = "label-check", .lot = 0, .ok = true, .at_ms = PACK_MS, .entry = entry};
}

void world_open(struct clause_world *w)
{
    *w = (struct clause_world){.markets = "US,EU"};
    arena_init(&w->arena, ARENA_LIMIT_DEFAULT);
    assert_ok(civil_zone_use("UTC"));
    char *text;
    size_t len;
    assert_ok(file_read(&w->arena, PROFILE_FILE, 1 << 22, &text, &len));
    assert_ok(profile_read(text, len, &w->profile));
    static const char *const places[][3] = {
        {"SITE", "site", NULL},        {"HALL", "room", "SITE"},
        {"TREAT", "treater", "HALL"},  {"SOAK", "soak-tank", "HALL"},
        {"C-1", "chamber", "HALL"},    {"C-2", "chamber", "HALL"},
        {"C-3", "chamber", "HALL"},    {"WASH", "wash-line", "HALL"},
        {"SORT", "sorter", "HALL"},    {"PACK", "pack-line", "HALL"},
        {"METAL", "detector", "PACK"}, {"WATER", "water-system", "SITE"}};
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        add_place(w, places[i][0], places[i][1], places[i][2]);
    }
    add_lot(w, "P-1", "MUNG250", "packed", 0);
    for (int n = 1; n <= BATCHES; n++) {
        add_batch(w, n);
    }
    add_packing(w);
    size_t water =
        add_sample(w, EVIDENCE_NO_LOT, "WATER", "water", "S-WATER", BEGIN_MS - HOURS(24));
    world_finding(w, water, WATER_ORGANISM, "negative");
}

void world_close(struct clause_world *w)
{
    profile_free(w->profile);
    arena_release(&w->arena);
}

void world_judge(struct clause_world *w)
{
    clauses_judge(&w->e, w->profile, w->markets, &w->arena, &w->list);
}

static void show(const struct clause_world *w, const struct clause_line *line)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    print_error("%s of %s, place %s, market %s: %s: %s\n", line->clause, line->lot_code,
                line->place != NULL ? line->place : "-", line->market != NULL ? line->market : "-",
                code_id(line->reason.code), result_sentence(&a, &line->reason));
    arena_release(&a);
}

static void check(struct clause_world *w, const char *clause, const char *lot, const char *where,
                  enum code code, bool reviewed_too)
{
    size_t found = 0, other = 0;
    world_judge(w);
    for (size_t i = 0; i < w->list.line_count; i++) {
        const struct clause_line *line = &w->list.lines[i];
        const char *at = line->market != NULL ? line->market : line->place;
        bool meant = strcmp(line->clause, clause) == 0 && strcmp(line->lot_code, lot) == 0 &&
                     (where == NULL || (at != NULL && strcmp(at, where) == 0));
        if (meant && line->state == CLAUSE_UNMET && line->reason.code == code) {
            found++;
        } else if (line->state == CLAUSE_UNMET &&
                   !(reviewed_too && strcmp(line->clause, "reviewed") == 0)) {
            show(w, line);
            other++;
        }
    }
    if (found == 0) {
        print_error("%s of %s is not unmet by %s\n", clause, lot, code_id(code));
    }
    assert_true(found > 0);
    assert_int_equal(other, 0);
}

void world_only_unmet(struct clause_world *w, const char *clause, const char *lot,
                      const char *where, enum code code)
{
    check(w, clause, lot, where, code, false);
}

void world_unmet(struct clause_world *w, const char *clause, const char *lot, const char *where,
                 enum code code)
{
    check(w, clause, lot, where, code, true);
}

void world_all_met(struct clause_world *w)
{
    world_judge(w);
    for (size_t i = 0; i < w->list.line_count; i++) {
        if (w->list.lines[i].state == CLAUSE_UNMET) {
            show(w, &w->list.lines[i]);
        }
    }
    assert_int_equal(w->list.unmet, 0);
}

/* One lot as a page shows it. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/known.h"
#include "service/reading.h"
#include "service/sentence.h"
#include "service/sentences.h"
#include "service/story.h"
#include "service/view_inner.h"
#include "service/view_lots.h"

struct sight {
    struct view *v;
    struct lot lot;
    struct clause_list clauses;
    json_t *o;
    json_t *legs;
    bool held; /* something open stops its release */
};

static json_t *entries_of(const struct clause_line *line)
{
    json_t *list = json_array();
    for (size_t i = 0; i < line->entry_count; i++) {
        view_append(list, json_integer(line->entries[i]));
    }
    return list;
}

static json_t *way_of(const struct clause_line *line)
{
    json_t *list = json_array();
    for (size_t i = 0; i < line->way_count; i++) {
        view_append(list, json_string(line->way[i]));
    }
    return list;
}

static void put_clauses(struct sight *s)
{
    struct view *v = s->v;
    json_t *list = json_array();
    for (size_t i = 0; i < s->clauses.line_count; i++) {
        const struct clause_line *line = &s->clauses.lines[i];
        const char *sentence = line->state == CLAUSE_MET
                                   ? SAY(v, "clause.is-met", line->lot_code)
                                   : result_sentence_in(v->arena, v->lang, &line->reason);
        json_t *o =
            json_pack("{s:s,s:s,s:s,s:o,s:o,s:s,s:s,s:o,s:o}", "clause", line->clause, "title",
                      words_of(v->arena, v->lang, "clause.", line->clause, line->clause), "lot",
                      line->lot_code, "place", view_text(line->place), "market",
                      view_text(line->market), "state", clause_state_text(line->state), "sentence",
                      sentence, "entries", entries_of(line), "way", way_of(line));
        view_append(list, o);
    }
    view_put(s->o, "clauses", list);
    view_put(s->o, "unmet", json_integer((json_int_t)s->clauses.unmet));
}

static struct result put_releases(struct sight *s, bool *out_released)
{
    json_t *list = json_array();
    view_put(s->o, "releases", list);
    struct statement *q = store_prepare(s->v->store, Q_DOSSIER_RELEASES);
    store_bind_int(q, 1, s->lot.id);
    bool row;
    *out_released = false;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t revoked_ms = store_int(q, 6);
        *out_released = *out_released || revoked_ms == 0;
        view_append(list,
                    json_pack("{s:I,s:I,s:I,s:o,s:I,s:o}", "entry", (json_int_t)store_int(q, 0),
                              "at_ms", (json_int_t)store_int(q, 2), "by",
                              (json_int_t)store_int(q, 1), "markets", view_list(store_text(q, 4)),
                              "size", (json_int_t)store_int(q, 5), "revoked",
                              view_int(revoked_ms != 0, revoked_ms)));
    }
}

struct result view_lot_balance(struct view *v, int64_t lot, json_t **out_array)
{
    json_t *list = json_array();
    struct statement *q = store_prepare(v->store, Q_BALANCE_LEGS);
    store_bind_int(q, 1, lot);
    bool row;
    for (;;) {
        struct result r = store_step(q, &row);
        if (r.code != CODE_OK) {
            json_decref(list);
            return r;
        }
        if (!row) {
            *out_array = list;
            return RESULT_OK;
        }
        view_append(list, json_pack("{s:I,s:s,s:s,s:I,s:s,s:o,s:I}", "entry",
                                    (json_int_t)store_int(q, 0), "kind", store_text(q, 1), "unit",
                                    store_text(q, 2), "amount", (json_int_t)store_int(q, 3), "how",
                                    store_text(q, 4), "instrument", view_text(store_text(q, 5)),
                                    "uncertainty", (json_int_t)store_int(q, 6)));
    }
}

/* What the entries moved into (above 0) or out of the lot. */
struct moved {
    int64_t entry, mg;
};

struct moves {
    struct moved *all;
    size_t count;
};

static struct moves moves_of(struct arena *a, const json_t *legs)
{
    struct moves m = {.all = ARENA_ARRAY(a, struct moved, json_array_size(legs))};
    size_t i;
    json_t *leg;
    json_array_foreach(legs, i, leg)
    {
        if (strcmp(json_string_value(json_object_get(leg, "unit")), "mg") == 0) {
            m.all[m.count++] =
                (struct moved){.entry = json_integer_value(json_object_get(leg, "entry")),
                               .mg = json_integer_value(json_object_get(leg, "amount"))};
        }
    }
    return m;
}

/* *out_any false: nothing. */
static int64_t moved_by(const struct moves *m, int64_t entry, bool *out_any)
{
    int64_t mg = 0;
    *out_any = false;
    for (size_t i = 0; i < m->count; i++) {
        if (m->all[i].entry == entry) {
            mg += m->all[i].mg;
            *out_any = true;
        }
    }
    return mg;
}

static bool names_lot(const char *lots, const char *code)
{
    size_t len = strlen(code);
    for (const char *at = strstr(lots, code); at != NULL; at = strstr(at + 1, code)) {
        if ((at == lots || at[-1] == ' ') && (at[len] == '\0' || at[len] == ',')) {
            return true;
        }
    }
    return false;
}

static json_t *lots_of(const char *lots)
{
    json_t *list = json_array();
    while (*lots != '\0') {
        size_t len = strcspn(lots, ",");
        view_append(list, json_stringn(lots, len));
        lots += len + (lots[len] == ',' ? strspn(lots + len, ", ") : 0);
    }
    return list;
}

/* In the record's own words, as the daybook has it. */
static struct result story_sentence(struct view *v, int64_t entry, const char **out)
{
    struct entry e;
    bool found;
    json_t *body;
    *out = v->sentences != NULL ? sentences_find(v->sentences, v->arena, v->lang, entry) : NULL;
    if (*out != NULL) {
        return RESULT_OK;
    }
    TRY(entry_by_seq(v->store, v->arena, entry, &e, &found));
    CHECK(found);
    TRY(json_read_stored_before(v->arena, e.body, "effects", &body));
    const char *text = sentence_of(v->arena, v->profile, v->lang, e.kind,
                                   json_object_get(body, "did"), json_object_get(body, "answer"));
    *out = arena_copy(v->arena, text);
    json_decref(body);
    if (v->sentences != NULL) {
        sentences_put(v->sentences, v->lang, entry, *out);
    }
    return RESULT_OK;
}

static struct result deviations_of(struct view *v, int64_t entry, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_DOSSIER_DEVIATIONS);
    store_bind_int(q, 1, entry);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(list, json_string(told_deviation(v->arena, v->lang, store_text(q, 0))));
    }
}

static struct result put_story(struct sight *s)
{
    struct view *v = s->v;
    struct told *told;
    size_t count;
    json_t *list = json_array();
    view_put(s->o, "story", list);
    TRY(told_collect(v->store, v->arena, s->lot.id, &s->clauses, &told, &count));
    struct moves moves = moves_of(v->arena, s->legs);
    for (size_t i = 0; i < count; i++) {
        const struct told *t = &told[i];
        bool any;
        int64_t mg = moved_by(&moves, t->entry, &any);
        const char *side = any && mg < 0                     ? "from"
                           : names_lot(t->lots, s->lot.code) ? "own"
                                                             : "into";
        const char *sentence;
        TRY(story_sentence(v, t->entry, &sentence));
        json_t *deviations = json_array();
        view_append(list, json_pack("{s:I,s:I,s:s,s:s,s:s,s:I,s:o,s:o,s:o,s:o,s:o,s:s}", "entry",
                                    (json_int_t)t->entry, "at_ms", (json_int_t)t->happened_ms,
                                    "kind", t->kind, "title", view_step(v, t->kind), "sentence",
                                    sentence, "by", (json_int_t)t->person, "lots", lots_of(t->lots),
                                    "place", view_text(t->place), "mg", view_int(any, llabs(mg)),
                                    "struck_by", view_int(t->struck_by != 0, t->struck_by),
                                    "deviations", deviations, "side", side));
        TRY(deviations_of(v, t->entry, deviations));
    }
    return RESULT_OK;
}

static struct result put_units(struct sight *s)
{
    struct statement *q = store_prepare(s->v->store, Q_PAGE_UNIT_COUNTS);
    store_bind_int(q, 1, s->lot.id);
    bool row;
    TRY(store_step(q, &row));
    view_put(s->o, "units",
             json_pack("{s:I,s:I,s:I}", "cases", (json_int_t)store_int(q, 0), "here",
                       (json_int_t)store_int(q, 1), "shipped", (json_int_t)store_int(q, 2)));
    return told_finish(q, row);
}

static struct result first_of(struct sight *s, enum query query, int64_t otherwise, int64_t *out)
{
    struct statement *q = store_prepare(s->v->store, query);
    store_bind_int(q, 1, s->lot.id);
    return view_first(q, otherwise, out);
}

/* Dry matter in the seed, and, where the moisture of the sprouts was measured, in what came out. */
static struct result put_dry(struct sight *s)
{
    const struct crop *crop = profile_crop(s->v->profile, s->lot.item);
    int64_t seed_mg = 0, moisture_ppm = -1, harvested_mg = 0;
    bool grows = crop != NULL && strcmp(s->lot.kind, "growing") == 0;
    if (grows) {
        struct statement *q = store_prepare(s->v->store, Q_CHAMBER_USE_OF);
        store_bind_int(q, 1, s->lot.id);
        bool row;
        TRY(store_step(q, &row));
        seed_mg = row ? store_int(q, 4) : 0;
        TRY(told_finish(q, row));
        TRY(first_of(s, Q_PAGE_MOISTURE, -1, &moisture_ppm));
        TRY(first_of(s, Q_PAGE_HARVESTED, 0, &harvested_mg));
        seed_mg = (int64_t)((__int128)seed_mg * (1000000 - crop->seed_moisture_ppm) / 1000000);
        harvested_mg = (int64_t)((__int128)harvested_mg * (1000000 - moisture_ppm) / 1000000);
    }
    view_put(s->o, "dry",
             json_pack("{s:o,s:o}", "in_mg", view_int(grows, seed_mg), "out_mg",
                       view_int(grows && moisture_ppm >= 0, harvested_mg)));
    return RESULT_OK;
}

static struct result put_state(struct sight *s, bool released)
{
    struct view *v = s->v;
    struct hold *holds;
    size_t count;
    json_t *list;
    int64_t mg, pieces;
    TRY(holds_on(v->store, v->arena, s->lot.id, 0, "", &holds, &count));
    TRY(view_holds_on(v, s->lot.id, 0, &list));
    view_put(s->o, "holds", list);
    for (size_t i = 0; i < count; i++) {
        s->held = s->held || view_hold_stops_release(&holds[i]);
    }
    TRY(balance_of(v->store, s->lot.id, UNIT_MG, &mg));
    TRY(balance_of(v->store, s->lot.id, UNIT_PIECES, &pieces));
    const char *state = s->lot.closed_ms != 0 ? "closed"
                        : count > 0           ? "held"
                        : released            ? "released"
                                              : "open";
    view_put(s->o, "mg", json_integer(mg));
    view_put(s->o, "pieces", json_integer(pieces));
    view_put(s->o, "state", json_string(state));
    view_put(s->o, "tone",
             json_string(count > 0 && s->lot.closed_ms == 0 ? "stopped"
                         : strcmp(state, "open") == 0       ? "waiting"
                                                            : "done"));
    bool may = v->role != NULL && list_has("quality,manager", v->role);
    view_put(s->o, "may_release",
             json_boolean(may && strcmp(s->lot.kind, "packed") == 0 && s->lot.closed_ms == 0 &&
                          !released && !s->held && s->clauses.unmet == 0));
    return RESULT_OK;
}

static void put_lot(struct sight *s)
{
    const struct lot *l = &s->lot;
    struct arena *a = s->v->arena;
    s->o = json_pack("{s:s,s:s,s:s,s:o,s:s,s:I,s:o,s:o,s:o,s:o}", "lot", l->code, "item", l->item,
                     "kind", l->kind, "place", view_text(l->place), "day", day_text(a, l->day),
                     "born_ms", (json_int_t)l->born_ms, "best_before",
                     view_text(l->best_before != 0 ? day_text(a, l->best_before) : NULL), "markets",
                     view_list(l->markets), "supplier", view_text(l->supplier), "supplier_lot",
                     view_text(l->supplier_code));
    CHECK(s->o != NULL);
}

static struct result fill(struct sight *s)
{
    bool released;
    put_clauses(s);
    TRY(put_releases(s, &released));
    TRY(put_state(s, released));
    TRY(view_lot_balance(s->v, s->lot.id, &s->legs));
    view_put(s->o, "balance", s->legs);
    TRY(put_story(s));
    TRY(put_units(s));
    return put_dry(s);
}

static struct result known_markets(const struct profile *p, struct arena *a, const char *markets)
{
    const char *all = "";
    char word[64];
    for (size_t i = 0; i < p->market_count; i++) {
        all = arena_printf(a, "%s%s%s", all, i > 0 ? ", " : "", p->markets[i].name);
    }
    for (const char *at = markets; list_next(&at, word, sizeof word);) {
        if (profile_market(p, word) == NULL) {
            return FAIL2(MARKET_UNKNOWN, "markets", word, all);
        }
    }
    return RESULT_OK;
}

struct result view_lot(struct view *v, const char *code, const char *markets, json_t **out)
{
    struct sight s = {.v = v};
    bool found;
    TRY(known_markets(v->profile, v->arena, markets));
    TRY(lot_by_code(v->store, v->arena, code, &s.lot, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", code);
    }
    TRY(clauses_of_lot(v->store, v->profile, s.lot.id, markets, v->arena, &s.clauses));
    put_lot(&s);
    struct result r = fill(&s);
    return view_hand_over(r, s.o, out);
}

struct result view_lot_known(struct view *v, const char *code, const char *markets, int64_t size,
                             json_t **out)
{
    struct store *then;
    struct profile *profile = NULL;
    TRY(known_on(v->store, size, &then));
    struct result r = profile_of(then, v->now_ms, &profile);
    if (r.code == CODE_OK) {
        struct view old = *v;
        old.store = then;
        old.profile = profile;
        old.graph = NULL;
        old.sentences = NULL; /* it was another profile */
        r = view_lot(&old, code, markets, out);
        profile_free(profile);
    }
    store_close(then);
    return r;
}

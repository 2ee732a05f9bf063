/* From JSON to struct profile: limits, surfaces, markets, recipes, clauses. */
#include <string.h>

#include "ledger/profile_inner.h"

static const char *const clause_names[] = {"seed-approved", "seed-treated", "clean", "sampled",
                                           "negative",      "environment",  "water", "foreign-body",
                                           "label",         "reviewed"};
enum { CLAUSE_COUNT = sizeof clause_names / sizeof clause_names[0] };

static struct result fill_limit(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"limit", "items", "low", "high", "unit", "source", NULL};
    struct limit *l = element;
    TRY(json_only(o, path, "a limit", names));
    TRY(profile_text(p, o, path, "limit", JSON_NEEDED, &l->name));
    TRY(profile_list(p, o, path, "items", JSON_OPTIONAL, &l->item));
    if (l->item[0] == '\0') {
        l->item = "*";
    }
    TRY(profile_decimal(o, path, "low", JSON_OPTIONAL, &l->low, &l->has_low));
    TRY(profile_decimal(o, path, "high", JSON_OPTIONAL, &l->high, &l->has_high));
    TRY(profile_text(p, o, path, "unit", JSON_NEEDED, &l->unit));
    if (!l->has_low && !l->has_high) {
        return FAIL1(PROFILE_BAD, path, "a limit needs low, high or both.");
    }
    if (l->has_low && l->has_high && l->low > l->high) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "low"), "it is above high.");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &l->source);
}

static struct result fill_surface(struct profile *p, const json_t *o, const char *path,
                                  void *element)
{
    static const char *const names[] = {
        "surface",      "places",        "scope",   "valid",  "longest_stop",
        "strength_low", "strength_high", "contact", "source", NULL};
    struct surface *s = element;
    const char *scope = NULL;
    bool given;
    TRY(json_only(o, path, "a surface", names));
    TRY(profile_text(p, o, path, "surface", JSON_NEEDED, &s->name));
    TRY(profile_list(p, o, path, "places", JSON_NEEDED, &s->place_kinds));
    TRY(profile_text(p, o, path, "scope", JSON_NEEDED, &scope));
    if (strcmp(scope, "batch") != 0 && strcmp(scope, "run") != 0) {
        return FAIL2(FIELD_CHOICE, path_join(p, path, "scope"), scope, "batch, run");
    }
    s->scope = strcmp(scope, "run") == 0 ? SCOPE_RUN : SCOPE_BATCH;
    enum json_need need = s->scope == SCOPE_RUN ? JSON_NEEDED : JSON_OPTIONAL;
    TRY(profile_duration(o, path, "valid", need, &s->hours_ms));
    TRY(profile_duration(o, path, "longest_stop", need, &s->stop_ms));
    TRY(profile_decimal(o, path, "strength_low", JSON_NEEDED, &s->strength_low, &given));
    TRY(profile_decimal(o, path, "strength_high", JSON_NEEDED, &s->strength_high, &given));
    TRY(profile_duration(o, path, "contact", JSON_NEEDED, &s->contact_ms));
    return profile_source(p, o, path, "source", JSON_NEEDED, &s->source);
}

static struct result fill_organism(struct profile *p, const json_t *o, const char *path,
                                   void *element)
{
    static const char *const names[] = {"organism", "methods", "confirms", "confirms_source", NULL};
    struct market_organism *m = element;
    const struct source *source = NULL;
    TRY(json_only(o, path, "an organism", names));
    TRY(profile_text(p, o, path, "organism", JSON_NEEDED, &m->organism));
    TRY(profile_list(p, o, path, "methods", JSON_NEEDED, &m->methods));
    TRY(profile_list(p, o, path, "confirms", JSON_OPTIONAL, &m->confirms));
    TRY(profile_source(p, o, path, "confirms_source", JSON_OPTIONAL, &source));
    if (m->confirms[0] != '\0' && (source == NULL || !source_may_release(source))) {
        m->confirms = "";
        p->unproved = FAIL1(PROFILE_BAD, path_join(p, path, "confirms"),
                            "what clears a presumptive needs a confirms_source other than from "
                            "memory or common practice.");
    }
    return RESULT_OK;
}

enum { RETEST_MAX_MS = 14 * 86400000 };

/* How long a second test takes moves plans only and lets nothing go earlier. */
static struct result fill_retest(struct profile *p, const json_t *o, const char *path,
                                 struct market *m)
{
    TRY(profile_duration(o, path, "retest", JSON_OPTIONAL, &m->retest_ms));
    TRY(profile_source(p, o, path, "retest_source", JSON_OPTIONAL, &m->retest_source));
    if (m->retest_ms == 0 && m->retest_source == NULL && json_object_get(o, "retest") == NULL) {
        return RESULT_OK;
    }
    return m->retest_ms > 0 && m->retest_ms <= RETEST_MAX_MS
               ? RESULT_OK
               : FAIL1(PROFILE_BAD, path_join(p, path, "retest"),
                       "a second test takes more than nothing and 14 days at most.");
}

static struct result fill_market(struct profile *p, const json_t *o, const char *path,
                                 void *element)
{
    static const char *const names[] = {
        "market",  "organisms",    "samples",          "volume_ml", "locations",     "what",
        "min_age", "min_age_hard", "age_waiver_roles", "retest",    "retest_source", "source",
        NULL};
    struct market *m = element;
    TRY(json_only(o, path, "a market", names));
    TRY(profile_text(p, o, path, "market", JSON_NEEDED, &m->name));
    TRY(json_get_int(o, "samples", path_join(p, path, "samples"), JSON_NEEDED, 1, 1000,
                     &m->samples));
    TRY(json_get_int(o, "volume_ml", path_join(p, path, "volume_ml"), JSON_NEEDED, 0, 100000,
                     &m->volume_ml));
    TRY(profile_list(p, o, path, "locations", JSON_NEEDED, &m->locations));
    TRY(profile_list(p, o, path, "what", JSON_NEEDED, &m->what));
    TRY(profile_duration(o, path, "min_age", JSON_NEEDED, &m->min_age_ms));
    TRY(profile_bool(o, path, "min_age_hard", &m->min_age_hard));
    TRY(profile_list(p, o, path, "age_waiver_roles", JSON_OPTIONAL, &m->age_waiver_roles));
    TRY(profile_source(p, o, path, "source", JSON_NEEDED, &m->source));
    TRY(fill_retest(p, o, path, m));
    TRY(profile_each(p, o, path, "organisms", sizeof(struct market_organism), fill_organism,
                     &m->organisms, &m->organism_count));
    return m->organism_count > 0 ? RESULT_OK
                                 : FAIL1(PROFILE_BAD, path_join(p, path, "organisms"),
                                         "a market tests for at least one.");
}

static struct result fill_recipe(struct profile *p, const json_t *o, const char *path,
                                 void *element)
{
    static const char *const names[] = {"recipe",      "items",        "temp",   "hold",
                                        "cool_within", "log_interval", "source", NULL};
    struct recipe *r = element;
    TRY(json_only(o, path, "a recipe", names));
    TRY(profile_text(p, o, path, "recipe", JSON_NEEDED, &r->name));
    TRY(profile_list(p, o, path, "items", JSON_NEEDED, &r->items));
    TRY(profile_temp(o, path, "temp", JSON_NEEDED, &r->temp_mc));
    TRY(profile_duration(o, path, "hold", JSON_NEEDED, &r->hold_ms));
    TRY(profile_duration(o, path, "cool_within", JSON_NEEDED, &r->cool_ms));
    TRY(profile_duration(o, path, "log_interval", JSON_NEEDED, &r->interval_ms));
    if (r->hold_ms <= 0 || r->interval_ms <= 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "hold"),
                     "hold and log_interval must be longer than nothing.");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &r->source);
}

static struct result fill_clause(struct profile *p, const json_t *o, const char *path,
                                 void *element)
{
    static const char *const names[] = {"clause", "lots",   "not_applicable", "na_source",
                                        "source", "within", "readings_at",    "readings_within",
                                        NULL};
    struct clause *c = element;
    TRY(json_only(o, path, "a clause", names));
    TRY(profile_text(p, o, path, "clause", JSON_NEEDED, &c->name));
    bool known = false;
    for (size_t i = 0; i < CLAUSE_COUNT; i++) {
        known = known || strcmp(clause_names[i], c->name) == 0;
    }
    if (!known) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "clause"),
                     "there is no such clause; see docs/daybook.md.");
    }
    if (profile_clause(p, c->name) != NULL) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "clause"), "this clause stands twice.");
    }
    TRY(profile_list(p, o, path, "lots", JSON_NEEDED, &c->kinds));
    TRY(profile_list(p, o, path, "not_applicable", JSON_OPTIONAL, &c->na_items));
    TRY(profile_duration(o, path, "within", JSON_OPTIONAL, &c->within_ms));
    TRY(profile_list(p, o, path, "readings_at", JSON_OPTIONAL, &c->reading_places));
    if (c->reading_places[0] != '\0') {
        if (strcmp(c->name, "water") != 0) {
            return FAIL1(PROFILE_BAD, path_join(p, path, "readings_at"),
                         "only the clause on water looks at readings of water.");
        }
        TRY(profile_duration(o, path, "readings_within", JSON_NEEDED, &c->reading_within_ms));
    }
    enum json_need need = c->na_items[0] != '\0' ? JSON_NEEDED : JSON_OPTIONAL;
    TRY(profile_source(p, o, path, "na_source", need, &c->na_source));
    if (c->na_source != NULL && !source_may_release(c->na_source)) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "na_source"),
                     "a source from memory or common practice can't make a clause not applicable.");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &c->source);
}

/* Planned with second tests, of which no market says how long they take? */
static struct result check_retest(const struct profile *p)
{
    bool said = !p->planning.retest_planned;
    for (size_t i = 0; i < p->market_count; i++) {
        said = said || p->markets[i].retest_ms > 0;
    }
    return said ? RESULT_OK
                : FAIL1(PROFILE_BAD, "planning.retest_planned",
                        "no market says with retest how long a second test takes.");
}

struct result profile_fill_rules(struct profile *p, const json_t *root)
{
    TRY(profile_each(p, root, "", "limits", sizeof(struct limit), fill_limit, &p->limits,
                     &p->limit_count));
    TRY(profile_each(p, root, "", "surfaces", sizeof(struct surface), fill_surface, &p->surfaces,
                     &p->surface_count));
    TRY(profile_each(p, root, "", "markets", sizeof(struct market), fill_market, &p->markets,
                     &p->market_count));
    TRY(check_retest(p));
    TRY(profile_each(p, root, "", "recipes", sizeof(struct recipe), fill_recipe, &p->recipes,
                     &p->recipe_count));
    TRY(profile_each(p, root, "", "clauses", sizeof(struct clause), fill_clause, &p->clauses,
                     &p->clause_count));
    for (size_t i = 0; i < CLAUSE_COUNT; i++) {
        if (profile_clause(p, clause_names[i]) == NULL) {
            return FAIL1(PROFILE_BAD, "clauses",
                         arena_printf(&p->arena, "the clause %s is missing; none may be left out.",
                                      clause_names[i]));
        }
    }
    return RESULT_OK;
}

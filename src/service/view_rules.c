#include "service/view_rules.h"

#include "base/check.h"
#include "base/decimal.h"
#include "service/sentence.h"

static void add_own(json_t *list, const char *rule, const char *name, const char *says,
                    const char *source, const char *locator, const char *word)
{
    json_t *o = json_pack("{s:s,s:s,s:s,s:s,s:s,s:s}", "rule", rule, "name", name, "says", says,
                          "source", source, "locator", locator, "word", word);
    CHECK(o != NULL);
    view_append(list, o);
}

static void add(json_t *list, const char *rule, const char *name, const char *says,
                const struct source *s)
{
    add_own(list, rule, name, says, s->title, s->locator, word_text(s->word));
}

/* Thousandths of a unit; milliseconds as seconds. */
static const char *milli(const struct view *v, int64_t value)
{
    return decimal_text(v->arena, value, 3, false);
}

static void add_surfaces(const struct view *v, json_t *list)
{
    for (size_t i = 0; i < v->profile->surface_count; i++) {
        const struct surface *s = &v->profile->surfaces[i];
        const char *low = milli(v, s->strength_low), *high = milli(v, s->strength_high),
                   *contact = milli(v, s->contact_ms);
        add(list, "surface", s->name,
            s->scope == SCOPE_RUN ? SAY(v, "rule.surface-run", low, high, contact,
                                        view_hours(v, s->hours_ms), view_hours(v, s->stop_ms))
                                  : SAY(v, "rule.surface", low, high, contact),
            s->source);
    }
}

static void add_recipes(const struct view *v, json_t *list)
{
    for (size_t i = 0; i < v->profile->recipe_count; i++) {
        const struct recipe *r = &v->profile->recipes[i];
        add(list, "recipe", r->name,
            SAY(v, "rule.recipe", milli(v, r->temp_mc), milli(v, r->hold_ms), milli(v, r->cool_ms),
                milli(v, r->interval_ms)),
            r->source);
    }
}

static void add_markets(const struct view *v, json_t *list)
{
    for (size_t i = 0; i < v->profile->market_count; i++) {
        const struct market *m = &v->profile->markets[i];
        const char *samples = view_number(v, m->samples), *ml = view_number(v, m->volume_ml),
                   *age = view_hours(v, m->min_age_ms);
        add(list, "market", m->name,
            m->min_age_hard ? SAY(v, "rule.market-hard", samples, ml, age)
                            : SAY(v, "rule.market", samples, ml, age),
            m->source);
    }
}

/* For plans and chances alone: how long a market's second test takes, and whether plans count on it
 * from the start. */
static void add_retests(const struct view *v, json_t *list)
{
    for (size_t i = 0; i < v->profile->market_count; i++) {
        const struct market *m = &v->profile->markets[i];
        const char *hours = view_hours(v, m->retest_ms);
        if (m->retest_ms == 0) {
            continue;
        }
        const char *says = v->profile->planning.retest_planned
                               ? SAY(v, "rule.retest-planned", hours)
                               : SAY(v, "rule.retest", hours);
        if (m->retest_source != NULL) {
            add(list, "retest", m->name, says, m->retest_source);
        } else {
            add_own(list, "retest", m->name, says, SAY(v, "rule.own", NULL), "", "");
        }
    }
}

static void add_zones(const struct view *v, json_t *list)
{
    for (size_t i = 0; i < v->profile->swab_zone_count; i++) {
        const struct swab_zone *z = &v->profile->swab_zones[i];
        const char *every = view_hours(v, z->every_ms), *clear = view_number(v, z->clear);
        add(list, "zone", view_number(v, z->zone),
            z->holds ? SAY(v, "rule.zone-holds", every, clear) : SAY(v, "rule.zone", every, clear),
            z->source);
    }
}

static void add_trainings(const struct view *v, json_t *list)
{
    for (size_t i = 0; i < v->profile->training_count; i++) {
        const struct training *t = &v->profile->trainings[i];
        add(list, "training", t->title, SAY(v, "rule.training", view_hours(v, t->valid_ms)),
            t->source);
    }
}

static void add_acceptances(const struct view *v, json_t *list)
{
    for (size_t i = 0; i < v->profile->acceptance_count; i++) {
        const struct acceptance *a = &v->profile->acceptances[i];
        const char *check = sentence_title(v->arena, v->profile, v->lang, a->check);
        add(list, "acceptance",
            a->check[0] == '\0'   ? a->items
            : a->items[0] == '\0' ? check
                                  : arena_printf(v->arena, "%s: %s", check, a->items),
            SAY(v, "rule.acceptance", a->level,
                decimal_text(v->arena, a->aql_hundredths, 2, false)),
            a->source);
    }
}

static void add_clauses(const struct view *v, json_t *list)
{
    for (size_t i = 0; i < v->profile->clause_count; i++) {
        const struct clause *c = &v->profile->clauses[i];
        const char *title = words_of(v->arena, v->lang, "clause.", c->name, c->name);
        const char *within = view_hours(v, c->within_ms);
        add(list, "clause", title,
            c->reading_within_ms != 0
                ? SAY(v, "rule.clause-readings", within, view_hours(v, c->reading_within_ms))
            : c->within_ms != 0 ? SAY(v, "rule.clause-within", within)
                                : SAY(v, "rule.clause", NULL),
            c->source);
    }
}

json_t *rules_json(const struct view *v)
{
    json_t *list = json_array();
    CHECK(list != NULL);
    add_recipes(v, list);
    add_surfaces(v, list);
    add_markets(v, list);
    add_retests(v, list);
    add_zones(v, list);
    add_acceptances(v, list);
    add_trainings(v, list);
    add_clauses(v, list);
    return list;
}

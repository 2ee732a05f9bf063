#include "service/view_forms.h"

#include <string.h>

#include "base/check.h"
#include "base/words.h"
#include "ledger/evidence.h"
#include "ledger/view.h"
#include "service/form_lists.h"
#include "service/forms.h"
#include "service/request.h"
#include "service/sentence.h"

/* What the house tells itself: kinds that are no steps of the profile, with who may. */
static const struct house_kind {
    const char *name, *roles; /* roles NULL: a step's act */
} house_kinds[] = {
#define ACT(name, function, roles) {name, roles},
#include "ledger/acts.def"
#undef ACT
};

struct making {
    struct view *v;
    const char *kind;                /* of the form being made */
    const struct profile_step *step; /* NULL: a kind of the house */
    struct form form;
};

/* ---- choices */

static void add_choice(struct making *m, json_t *list, const char *field, const char *value)
{
    size_t i;
    json_t *o;
    json_array_foreach(list, i, o)
    {
        if (strcmp(json_string_value(json_object_get(o, "value")), value) == 0) {
            return;
        }
    }
    const char *label = sentence_choice(m->v->arena, m->v->lang, field, value);
    json_array_append_new(list, json_pack("{s:s,s:s}", "value", value, "label", label));
}

/* title: what the profile calls it. */
static void add_title(struct making *m, json_t *list, const char *value, const char *title)
{
    const char *lang = m->v->lang;
    const char *label =
        strcmp(lang, "en") == 0 ? title : words_of(m->v->arena, lang, "word.", value, title);
    json_array_append_new(list, json_pack("{s:s,s:s}", "value", value, "label", label));
}

static void add_list(struct making *m, json_t *list, const char *field, const char *choices)
{
    char word[64];
    while (list_next(&choices, word, sizeof word)) {
        add_choice(m, list, field, word);
    }
}

static void add_organisms(struct making *m, json_t *list)
{
    const struct profile *p = m->v->profile;
    for (size_t i = 0; i < p->market_count; i++) {
        for (size_t k = 0; k < p->markets[i].organism_count; k++) {
            add_choice(m, list, "organism", p->markets[i].organisms[k].organism);
        }
    }
    /* What a swab or the water is looked at for, which no market's plan names. */
    add_list(m, list, "organism", WATER_ORGANISM ",Listeria spp.,Listeria monocytogenes");
}

/* The profile's. */
static void add_profile(struct making *m, const struct form_field *f, json_t *list)
{
    const struct profile *p = m->v->profile;
    if (strcmp(f->choices, "@organisms") == 0) {
        add_organisms(m, list);
    } else if (strcmp(f->choices, "@roles") == 0) {
        for (size_t i = 0; i < m->step->out_count; i++) {
            add_choice(m, list, "role", m->step->outs[i].role);
        }
    } else if (strcmp(f->choices, "@markets") == 0) {
        for (size_t i = 0; i < p->market_count; i++) {
            add_choice(m, list, f->name, p->markets[i].name);
        }
    } else if (strcmp(f->choices, "@recipes") == 0) {
        for (size_t i = 0; i < p->recipe_count; i++) {
            add_choice(m, list, f->name, p->recipes[i].name);
        }
    } else if (strcmp(f->choices, "@checks") == 0) {
        for (size_t i = 0; i < p->step_count; i++) {
            if (strcmp(p->steps[i].act, "check") == 0) {
                add_title(m, list, p->steps[i].check,
                          sentence_title(m->v->arena, p, m->v->lang, p->steps[i].name));
            }
        }
    } else if (strcmp(f->choices, "@trainings") == 0) {
        for (size_t i = 0; i < p->training_count; i++) {
            add_title(m, list, p->trainings[i].name, p->trainings[i].title);
        }
    } else if (strcmp(f->choices, "@water-rules") == 0) {
        for (size_t i = 0; i < p->water_rule_count; i++) {
            add_choice(m, list, f->name, p->water_rules[i].name);
        }
    } else {
        CHECK(strcmp(f->choices, "@limits") == 0);
        for (size_t i = 0; i < p->limit_count; i++) {
            add_choice(m, list, f->name, p->limits[i].name);
        }
    }
}

static struct result choices_json(struct making *m, const struct form_field *f, json_t *list)
{
    bool is = false;
    if (f->choices[0] != '@') {
        add_list(m, list, f->name, f->choices);
        return RESULT_OK;
    }
    TRY(form_list(m->v, f->choices, list, &is));
    if (!is) {
        add_profile(m, f, list);
    }
    return RESULT_OK;
}

/* ---- what a field is limited to, and what is left when there is no choice */

/* "" where anything will do. */
static const char *kinds_of(const struct making *m, const struct form_field *f)
{
    if (f->of == NULL || strcmp(f->of, "step") != 0) {
        return f->of != NULL ? f->of : "";
    }
    CHECK(m->step != NULL);
    return strcmp(f->kind, "place") == 0 ? m->step->place_kinds : m->step->in_kinds;
}

static json_t *of_json(const struct making *m, const struct form_field *f)
{
    static const char *const names[][2] = {{"lot", "lot_kind"},
                                           {"lots", "lot_kind"},
                                           {"inputs", "lot_kind"},
                                           {"place", "place_kind"},
                                           {"instrument", "instrument_kind"},
                                           {"instruments", "instrument_kind"},
                                           {"item", "item_kind"},
                                           {"partner", "partner_role"},
                                           {"paper", "paper_kind"},
                                           {"papers", "paper_kind"},
                                           {"sample", "waits_for"}};
    const char *kinds = kinds_of(m, f);
    if (kinds[0] == '\0') {
        return json_null();
    }
    json_t *o = json_object();
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        bool is = strcmp(f->kind, names[i][0]) == 0;
        if (is || json_object_get(o, names[i][1]) == NULL) {
            json_object_set_new(o, names[i][1], is ? json_string(kinds) : json_null());
        }
    }
    return o;
}

/* The only row of a query (code, kind in service) whose kind is in the list; NULL: none or several.
 */
static struct result only_one(struct view *v, enum query query, const char *kinds, const char **out)
{
    struct statement *q = store_prepare(v->store, query);
    size_t count = 0;
    *out = NULL;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (kinds[0] == '\0' || list_has(kinds, store_text(q, 1))) {
            *out = count++ == 0 ? arena_copy(v->arena, store_text(q, 0)) : NULL;
        }
    }
    return RESULT_OK;
}

/* The instrument that was used last where the form is at home, else the only one of its kind. */
static struct result instrument_of(struct making *m, const char *kinds, const char **out)
{
    const char *place = NULL;
    *out = NULL;
    if (m->step != NULL && m->step->place_kinds[0] != '\0') {
        TRY(only_one(m->v, Q_PAGE_PLACE_KINDS, m->step->place_kinds, &place));
    }
    if (place != NULL) {
        struct statement *q = store_prepare(m->v->store, Q_PAGE_INSTRUMENT_LAST);
        store_bind_text(q, 1, place);
        bool row;
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            *out = *out == NULL && list_has(kinds, store_text(q, 1))
                       ? arena_copy(m->v->arena, store_text(q, 0))
                       : *out;
        }
    }
    return *out != NULL ? RESULT_OK : only_one(m->v, Q_PAGE_INSTRUMENT_KINDS, kinds, out);
}

static struct result default_of(struct making *m, const struct form_field *f, const char **out)
{
    const char *kinds = kinds_of(m, f);
    *out = NULL;
    if (strcmp(f->name, "how") == 0) {
        *out = "weighed";
    } else if (strcmp(f->name, "way") == 0) {
        *out = "recipe";
    } else if (strcmp(f->name, "by") == 0) {
        *out = "told";
    } else if (strcmp(f->kind, "place") == 0 && kinds[0] != '\0' && f->need) {
        return only_one(m->v, Q_PAGE_PLACE_KINDS, kinds, out);
    } else if (strcmp(f->kind, "instrument") == 0 && kinds[0] != '\0') {
        return instrument_of(m, kinds, out);
    } else if (strcmp(f->kind, "item") == 0 && kinds[0] != '\0') {
        return only_one(m->v, Q_PAGE_ITEM_KINDS, kinds, out);
    }
    return RESULT_OK;
}

/* ---- fields */

static json_t *texts_json(const char *comma_list)
{
    if (comma_list == NULL) {
        return json_null();
    }
    json_t *list = json_array();
    char word[64];
    while (list_next(&comma_list, word, sizeof word)) {
        json_array_append_new(list, json_string(word));
    }
    return list;
}

static json_t *with_json(const struct making *m, const struct form_field *f)
{
    if (f->with == NULL) {
        return json_null();
    }
    size_t len = strcspn(f->with, "=");
    return json_pack("{s:s,s:o}", "field", arena_copy_n(m->v->arena, f->with, len), "values",
                     texts_json(f->with + len + 1));
}

static struct result field_json(struct making *m, const struct form_field *f, json_t **out)
{
    struct arena *a = m->v->arena;
    const char *lang = m->v->lang, *given;
    const char *label = words_of(a, lang, "field.", f->name, f->name);
    label = words_of(a, lang, "field.", arena_printf(a, "%s.%s", m->form.name, f->name), label);
    TRY(default_of(m, f, &given));
    json_t *choices = f->choices != NULL ? json_array() : json_null();
    *out = json_pack("{s:s,s:s,s:s,s:b,s:o,s:o,s:o,s:s?,s:s?,s:s?,s:o}", "name", f->name, "label",
                     label, "kind", f->kind, "required", (int)f->need, "either",
                     texts_json(f->either), "choices", choices, "of", of_json(m, f), "unit",
                     f->unit, "help", words_of(a, lang, "help.", f->name, NULL), "default", given,
                     "only_with", with_json(m, f));
    CHECK(*out != NULL);
    return f->choices != NULL ? choices_json(m, f, choices) : RESULT_OK;
}

static struct result form_json(struct making *m, const char *roles, json_t *forms)
{
    json_t *fields = json_array();
    const char *act = m->step != NULL ? m->step->act : m->kind;
    bool asks = m->step != NULL && m->step->asks_by_default;
    json_t *o =
        json_pack("{s:s,s:s,s:s,s:s,s:o,s:b,s:b,s:b,s:b,s:s,s:o}", "kind", m->kind, "act", act,
                  "title", sentence_title(m->v->arena, m->v->profile, m->v->lang, m->kind), "mode",
                  asks ? "ask" : "tell", "roles", texts_json(roles), "reviewed",
                  (int)(m->step != NULL && m->step->reviewed), "moves_mass", (int)m->form.moves,
                  "confirm", (int)(m->form.moves || list_has("lift,release", act)), "signs",
                  (int)request_signs(m->kind), "group", m->form.group, "fields", fields);
    CHECK(o != NULL);
    json_array_append_new(forms, o);
    for (size_t i = 0; i < m->form.count; i++) {
        json_t *field = NULL;
        struct result r = field_json(m, &m->form.fields[i], &field);
        if (field != NULL) {
            json_array_append_new(fields, field);
        }
        TRY(r);
    }
    return RESULT_OK;
}

static struct result all_forms(struct view *v, json_t *forms)
{
    for (size_t i = 0; i < v->profile->step_count; i++) {
        const struct profile_step *s = &v->profile->steps[i];
        struct making m = {.v = v, .kind = s->name, .step = s};
        if (form_of(v->profile, s->name, &m.form)) {
            TRY(form_json(&m, s->roles, forms));
        }
    }
    for (size_t i = 0; i < sizeof house_kinds / sizeof house_kinds[0]; i++) {
        struct making m = {.v = v, .kind = house_kinds[i].name};
        if (house_kinds[i].roles != NULL && form_of(v->profile, m.kind, &m.form)) {
            TRY(form_json(&m, house_kinds[i].roles, forms));
        }
    }
    return RESULT_OK;
}

struct result view_forms(struct view *v, json_t **out)
{
    json_t *forms = json_array();
    struct result r = all_forms(v, forms);
    if (r.code != CODE_OK) {
        json_decref(forms);
        return r;
    }
    *out = json_pack("{s:o}", "forms", forms);
    return RESULT_OK;
}

/* One form against the ledger: a valid command of it is taken, and so is it with every other field
 * of the form empty; each required field left out is missed by its name; a field of any other form
 * is unknown. Nothing of it is booked. */
#ifndef TESTS_SERVICE_FORM_TRUE_H
#define TESTS_SERVICE_FORM_TRUE_H

#include "pages.h"

#include "base/digest.h"
#include "ledger/known.h"
#include "service/forms.h"
#include "stock.h"

static struct result dry(struct house *h, const json_t *command)
{
    json_t *c = json_deep_copy(command), *answer = NULL;
    bool dirty = false;
    json_object_set_new(c, "uuid",
                        json_string(house_text(h, "00000000-0000-4000-8000-%012llx",
                                               (unsigned long long)++h->sent)));
    if (json_object_get(c, "person") == NULL) {
        json_object_set_new(c, "person", json_integer(1));
    }
    assert_ok(store_begin(h->store));
    struct result r = ledger_take(h->lg, c, NULL, &h->arena, &answer, &dirty);
    store_rollback(h->store);
    if (r.code == CODE_OK || dirty) {
        assert_ok(ledger_reload(h->lg));
    }
    json_decref(answer);
    json_decref(c);
    return r;
}

static json_t *json_of(struct house *h, const char *text)
{
    char *copy = arena_copy(&h->arena, text);
    json_t *out = NULL;
    for (char *p = copy; *p != '\0'; p++) {
        *p = *p == '\'' ? '"' : *p;
    }
    struct result r = json_read(copy, strlen(copy), SIZE_MAX, &out);
    if (r.code != CODE_OK) {
        fail_msg("not JSON: %s", text);
    }
    return out;
}

static const char *text_at(const json_t *o, const char *name)
{
    return json_string_value(json_object_get(o, name));
}

/* ---- one form */

struct trying {
    struct house *h;
    const json_t *form, *example;
};

/* Is the field asked at all with what the example says? A choice that is not made reads as its
 * default. */
static bool applies(const struct trying *t, const json_t *field)
{
    const json_t *with = json_object_get(field, "only_with");
    if (!json_is_object(with)) {
        return true;
    }
    const char *other = text_at(with, "field"), *value = text_at(t->example, other);
    if (value == NULL) {
        value = text_at(page_find(json_object_get(t->form, "fields"), "name", other), "default");
    }
    size_t i;
    json_t *one;
    json_array_foreach(json_object_get(with, "values"), i, one)
    {
        if (value != NULL && strcmp(value, json_string_value(one)) == 0) {
            return true;
        }
    }
    return false;
}

static bool is_either(const json_t *field, const char *name)
{
    size_t i;
    json_t *one;
    json_array_foreach(json_object_get(field, "either"), i, one)
    {
        if (strcmp(json_string_value(one), name) == 0) {
            return true;
        }
    }
    return strcmp(text_at(field, "name"), name) == 0;
}

/* What the ledger says where nothing of several is given is not always that a field is missing. */
static bool says_otherwise(const char *kind, const char *name, enum code code)
{
    static const struct {
        const char *kind, *name;
        enum code code;
    } known[] = {
        {"hold", "lot", CODE_HOLD_COVERS},
        /* without anything it is a new action, and that has a place */
        {"environment", "product_hold", CODE_FIELD_MISSING},
        /* one sentence for the four that a packed item needs */
        {"item", "pieces_per_case", CODE_FIELD_MISSING},
        {"item", "life_days", CODE_FIELD_MISSING},
        {"item", "source_item", CODE_FIELD_MISSING},
    };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (strcmp(kind, known[i].kind) == 0 && strcmp(name, known[i].name) == 0) {
            return code == known[i].code;
        }
    }
    return false;
}

static void required_is_missed(const struct trying *t, const json_t *field)
{
    const char *kind = text_at(t->form, "kind"), *name = text_at(field, "name");
    json_t *less = json_deep_copy(t->example), *one;
    size_t i;
    json_object_del(less, name);
    json_array_foreach(json_object_get(field, "either"), i, one)
    {
        json_object_del(less, json_string_value(one));
    }
    struct result r = dry(t->h, less);
    json_decref(less);
    if (says_otherwise(kind, name, r.code)) {
        return;
    }
    if (r.code != CODE_FIELD_MISSING || !is_either(field, r.field)) {
        fail_msg("%s without %s: %s, field \"%s\"", kind, name, code_id(r.code), r.field);
    }
}

/* An empty field is as good as none, but it must be known. */
static struct result with_empty(const struct trying *t, const char *name)
{
    json_t *more = json_deep_copy(t->example);
    json_object_set_new(more, name, json_null());
    struct result r = dry(t->h, more);
    json_decref(more);
    return r;
}

static void other_fields_are_unknown(const struct trying *t)
{
    for (size_t i = 0; i < form_count(); i++) {
        struct form f = form_at(i);
        for (size_t k = 0; k < f.count; k++) {
            const char *name = f.fields[k].name;
            if (strcmp(name, "reason") == 0 || /* every command may carry one */
                page_find(json_object_get(t->form, "fields"), "name", name) != NULL) {
                continue;
            }
            struct result r = with_empty(t, name);
            if (r.code != CODE_FIELD_UNKNOWN || strcmp(r.field, name) != 0) {
                fail_msg("%s with %s: %s", text_at(t->form, "kind"), name, code_id(r.code));
            }
        }
    }
}

/* Takes over example. */
static void form_is_true(struct house *h, const json_t *forms, json_t *example)
{
    json_t *form = page_find(forms, "kind", text_at(example, "kind")), *field;
    char *shown = json_dumps(example, JSON_COMPACT);
    if (form == NULL) {
        fail_msg("no form for %s", shown);
    }
    const struct trying t = {.h = h, .form = form, .example = example};
    struct result r = dry(h, example);
    if (r.code != CODE_OK) {
        fail_msg("%.200s: %s (%s)", shown, result_sentence(&h->arena, &r), r.field);
    }
    size_t i;
    json_array_foreach(json_object_get(form, "fields"), i, field)
    {
        const char *name = text_at(field, "name");
        bool given = json_object_get(example, name) != NULL;
        if (!given && with_empty(&t, name).code == CODE_FIELD_UNKNOWN) {
            fail_msg("%s: the ledger does not know %s", text_at(form, "kind"), name);
        }
        if (json_is_true(json_object_get(field, "required")) && applies(&t, field)) {
            required_is_missed(&t, field);
        }
    }
    other_fields_are_unknown(&t);
    json_object_set_new(form, "tried", json_true());
    free(shown);
    json_decref(example);
}

#endif

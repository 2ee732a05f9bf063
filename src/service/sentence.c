#include "service/sentence.h"

#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "base/words.h"

enum { TEXT_MAX = 3000, NAMED_MAX = 3 };

struct filling {
    struct arena *arena;
    const struct profile *profile;
    const char *lang, *title;
    const json_t *did, *answer; /* answer may be NULL */
    char out[TEXT_MAX + 1];
    size_t used;
};

const char *sentence_title(struct arena *a, const struct profile *p, const char *lang,
                           const char *kind)
{
    const struct profile_step *step = p != NULL ? profile_step(p, kind) : NULL;
    if (step != NULL && strcmp(lang, "en") == 0) {
        return step->title;
    }
    return words_of(a, lang, "kind.", kind, step != NULL ? step->title : kind);
}

const char *sentence_choice(struct arena *a, const char *lang, const char *field, const char *value)
{
    const char *general = words_of(a, lang, "word.", value, value);
    return words_of(a, lang, "word.", arena_printf(a, "%s.%s", field, value), general);
}

const char *sentence_deviation(struct arena *a, const char *lang, const json_t *deviation)
{
    const char *id = json_string_value(json_object_get(deviation, "code"));
    enum code code = id != NULL ? code_from_id(id) : CODE_COUNT;
    if (code == CODE_COUNT) {
        return id != NULL ? id : "";
    }
    const json_t *v = json_object_get(deviation, "values");
    struct result r = result_make(code, json_string_value(json_object_get(deviation, "field")),
                                  json_string_value(json_array_get(v, 0)),
                                  json_string_value(json_array_get(v, 1)),
                                  json_string_value(json_array_get(v, 2)));
    return result_sentence_in(a, lang, &r);
}

/* ---- values as text; NULL: there is none */

static const char *text_of(const struct filling *f, const json_t *value, const char *field,
                           bool choice);

/* A mass by itself, or gross less tare. */
static const char *mass_of(const struct filling *f, const json_t *o)
{
    const char *mass = json_string_value(json_object_get(o, "mass"));
    const char *gross = json_string_value(json_object_get(o, "gross"));
    const char *tare = json_string_value(json_object_get(o, "tare"));
    int64_t gross_mg, tare_mg;
    if (mass != NULL || gross == NULL || tare == NULL ||
        mass_read(gross, "", &gross_mg).code != CODE_OK ||
        mass_read(tare, "", &tare_mg).code != CODE_OK) {
        return mass;
    }
    return mass_text(f->arena, gross_mg - tare_mg, 0);
}

/* An input "L20772-1 (100 kg)", an output "hulls 51 kg (HULLS26-1)". */
static const char *object_text(const struct filling *f, const json_t *o)
{
    const char *lot = json_string_value(json_object_get(o, "lot"));
    const char *role = json_string_value(json_object_get(o, "role"));
    const char *mass = mass_of(f, o), *text = lot;
    if (role != NULL) {
        role = sentence_choice(f->arena, f->lang, "role", role);
        text = mass != NULL ? arena_printf(f->arena, "%s %s", role, mass) : role;
        mass = lot;
    }
    return text != NULL && mass != NULL ? arena_printf(f->arena, "%s (%s)", text, mass) : text;
}

static const char *list_text(const struct filling *f, const json_t *list, const char *field,
                             bool choice)
{
    const char *out = NULL;
    size_t count = json_array_size(list), shown = count > NAMED_MAX + 1 ? NAMED_MAX : count;
    for (size_t i = 0; i < shown; i++) {
        const char *one = text_of(f, json_array_get(list, i), field, choice);
        if (one != NULL) {
            out = out == NULL ? one : arena_printf(f->arena, "%s, %s", out, one);
        }
    }
    return shown == count || out == NULL ? out
                                         : WORDS(f->arena, f->lang, "list.more", out,
                                                 arena_printf(f->arena, "%zu", count - shown));
}

static const char *text_of(const struct filling *f, const json_t *value, const char *field,
                           bool choice)
{
    const char *text = NULL;
    switch (json_typeof(value)) {
    case JSON_STRING:
        text = json_string_value(value)[0] != '\0' ? json_string_value(value) : NULL;
        break;
    case JSON_INTEGER:
        text = arena_printf(f->arena, "%lld", (long long)json_integer_value(value));
        break;
    case JSON_TRUE:
    case JSON_FALSE:
        text = json_is_true(value) ? "true" : "false";
        break;
    case JSON_ARRAY:
        return list_text(f, value, field, choice);
    case JSON_OBJECT:
        return object_text(f, value);
    case JSON_REAL:
    case JSON_NULL:
        return NULL;
    }
    return text != NULL && choice ? sentence_choice(f->arena, f->lang, field, text) : text;
}

/* Of "d.mass", "a.lot", "mass", "title", "told" or "refusal". */
static const char *named(const struct filling *f, const char *name, bool choice)
{
    if (strcmp(name, "title") == 0) {
        return f->title;
    }
    if (strcmp(name, "told") == 0) {
        return sentence_refused(f->arena, f->profile, f->lang, f->did);
    }
    if (strcmp(name, "refusal") == 0) {
        return sentence_refusal(f->arena, f->lang, f->did);
    }
    if (strcmp(name, "mass") == 0) {
        return mass_of(f, f->did);
    }
    CHECK((name[0] == 'd' || name[0] == 'a') && name[1] == '.');
    const json_t *value = json_object_get(name[0] == 'd' ? f->did : f->answer, name + 2);
    return value != NULL ? text_of(f, value, name + 2, choice) : NULL;
}

/* ---- templates */

static void put(struct filling *f, const char *text, size_t len)
{
    if (len > TEXT_MAX - f->used) {
        len = TEXT_MAX - f->used;
    }
    memcpy(f->out + f->used, text, len);
    f->used += len;
}

/* at stands behind the opening brace; false when nothing is there. */
static bool put_placeholder(struct filling *f, const char *at, size_t len)
{
    bool choice = at[0] == '=';
    const char *end = at + len;
    at += choice;
    while (at < end) {
        size_t one = strcspn(at, "|}");
        const char *text = named(f, arena_copy_n(f->arena, at, one), choice);
        if (text != NULL) {
            put(f, text, strlen(text));
            return true;
        }
        at += one + 1;
    }
    return false;
}

static const char *fill(struct filling *f, const char *template)
{
    size_t part = SIZE_MAX; /* where the part in < > began */
    bool whole = true;
    for (const char *c = template; *c != '\0';) {
        size_t len = 1;
        if (*c == '<') {
            part = f->used;
            whole = true;
        } else if (*c == '>') {
            f->used = whole ? f->used : part;
            part = SIZE_MAX;
        } else if (*c == '{') {
            len = strcspn(c, "}");
            bool found = put_placeholder(f, c + 1, len - 1);
            whole = whole && found;
            if (!found && part == SIZE_MAX) {
                put(f, "-", 1);
            }
            len++;
        } else {
            len = strcspn(c, "<>{");
            put(f, c, len);
        }
        c += len;
    }
    return arena_copy_n(f->arena, f->out, f->used);
}

/* The kind's act; of a check the check; the kind itself where it is the house's. */
static const char *key_of(const struct profile *p, const char *kind, const json_t *answer)
{
    const struct profile_step *step = p != NULL ? profile_step(p, kind) : NULL;
    if (strcmp(kind, "scope") == 0 && json_object_get(answer, "sample") != NULL) {
        return "scope-positive";
    }
    return step == NULL ? kind : strcmp(step->act, "check") == 0 ? step->check : step->act;
}

const char *sentence_of(struct arena *a, const struct profile *p, const char *lang,
                        const char *kind, const json_t *did, const json_t *answer)
{
    const char *template = words_of(a, lang, "told.", key_of(p, kind, answer), NULL);
    if (template == NULL) {
        template = words_of(a, lang, "told.", "other", "");
    }
    struct filling f = {.arena = a,
                        .profile = p,
                        .lang = lang,
                        .title = sentence_title(a, p, lang, kind),
                        .did = did,
                        .answer = answer};
    return fill(&f, template);
}

const char *sentence_refused(struct arena *a, const struct profile *p, const char *lang,
                             const json_t *aside)
{
    const char *text = json_string_value(json_object_get(aside, "told"));
    json_t *command = NULL;
    if (text == NULL || json_read_stored(text, &command).code != CODE_OK) {
        return "";
    }
    const char *kind = json_string_value(json_object_get(command, "kind"));
    const char *told = sentence_of(a, p, lang, kind != NULL ? kind : "other", command, NULL);
    json_decref(command);
    return told;
}

const char *sentence_refusal(struct arena *a, const char *lang, const json_t *aside)
{
    const char *text = sentence_deviation(a, lang, aside);
    const char *field = json_string_value(json_object_get(aside, "field"));
    size_t len = field != NULL ? strlen(field) : 0;
    return len > 0 && strncmp(text, field, len) == 0 && strncmp(text + len, ": ", 2) == 0
               ? text + len + 2
               : text;
}

#include "service/calc_words.h"

#include <string.h>

#include "base/check.h"
#include "base/words.h"
#include "calc/registry.h"

struct speaker {
    struct arena *a;
    const char *lang;
};

static json_t *own(const struct speaker *s, const json_t *english)
{
    return json_string(words_own(s->a, s->lang, json_string_value(english)));
}

static void say(const struct speaker *s, json_t *o, const char *key)
{
    const json_t *english = json_object_get(o, key);
    if (json_is_string(english)) {
        CHECK(json_object_set_new(o, key, own(s, english)) == 0);
    }
}

static json_t *say_each(const struct speaker *s, const json_t *list)
{
    json_t *out = json_array();
    for (size_t i = 0; i < json_array_size(list); i++) {
        CHECK(json_array_append_new(out, own(s, json_array_get(list, i))) == 0);
    }
    return out;
}

static void say_members(const struct speaker *s, json_t *list)
{
    size_t i;
    json_t *one;
    json_array_foreach(list, i, one)
    {
        const json_t *choices = json_object_get(one, "choices");
        say(s, one, "what");
        if (choices != NULL) {
            CHECK(json_object_set_new(one, "choice_words", say_each(s, choices)) == 0);
        }
    }
}

/* "late, open": each by itself, where the whole is no text of its own. */
static const char *result_words(const struct speaker *s, const char *text)
{
    static const char at_least[] = "at least ";
    const char *whole = words_own(s->a, s->lang, text), *out = "";
    if (strncmp(text, at_least, sizeof at_least - 1) == 0) {
        return WORDS(s->a, s->lang, "calc.at-least", text + sizeof at_least - 1);
    }
    if (whole != text || strstr(text, ", ") == NULL) {
        return whole;
    }
    for (const char *from = text; from != NULL;) {
        const char *comma = strstr(from, ", ");
        size_t len = comma != NULL ? (size_t)(comma - from) : strlen(from);
        out = arena_printf(s->a, "%s%s%s", out, from == text ? "" : ", ",
                           words_own(s->a, s->lang, arena_copy_n(s->a, from, len)));
        from = comma != NULL ? comma + 2 : NULL;
    }
    return out;
}

static void say_results(const struct speaker *s, json_t *o, const json_t *results)
{
    json_t *said = json_object(), *value;
    const char *name;
    json_object_foreach((json_t *)(uintptr_t)results, name, value)
    {
        if (json_is_string(value)) {
            json_object_set_new(said, name, json_string(result_words(s, json_string_value(value))));
        }
    }
    CHECK(json_object_set_new(o, "words", said) == 0);
}

static const struct calc_output *output_of(const struct calc_row *row, const char *name)
{
    size_t i = 0;
    while (i < row->out_count && strcmp(row->out[i].name, name) != 0) {
        i++;
    }
    CHECK(i < row->out_count); /* an answer holds what its row describes */
    return &row->out[i];
}

/* In a row each output has its own, in an answer they stand together. */
static void say_rounding(const struct speaker *s, const struct calc_row *row, json_t *o)
{
    json_t *together = json_object_get(o, "rounding"), *outputs = json_object_get(o, "out"), *one;
    const char *name;
    void *next;
    size_t i;
    json_object_foreach_safe(together, next, name, one)
    {
        const char *text = registry_rounding(output_of(row, name), s->lang, s->a);
        CHECK(json_object_set_new(together, name, json_string(text)) == 0);
    }
    json_array_foreach(outputs, i, one)
    {
        if (json_object_get(one, "rounding") != NULL) {
            name = json_string_value(json_object_get(one, "name"));
            const char *text = registry_rounding(output_of(row, name), s->lang, s->a);
            CHECK(json_object_set_new(one, "rounding", json_string(text)) == 0);
        }
    }
}

void calc_words(struct arena *a, const char *lang, json_t *o)
{
    const struct speaker s = {a, lang};
    const char *name = json_string_value(json_object_get(o, "calculation"));
    const struct calc_row *row =
        registry_find(name != NULL ? name : json_string_value(json_object_get(o, "name")));
    CHECK(row != NULL);
    say(&s, o, "purpose");
    say(&s, o, "formula");
    say(&s, o, "what");
    say_members(&s, json_object_get(o, "in"));
    say_members(&s, json_object_get(o, "out"));
    say_members(&s, json_object_get(o, "curves"));
    const json_t *cautions = json_object_get(o, "cautions");
    if (cautions != NULL) {
        CHECK(json_object_set_new(o, "cautions", say_each(&s, cautions)) == 0);
    }
    const json_t *results = json_object_get(o, "results");
    if (results != NULL) {
        say_results(&s, o, results);
    }
    say_rounding(&s, row, o);
}

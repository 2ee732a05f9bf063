#include <string.h>

#include "base/check.h"
#include "calc/constants.h"
#include "calc/input.h"
#include "calc/registry.h"

/* A page grows by copying, which is quick enough for what a person reads. */
struct page {
    struct arena *a;
    const char *text;
};

#define SAY(page, ...) \
    ((page)->text =    \
         arena_printf((page)->a, "%s%s", (page)->text, arena_printf((page)->a, __VA_ARGS__)))

/* A bar would end the cell of a table. */
static const char *cell(struct arena *a, const char *text)
{
    char *out = arena_alloc(a, 2 * strlen(text) + 1);
    size_t n = 0;
    for (; *text != '\0'; text++) {
        if (*text == '|') {
            out[n++] = '\\';
        }
        out[n++] = *text;
    }
    return out;
}

static const char *type_word(const struct calc_field *field)
{
    switch (field->type) {
    case CALC_NUMBER:
        return "number";
    case CALC_INTEGER:
        return "whole number";
    case CALC_TEXT:
        return "text";
    case CALC_LIST:
        return "list of numbers";
    case CALC_TABLE:
        break;
    }
    return "table";
}

/* "hold|all" -> "hold, all" */
static const char *choices_words(struct arena *a, const char *choices)
{
    const char *out = "";
    while (*choices != '\0') {
        size_t len = strcspn(choices, "|");
        out = arena_printf(a, "%s%s%.*s", out, *out == '\0' ? "" : ", ", (int)len, choices);
        choices += len + (choices[len] == '|');
    }
    return out;
}

static void inputs_say(struct page *p, const struct calc_row *row)
{
    SAY(p, "\n## Inputs\n\n| field | unit | kind | range | default | meaning |\n"
           "|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < row->in_count; i++) {
        const struct calc_field *f = &row->in[i];
        const char *range =
            f->choices != NULL ? choices_words(p->a, f->choices) : calc_range_words(f, p->a);
        const char *fallback = f->needed             ? "must be given"
                               : f->fallback == NULL ? "none"
                                                     : f->fallback;
        SAY(p, "| `%s` | %s | %s | %s | %s | %s |\n", f->name, f->unit, type_word(f), range,
            cell(p->a, fallback), cell(p->a, f->what));
    }
}

static void results_say(struct page *p, const struct calc_row *row)
{
    SAY(p, "\n## Results\n\n| result | unit | rounding | meaning |\n|---|---|---|---|\n");
    for (size_t i = 0; i < row->out_count; i++) {
        const struct calc_output *o = &row->out[i];
        const char *rounding = "";
        if (o->round != CALC_AS_IT_IS) {
            rounding =
                arena_printf(p->a, "%s to %.6g", o->round == CALC_DOWN ? "down" : "up", o->step);
        }
        if (o->cap > 0) {
            rounding = arena_printf(p->a, "%s, %.6g at most", rounding, o->cap);
        }
        SAY(p, "| `%s` | %s | %s | %s |\n", o->name, o->unit, rounding, cell(p->a, o->what));
    }
}

static void constants_say(struct page *p, const struct calc_row *row)
{
    if (row->constants[0] == NULL) {
        return;
    }
    SAY(p, "\n## Constants\n\n| constant | value | unit | range | source | place | known how |\n"
           "|---|---|---|---|---|---|---|\n");
    for (size_t i = 0; row->constants[i] != NULL; i++) {
        const struct constant *c = constant_find(row->constants[i]);
        CHECK(c != NULL);
        const char *range =
            c->has_range ? arena_printf(p->a, "%.10g to %.10g", c->low, c->high) : "";
        SAY(p, "| `%s` | %.10g | %s | %s | %s | %s | %s |\n", c->name, c->value, c->unit, range,
            cell(p->a, c->source), cell(p->a, c->locator), c->word);
    }
}

static const char *json_words(struct arena *a, const json_t *value, size_t flags)
{
    size_t len = json_dumpb(value, NULL, 0, flags);
    char *out = arena_alloc(a, len + 1);
    CHECK(len > 0 && json_dumpb(value, out, len, flags) == len);
    return out;
}

static void example_say(struct page *p, const struct calc_row *row)
{
    json_t *in = json_loads(row->example, 0, NULL);
    CHECK(in != NULL);
    json_t *answer = NULL;
    struct result r = registry_call(row->name, in, p->a, &answer);
    CHECK(r.code == CODE_OK);
    /* Ten digits: what is beyond them may differ from machine to machine. */
    size_t flags = JSON_INDENT(2) | JSON_REAL_PRECISION(10) | JSON_SORT_KEYS;
    SAY(p, "\n## Example\n\n```json\n%s\n```\n\ngives\n\n```json\n%s\n```\n",
        json_words(p->a, in, JSON_REAL_PRECISION(10)),
        json_words(p->a, json_object_get(answer, "results"), flags));
    json_t *unrounded = json_object_get(answer, "unrounded");
    if (json_object_size(unrounded) > 0) {
        SAY(p, "\nbefore rounding\n\n```json\n%s\n```\n", json_words(p->a, unrounded, flags));
    }
    json_decref(in);
    json_decref(answer);
}

const char *registry_method_page(const struct calc_row *row, struct arena *a)
{
    struct page page = {a, ""};
    struct page *p = &page;
    SAY(p, "# %s\n\n%s\n\n    %s\n", row->name, row->purpose, row->formula);
    inputs_say(p, row);
    results_say(p, row);
    constants_say(p, row);
    SAY(p, "\n## Sources\n\n");
    for (size_t i = 0; i < row->source_count; i++) {
        SAY(p, "- %s: %s.\n", row->sources[i].text, row->sources[i].word);
    }
    if (row->called_by != NULL) {
        SAY(p, "\n## In the record\n\n%s\n", row->called_by);
    }
    SAY(p, "\n## Cautions\n\n");
    for (size_t i = 0; row->cautions[i] != NULL; i++) {
        SAY(p, "- %s\n", row->cautions[i]);
    }
    example_say(p, row);
    SAY(p, "\nThis page is made from the calculation's own description (`method_pages`).\n");
    return p->text;
}

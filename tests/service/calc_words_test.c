/* What calculations say of themselves, in Spanish: all of it is said, and nothing is said that no
 * calculation says. */
#include "../support.h"

#include <ftw.h>
#include <jansson.h>

#include "base/file.h"
#include "base/words.h"
#include "calc/heat/cooling_rule.h"
#include "calc/heat/lethal_set.h"
#include "calc/registry.h"
#include "calc/sweep.h"
#include "service/calc_words.h"

static json_t *spanish, *others; /* words/es.calc.json, words/es.json */

static void wanted(const char *text, const char *where)
{
    if (json_object_get(spanish, text) == NULL) {
        fail_msg("words/es.calc.json lacks \"%s\" of %s", text, where);
    }
}

/* Numbers, letters of a plan and names in capitals are the same in every language. */
static void choices_wanted(const struct calc_field *field, const char *where)
{
    for (const char *c = field->choices; c != NULL && *c != '\0';) {
        char choice[60];
        size_t len = strcspn(c, "|");
        snprintf(choice, sizeof choice, "%.*s", (int)len, c);
        if (*c >= 'a' && *c <= 'z') wanted(choice, where);
        c += len + (c[len] == '|');
    }
}

static void each_text_of_a_row_is_said(void **state)
{
    (void)state;
    for (size_t i = 0; i < registry_count(); i++) {
        const struct calc_row *row = registry_at(i);
        wanted(row->purpose, row->name);
        wanted(row->formula, row->name);
        for (size_t k = 0; k < row->in_count; k++) {
            wanted(row->in[k].what, row->name);
            choices_wanted(&row->in[k], row->name);
        }
        for (size_t k = 0; k < row->out_count; k++) {
            wanted(row->out[k].what, row->name);
        }
        for (size_t k = 0; row->cautions[k] != NULL; k++) {
            wanted(row->cautions[k], row->name);
        }
    }
}

/* Literals of the calculations' sources; those that stand side by side are one. */
struct literal {
    char *text;
    const char *file;
    bool is_result; /* in a list of words, a result or what a function gives back */
};
static struct arena source_arena;
static struct literal literals[8000];
static size_t literal_count;

static const char *read_literal(const char *c, char *out, size_t size)
{
    size_t n = 0;
    for (c++; *c != '"'; c++) {
        c += *c == '\\';
        assert_true(*c != '\0' && n + 1 < size);
        out[n++] = *c;
    }
    out[n] = '\0';
    return c + 1;
}

static bool begins(const char *c, const char *text)
{
    return strncmp(c, text, strlen(text)) == 0;
}

static void take_literals(const char *c, const char *file)
{
    bool is_result = false, in_return = false, skips = false;
    while (*c != '\0') {
        if (begins(c, "words[] = {") || begins(c, "calc_put_text(out") || begins(c, "return ")) {
            is_result = true;
            in_return = *c == 'r';
            c += begins(c, "calc_put_text(out, \"") ? strlen("calc_put_text(out, ") : 0;
            skips = *c == '"'; /* the name of the result */
        }
        if (*c == '\'') {
            c += c[1] == '\\' ? 4 : 3;
        } else if (begins(c, "/*")) {
            c = strstr(c, "*/") + 2;
        } else if (*c == '"') {
            char text[2000] = "";
            for (size_t gap = 0; c[gap] == '"'; gap = strspn(c, " \n\\")) {
                c = read_literal(c + gap, text + strlen(text), sizeof text - strlen(text));
            }
            assert_true(literal_count < sizeof literals / sizeof literals[0]);
            literals[literal_count++] =
                (struct literal){arena_copy(&source_arena, text), file, is_result && !skips};
            skips = false;
        } else {
            /* What a function is called with is no result. */
            is_result = is_result && *c != ';' && !(in_return && *c == '(');
            c++;
        }
    }
}

static int take_file(const char *path, const struct stat *info, int type, struct FTW *at)
{
    (void)info, (void)at;
    size_t len = strlen(path), size;
    char *text;
    if (type == FTW_F && (strcmp(path + len - 2, ".c") == 0 || strcmp(path + len - 2, ".h") == 0 ||
                          strcmp(path + len - 4, ".def") == 0)) {
        assert_ok(file_read(&source_arena, path, 8 << 20, &text, &size));
        take_literals(text, arena_copy(&source_arena, path + strlen(SOURCE_ROOT) + 1));
    }
    return 0;
}

static bool is_sentence(const char *text)
{
    size_t len = strlen(text);
    return text[0] >= 'A' && text[0] <= 'Z' && strchr(text, ' ') != NULL && text[len - 1] == '.';
}

/* "not-begun": what a result says in a word. */
static bool is_word(const char *text)
{
    return strlen(text) > 1 && strspn(text, "abcdefghijklmnopqrstuvwxyz-") == strlen(text);
}

/* Cautions that only some inputs call for, and the words of results, stand in the code. */
static void each_text_of_the_code_is_said(void **state)
{
    (void)state;
    size_t sentences = 0, words_seen = 0;
    for (size_t i = 0; i < literal_count; i++) {
        const struct literal *l = &literals[i];
        char refusal[2010];
        snprintf(refusal, sizeof refusal, "value.%s", l->text);
        if (json_object_get(others, refusal) != NULL) {
            continue; /* a refusal, said by the catalogue of all */
        }
        if (strstr(l->file, "/rows") != NULL && is_sentence(l->text)) {
            wanted(l->text, l->file);
            sentences++;
        }
        bool described =
            strstr(l->file, "calc/registry.c") != NULL || strstr(l->file, "calc/page.c") != NULL;
        if (l->is_result && !described && is_word(l->text)) {
            wanted(l->text, l->file);
            words_seen++;
        }
    }
    assert_true(sentences > 300);
    assert_true(words_seen > 60);
    for (size_t i = 0; i < cooling_rule_count(); i++) {
        wanted(cooling_rule_at(i)->title, "cooling-check");
    }
    wanted(lethal_set_find("seed-salmonella")->title, "the treatment's page");
}

static bool is_choice(const char *text)
{
    size_t len = strlen(text);
    for (size_t i = 0; i < registry_count(); i++) {
        const struct calc_row *row = registry_at(i);
        for (size_t k = 0; k < row->in_count; k++) {
            const char *c = row->in[k].choices;
            for (; c != NULL && *c != '\0'; c += strcspn(c, "|"), c += *c == '|') {
                if (strcspn(c, "|") == len && strncmp(c, text, len) == 0) {
                    return true;
                }
            }
        }
    }
    return false;
}

static void nothing_is_said_without_use(void **state)
{
    (void)state;
    const char *key;
    json_t *text;
    assert_true(json_object_size(spanish) > 1000);
    json_object_foreach(spanish, key, text)
    {
        bool stands = is_choice(key);
        for (size_t i = 0; i < literal_count && !stands; i++) {
            stands = strcmp(literals[i].text, key) == 0;
        }
        if (!stands) fail_msg("nothing says \"%s\"", key);
    }
}

static json_t *called(const char *name, const char *input, struct arena *a, const char *lang)
{
    json_t *in = json_loads(input, 0, NULL), *out;
    assert_ok(registry_call(name, in, a, &out));
    calc_words(a, lang, out);
    json_decref(in);
    return out;
}

static const char *member(const json_t *o, const char *object, const char *name)
{
    return json_string_value(json_object_get(json_object_get(o, object), name));
}

static void an_answer_is_said(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    static const char input[] =
        "{\"points\": [[0, 60], [10, 90], [100, 60], [100, 60]], \"reference_c\": 70, \"z_c\": 7, "
        "\"d_s\": 5, \"gap_max_s\": 50, \"limit_c\": 95}";
    json_t *o = called("lethality", input, &a, "es");
    assert_string_equal(json_string_value(json_object_get(o, "purpose")),
                        "Lo que vale un tratamiento térmico registrado: tiempo equivalente y "
                        "reducción logarítmica.");
    assert_string_equal(member(o, "results", "status"),
                        "gap, coarse, capped, range-unknown, limit-not-reached, same-times");
    assert_string_equal(member(o, "words", "status"),
                        "hueco, grueso, recortado, rango desconocido, límite no alcanzado, tiempos "
                        "repetidos");
    assert_string_equal(member(o, "rounding", "f_conservative_s"),
                        "redondeado hacia abajo a 0.1 s");
    const json_t *caution = json_array_get(json_object_get(o, "cautions"), 0);
    assert_non_null(strstr(json_string_value(caution), "El registro tiene huecos."));
    json_decref(o);
    o = called("lethality", input, &a, "en");
    assert_string_equal(member(o, "words", "status"), member(o, "results", "status"));
    assert_string_equal(member(o, "rounding", "f_conservative_s"), "rounded down to 0.1 s");
    json_decref(o);
    static const char strong[] =
        "{\"points\": [[0, 70], [100, 70]], \"reference_c\": 70, \"z_c\": 7, "
        "\"d_s\": 5, \"gap_max_s\": 200, \"reduction_seen\": 2}";
    o = called("lethality", strong, &a, "es");
    assert_string_equal(member(o, "words", "reduction_shown"), "al menos 2.0");
    json_decref(o);
    o = called("lethality", strong, &a, "en");
    assert_string_equal(member(o, "words", "reduction_shown"), "at least 2.0");
    json_decref(o);
    o = called("lethality", input, &a, "xx");
    assert_non_null(strstr(json_string_value(json_object_get(o, "purpose")), "[heeaat]"));
    json_decref(o);
    arena_release(&a);
}

static void a_form_and_a_curve_are_said(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *row = registry_row_json(registry_find("peracid-check"), &a), *curve;
    calc_words(&a, "es", row);
    const json_t *in = json_object_get(row, "in"), *use = json_array_get(in, 4);
    assert_string_equal(json_string_value(json_object_get(use, "name")), "use");
    assert_string_equal(json_string_value(json_array_get(json_object_get(use, "choices"), 1)),
                        "raw");
    assert_string_equal(json_string_value(json_array_get(json_object_get(use, "choice_words"), 1)),
                        "materia prima");
    assert_ok(calc_sweep("peracid-check", json_object_get(row, "example"), "target_mg_l", 10, 90,
                         &a, &curve));
    calc_words(&a, "es", curve);
    assert_string_equal(json_string_value(json_object_get(curve, "what")),
                        "Ácido peracético que se quiere en uso.");
    const json_t *first = json_array_get(json_object_get(curve, "curves"), 0);
    assert_string_equal(json_string_value(json_object_get(first, "what")),
                        "Peróxido de hidrógeno que viene con él.");
    json_decref(curve);
    json_decref(row);
    arena_release(&a);
}

static int setup(void **state)
{
    (void)state;
    spanish = json_load_file(SOURCE_ROOT "/words/es.calc.json", JSON_REJECT_DUPLICATES, NULL);
    others = json_load_file(SOURCE_ROOT "/words/es.json", JSON_REJECT_DUPLICATES, NULL);
    arena_init(&source_arena, ARENA_LIMIT_DEFAULT);
    return spanish == NULL || others == NULL ||
           nftw(SOURCE_ROOT "/src/calc", take_file, 20, FTW_PHYS) != 0;
}

static int teardown(void **state)
{
    (void)state;
    json_decref(spanish);
    json_decref(others);
    arena_release(&source_arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_text_of_a_row_is_said),
        cmocka_unit_test(each_text_of_the_code_is_said),
        cmocka_unit_test(nothing_is_said_without_use),
        cmocka_unit_test(an_answer_is_said),
        cmocka_unit_test(a_form_and_a_curve_are_said),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, setup, teardown);
}

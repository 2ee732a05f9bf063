/* case_runner FILE.case...
 *
 * Holds calculations of the registry against figures kept as plain text, so that anybody can add
 * one without a compiler. Each case is one TAP test; its failures name the source.
 *
 *   # a comment
 *   case      what is held against what, on one line
 *   source    author, year, title, place (must stand before the first input)
 *   routine   name of the calculation
 *   in        its input as JSON; lines that begin with a blank go on with the line above
 *   expect    result value [within tolerance [relative] [or tolerance [relative]]]
 *   expect    result word
 *   refuse    error-id field
 *
 * A result is looked up before rounding first; shown.result means the rounded one; result[2] is
 * the third number of a list. Several inputs may follow one another in one case. Without a
 * tolerance a number must be right to half a unit of the last digit printed here, and 1e-9 of it.
 */
#include "../support.h"

#include <ctype.h>
#include <math.h>

#include "base/file.h"
#include "calc/registry.h"

enum { CASES_MAX = 2000, FILE_MAX = 4 * 1024 * 1024 };

struct step {
    int line;
    const char *word; /* in, expect, refuse */
    const char *rest;
};

struct one_case {
    const char *path;
    const char *name;
    const char *source;
    const char *routine;
    struct step *steps;
    size_t step_count;
};

struct runner {
    struct arena a;
    struct one_case cases[CASES_MAX];
    size_t count;
};

static _Noreturn void stop(const char *path, int line, const char *what)
{
    fprintf(stderr, "%s:%d: %s\n", path, line, what);
    exit(1);
}

/* Reading */

static struct one_case *case_begin(struct runner *r, const char *path, int line, const char *name)
{
    if (r->count == CASES_MAX) {
        stop(path, line, "Too many cases in one run.");
    }
    struct one_case *c = &r->cases[r->count++];
    *c = (struct one_case){.path = path, .name = name};
    return c;
}

static void step_add(struct runner *r, struct one_case *c, int line, const char *word,
                     const char *rest)
{
    struct step *steps = ARENA_ARRAY(&r->a, struct step, c->step_count + 1);
    if (c->step_count > 0) {
        memcpy(steps, c->steps, c->step_count * sizeof *steps);
    }
    steps[c->step_count++] = (struct step){line, word, rest};
    c->steps = steps;
}

static void line_take(struct runner *r, const char *path, int line, char *text)
{
    size_t len = strcspn(text, " ");
    const char *rest = text + len + strspn(text + len, " ");
    struct one_case *c = r->count > 0 ? &r->cases[r->count - 1] : NULL;
    text[len] = '\0';
    if (strcmp(text, "case") == 0) {
        case_begin(r, path, line, rest);
    } else if (c == NULL || c->path != path) {
        stop(path, line, "A file begins with a case.");
    } else if (strcmp(text, "source") == 0) {
        c->source = rest;
    } else if (strcmp(text, "routine") == 0) {
        c->routine = rest;
    } else if (strcmp(text, "in") == 0 || strcmp(text, "expect") == 0 ||
               strcmp(text, "refuse") == 0) {
        if (c->source == NULL || *c->source == '\0' || c->routine == NULL) {
            stop(path, line, "A case names its source and its routine before its first input.");
        }
        if (c->step_count == 0 && strcmp(text, "in") != 0) {
            stop(path, line, "An input comes first.");
        }
        step_add(r, c, line, text, rest);
    } else {
        stop(path, line, "A line begins with case, source, routine, in, expect or refuse.");
    }
}

/* Joins a line with those that go on with it; *next is where the following one begins. */
static char *logical_line(struct runner *r, char *text, char **next, int *lines)
{
    char *out = text;
    char *end = strchr(text, '\n');
    *lines = 1;
    while (end != NULL && end[1] == ' ') {
        *end = ' ';
        end = strchr(end, '\n');
        (*lines)++;
    }
    *next = end == NULL ? NULL : end + 1;
    return end == NULL ? arena_copy(&r->a, out) : arena_copy_n(&r->a, out, (size_t)(end - out));
}

static void file_take(struct runner *r, const char *path)
{
    char *text = NULL;
    size_t len = 0;
    struct result read = file_read(&r->a, path, FILE_MAX, &text, &len);
    if (read.code != CODE_OK) {
        stop(path, 0, result_sentence(&r->a, &read));
    }
    size_t before = r->count;
    int line = 1;
    for (char *at = text; at != NULL && *at != '\0';) {
        int lines = 1;
        char *next = NULL;
        char *whole = logical_line(r, at, &next, &lines);
        if (*whole != '#' && *whole != '\0') {
            line_take(r, path, line, whole);
        }
        line += lines;
        at = next;
    }
    if (r->count == before) {
        stop(path, line, "There is no case in this file.");
    }
}

/* Running */

static const json_t *result_find(const json_t *answer, const char *name)
{
    char key[128];
    size_t index = 0;
    const json_t *value = NULL;
    snprintf(key, sizeof key, "%s", name);
    char *bracket = strchr(key, '[');
    if (bracket != NULL) {
        index = (size_t)strtoul(bracket + 1, NULL, 10);
        *bracket = '\0';
    }
    if (strncmp(key, "shown.", 6) == 0) {
        value = json_object_get(json_object_get(answer, "results"), key + 6);
    } else {
        value = json_object_get(json_object_get(answer, "unrounded"), key);
        value = value != NULL ? value : json_object_get(json_object_get(answer, "results"), key);
    }
    return bracket == NULL ? value : json_array_get(value, index);
}

/* Half a unit of the last digit of a printed number. */
static double half_unit(const char *digits)
{
    const char *point = strchr(digits, '.');
    double unit = 1;
    for (const char *d = point == NULL ? "" : point + 1; isdigit((unsigned char)*d); d++) {
        unit /= 10;
    }
    return unit / 2;
}

/* "within 0.035 relative or 1": the widest of what is said. */
static double tolerance_read(const struct one_case *c, const struct step *s, const char *text,
                             const char *digits, double wanted)
{
    if (*text == '\0') {
        return half_unit(digits) * (1 + 1e-9) + fabs(wanted) * 1e-9;
    }
    double widest = 0;
    bool more = strncmp(text, "within ", 7) == 0;
    text += more ? 7 : 0;
    while (more) {
        char *end = NULL;
        double tolerance = strtod(text, &end);
        if (end == text || tolerance <= 0) {
            break;
        }
        if (strncmp(end, " relative", 9) == 0) {
            tolerance *= fabs(wanted);
            end += 9;
        }
        widest = tolerance > widest ? tolerance : widest;
        more = strncmp(end, " or ", 4) == 0;
        text = end + (more ? 4 : 0);
    }
    if (*text != '\0' || widest == 0) {
        stop(c->path, s->line, "This tolerance cannot be read.");
    }
    return widest;
}

#define SAY_FAILED(c, s, ...)                                     \
    (print_error("%s:%d: %s\n", (c)->path, (s)->line, (c)->name), \
     print_error("source: %s\n", (c)->source), print_error(__VA_ARGS__), fail())

static void expect_one(const struct one_case *c, const struct step *s, const json_t *answer)
{
    char name[128], word[128];
    int used = 0;
    if (sscanf(s->rest, "%127s %127s %n", name, word, &used) < 2 || used == 0) {
        stop(c->path, s->line, "Write the name of a result and its value.");
    }
    const json_t *value = result_find(answer, name);
    if (value == NULL) {
        SAY_FAILED(c, s, "the result %s is not there\n", name);
    }
    if (json_is_string(value)) {
        /* A text is the rest of the line. */
        const char *wanted = s->rest + strcspn(s->rest, " ");
        wanted += strspn(wanted, " ");
        if (strcmp(json_string_value(value), wanted) != 0) {
            SAY_FAILED(c, s, "%s: wanted %s, got %s\n", name, wanted, json_string_value(value));
        }
        return;
    }
    char *end = NULL;
    double wanted = strtod(word, &end);
    double got = json_number_value(value);
    if (*end != '\0' || !json_is_number(value)) {
        SAY_FAILED(c, s, "%s: wanted %s, got something else\n", name, word);
    }
    double tolerance = tolerance_read(c, s, s->rest + used, word, wanted);
    if (!(fabs(got - wanted) <= tolerance)) {
        SAY_FAILED(c, s, "%s: wanted %s within %.3g, got %.12g\n", name, word, tolerance, got);
    }
}

static void refuse_one(const struct one_case *c, const struct step *s, const struct result *r)
{
    char id[64], field[64] = "";
    if (sscanf(s->rest, "%63s %63s", id, field) < 1) {
        stop(c->path, s->line, "Write the id of an error, and the field.");
    }
    if (strcmp(code_id(r->code), id) != 0 || strcmp(r->field, field) != 0) {
        SAY_FAILED(c, s, "wanted %s on %s, got %s on %s\n", id, field, code_id(r->code), r->field);
    }
}

static void case_runs(void **state)
{
    const struct one_case *c = *state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer = NULL;
    struct result r = RESULT_OK;
    size_t checks = 0;
    for (size_t i = 0; i < c->step_count; i++) {
        const struct step *s = &c->steps[i];
        if (strcmp(s->word, "in") == 0) {
            json_t *in = NULL;
            struct result read = json_read(s->rest, strlen(s->rest), FILE_MAX, &in);
            if (read.code != CODE_OK) {
                stop(c->path, s->line, result_sentence(&a, &read));
            }
            json_decref(answer);
            answer = NULL;
            r = registry_call(c->routine, in, &a, &answer);
            json_decref(in);
        } else if (strcmp(s->word, "refuse") == 0) {
            refuse_one(c, s, &r);
            checks++;
        } else {
            if (r.code != CODE_OK) {
                SAY_FAILED(c, s, "refused: %s\n", result_sentence(&a, &r));
            }
            expect_one(c, s, answer);
            checks++;
        }
    }
    json_decref(answer);
    arena_release(&a);
    assert_true(checks > 0);
}

int main(int argc, char **argv)
{
    static struct runner runner;
    static struct CMUnitTest tests[CASES_MAX];
    arena_init(&runner.a, ARENA_LIMIT_DEFAULT);
    for (int i = 1; i < argc; i++) {
        file_take(&runner, argv[i]);
    }
    if (runner.count == 0) {
        fprintf(stderr, "usage: case_runner FILE.case...\n");
        return 2;
    }
    for (size_t i = 0; i < runner.count; i++) {
        tests[i] = (struct CMUnitTest){
            .name = runner.cases[i].name,
            .test_func = case_runs,
            .initial_state = &runner.cases[i],
        };
    }
    cmocka_set_message_output(CM_OUTPUT_TAP);
    int failed = _cmocka_run_group_tests("cases", tests, runner.count, NULL, NULL);
    arena_release(&runner.a);
    return failed;
}

/* Every calculation described once: from its row alone come the command line, the API, the form on
 * the Work-it-out page and the method page in docs/methods/.
 *
 * A discipline keeps its rows in calc/<discipline>/rows.c; registry.c only joins them. */
#ifndef CALC_REGISTRY_H
#define CALC_REGISTRY_H

#include "base/json.h"

enum calc_type {
    CALC_NUMBER,
    CALC_INTEGER,
    CALC_TEXT, /* one of the choices, where there are any */
    CALC_LIST, /* of numbers */
    CALC_TABLE /* a list of lists of numbers, all of the same length */
};

struct calc_field {
    const char *name;
    const char *unit; /* "1" for a plain number, "" for a text */
    const char *what;
    enum calc_type type;
    double low; /* of the number, or of each number of a list; not looked at in a table */
    double high;
    const char *choices;  /* "hold|come-up-hold|all"; NULL: any text */
    const char *fallback; /* JSON; NULL: none */
    bool needed;
    size_t count_low; /* items of a list, rows of a table */
    size_t count_high;
};

/* How a result that people act on is rounded. Without it a result goes out as it was computed. */
enum calc_round { CALC_AS_IT_IS, CALC_DOWN, CALC_UP };

struct calc_output {
    const char *name;
    const char *unit;
    const char *what;
    enum calc_round round;
    double step; /* 0.1: to tenths */
    double cap;  /* a larger result goes out as the cap; 0: none */
};

struct calc_source {
    const char *text; /* author, year, title, place in it */
    const char *word; /* one of the six words of provenance */
};

/* What a calculation gives. results: one member an output that applies. cautions: texts that this
 * input calls for, besides the row's own. constants: names of further constants used. */
struct calc_answer {
    json_t *results;
    json_t *cautions;
    json_t *constants;
};

struct calc_row {
    const char *name;
    const char *discipline;
    const char *purpose; /* one line */
    const char *formula;
    const struct calc_field *in;
    size_t in_count;
    const struct calc_output *out;
    size_t out_count;
    const struct calc_source *sources;
    size_t source_count;
    const char *const *constants; /* names of calc/constants.h, NULL-ended */
    const char *const *cautions;  /* NULL-ended */
    const char *called_by;        /* what of the record asks it by itself; NULL: nothing does */
    const char *example;          /* JSON input; shown and computed on the method page */
    /* in holds every field that was given or has a default, checked against the row. */
    struct result (*run)(const json_t *in, struct arena *a, struct calc_answer *out);
};

#define CALC_COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Fields and outputs in one line each. NEED: must be given; MAY: has a fallback, or NULL. */
#define CALC_NEED_NUMBER(n, u, w, lo, hi)                                            \
    {                                                                                \
        .name = n, .unit = u, .what = w, .type = CALC_NUMBER, .low = lo, .high = hi, \
        .needed = true                                                               \
    }
#define CALC_MAY_NUMBER(n, u, w, lo, hi, fall)                                       \
    {                                                                                \
        .name = n, .unit = u, .what = w, .type = CALC_NUMBER, .low = lo, .high = hi, \
        .fallback = fall                                                             \
    }
#define CALC_NEED_INTEGER(n, u, w, lo, hi)                                            \
    {                                                                                 \
        .name = n, .unit = u, .what = w, .type = CALC_INTEGER, .low = lo, .high = hi, \
        .needed = true                                                                \
    }
#define CALC_CHOICE(n, w, list, fall)                                                          \
    {                                                                                          \
        .name = n, .unit = "", .what = w, .type = CALC_TEXT, .choices = list, .fallback = fall \
    }
#define CALC_NEED_LIST(n, u, w, lo, hi, least, most)                                               \
    {                                                                                              \
        .name = n, .unit = u, .what = w, .type = CALC_LIST, .low = lo, .high = hi, .needed = true, \
        .count_low = least, .count_high = most                                                     \
    }
#define CALC_MAY_LIST(n, u, w, lo, hi, least, most, fall)                          \
    {                                                                              \
        .name = n, .unit = u, .what = w, .type = CALC_LIST, .low = lo, .high = hi, \
        .fallback = fall, .count_low = least, .count_high = most                   \
    }
#define CALC_NEED_TABLE(n, u, w, least, most)                                                    \
    {                                                                                            \
        .name = n, .unit = u, .what = w, .type = CALC_TABLE, .needed = true, .count_low = least, \
        .count_high = most                                                                       \
    }
#define CALC_OUT(n, u, w)               \
    {                                   \
        .name = n, .unit = u, .what = w \
    }
#define CALC_OUT_DOWN(n, u, w, by)                                      \
    {                                                                   \
        .name = n, .unit = u, .what = w, .round = CALC_DOWN, .step = by \
    }
#define CALC_OUT_UP(n, u, w, by)                                      \
    {                                                                 \
        .name = n, .unit = u, .what = w, .round = CALC_UP, .step = by \
    }
/* A constant's own digits as a fallback. */
#define CALC_FALLBACK(constant) CALC_FALLBACK_TEXT(constant)
#define CALC_FALLBACK_TEXT(digits) #digits

size_t registry_count(void);
/* index < registry_count() */
const struct calc_row *registry_at(size_t index);
/* NULL when there is no such name. */
const struct calc_row *registry_find(const char *name);

/* Runs a calculation. in: an object of fields (NULL: empty). On success the caller owns *out:
 *   {"calculation", "purpose", "formula", "inputs", "results", "unrounded", "rounding",
 *    "constants": [{"name","value","unit","low","high","source","locator","word"}],
 *    "sources": [{"source","word"}], "cautions": [...]}
 * "inputs" has the defaults filled in; "results" is rounded to the safe side and "rounding" says
 * how; "unrounded" holds those results as they were computed.
 * Errors: CALC_UNKNOWN; FIELD_UNKNOWN, FIELD_MISSING, FIELD_TYPE, FIELD_RANGE, FIELD_CHOICE on the
 * input; and what the calculation itself refuses. */
MUST_USE struct result registry_call(const char *name, const json_t *in, struct arena *a,
                                     json_t **out);

/* One row as JSON, for lists and forms. The caller owns it. What this and registry_call say in
 * words is English: service/calc_words.h says it in the reader's language. */
json_t *registry_row_json(const struct calc_row *row, struct arena *a);

/* "rounded down to 0.1 s": of an output that is rounded. */
const char *registry_rounding(const struct calc_output *output, const char *lang, struct arena *a);

/* The page docs/methods/<name>.md. */
const char *registry_method_page(const struct calc_row *row, struct arena *a);

#endif

/* The one error type. A function that can fail returns a struct result by value.
 *
 * code   what went wrong; CODE_OK (zero) is success. All codes stand in codes.def, each with a
 * stable id, an HTTP status, an exit status and one sentence that says what to do; {field}, {0},
 * {1}, {2} are filled in. field  path into the command or file ("lots[2].mass"), may be empty.
 * value  up to three texts for the sentence; cut at their length, a list between its words.
 * line, column  1-based position in a file; 0 where none.
 *
 * The sentence is made at the edge (result_sentence), never by the code that fails. */
#ifndef BASE_RESULT_H
#define BASE_RESULT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

enum code {
#define CODE(name, id, http, exit, sentence) CODE_##name,
#include "base/codes.def"
#undef CODE
    CODE_COUNT
};

struct result {
    enum code code;
    int32_t line;
    int32_t column;
    char field[64];
    char value[3][120];
};

/* Nearly every return makes one, and half a kilobyte of zeros each time would be felt: its texts
 * are empty, what stands behind their ends is not set. */
static inline struct result result_ok(void)
{
    struct result r;
    r.code = CODE_OK;
    r.line = r.column = 0;
    r.field[0] = r.value[0][0] = r.value[1][0] = r.value[2][0] = '\0';
    return r;
}
#define RESULT_OK result_ok()
#define MUST_USE __attribute__((warn_unused_result))

/* NULL values are taken as empty. */
struct result result_make(enum code code, const char *field, const char *v0, const char *v1,
                          const char *v2);
/* The same with a position in a file. */
struct result result_at(struct result r, int64_t line, int64_t column);

const char *code_id(enum code code);
int code_http(enum code code);
int code_exit(enum code code);
const char *code_sentence(enum code code);
/* -> CODE_COUNT when there is no such id. */
enum code code_from_id(const char *id);
/* The whole sentence for a person, position first where there is one. */
const char *result_sentence(struct arena *a, const struct result *r);

#define FAIL0(code, field) result_make(CODE_##code, (field), NULL, NULL, NULL)
#define FAIL1(code, field, v0) result_make(CODE_##code, (field), (v0), NULL, NULL)
#define FAIL2(code, field, v0, v1) result_make(CODE_##code, (field), (v0), (v1), NULL)
#define FAIL3(code, field, v0, v1, v2) result_make(CODE_##code, (field), (v0), (v1), (v2))

/* The only control-flow macro. */
#define TRY(expression)                        \
    do {                                       \
        struct result try_ = (expression);     \
        if (try_.code != CODE_OK) return try_; \
    } while (0)

#endif

/* Any text a solver might print: an answer of finite numbers, or one refusal. */
#include <math.h>

#include "base/check.h"
#include "plan/solver.h"

enum { COLUMNS = 20 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct solver_answer answer;
    const char *text = arena_copy_n(&a, (const char *)data, size);
    struct result r = solver_answer_read(&a, text, COLUMNS, &answer);
    if (r.code == CODE_OK) {
        CHECK(isfinite(answer.objective) && isfinite(answer.bound) && isfinite(answer.gap));
        for (int c = 0; c < COLUMNS; c++)
            CHECK(isfinite(answer.values[c]));
    } else {
        CHECK(r.code == CODE_SOLVER_GARBLED || r.code == CODE_SOLVER_REFUSED ||
              r.code == CODE_SOLVER_LATE);
    }
    arena_release(&a);
    return 0;
}

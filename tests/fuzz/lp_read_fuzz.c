/* Any text: a problem whose parts fit together, or one refusal with a line. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "lp_read.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    CHECK(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    struct lp_problem p;
    struct lp_fault fault;
    if (lp_read(text, &p, &fault)) {
        CHECK(p.column_count > 0 && p.starts[0] == 0);
        CHECK(p.starts[p.column_count] == p.entry_count);
        for (int c = 0; c < p.column_count; c++) {
            CHECK(p.starts[c] <= p.starts[c + 1]);
            CHECK(p.lower[c] <= p.upper[c] && p.names[c][0] != '\0');
        }
        for (int e = 0; e < p.entry_count; e++)
            CHECK(p.rows[e] >= 0 && p.rows[e] < p.row_count);
        lp_release(&p);
    } else {
        CHECK(fault.line >= 1 && fault.message[0] != '\0' && p.names == NULL);
    }
    free(text);
    return 0;
}

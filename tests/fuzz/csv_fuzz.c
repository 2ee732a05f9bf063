/* Any bytes: rows or one refusal, the text always UTF-8 without a zero inside. First byte:
 * delimiter and encoding. */
#include <string.h>

#include "base/check.h"
#include "base/csv.h"
#include "base/csv_decode.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_row(const struct csv_row *row, int64_t *last_line)
{
    CHECK(row->count > 0 && row->line >= *last_line);
    *last_line = row->line;
    for (size_t i = 0; i < row->count; i++) {
        const struct csv_cell *cell = &row->cells[i];
        CHECK(strlen(cell->text) == cell->len);
        CHECK(utf8_valid_len((const unsigned char *)cell->text, cell->len) == cell->len);
        CHECK(cell->line >= row->line && cell->column >= 1);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0) {
        return 0;
    }
    struct csv_bytes bytes = {.bytes = data + 1, .len = size - 1};
    struct csv_input input = csv_input_bytes(&bytes);
    struct csv_options options = {
        .delimiter = "\0;\t,"[data[0] % 4],
        .encoding = (enum csv_encoding)(data[0] / 4 % 3),
        .line_bytes = 1000,
        .cell_bytes = 200,
        .columns = 50,
    };
    struct csv *c = NULL;
    struct result r = csv_open(&input, "fuzz", &options, &c);
    if (r.code != CODE_OK) {
        return 0;
    }
    struct csv_row row;
    bool has = true;
    int64_t line = 1;
    while (has && r.code == CODE_OK) {
        r = csv_next(c, &row, &has);
        if (has) {
            CHECK(r.code == CODE_OK);
            check_row(&row, &line);
        }
    }
    CHECK(r.code == CODE_OK || r.code == CODE_INPUT_LARGE || r.line >= 1);
    csv_close(c);
    return 0;
}

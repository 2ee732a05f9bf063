#include "base/csv.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "base/csv_decode.h"

enum { CHUNK_BYTES = 64 * 1024, END = -1 };

struct buffer {
    char *bytes;
    size_t len;
    size_t size;
};

struct csv {
    struct csv_input input;
    struct csv_options options;
    char name[64];
    enum csv_encoding found;
    bool ended;
    size_t at, have;   /* in chunk */
    size_t file_bytes; /* read so far */
    size_t row_bytes;  /* of the row at hand */
    size_t rows;
    int64_t line, column; /* of the next byte */
    struct buffer raw;    /* the cell at hand as it came */
    struct buffer text;   /* the row's cells in UTF-8, each with a zero after it */
    struct csv_cell *cells;
    size_t *starts; /* of each cell in text, which may move while the row grows */
    size_t count, room;
    unsigned char chunk[CHUNK_BYTES];
};

static const struct csv_options defaults = {.file_bytes = (size_t)256 << 20,
                                            .line_bytes = 1 << 20,
                                            .cell_bytes = 1 << 16,
                                            .columns = 1024,
                                            .rows = 10000000};

static void *grown(void *old, size_t bytes)
{
    void *block = realloc(old, bytes);
    CHECK(block != NULL);
    return block;
}

static void reserve(struct buffer *b, size_t more)
{
    if (b->len + more > b->size) {
        b->size = b->size * 2 + more + 256;
        b->bytes = grown(b->bytes, b->size);
    }
}

static const char *number(char out[24], size_t value)
{
    snprintf(out, 24, "%zu", value);
    return out;
}

static struct result fail_here(const struct csv *c, enum code code, const char *v0)
{
    return result_at(result_make(code, c->name, v0, NULL, NULL), c->line, c->column);
}

/* Reads more bytes behind those at hand; nothing more to read is no error. */
static struct result fill(struct csv *c)
{
    memmove(c->chunk, c->chunk + c->at, c->have - c->at);
    c->have -= c->at;
    c->at = 0;
    while (!c->ended && c->have < CHUNK_BYTES) {
        ssize_t got = c->input.read(c->input.self, c->chunk + c->have, CHUNK_BYTES - c->have);
        if (got < 0) {
            return FAIL2(FILE_READ, "", c->name, strerror(errno));
        }
        c->ended = got == 0;
        CHECK((size_t)got <= CHUNK_BYTES - c->have);
        c->have += (size_t)got;
        c->file_bytes += (size_t)got;
        if (c->file_bytes > c->options.file_bytes) {
            char text[24];
            return FAIL1(INPUT_LARGE, c->name, number(text, c->options.file_bytes));
        }
    }
    return RESULT_OK;
}

/* The next byte, left where it is; END at the end. */
static struct result peek(struct csv *c, int *out_byte)
{
    if (c->at == c->have) {
        TRY(fill(c));
    }
    *out_byte = c->at == c->have ? END : c->chunk[c->at];
    return RESULT_OK;
}

/* Passes the byte that peek showed. */
static void pass(struct csv *c)
{
    c->at++;
    c->row_bytes++;
    c->column++;
}

/* Passes CR LF, LF or CR at the byte that peek showed. */
static struct result pass_line_end(struct csv *c, int byte)
{
    pass(c);
    int next = END;
    if (byte == '\r') {
        TRY(peek(c, &next));
    }
    if (next == '\n') {
        pass(c);
    }
    c->line++;
    c->column = 1;
    return RESULT_OK;
}

static struct result keep(struct csv *c, int byte)
{
    if (byte == 0) {
        return fail_here(c, CODE_CSV_BINARY, NULL);
    }
    if (c->raw.len == c->options.cell_bytes) {
        char text[24];
        return fail_here(c, CODE_CSV_CELL_LONG, number(text, c->options.cell_bytes));
    }
    reserve(&c->raw, 1);
    c->raw.bytes[c->raw.len++] = (char)byte;
    return RESULT_OK;
}

static struct result check_row_bytes(const struct csv *c)
{
    if (c->row_bytes < c->options.line_bytes) {
        return RESULT_OK;
    }
    char text[24];
    return fail_here(c, CODE_CSV_LINE_LONG, number(text, c->options.line_bytes));
}

/* Keeps and passes what lies in the chunk up to a line end, a zero byte, stop or a limit: the bytes
 * of which nothing else need be asked. */
static void keep_run(struct csv *c, char stop)
{
    const unsigned char *bytes = c->chunk + c->at;
    size_t most = c->have - c->at;
    size_t cell_room = c->options.cell_bytes - c->raw.len;
    size_t line_room =
        c->row_bytes < c->options.line_bytes ? c->options.line_bytes - c->row_bytes : 0;
    most = most < cell_room ? most : cell_room;
    most = most < line_room ? most : line_room;
    size_t count = 0;
    while (count < most && bytes[count] != '\n' && bytes[count] != '\r' && bytes[count] != '\0' &&
           bytes[count] != (unsigned char)stop) {
        count++;
    }
    reserve(&c->raw, count);
    if (count > 0) {
        memcpy(c->raw.bytes + c->raw.len, bytes, count);
    }
    c->raw.len += count;
    c->at += count;
    c->row_bytes += count;
    c->column += (int64_t)count;
}

static bool ends_cell(const struct csv *c, int byte)
{
    return byte == END || byte == '\n' || byte == '\r' || byte == c->options.delimiter;
}

/* Up to the delimiter, line end or end of file: *out_byte, left where it is. */
static struct result read_plain(struct csv *c, int *out_byte)
{
    bool blanks_only = true;
    for (;;) {
        int byte;
        TRY(peek(c, &byte));
        if (ends_cell(c, byte)) {
            *out_byte = byte;
            return RESULT_OK;
        }
        if (byte == '"' && blanks_only) {
            return fail_here(c, CODE_CSV_QUOTE, NULL); /* where it would end can't be known */
        }
        blanks_only = blanks_only && (byte == ' ' || byte == '\t');
        TRY(check_row_bytes(c));
        TRY(keep(c, byte));
        pass(c);
        if (!blanks_only) {
            keep_run(c, c->options.delimiter);
        }
    }
}

/* The same from an opening quote on. */
static struct result read_quoted(struct csv *c, int *out_byte)
{
    const int64_t line = c->line;
    const int64_t column = c->column;
    pass(c);
    for (;;) {
        int byte;
        TRY(peek(c, &byte));
        if (byte == END) {
            return result_at(FAIL0(CSV_TRUNCATED, c->name), line, column);
        }
        struct result length = check_row_bytes(c);
        if (length.code != CODE_OK) {
            return result_at(length, line, column);
        }
        if (byte == '"') {
            pass(c);
            TRY(peek(c, &byte));
            if (byte != '"') {
                break;
            }
        }
        TRY(keep(c, byte));
        if (byte != '\r' && byte != '\n') {
            pass(c);
            keep_run(c, '"');
            continue;
        }
        bool was_return = byte == '\r';
        TRY(pass_line_end(c, byte));
        if (was_return && c->at > 0 && c->chunk[c->at - 1] == '\n') {
            TRY(keep(c, '\n'));
        }
    }
    TRY(peek(c, out_byte));
    return ends_cell(c, *out_byte) ? RESULT_OK : fail_here(c, CODE_CSV_QUOTE, NULL);
}

/* Position of a byte of the cell at hand that can't be read. */
static struct result fail_encoding(const struct csv *c, const struct csv_cell *cell, size_t bad)
{
    const char *raw = c->raw.bytes;
    char byte[8];
    int64_t line = cell->line;
    int64_t column = cell->column + (cell->quoted ? 1 : 0);
    for (size_t i = 0; i < bad; i++) {
        bool line_end = raw[i] == '\n' || (raw[i] == '\r' && raw[i + 1] != '\n');
        column += c->found == CSV_WINDOWS_1252 || ((unsigned char)raw[i] & 0xC0) != 0x80;
        if (line_end) {
            line++;
            column = 1;
        }
    }
    snprintf(byte, sizeof byte, "%02X", (unsigned char)raw[bad]);
    return result_at(FAIL1(CSV_ENCODING, c->name, byte), line, column);
}

/* Settles which encoding the file has once a byte above 7F turns up. */
static struct result settle_encoding(struct csv *c, const struct csv_cell *cell)
{
    const unsigned char *raw = (const unsigned char *)c->raw.bytes;
    size_t valid = utf8_valid_len(raw, c->raw.len);
    bool wide = utf8_characters(c->raw.bytes, valid) < valid;
    if (valid == c->raw.len) {
        c->found = wide ? CSV_UTF8 : c->found;
        return RESULT_OK;
    }
    if (c->found == CSV_UTF8 || wide || c->options.encoding == CSV_UTF8) {
        return fail_encoding(c, cell, valid);
    }
    c->found = CSV_WINDOWS_1252;
    return RESULT_OK;
}

/* Turns the raw cell into text; the column, counted in bytes so far, is set right in characters. */
static struct result close_cell(struct csv *c, struct csv_cell *cell)
{
    if (c->count == c->options.columns) {
        char text[24];
        return fail_here(c, CODE_CSV_COLUMNS, number(text, c->options.columns));
    }
    if (c->found != CSV_WINDOWS_1252) {
        TRY(settle_encoding(c, cell));
    }
    const char *raw = c->raw.bytes;
    size_t start = c->text.len;
    reserve(&c->text, c->raw.len * 3 + 1);
    char *text = c->text.bytes + start;
    if (c->found == CSV_WINDOWS_1252) {
        size_t bad;
        cell->len = windows_1252_decode((const unsigned char *)raw, c->raw.len, text, &bad);
        if (bad < c->raw.len) {
            return fail_encoding(c, cell, bad);
        }
    } else {
        size_t line = c->raw.len; /* where the cell's last line begins */
        while (line > 0 && raw[line - 1] != '\n' && raw[line - 1] != '\r') {
            line--;
        }
        size_t bytes = c->raw.len - line;
        cell->len = c->raw.len;
        if (bytes > 0) {
            c->column -= (int64_t)(bytes - utf8_characters(raw + line, bytes));
        }
        if (cell->len > 0) {
            memcpy(text, raw, cell->len);
        }
    }
    text[cell->len] = '\0';
    c->text.len += cell->len + 1;
    if (c->count == c->room) {
        c->room = c->room * 2 + 16;
        c->cells = grown(c->cells, c->room * sizeof *c->cells);
        c->starts = grown(c->starts, c->room * sizeof *c->starts);
    }
    c->starts[c->count] = start;
    c->cells[c->count++] = *cell;
    return RESULT_OK;
}

/* One row, blank or not; *out_end is END when the file ended behind it. */
static struct result read_row(struct csv *c, int *out_end)
{
    c->count = 0;
    c->text.len = 0;
    c->row_bytes = 0;
    for (;;) {
        int byte;
        TRY(peek(c, &byte));
        struct csv_cell cell = {.line = c->line, .column = c->column, .quoted = byte == '"'};
        c->raw.len = 0;
        TRY(cell.quoted ? read_quoted(c, &byte) : read_plain(c, &byte));
        TRY(close_cell(c, &cell));
        *out_end = byte;
        if (byte == END) {
            return RESULT_OK;
        }
        if (byte != c->options.delimiter) {
            return pass_line_end(c, byte);
        }
        TRY(check_row_bytes(c));
        pass(c);
    }
}

struct result csv_next(struct csv *c, struct csv_row *out_row, bool *out_has)
{
    *out_has = false;
    for (;;) {
        int64_t line = c->line;
        int end = 0;
        TRY(read_row(c, &end));
        bool blank = c->count == 1 && c->cells[0].len == 0 && !c->cells[0].quoted;
        if (blank && end == END) {
            return RESULT_OK;
        }
        if (blank) {
            continue;
        }
        if (c->rows == c->options.rows) {
            char text[24];
            return result_at(FAIL1(CSV_ROWS, c->name, number(text, c->options.rows)), line, 1);
        }
        c->rows++;
        for (size_t i = 0; i < c->count; i++) {
            c->cells[i].text = c->text.bytes + c->starts[i];
        }
        *out_row = (struct csv_row){
            .cells = c->cells, .count = c->count, .line = line, .open_end = end == END};
        *out_has = true;
        return RESULT_OK;
    }
}

static bool is_delimiter(int byte)
{
    return byte == ';' || byte == '\t' || byte == ',';
}

/* In the first line that has one outside quotes, as far as the first chunk shows it. */
static char detect_delimiter(const struct csv *c)
{
    size_t semicolons = 0;
    size_t tabs = 0;
    size_t commas = 0;
    bool quoted = false;
    bool cell_begins = true;
    bool just_closed = false;
    for (size_t i = c->at; i < c->have; i++) {
        int byte = c->chunk[i];
        bool line_ends = !quoted && (byte == '\n' || byte == '\r');
        if (line_ends && semicolons + tabs + commas > 0) {
            break;
        }
        bool doubled = just_closed && byte == '"';
        just_closed = quoted && byte == '"';
        if (byte == '"' && (quoted || cell_begins || doubled)) {
            quoted = !quoted;
        }
        cell_begins = line_ends || is_delimiter(byte);
        semicolons += !quoted && byte == ';';
        tabs += !quoted && byte == '\t';
        commas += !quoted && byte == ',';
    }
    if (semicolons >= tabs && semicolons >= commas && semicolons > 0) {
        return ';';
    }
    return tabs >= commas && tabs > 0 ? '\t' : ',';
}

/* Byte order mark, the line "sep=;" and the delimiter. */
static struct result read_beginning(struct csv *c)
{
    TRY(fill(c));
    const unsigned char *b = c->chunk;
    bool utf_16 = c->have >= 2 && (memcmp(b, "\xFF\xFE", 2) == 0 || memcmp(b, "\xFE\xFF", 2) == 0);
    if (utf_16) {
        return fail_here(c, CODE_CSV_BINARY, NULL);
    }
    if (c->have >= 3 && memcmp(b, "\xEF\xBB\xBF", 3) == 0) {
        c->at = 3;
        c->found = CSV_UTF8;
    }
    const unsigned char *s = b + c->at;
    size_t left = c->have - c->at;
    char said = '\0';
    if (left > 5 && memcmp(s, "sep=", 4) == 0 && is_delimiter(s[4]) &&
        (s[5] == '\r' || s[5] == '\n')) {
        said = (char)s[4];
        c->at += 5;
        TRY(pass_line_end(c, s[5]));
    }
    if (c->options.delimiter == '\0') {
        c->options.delimiter = said != '\0' ? said : detect_delimiter(c);
    }
    return RESULT_OK;
}

struct result csv_open(const struct csv_input *input, const char *name,
                       const struct csv_options *options, struct csv **out)
{
    CHECK(options->delimiter == '\0' || is_delimiter(options->delimiter));
    struct csv *c = grown(NULL, sizeof *c);
    memset(c, 0, offsetof(struct csv, chunk));
    c->input = *input;
    c->options = *options;
    snprintf(c->name, sizeof c->name, "%s", name);
    c->line = 1;
    c->column = 1;
    c->found = options->encoding;
    struct csv_options *o = &c->options;
    o->file_bytes = o->file_bytes > 0 ? o->file_bytes : defaults.file_bytes;
    o->line_bytes = o->line_bytes > 0 ? o->line_bytes : defaults.line_bytes;
    o->cell_bytes = o->cell_bytes > 0 ? o->cell_bytes : defaults.cell_bytes;
    o->columns = o->columns > 0 ? o->columns : defaults.columns;
    o->rows = o->rows > 0 ? o->rows : defaults.rows;
    struct result r = read_beginning(c);
    if (r.code != CODE_OK) {
        csv_close(c);
        return r;
    }
    *out = c;
    return RESULT_OK;
}

void csv_close(struct csv *c)
{
    free(c->raw.bytes);
    free(c->text.bytes);
    free(c->cells);
    free(c->starts);
    free(c);
}

char csv_delimiter(const struct csv *c)
{
    return c->options.delimiter;
}

enum csv_encoding csv_encoding_found(const struct csv *c)
{
    return c->found;
}

static ssize_t read_bytes(void *self, void *out, size_t len)
{
    struct csv_bytes *b = self;
    size_t take = b->len - b->at < len ? b->len - b->at : len;
    if (take > 0) {
        memcpy(out, (const unsigned char *)b->bytes + b->at, take);
    }
    b->at += take;
    return (ssize_t)take;
}

struct csv_input csv_input_bytes(struct csv_bytes *self)
{
    return (struct csv_input){.read = read_bytes, .self = self};
}

static ssize_t read_fd(void *self, void *out, size_t len)
{
    const int *fd = self;
    ssize_t got;
    do {
        got = read(*fd, out, len);
    } while (got < 0 && errno == EINTR);
    return got;
}

struct csv_input csv_input_fd(int *fd)
{
    return (struct csv_input){.read = read_fd, .self = fd};
}

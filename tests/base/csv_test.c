#include "base/csv.h"

#include <errno.h>
#include <fcntl.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/random.h"

/* Reads all of text and writes it down as [cell|cell]; the row "…!" ended without a line end. */
struct reading {
    char text[4000];
    struct result result;
    char delimiter;
    enum csv_encoding encoding;
};

/* text behind what stands in out already */
static void append(char *out, size_t size, const char *text)
{
    size_t len = strlen(out);
    size_t more = strlen(text);
    assert_true(len + more < size);
    memcpy(out + len, text, more + 1);
}

static void put(struct reading *r, const char *text)
{
    append(r->text, sizeof r->text, text);
}

static struct reading read_input(const struct csv_input *input, const struct csv_options *options)
{
    struct reading r = {.text = ""};
    struct csv *c = NULL;
    r.result = csv_open(input, "file.csv", options, &c);
    bool has = r.result.code == CODE_OK;
    while (has) {
        struct csv_row row;
        r.result = csv_next(c, &row, &has);
        for (size_t i = 0; has && i < row.count; i++) {
            assert_int_equal(strlen(row.cells[i].text), row.cells[i].len);
            put(&r, i == 0 ? "[" : "|");
            put(&r, row.cells[i].text);
        }
        put(&r, has ? row.open_end ? "]!" : "]" : "");
    }
    if (c != NULL) {
        r.delimiter = csv_delimiter(c);
        r.encoding = csv_encoding_found(c);
        csv_close(c);
    }
    return r;
}

static struct reading read_with(const char *bytes, size_t len, const struct csv_options *options)
{
    struct csv_bytes source = {.bytes = bytes, .len = len};
    struct csv_input input = csv_input_bytes(&source);
    return read_input(&input, options);
}

static struct reading read_text(const char *text)
{
    return read_with(text, strlen(text), &(struct csv_options){0});
}

#define assert_reads(text_in, text_out)            \
    do {                                           \
        struct reading r_ = read_text(text_in);    \
        assert_int_equal(r_.result.code, CODE_OK); \
        assert_string_equal(r_.text, text_out);    \
    } while (0)

#define assert_refused(text_in, name, at_line, at_column) \
    do {                                                  \
        struct reading r_ = read_text(text_in);           \
        assert_int_equal(r_.result.code, CODE_##name);    \
        assert_int_equal(r_.result.line, at_line);        \
        assert_int_equal(r_.result.column, at_column);    \
    } while (0)

/* Shafranovich 2005, RFC 4180 section 2 rules 1 to 7: from memory. */
static void rfc_4180_rules(void **state)
{
    assert_reads("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "[aaa|bbb|ccc][zzz|yyy|xxx]");
    assert_reads("aaa,bbb,ccc\r\nzzz,yyy,xxx", "[aaa|bbb|ccc][zzz|yyy|xxx]!");
    assert_reads("\"aaa\",\"b \r\nbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n",
                 "[aaa|b \r\nbb|ccc][zzz|yyy|xxx]");
    assert_reads("\"aaa\",\"b\"\"bb\",\"ccc\"\r\n", "[aaa|b\"bb|ccc]");
    assert_reads("a,\"b \"\"q\"\", c\",d\r\n", "[a|b \"q\", c|d]");
    assert_reads("\"x\r\ny\",1\r\n", "[x\r\ny|1]");
    assert_reads("a,,\r\n", "[a||]");
    assert_reads(" a , b\r\n", "[ a | b]");
}

static void delimiters_are_detected(void **state)
{
    assert_int_equal(read_text("a;b,c;d\n1;2,5;3\n").delimiter, ';');
    assert_int_equal(read_text("a\tb\tc\n").delimiter, '\t');
    assert_int_equal(read_text("a,b,c\n1;1,2;2,3;3\n").delimiter, ',');
    assert_int_equal(read_text("\"x,y,z\";b\n").delimiter, ';');
    assert_int_equal(read_text("mass, kg;day\n").delimiter, ';'); /* a tie */
    assert_int_equal(read_text("title\n\nkey;value\n").delimiter, ';');
    assert_int_equal(read_text("one\n2\n").delimiter, ',');
    struct csv_options tab = {.delimiter = '\t'};
    assert_string_equal(read_with("a;b\tc\n", 6, &tab).text, "[a;b|c]");
}

static void a_first_line_may_name_the_delimiter(void **state)
{
    assert_reads("sep=;\r\na,b;c\r\n", "[a,b|c]");
    assert_reads("\xEF\xBB\xBFsep=\t\na,b\tc\n", "[a,b|c]");
    assert_reads("sep=|\na,b\n", "[sep=|][a|b]");
    assert_refused("sep=;\na;\"b\"x\n", CSV_QUOTE, 2, 6);
}

static void line_ends_and_blank_lines(void **state)
{
    assert_reads("a,b\nc,d\re,f\r\n\r\n\n\r\rg,h\n\n", "[a|b][c|d][e|f][g|h]");
    assert_reads("", "");
    assert_reads("\r\n\n", "");
    assert_reads("\"\"\n", "[]"); /* a quoted nothing is a row */
    assert_reads("a,", "[a|]!");
    assert_refused("a,b\r\n\r\nc,\"d\"e\r\n", CSV_QUOTE, 3, 6);
    assert_refused("a,b\r\"c\n\rd\",\"e\"f\r\n", CSV_QUOTE, 4, 7);
}

static void cells_know_their_place(void **state)
{
    const char *text = "\xEF\xBB\xBFn\xC3\xBC;\xE2\x82\xAC;x\n\"a\n\xC3\xA4\";b;\"c\"\"d\";e\n";
    const int want[][2] = {{1, 1}, {1, 4}, {1, 6}, {2, 1}, {3, 4}, {3, 6}, {3, 13}};
    struct csv_bytes source = {.bytes = text, .len = strlen(text)};
    struct csv_input input = csv_input_bytes(&source);
    struct csv *c = NULL;
    assert_int_equal(csv_open(&input, "f", &(struct csv_options){0}, &c).code, CODE_OK);
    size_t n = 0;
    struct csv_row row;
    bool has = true;
    while (assert_int_equal(csv_next(c, &row, &has).code, CODE_OK), has) {
        for (size_t i = 0; i < row.count; i++, n++) {
            assert_int_equal(row.cells[i].line, want[n][0]);
            assert_int_equal(row.cells[i].column, want[n][1]);
        }
    }
    assert_int_equal(n, sizeof want / sizeof want[0]);
    csv_close(c);
}

static void utf_8_and_windows_1252(void **state)
{
    struct reading r = read_text("K\xC3\xBChl;1\n");
    assert_int_equal(r.encoding, CSV_UTF8);
    assert_string_equal(r.text, "[K\xC3\xBChl|1]");
    r = read_text("\xEF\xBB\xBFplain;1\n");
    assert_int_equal(r.encoding, CSV_UTF8);
    assert_string_equal(r.text, "[plain|1]");
    r = read_text("plain;1\n85 \xB0"
                  "C;\x80\n");
    assert_int_equal(r.encoding, CSV_WINDOWS_1252);
    assert_string_equal(r.text, "[plain|1][85 \xC2\xB0"
                                "C|\xE2\x82\xAC]");
    assert_int_equal(read_text("plain;1\n").encoding, CSV_AUTO);
    struct csv_options declared = {.encoding = CSV_WINDOWS_1252};
    assert_string_equal(read_with("\xC3\xBC\n", 3, &declared).text, "[\xC3\x83\xC2\xBC]");
}

static void mixed_encodings_are_refused(void **state)
{
    assert_refused("\xC3\xBC;1\nx;abc\xB0\n", CSV_ENCODING, 2, 6);
    assert_refused("a;\"\xC3\xBC\n\xC3\xBC\xB0\"\n", CSV_ENCODING, 2, 2);
    assert_refused("\xEF\xBB\xBF\xB0\n", CSV_ENCODING, 1, 1);
    assert_refused("ab;\xB0\nxy\x81;1\n", CSV_ENCODING, 2, 3);
    assert_refused("\xB0;\x81\n", CSV_ENCODING, 1, 3);
    struct csv_options declared = {.encoding = CSV_UTF8};
    assert_int_equal(read_with("\xB0\n", 2, &declared).result.code, CODE_CSV_ENCODING);
}

static void binary_files_are_refused(void **state)
{
    struct csv_options none = {0};
    assert_int_equal(read_with("\xFF\xFE"
                               "a\0;\0",
                               6, &none)
                         .result.code,
                     CODE_CSV_BINARY);
    assert_int_equal(read_with("\xFE\xFF\0a", 4, &none).result.code, CODE_CSV_BINARY);
    struct reading r = read_with("a;b\nc;d\0e\n", 10, &none);
    assert_int_equal(r.result.code, CODE_CSV_BINARY);
    assert_int_equal(r.result.line, 2);
    assert_int_equal(r.result.column, 4);
}

static void quotes_where_none_may_stand(void **state)
{
    assert_refused("a;\"b\" ;c\n", CSV_QUOTE, 1, 6);
    assert_refused("a; \"b;c\"\n", CSV_QUOTE, 1, 4);
    assert_reads("5\" pipe;b\n", "[5\" pipe|b]");
}

static void a_file_cut_inside_quotes_is_refused(void **state)
{
    assert_refused("a;b\nc;\"d\ne;f\n", CSV_TRUNCATED, 2, 3);
    assert_refused("a;\"b\"\"", CSV_TRUNCATED, 1, 3);
}

static void limits_hold(void **state)
{
    struct csv_options o = {
        .file_bytes = 40, .line_bytes = 16, .cell_bytes = 8, .columns = 3, .rows = 4};
    assert_int_equal(read_with("12345678;1\n", 11, &o).result.code, CODE_OK);
    assert_int_equal(read_with("123456789;1\n", 12, &o).result.code, CODE_CSV_CELL_LONG);
    assert_int_equal(read_with("1234567;1234567;1\n", 18, &o).result.code, CODE_CSV_LINE_LONG);
    assert_int_equal(read_with("1;2;3\n", 6, &o).result.code, CODE_OK);
    assert_int_equal(read_with("1;2;3;4\n", 8, &o).result.code, CODE_CSV_COLUMNS);
    assert_int_equal(read_with("1\n2\n3\n4\n", 8, &o).result.code, CODE_OK);
    struct reading r = read_with("1\n2\n3\n4\n5\n", 10, &o);
    assert_int_equal(r.result.code, CODE_CSV_ROWS);
    assert_int_equal(r.result.line, 5);
    char long_file[41];
    memset(long_file, '\n', sizeof long_file);
    assert_int_equal(read_with(long_file, 40, &o).result.code, CODE_OK);
    assert_int_equal(read_with(long_file, 41, &o).result.code, CODE_INPUT_LARGE);
    r = read_with("a;\"b\nc\nd\ne\nf\ng\nh\ni\"\n", 20, &(struct csv_options){.line_bytes = 12});
    assert_int_equal(r.result.code, CODE_CSV_LINE_LONG); /* said of the quote that never closes */
    assert_int_equal(r.result.line, 1);
    assert_int_equal(r.result.column, 3);
}

static int file_of_2_gb(const char *beginning)
{
    char path[] = "/tmp/csv_test_XXXXXX";
    int fd = mkstemp(path);
    assert_true(fd >= 0);
    unlink(path);
    assert_int_equal(write(fd, beginning, strlen(beginning)), strlen(beginning));
    assert_int_equal(ftruncate(fd, (off_t)2 << 30), 0);
    assert_int_equal(lseek(fd, 0, SEEK_SET), 0);
    return fd;
}

static long peak_memory_kb(void)
{
    struct rusage usage;
    assert_int_equal(getrusage(RUSAGE_SELF, &usage), 0);
    return usage.ru_maxrss;
}

/* A sparse file of 2 GB reads as zero bytes. */
static void a_2_gb_file_is_refused_at_once(void **state)
{
    long before = peak_memory_kb();
    int fd = file_of_2_gb("a;b\n1;");
    struct csv_input input = csv_input_fd(&fd);
    struct reading r = read_input(&input, &(struct csv_options){0});
    assert_int_equal(r.result.code, CODE_CSV_BINARY);
    assert_int_equal(r.result.line, 2);
    assert_true(lseek(fd, 0, SEEK_CUR) <= 1 << 20);
    close(fd);
    assert_true(peak_memory_kb() - before < 16 * 1024);
}

/* Text without end, as from a pipe: how much of it was asked for shows how soon it was refused. */
struct endless {
    const char *text;
    size_t len;
    size_t given;
};

static ssize_t read_endless(void *self, void *out, size_t len)
{
    struct endless *e = self;
    for (size_t i = 0; i < len; i++) {
        ((char *)out)[i] = e->text[(e->given + i) % e->len];
    }
    e->given += len;
    return (ssize_t)len;
}

static void an_endless_line_is_refused_in_bounded_memory(void **state)
{
    static const struct {
        const char *text;
        enum code code;
        size_t most;
    } rows[] = {
        {"x", CODE_CSV_CELL_LONG, 1 << 18},
        {"\"x\n", CODE_CSV_QUOTE, 1 << 18}, /* the second quote closes, and x may not follow */
        {"xxxxxxxx;", CODE_CSV_COLUMNS, 1 << 18},
        {"xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx;", CODE_CSV_COLUMNS, 1 << 18},
        {"\n", CODE_INPUT_LARGE, 1 << 23},
    };
    long before = peak_memory_kb();
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct endless e = {.text = rows[i].text, .len = strlen(rows[i].text)};
        struct csv_input input = {.read = read_endless, .self = &e};
        struct csv_options few = {.rows = 10, .file_bytes = (1 << 23) - (1 << 17)};
        assert_int_equal(read_input(&input, &few).result.code, rows[i].code);
        assert_true(e.given <= rows[i].most);
    }
    assert_true(peak_memory_kb() - before < 16 * 1024);
}

static void a_wide_line_is_refused_at_its_limit(void **state)
{
    struct endless e = {.text = "xxxxxxxxxxxxxxx;", .len = 16};
    struct csv_input input = {.read = read_endless, .self = &e};
    struct csv_options wide = {.columns = 1 << 24};
    struct reading r = read_input(&input, &wide);
    assert_int_equal(r.result.code, CODE_CSV_LINE_LONG);
    assert_int_equal(r.result.line, 1);
    assert_true(e.given <= (1 << 20) + (1 << 17));
}

static ssize_t read_fails(void *self, void *out, size_t len)
{
    errno = EIO;
    return -1;
}

static void a_disk_error_is_said(void **state)
{
    struct csv_input input = {.read = read_fails};
    assert_int_equal(read_input(&input, &(struct csv_options){0}).result.code, CODE_FILE_READ);
}

/* However the bytes arrive, the rows are the same. */
struct dripping {
    const char *bytes;
    size_t len, at;
    struct random *random;
};

static ssize_t read_dripping(void *self, void *out, size_t len)
{
    struct dripping *d = self;
    size_t take = 1 + (size_t)random_below(d->random, 7);
    take = take < d->len - d->at ? take : d->len - d->at;
    take = take < len ? take : len;
    memcpy(out, d->bytes + d->at, take);
    d->at += take;
    return (ssize_t)take;
}

static void chunks_do_not_matter(void **state)
{
    /* longer than a chunk, a CR LF across each chunk border */
    size_t size = 200000;
    char *bytes = malloc(size);
    assert_non_null(bytes);
    struct random random;
    random_seed(&random, 7);
    for (size_t i = 0; i < size; i++) {
        bytes[i] = "ab;\n"[random_below(&random, 4)];
    }
    for (size_t border = 65536; border < size; border += 65536) {
        memcpy(bytes + border - 1, "\r\n", 2);
    }
    struct csv_bytes whole = {.bytes = bytes, .len = size};
    struct dripping drips = {.bytes = bytes, .len = size, .random = &random};
    struct csv_input inputs[2] = {csv_input_bytes(&whole), {.read = read_dripping, .self = &drips}};
    struct csv_options options = {.delimiter = ';'};
    struct csv *c[2];
    assert_int_equal(csv_open(&inputs[0], "f", &options, &c[0]).code, CODE_OK);
    assert_int_equal(csv_open(&inputs[1], "f", &options, &c[1]).code, CODE_OK);
    bool has[2] = {true, true};
    size_t rows = 0;
    while (has[0]) {
        struct csv_row row[2];
        for (int i = 0; i < 2; i++) {
            assert_int_equal(csv_next(c[i], &row[i], &has[i]).code, CODE_OK);
        }
        assert_int_equal(has[0], has[1]);
        if (has[0]) {
            rows++;
            assert_int_equal(row[0].count, row[1].count);
            assert_int_equal(row[0].line, row[1].line);
            for (size_t i = 0; i < row[0].count; i++) {
                assert_string_equal(row[0].cells[i].text, row[1].cells[i].text);
                assert_int_equal(row[0].cells[i].column, row[1].cells[i].column);
            }
        }
    }
    assert_in_range(rows, 20000, 60000);
    csv_close(c[0]);
    csv_close(c[1]);
    free(bytes);
}

/* Random tables, written by the rules and read back. */
static void tables_come_back_as_written(void **state)
{
    static const char *const pieces[] = {"a",  "\"", ";",        ",", "\t", "\r\n",
                                         "\n", " ",  "\xC3\xBC", "=", ""};
    struct random random;
    random_seed(&random, 11);
    for (int round = 0; round < 300; round++) {
        char written[4000] = "";
        char want[4000] = "";
        uint64_t rows = 1 + random_below(&random, 4);
        for (uint64_t row = 0; row < rows; row++) {
            for (int cell = 0; cell < 3; cell++) {
                append(written, sizeof written, cell == 0 ? "\"" : ";\"");
                append(want, sizeof want, cell == 0 ? "[" : "|");
                for (uint64_t left = random_below(&random, 5); left > 0; left--) {
                    const char *piece = pieces[random_below(&random, 11)];
                    append(want, sizeof want, piece);
                    append(written, sizeof written, piece[0] == '"' ? "\"\"" : piece);
                }
                append(written, sizeof written, "\"");
            }
            append(written, sizeof written, "\r\n");
            append(want, sizeof want, "]");
        }
        assert_reads(written, want);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rfc_4180_rules),
        cmocka_unit_test(delimiters_are_detected),
        cmocka_unit_test(a_first_line_may_name_the_delimiter),
        cmocka_unit_test(line_ends_and_blank_lines),
        cmocka_unit_test(cells_know_their_place),
        cmocka_unit_test(utf_8_and_windows_1252),
        cmocka_unit_test(mixed_encodings_are_refused),
        cmocka_unit_test(binary_files_are_refused),
        cmocka_unit_test(quotes_where_none_may_stand),
        cmocka_unit_test(a_file_cut_inside_quotes_is_refused),
        cmocka_unit_test(limits_hold),
        cmocka_unit_test(a_2_gb_file_is_refused_at_once),
        cmocka_unit_test(an_endless_line_is_refused_in_bounded_memory),
        cmocka_unit_test(a_wide_line_is_refused_at_its_limit),
        cmocka_unit_test(a_disk_error_is_said),
        cmocka_unit_test(chunks_do_not_matter),
        cmocka_unit_test(tables_come_back_as_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

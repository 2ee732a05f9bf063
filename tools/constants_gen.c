/* constants_gen OUT.h FILE.csv...
 *
 * Turns the constants in constants/ into one header: a macro a constant with its source beside it,
 * and the whole as rows for a table that the program can print. Columns: name, value, unit, low,
 * high, source, locator, word. A row without a source, with a word that is not one of the six, with
 * a value outside its own range, or with a name that stands twice fails the build. */
#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { COLUMNS = 8, FIELD_MAX = 400, LINE_MAX_LEN = 2000, NAMES_MAX = 2000 };
enum { NAME, VALUE, UNIT, LOW, HIGH, SOURCE, LOCATOR, WORD };

static const char *const titles[COLUMNS] = {"name", "value",  "unit",    "low",
                                            "high", "source", "locator", "word"};
static const char *const words[] = {"published (seen)", "published (abstract only)",
                                    "computed here",    "derived",
                                    "common practice",  "from memory"};

struct row {
    char field[COLUMNS][FIELD_MAX];
};

struct names {
    char name[NAMES_MAX][64];
    size_t count;
};

static bool breach(const char *path, int line, const char *what)
{
    fprintf(stderr, "%s:%d: %s\n", path, line, what);
    return false;
}

/* One field from *at into out; a quoted one may hold commas and doubled quotes. */
static bool field_read(const char **at, char *out, size_t size)
{
    const char *s = *at;
    bool quoted = *s == '"';
    size_t n = 0;
    s += quoted;
    while (*s != '\0' && (quoted || *s != ',')) {
        if (quoted && *s == '"') {
            if (s[1] != '"') {
                break;
            }
            s++;
        }
        if (n + 1 >= size) {
            return false;
        }
        out[n++] = *s++;
    }
    out[n] = '\0';
    if (quoted && *s++ != '"') {
        return false;
    }
    *at = s;
    return *s == '\0' || *s == ',';
}

static bool row_read(const char *path, int line, const char *text, struct row *out)
{
    for (int i = 0; i < COLUMNS; i++) {
        if (!field_read(&text, out->field[i], FIELD_MAX)) {
            return breach(path, line, "This field is too long or its quotes do not close.");
        }
        bool last = i == COLUMNS - 1;
        if ((*text == ',') == last) {
            return breach(path, line, "This row does not have 8 fields.");
        }
        text += *text == ',';
    }
    return true;
}

/* Decimal digits only, so that the same text is a number in C. */
static bool number_read(const char *text, double *out)
{
    char *end;
    errno = 0;
    *out = strtod(text, &end);
    return *text != '\0' && *end == '\0' && errno == 0 && isfinite(*out) &&
           text[strspn(text, "0123456789.-eE")] == '\0';
}

/* The digits as they stand in the file, with a point so that C takes them for a double. */
static void number_put(FILE *out, const char *text)
{
    fprintf(out, "%s%s", text, strpbrk(text, ".eE") == NULL ? ".0" : "");
}

static bool name_is_plain(const char *name)
{
    for (const char *c = name; *c != '\0'; c++) {
        if (!islower((unsigned char)*c) && !isdigit((unsigned char)*c) && *c != '_') {
            return false;
        }
    }
    return islower((unsigned char)name[0]) && strlen(name) < 64;
}

static bool text_is_plain(const char *text)
{
    return strstr(text, "*/") == NULL && strpbrk(text, "\\\n\r") == NULL;
}

static bool word_is_known(const char *word)
{
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i], word) == 0) {
            return true;
        }
    }
    return false;
}

static bool row_check(const char *path, int line, const struct row *row)
{
    double value, low, high;
    if (!name_is_plain(row->field[NAME])) {
        return breach(path, line, "The name is not in small letters, digits and _.");
    }
    if (!number_read(row->field[VALUE], &value)) {
        return breach(path, line, "The value is not a number.");
    }
    if (row->field[UNIT][0] == '\0') {
        return breach(path, line, "The unit is missing; write 1 for a plain number.");
    }
    if (row->field[SOURCE][strspn(row->field[SOURCE], " ")] == '\0') {
        return breach(path, line, "The source is missing: author, year, title.");
    }
    if (!word_is_known(row->field[WORD])) {
        return breach(path, line, "The word is not one of the six words of provenance.");
    }
    for (int i = 0; i < COLUMNS; i++) {
        if (!text_is_plain(row->field[i])) {
            return breach(path, line, "A backslash or the end of a comment stands in a field.");
        }
    }
    if ((row->field[LOW][0] == '\0') != (row->field[HIGH][0] == '\0')) {
        return breach(path, line, "Give both low and high, or neither.");
    }
    if (row->field[LOW][0] != '\0' &&
        (!number_read(row->field[LOW], &low) || !number_read(row->field[HIGH], &high) ||
         value < low || value > high)) {
        return breach(path, line, "The value does not stand between low and high.");
    }
    return true;
}

static bool name_is_new(struct names *names, const char *name)
{
    for (size_t i = 0; i < names->count; i++) {
        if (strcmp(names->name[i], name) == 0) {
            return false;
        }
    }
    if (names->count < NAMES_MAX) {
        snprintf(names->name[names->count++], sizeof names->name[0], "%.63s", name);
    }
    return true;
}

static void quoted_put(FILE *out, const char *text)
{
    fputc('"', out);
    for (; *text != '\0'; text++) {
        if (*text == '"') {
            fputc('\\', out);
        }
        fputc(*text, out);
    }
    fputc('"', out);
}

static void macro_put(FILE *out, const struct row *row)
{
    fprintf(out, "/* %s; %s: %s. */\n#define CONSTANT_", row->field[SOURCE], row->field[LOCATOR],
            row->field[WORD]);
    for (const char *c = row->field[NAME]; *c != '\0'; c++) {
        fputc(toupper((unsigned char)*c), out);
    }
    fputc(' ', out);
    number_put(out, row->field[VALUE]);
    fputc('\n', out);
}

static void table_put(FILE *table, const struct row *row)
{
    bool has_range = row->field[LOW][0] != '\0';
    fprintf(table, "    {\"%s\", ", row->field[NAME]);
    number_put(table, row->field[VALUE]);
    fputs(", ", table);
    quoted_put(table, row->field[UNIT]);
    fputs(has_range ? ", true, " : ", false, ", table);
    number_put(table, has_range ? row->field[LOW] : "0");
    fputs(", ", table);
    number_put(table, has_range ? row->field[HIGH] : "0");
    fputs(", ", table);
    quoted_put(table, row->field[SOURCE]);
    fputs(", ", table);
    quoted_put(table, row->field[LOCATOR]);
    fprintf(table, ", \"%s\"}, \\\n", row->field[WORD]);
}

static bool file_take(const char *path, FILE *out, FILE *table, struct names *names)
{
    FILE *in = fopen(path, "r");
    if (in == NULL) {
        return breach(path, 0, strerror(errno));
    }
    char text[LINE_MAX_LEN];
    bool good = true;
    for (int line = 1; fgets(text, sizeof text, in) != NULL; line++) {
        static struct row row;
        if (strchr(text, '\n') == NULL) {
            good = breach(path, line, "This line is too long or has no end.");
            break;
        }
        text[strcspn(text, "\r\n")] = '\0';
        if (!row_read(path, line, text, &row)) {
            good = false;
            continue;
        }
        if (line == 1) {
            for (int i = 0; i < COLUMNS; i++) {
                if (strcmp(row.field[i], titles[i]) != 0) {
                    good = breach(path, line, "The first line must name the 8 columns.");
                }
            }
            continue;
        }
        if (!row_check(path, line, &row)) {
            good = false;
        } else if (!name_is_new(names, row.field[NAME])) {
            good = breach(path, line, "This name stands twice.");
        } else {
            macro_put(out, &row);
            table_put(table, &row);
        }
    }
    fclose(in);
    return good;
}

int main(int argc, char **argv)
{
    if (argc < 3) {
        fprintf(stderr, "usage: constants_gen OUT.h FILE.csv...\n");
        return 2;
    }
    FILE *out = fopen(argv[1], "w");
    char *rows = NULL;
    size_t rows_len = 0;
    FILE *table = open_memstream(&rows, &rows_len);
    if (out == NULL || table == NULL) {
        fprintf(stderr, "constants_gen: cannot write %s: %s\n", argv[1], strerror(errno));
        return 8;
    }
    static struct names names;
    bool good = true;
    fputs("/* Made by tools/constants_gen.c from constants/; change the files there. */\n"
          "#ifndef CALC_CONSTANTS_GEN_H\n#define CALC_CONSTANTS_GEN_H\n\n",
          out);
    for (int i = 2; i < argc; i++) {
        good = file_take(argv[i], out, table, &names) && good;
    }
    fclose(table);
    fprintf(out, "\n#define CONSTANTS_TABLE \\\n%s\n#endif\n", rows);
    free(rows);
    bool written = fclose(out) == 0;
    if (!good || !written || names.count == 0) {
        remove(argv[1]);
        return 1;
    }
    return 0;
}

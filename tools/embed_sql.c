/* Turns the SQL of src/store into C: embed_sql SCHEMA_DIR QUERY_DIR OUT_H OUT_C OUT_DEPFILE
 *
 * Every QUERY_DIR/x.sql holds queries, each headed by a line "-- name: lot_by_code" and ending with
 * its one semicolon. OUT_H becomes the enum of their names, OUT_C their texts in the same order and
 * the texts of SCHEMA_DIR/0001.sql, 0002.sql and so on. Comment lines are dropped. The folders
 * themselves stand in the dependency file, so a new file is seen without naming it anywhere. Any
 * fault in the SQL's form stops the build with file and line.
 *
 * A line "-- kept: place, item" under the heading says that the writer may keep the query's answer
 * until one of these tables is written. They must be all it reads, but for the daybook: an entry
 * never changes, so a kept query may read those that its other tables name. */
#include <ctype.h>
#include <dirent.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PATH_SIZE = 1024, FILES_MAX = 256, QUERIES_MAX = 4096, NAME_SIZE = 64 };
enum { KEPT_MAX = 4, TABLES_MAX = 64 };

struct query {
    char name[NAME_SIZE];
    char place[PATH_SIZE + 16]; /* file:line of its heading */
    char *text;
    size_t len;
    char kept[NAME_SIZE * KEPT_MAX]; /* the line's list; "" none */
    int tables[KEPT_MAX], table_count;
    char writes[NAME_SIZE]; /* the table; "" none */
};

static struct query queries[QUERIES_MAX];
static size_t query_count;
static char tables[TABLES_MAX][NAME_SIZE]; /* that a kept query reads */
static int table_count;

static _Noreturn void __attribute__((format(printf, 1, 2))) fail(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fputs("embed_sql: ", stderr);
    vfprintf(stderr, format, args);
    fputc('\n', stderr);
    va_end(args);
    exit(1);
}

static char *read_whole(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) fail("cannot open %s", path);
    size_t len = 0, size = 4096;
    char *text = malloc(size + 1);
    for (;;) {
        if (text == NULL) fail("out of memory");
        size_t got = fread(text + len, 1, size - len, file);
        len += got;
        if (got == 0) break;
        if (len == size) text = realloc(text, (size *= 2) + 1);
    }
    if (ferror(file)) fail("cannot read %s", path);
    fclose(file);
    text[len] = '\0';
    return text;
}

static int by_name(const void *x, const void *y)
{
    return strcmp(x, y);
}

/* Paths of the *.sql files of a folder, sorted. */
static size_t list_sql(const char *folder, char paths[FILES_MAX][PATH_SIZE])
{
    DIR *dir = opendir(folder);
    if (dir == NULL) fail("cannot open the folder %s", folder);
    size_t count = 0;
    for (struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        size_t len = strlen(entry->d_name);
        if (entry->d_name[0] == '.' || len < 5 || strcmp(entry->d_name + len - 4, ".sql") != 0) {
            continue;
        }
        if (count == FILES_MAX) fail("more than %d files in %s", FILES_MAX, folder);
        int need = snprintf(paths[count++], PATH_SIZE, "%s/%s", folder, entry->d_name);
        if (need < 0 || need >= PATH_SIZE) fail("path too long: %s", entry->d_name);
    }
    closedir(dir);
    qsort(paths, count, PATH_SIZE, by_name);
    return count;
}

static void append(struct query *q, const char *text, size_t len)
{
    q->text = realloc(q->text, q->len + len + 1);
    if (q->text == NULL) fail("out of memory");
    memcpy(q->text + q->len, text, len);
    q->len += len;
    q->text[q->len] = '\0';
}

static size_t word_len(const char *text)
{
    return strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789_");
}

static int table_number(const char *name, size_t len)
{
    for (int i = 0; i < table_count; i++) {
        if (strlen(tables[i]) == len && memcmp(tables[i], name, len) == 0) return i;
    }
    return -1;
}

static void read_kept(struct query *q)
{
    for (const char *name = q->kept; *name != '\0';) {
        size_t len = word_len(name);
        if (len == 0 || len >= NAME_SIZE ||
            (name[len] != '\0' && strncmp(name + len, ", ", 2) != 0)) {
            fail("%s: \"%s\" is not a list of tables", q->place, q->kept);
        }
        if (q->table_count == KEPT_MAX) fail("%s: more than %d tables", q->place, KEPT_MAX);
        int at = table_number(name, len);
        if (at < 0) {
            if (table_count == TABLES_MAX) fail("more than %d tables are kept", TABLES_MAX);
            at = table_count++;
            memcpy(tables[at], name, len);
        }
        q->tables[q->table_count++] = at;
        name += name[len] == '\0' ? len : len + 2;
    }
}

/* Every table that stands after "from" or "join" is named in the line, or is the daybook. */
static void check_kept(const struct query *q)
{
    static const char *const before[] = {"from ", "join ", "from\n", "join\n"};
    for (size_t i = 0; i < sizeof before / sizeof before[0]; i++) {
        const char *at = q->text;
        while ((at = strstr(at, before[i])) != NULL) {
            at += strlen(before[i]);
            size_t len = word_len(at);
            int table = table_number(at, len);
            bool named = len == 7 && memcmp(at, "daybook", 7) == 0;
            for (int k = 0; k < q->table_count && !named; k++) {
                named = q->tables[k] == table;
            }
            if (!named) fail("%s: query %s reads more than it says", q->place, q->name);
        }
    }
    if (q->writes[0] != '\0') fail("%s: query %s writes", q->place, q->name);
}

/* What a query writes stands in its first words; one that begins with others only reads. */
static void read_writes(struct query *q)
{
    static const char *const writing[] = {"insert into ", "update ", "delete from "};
    static const char *const reading[] = {"select", "with ", "pragma "};
    for (size_t i = 0; i < sizeof writing / sizeof writing[0]; i++) {
        size_t len = strlen(writing[i]);
        if (strncmp(q->text, writing[i], len) == 0) {
            size_t name = word_len(q->text + len);
            if (name == 0 || name >= NAME_SIZE)
                fail("%s: query %s writes what?", q->place, q->name);
            memcpy(q->writes, q->text + len, name);
            return;
        }
    }
    for (size_t i = 0; i < sizeof reading / sizeof reading[0]; i++) {
        if (strncmp(q->text, reading[i], strlen(reading[i])) == 0) return;
    }
    fail("%s: query %s begins with neither of: select with pragma insert-into update delete-from",
         q->place, q->name);
}

/* One statement, one semicolon, at its end. */
static void finish(struct query *q)
{
    while (q->len > 0 && isspace((unsigned char)q->text[q->len - 1])) {
        q->text[--q->len] = '\0';
    }
    if (q->len < 2) fail("%s: query %s is empty", q->place, q->name);
    bool quoted = false;
    for (size_t i = 0; i + 1 < q->len; i++) {
        quoted = quoted != (q->text[i] == '\'');
        if (!quoted && q->text[i] == ';') {
            fail("%s: query %s holds more than one statement", q->place, q->name);
        }
    }
    if (q->text[q->len - 1] != ';') fail("%s: query %s does not end with ;", q->place, q->name);
    q->text[--q->len] = '\0';
    read_writes(q);
    if (q->kept[0] != '\0') {
        read_kept(q);
        check_kept(q);
    }
}

static void start(const char *place, const char *name)
{
    if (query_count == QUERIES_MAX) fail("more than %d queries", QUERIES_MAX);
    struct query *q = &queries[query_count];
    snprintf(q->place, sizeof q->place, "%s", place);
    size_t len = strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789_");
    if (len == 0 || len >= NAME_SIZE || name[len] != '\0' || !isalpha((unsigned char)name[0])) {
        fail("%s: \"%s\" is not a name of small letters, digits and _", place, name);
    }
    memcpy(q->name, name, len + 1);
    for (size_t i = 0; i < query_count; i++) {
        if (strcmp(queries[i].name, name) == 0) {
            fail("%s: the name %s stands already at %s", place, name, queries[i].place);
        }
    }
    query_count++;
}

static void read_queries(const char *path)
{
    char *text = read_whole(path);
    size_t first = query_count;
    int line_number = 1;
    for (char *line = text; *line != '\0'; line_number++) {
        char *end = line + strcspn(line, "\n");
        char *next = *end == '\0' ? end : end + 1;
        *end = '\0';
        char place[PATH_SIZE + 16];
        snprintf(place, sizeof place, "%s:%d", path, line_number);
        const char *word = line + strspn(line, " \t");
        if (strncmp(line, "-- name: ", 9) == 0) {
            if (query_count > first) finish(&queries[query_count - 1]);
            start(place, line + 9);
        } else if (strncmp(line, "-- kept: ", 9) == 0) {
            struct query *q = query_count > first ? &queries[query_count - 1] : NULL;
            if (q == NULL || q->len > 0 || q->kept[0] != '\0' ||
                strlen(line + 9) >= sizeof q->kept) {
                fail("%s: a \"-- kept:\" line stands once, under the heading", place);
            }
            memcpy(q->kept, line + 9, strlen(line + 9) + 1);
        } else if (strncmp(word, "--", 2) != 0 && *word != '\0') {
            if (query_count == first) fail("%s: text before the first \"-- name:\" line", place);
            append(&queries[query_count - 1], line, (size_t)(end - line));
            append(&queries[query_count - 1], "\n", 1);
        }
        line = next;
    }
    if (query_count > first) finish(&queries[query_count - 1]);
    free(text);
}

static FILE *create(const char *path)
{
    FILE *file = fopen(path, "wb");
    if (file == NULL) fail("cannot write %s", path);
    return file;
}

static void close_written(FILE *file, const char *path)
{
    if (ferror(file) || fclose(file) != 0) fail("cannot write %s", path);
}

static void put_literal(FILE *out, const char *text)
{
    fputs("\n     \"", out);
    for (; *text != '\0'; text++) {
        if (*text == '\n') {
            fputs(text[1] == '\0' ? "\\n" : "\\n\"\n     \"", out);
        } else {
            if (*text == '"' || *text == '\\') fputc('\\', out);
            fputc(*text, out);
        }
    }
    fputc('"', out);
}

static void write_header(const char *path)
{
    FILE *out = create(path);
    fputs("/* Made by tools/embed_sql.c from the files of src/store/query. */\n"
          "#ifndef STORE_QUERY_NAMES_H\n#define STORE_QUERY_NAMES_H\n\nenum query {\n",
          out);
    for (size_t i = 0; i < query_count; i++) {
        fputs("    Q_", out);
        for (const char *c = queries[i].name; *c != '\0'; c++) {
            fputc(toupper((unsigned char)*c), out);
        }
        fputs(",\n", out);
    }
    fputs("    QUERY_COUNT\n};\n", out);
    /* one more, so that there is one */
    fprintf(out, "enum { KEPT_TABLES_MAX = %d };\n\n#endif\n", table_count + 1);
    close_written(out, path);
}

static void write_texts(const char *path, char schemas[FILES_MAX][PATH_SIZE], size_t schema_count)
{
    FILE *out = create(path);
    fputs("/* Made by tools/embed_sql.c from the files of src/store. */\n"
          "#include \"store/embedded.h\"\n\n"
          "const struct embedded_query embedded_queries[QUERY_COUNT] = {\n",
          out);
    for (size_t i = 0; i < query_count; i++) {
        fprintf(out, "    {\"%s\",", queries[i].name);
        put_literal(out, queries[i].text);
        fprintf(out, ",\n     %d, %d, {",
                table_number(queries[i].writes, strlen(queries[i].writes)), queries[i].table_count);
        for (int k = 0; k < queries[i].table_count; k++) {
            fprintf(out, "%s%d", k > 0 ? ", " : "", queries[i].tables[k]);
        }
        fputs(queries[i].table_count > 0 ? "}},\n" : "0}},\n", out);
    }
    fputs("};\n\nconst char *const embedded_schemas[] = {", out);
    for (size_t i = 0; i < schema_count; i++) {
        char name[32];
        snprintf(name, sizeof name, "/%04zu.sql", i + 1);
        if (strcmp(strrchr(schemas[i], '/'), name) != 0) {
            fail("%s: schema files are numbered without a gap; expected %s", schemas[i], name + 1);
        }
        char *text = read_whole(schemas[i]);
        put_literal(out, text);
        fputs(",\n", out);
        free(text);
    }
    fprintf(out, "};\n\nconst int embedded_schema_count = %zu;\n", schema_count);
    close_written(out, path);
}

int main(int argc, char **argv)
{
    if (argc != 6) fail("use: embed_sql SCHEMA_DIR QUERY_DIR OUT_H OUT_C OUT_DEPFILE");
    static char schemas[FILES_MAX][PATH_SIZE], files[FILES_MAX][PATH_SIZE];
    size_t schema_count = list_sql(argv[1], schemas);
    size_t file_count = list_sql(argv[2], files);
    if (schema_count == 0) fail("no schema in %s", argv[1]);
    for (size_t i = 0; i < file_count; i++) {
        read_queries(files[i]);
    }
    if (query_count == 0) fail("no query in %s", argv[2]);
    write_header(argv[3]);
    write_texts(argv[4], schemas, schema_count);

    FILE *depfile = create(argv[5]);
    fprintf(depfile, "%s %s: %s %s", argv[3], argv[4], argv[1], argv[2]);
    for (size_t i = 0; i < schema_count; i++) {
        fprintf(depfile, " %s", schemas[i]);
    }
    for (size_t i = 0; i < file_count; i++) {
        fprintf(depfile, " %s", files[i]);
    }
    fputc('\n', depfile);
    close_written(depfile, argv[5]);
    for (size_t i = 0; i < query_count; i++) {
        free(queries[i].text);
    }
    return 0;
}

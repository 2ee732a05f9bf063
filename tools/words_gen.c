/* Turns the catalogues of texts into C: words_gen OUT_C en.json es.json es.calc.json
 *
 * Each file is one flat object of key and sentence; the part of its name before the first point is
 * the language, and files of one language stand together. OUT_C becomes one table a language,
 * sorted by key as strcmp sorts. Any fault in a file stops the build. */
#include <jansson.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WORDS_MAX = 8192, FILES_MAX = 8 };

struct word {
    const char *key, *text;
};

static struct word list[WORDS_MAX];
static json_t *files[FILES_MAX]; /* that the texts of the list stand in */
static size_t file_count;

static _Noreturn void __attribute__((format(printf, 1, 2))) fail(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fputs("words_gen: ", stderr);
    vfprintf(stderr, format, args);
    fputc('\n', stderr);
    va_end(args);
    exit(1);
}

static int by_key(const void *x, const void *y)
{
    const struct word *a = x, *b = y;
    return strcmp(a->key, b->key);
}

static void put_text(FILE *out, const char *text)
{
    fputc('"', out);
    for (const unsigned char *c = (const unsigned char *)text; *c != '\0'; c++) {
        if (*c == '"' || *c == '\\') {
            fprintf(out, "\\%c", *c);
        } else if (*c < 0x20) {
            fprintf(out, "\\%03o", *c);
        } else {
            fputc(*c, out);
        }
    }
    fputc('"', out);
}

static int language_length(const char *path)
{
    const char *base = strrchr(path, '/');
    return (int)strcspn(base != NULL ? base + 1 : path, ".");
}

static const char *language_of(const char *path)
{
    const char *base = strrchr(path, '/');
    return base != NULL ? base + 1 : path;
}

static bool same_language(const char *path, const char *other)
{
    int len = language_length(path);
    return len == language_length(other) &&
           strncmp(language_of(path), language_of(other), (size_t)len) == 0;
}

static size_t read_catalogue(const char *path, size_t count)
{
    json_error_t error;
    json_t *file = json_load_file(path, JSON_REJECT_DUPLICATES, &error);
    if (!json_is_object(file)) fail("%s:%d: %s", path, error.line, error.text);
    if (file_count == FILES_MAX) fail("%s: more than %d files of one language", path, FILES_MAX);
    files[file_count++] = file;
    const char *key;
    json_t *text;
    json_object_foreach(file, key, text)
    {
        if (!json_is_string(text)) fail("%s: %s is not a text", path, key);
        if (count == WORDS_MAX) fail("%s: more than %d texts", path, WORDS_MAX);
        list[count++] = (struct word){key, json_string_value(text)};
    }
    return count;
}

static void put_language(FILE *out, const char *path, size_t count)
{
    qsort(list, count, sizeof list[0], by_key);
    fprintf(out, "const struct word words_%.*s[] = {\n", language_length(path), language_of(path));
    for (size_t i = 0; i < count; i++) {
        if (i > 0 && strcmp(list[i - 1].key, list[i].key) == 0) {
            fail("%s: %s stands in two files", path, list[i].key);
        }
        fputs("    {", out);
        put_text(out, list[i].key);
        fputs(", ", out);
        put_text(out, list[i].text);
        fputs("},\n", out);
    }
    fprintf(out, "};\nconst size_t words_%.*s_count = %zu;\n", language_length(path),
            language_of(path), count);
    while (file_count > 0) {
        json_decref(files[--file_count]);
    }
}

int main(int argc, char **argv)
{
    if (argc < 3) fail("words_gen OUT_C CATALOGUE...");
    FILE *out = fopen(argv[1], "w");
    if (out == NULL) fail("cannot write %s", argv[1]);
    fputs("#include \"base/words_inner.h\"\n\n", out);
    size_t count = 0;
    for (int i = 2; i < argc; i++) {
        count = read_catalogue(argv[i], count);
        if (i + 1 == argc || !same_language(argv[i], argv[i + 1])) {
            put_language(out, argv[i], count);
            count = 0;
        }
    }
    if (fclose(out) != 0) fail("cannot write %s", argv[1]);
    return 0;
}

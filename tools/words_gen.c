/* Turns the catalogues of texts into C: words_gen OUT_C en.json es.json
 *
 * Each file is one flat object of key and sentence; the part of its name before the point is the
 * language. OUT_C becomes one table a language, sorted by key as strcmp sorts. Any fault in a file
 * stops the build. */
#include <jansson.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WORDS_MAX = 8192 };

struct word {
    const char *key, *text;
};

static struct word list[WORDS_MAX];

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

static void put_language(FILE *out, const char *path)
{
    json_error_t error;
    json_t *file = json_load_file(path, JSON_REJECT_DUPLICATES, &error);
    if (!json_is_object(file)) fail("%s:%d: %s", path, error.line, error.text);
    const char *base = strrchr(path, '/');
    base = base != NULL ? base + 1 : path;
    size_t count = 0;
    const char *key;
    json_t *text;
    json_object_foreach(file, key, text)
    {
        if (!json_is_string(text)) fail("%s: %s is not a text", path, key);
        if (count == WORDS_MAX) fail("%s: more than %d texts", path, WORDS_MAX);
        list[count++] = (struct word){key, json_string_value(text)};
    }
    qsort(list, count, sizeof list[0], by_key);
    int len = (int)strcspn(base, ".");
    fprintf(out, "const struct word words_%.*s[] = {\n", len, base);
    for (size_t i = 0; i < count; i++) {
        fputs("    {", out);
        put_text(out, list[i].key);
        fputs(", ", out);
        put_text(out, list[i].text);
        fputs("},\n", out);
    }
    fprintf(out, "};\nconst size_t words_%.*s_count = %zu;\n", len, base, count);
    json_decref(file);
}

int main(int argc, char **argv)
{
    if (argc < 3) fail("words_gen OUT_C CATALOGUE...");
    FILE *out = fopen(argv[1], "w");
    if (out == NULL) fail("cannot write %s", argv[1]);
    fputs("#include \"base/words_inner.h\"\n\n", out);
    for (int i = 2; i < argc; i++) {
        put_language(out, argv[i]);
    }
    if (fclose(out) != 0) fail("cannot write %s", argv[1]);
    return 0;
}

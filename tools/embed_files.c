/* Turns files into C: embed_files OUT_C SYMBOL FILE...
 *
 * OUT_C defines SYMBOL, an array of struct embedded_file (web/embedded.h) in the order given, and
 * SYMBOL_count. A file is known by its name without its folders, so two of one name stop the build.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *base_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash == NULL ? path : slash + 1;
}

static _Noreturn void fail(const char *what, const char *path)
{
    fprintf(stderr, "embed_files: %s %s\n", what, path);
    exit(1);
}

static size_t put_bytes(FILE *out, const char *path, int number)
{
    FILE *in = fopen(path, "rb");
    size_t len = 0;
    if (in == NULL) fail("cannot open", path);
    fprintf(out, "static const unsigned char file_%d[] = {", number);
    for (int c; (c = getc(in)) != EOF; len++) {
        fprintf(out, "%s%d,", len % 24 == 0 ? "\n" : "", c);
    }
    if (ferror(in)) fail("cannot read", path);
    fclose(in);
    fputs("0};\n", out); /* a zero byte after it, as after a text */
    return len;
}

int main(int argc, char **argv)
{
    if (argc < 4) {
        fputs("embed_files OUT_C SYMBOL FILE...\n", stderr);
        return 2;
    }
    int count = argc - 3;
    size_t *lens = calloc((size_t)count, sizeof *lens);
    FILE *out = fopen(argv[1], "wb");
    if (lens == NULL || out == NULL) fail("cannot write", argv[1]);
    fputs("/* Made by tools/embed_files.c. */\n#include \"web/embedded.h\"\n\n", out);
    for (int i = 0; i < count; i++) {
        for (int j = 0; j < i; j++) {
            if (strcmp(base_name(argv[3 + i]), base_name(argv[3 + j])) == 0) {
                fail("a second file is called", argv[3 + i]);
            }
        }
        lens[i] = put_bytes(out, argv[3 + i], i);
    }
    fprintf(out, "\nconst struct embedded_file %s[] = {\n", argv[2]);
    for (int i = 0; i < count; i++) {
        fprintf(out, "    {\"%s\", file_%d, %zu},\n", base_name(argv[3 + i]), i, lens[i]);
    }
    fprintf(out, "};\nconst size_t %s_count = %d;\n", argv[2], count);
    free(lens);
    if (ferror(out) || fclose(out) != 0) fail("cannot write", argv[1]);
    return 0;
}

/* Turns files into C: embed_files OUT_C SYMBOL FILE...
 *
 * OUT_C defines SYMBOL, an array of struct embedded_file (web/embedded.h) in the order given, and
 * SYMBOL_count. Their bytes are gzip: as most browsers take them, and a fifth of the room. A file
 * is known by its name without its folders, so two of one name stop the build.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

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

struct lens {
    size_t plain, gzip;
};

static unsigned char *read_all(const char *path, size_t *out_len)
{
    FILE *in = fopen(path, "rb");
    if (in == NULL || fseek(in, 0, SEEK_END) != 0) fail("cannot open", path);
    long len = ftell(in);
    unsigned char *bytes = len < 0 ? NULL : malloc((size_t)len + 1);
    rewind(in);
    if (bytes == NULL || fread(bytes, 1, (size_t)len, in) != (size_t)len) fail("cannot read", path);
    fclose(in);
    *out_len = (size_t)len;
    return bytes;
}

static struct lens put_bytes(FILE *out, const char *path, int number)
{
    struct lens lens;
    unsigned char *bytes = read_all(path, &lens.plain);
    z_stream z = {0};
    /* the largest window, in gzip form; zlib's default memory */
    if (deflateInit2(&z, Z_BEST_COMPRESSION, Z_DEFLATED, 15 + 16, 8, Z_DEFAULT_STRATEGY) != Z_OK) {
        fail("cannot compress", path);
    }
    size_t room = deflateBound(&z, lens.plain);
    unsigned char *gzip = malloc(room);
    if (gzip == NULL) fail("cannot compress", path);
    z.next_in = bytes;
    z.avail_in = (uInt)lens.plain;
    z.next_out = gzip;
    z.avail_out = (uInt)room;
    if (deflate(&z, Z_FINISH) != Z_STREAM_END) fail("cannot compress", path);
    lens.gzip = z.total_out;
    deflateEnd(&z);
    fprintf(out, "static const unsigned char file_%d[] = {", number);
    for (size_t i = 0; i < lens.gzip; i++) {
        fprintf(out, "%s%d,", i % 24 == 0 ? "\n" : "", gzip[i]);
    }
    fputs("};\n", out);
    free(gzip);
    free(bytes);
    return lens;
}

int main(int argc, char **argv)
{
    if (argc < 4) {
        fputs("embed_files OUT_C SYMBOL FILE...\n", stderr);
        return 2;
    }
    int count = argc - 3;
    struct lens *lens = calloc((size_t)count, sizeof *lens);
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
        fprintf(out, "    {\"%s\", file_%d, %zu, %zu},\n", base_name(argv[3 + i]), i, lens[i].gzip,
                lens[i].plain);
    }
    fprintf(out, "};\nconst size_t %s_count = %d;\n", argv[2], count);
    free(lens);
    if (ferror(out) || fclose(out) != 0) fail("cannot write", argv[1]);
    return 0;
}

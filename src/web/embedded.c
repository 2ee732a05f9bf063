#include "web/embedded.h"

#include <zlib.h>

#include "base/check.h"

const char *embedded_bytes(struct arena *a, const struct embedded_file *file)
{
    char *out = arena_alloc(a, file->len + 1);
    z_stream z = {.next_in = (Bytef *)(uintptr_t)file->gzip,
                  .avail_in = (uInt)file->gzip_len,
                  .next_out = (Bytef *)out,
                  .avail_out = (uInt)file->len + 1};
    CHECK(inflateInit2(&z, 15 + 16) == Z_OK); /* the largest window, in gzip form */
    CHECK(inflate(&z, Z_FINISH) == Z_STREAM_END && z.total_out == file->len);
    inflateEnd(&z);
    out[file->len] = '\0';
    return out;
}

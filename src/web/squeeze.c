#include "web/squeeze.h"

#include <zlib.h>

#include "base/check.h"
#include "web/limits.h"

enum {
    GZIP_WINDOW = 15 + 16, /* zlib's way of asking for gzip around the largest window */
    MEMORY_LEVEL = 8,      /* zlib's own default */
    LEVEL = 4 /* twice as fast as the default for a few percent more bytes (common practice) */
};

const char *squeeze(struct arena *a, const char *bytes, size_t len, size_t *out_len)
{
    if (len < WEB_GZIP_MIN) {
        return NULL;
    }
    z_stream z = {0};
    CHECK(deflateInit2(&z, LEVEL, Z_DEFLATED, GZIP_WINDOW, MEMORY_LEVEL, Z_DEFAULT_STRATEGY) ==
          Z_OK);
    size_t room = deflateBound(&z, len);
    char *out = arena_alloc(a, room);
    z.next_in = (Bytef *)(uintptr_t)bytes;
    z.avail_in = (uInt)len;
    z.next_out = (Bytef *)out;
    z.avail_out = (uInt)room;
    CHECK(deflate(&z, Z_FINISH) == Z_STREAM_END);
    *out_len = z.total_out;
    deflateEnd(&z);
    return *out_len < len - len / 8 ? out : NULL;
}

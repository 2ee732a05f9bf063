#include "base/uuid.h"

#include "base/digest.h"

void uuid_make(struct world world, uint8_t out[16])
{
    uint64_t ms = (uint64_t)world.now_ms(world.self);
    world.random(world.self, out, 16);
    for (int i = 0; i < 6; i++) {
        out[i] = (uint8_t)(ms >> (40 - 8 * i));
    }
    out[6] = (uint8_t)((out[6] & 0x0f) | 0x70); /* version 7 */
    out[8] = (uint8_t)((out[8] & 0x3f) | 0x80); /* the variant of the RFC */
}

static int hex_digit(char c)
{
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

struct result uuid_read(const char *text, const char *field, uint8_t out[16])
{
    size_t n = 0;
    for (const char *p = text; *p != '\0'; p++) {
        size_t at = (size_t)(p - text);
        if (*p == '-' && (at == 8 || at == 13 || at == 18 || at == 23)) {
            continue;
        }
        int digit = hex_digit(*p);
        if (digit < 0 || n >= 32) {
            return FAIL1(UUID_BAD, field, text);
        }
        out[n / 2] = (uint8_t)(n % 2 == 0 ? digit << 4 : out[n / 2] | digit);
        n++;
    }
    return n == 32 ? RESULT_OK : FAIL1(UUID_BAD, field, text);
}

const char *uuid_text(struct arena *a, const uint8_t uuid[16])
{
    const char *h = hex_text(a, uuid, 16);
    return arena_printf(a, "%.8s-%.4s-%.4s-%.4s-%.12s", h, h + 8, h + 12, h + 16, h + 20);
}

const char *uuid_new(struct arena *a, struct world world)
{
    uint8_t uuid[16];
    uuid_make(world, uuid);
    return uuid_text(a, uuid);
}

#include "paper/qr.h"

#include <string.h>
#include <zint.h>

#include "base/check.h"

struct result qr_make(struct arena *a, const char *text, const char *field, struct qr *out)
{
    size_t len = strlen(text);
    if (len == 0 || len > QR_TEXT_MAX) {
        return FAIL2(FIELD_RANGE, field, len == 0 ? "empty" : "too long", "1 to 500 bytes");
    }
    struct zint_symbol *symbol = ZBarcode_Create();
    CHECK(symbol != NULL);
    symbol->symbology = BARCODE_QRCODE;
    symbol->input_mode = UNICODE_MODE;
    symbol->option_1 = 2; /* M: reads with 15 % of it spoilt */
    struct result r = RESULT_OK;
    int code = ZBarcode_Encode(symbol, (const unsigned char *)text, (int)len);
    if (code >= ZINT_ERROR) {
        r = FAIL2(SYMBOL_REFUSED, field, text, symbol->errtxt);
    } else {
        CHECK(symbol->rows == symbol->width);
        bool *dark = ARENA_ARRAY(a, bool, (size_t)(symbol->rows * symbol->width));
        for (int y = 0; y < symbol->rows; y++) {
            for (int x = 0; x < symbol->width; x++) {
                dark[y * symbol->width + x] = (symbol->encoded_data[y][x >> 3] >> (x & 7) & 1) != 0;
            }
        }
        *out = (struct qr){.size = symbol->width, .dark = dark};
    }
    ZBarcode_Delete(symbol);
    return r;
}

static bool is_light(const struct qr *qr, int x, int y)
{
    return x < 0 || y < 0 || x >= qr->size || y >= qr->size || !qr->dark[y * qr->size + x];
}

const char *qr_text(struct arena *a, const struct qr *qr)
{
    int from = -QR_QUIET_MODULES, to = qr->size + QR_QUIET_MODULES;
    size_t room = (size_t)((to - from) * 3 + 1) * (size_t)((to - from) / 2 + 1) + 1, n = 0;
    char *out = arena_alloc(a, room);
    for (int y = from; y < to; y += 2) {
        for (int x = from; x < to; x++) {
            bool upper = is_light(qr, x, y), lower = is_light(qr, x, y + 1);
            const char *block = upper && lower ? "\u2588"
                                : upper        ? "\u2580"
                                : lower        ? "\u2584"
                                               : " ";
            size_t len = strlen(block);
            CHECK(n + len + 1 < room);
            memcpy(out + n, block, len);
            n += len;
        }
        out[n++] = '\n';
    }
    out[n] = '\0';
    return out;
}

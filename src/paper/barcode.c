#include "paper/barcode.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <zint.h>

#include "base/check.h"

#define MM_PER_INCH 25.4
#define HOUSE_MODULE_MIN_MM 0.25

static bool module_is_bar(const struct zint_symbol *symbol, int i)
{
    return (symbol->encoded_data[0][i >> 3] >> (i & 7) & 1) != 0;
}

/* Rows of modules -> lengths of the runs. */
static void widths_of(struct arena *a, const struct zint_symbol *symbol, struct barcode *out)
{
    CHECK(symbol->rows == 1 && symbol->width > 0);
    CHECK(module_is_bar(symbol, 0) && module_is_bar(symbol, symbol->width - 1));
    uint8_t *widths = arena_alloc(a, (size_t)symbol->width);
    size_t count = 0;
    int start = 0;
    for (int i = 1; i <= symbol->width; i++) {
        if (i == symbol->width || module_is_bar(symbol, i) != module_is_bar(symbol, start)) {
            widths[count++] = (uint8_t)(i - start);
            start = i;
        }
    }
    out->widths = widths;
    out->width_count = count;
    out->modules = symbol->width;
}

static struct result encode(struct arena *a, const char *text, int symbology, int input_mode,
                            const char *field, struct barcode *out)
{
    struct zint_symbol *symbol = ZBarcode_Create();
    CHECK(symbol != NULL);
    symbol->symbology = symbology;
    symbol->input_mode = input_mode;
    symbol->warn_level = WARN_FAIL_ALL;
    symbol->show_hrt = 0;
    char copy[256];
    size_t len = strlen(text);
    CHECK(len < sizeof copy);
    memcpy(copy, text, len + 1);
    int code = ZBarcode_Encode(symbol, (unsigned char *)copy, (int)len);
    struct result r = RESULT_OK;
    if (code != 0) {
        r = FAIL2(SYMBOL_REFUSED, field, text, symbol->errtxt);
    } else {
        widths_of(a, symbol, out);
    }
    ZBarcode_Delete(symbol);
    return r;
}

struct result barcode_code_128(struct arena *a, const char *text, const char *field,
                               struct barcode *out)
{
    char number[24];
    size_t len = strlen(text);
    for (size_t i = 0; i < len; i++) {
        if (text[i] < ' ' || text[i] > '~') {
            snprintf(number, sizeof number, "%zu", i + 1);
            return result_at(FAIL2(SYMBOL_CHARACTER, field, text, number), 0, (int64_t)i + 1);
        }
    }
    if (len < 1 || len > CODE_128_CHARACTERS_MAX) {
        snprintf(number, sizeof number, "%zu", len);
        return FAIL1(SYMBOL_LENGTH, field, number);
    }
    *out = (struct barcode){
        .gs1 = false, .readable = arena_copy(a, text), .scanned = arena_copy(a, text)};
    return encode(a, text, BARCODE_CODE128, DATA_MODE, field, out);
}

/* The encoder wants square brackets; none can stand in a value, since set 82 has none. */
static const char *for_encoder(struct arena *a, const struct gs1_element *elements, size_t count)
{
    const char *text = "";
    for (size_t i = 0; i < count; i++) {
        text = arena_printf(a, "%s[%s]%s", text, elements[i].ai, elements[i].value);
    }
    return text;
}

struct result barcode_gs1_128(struct arena *a, const struct gs1_element *elements, size_t count,
                              struct barcode *out)
{
    CHECK(count > 0);
    struct gs1_string string;
    TRY(gs1_string_make(a, elements, count, &string));
    if (string.chars > GS1_128_CHARACTERS_MAX) {
        char number[24];
        snprintf(number, sizeof number, "%zu", string.chars);
        return FAIL2(SYMBOL_LONG, elements[0].field, string.bracketed, number);
    }
    *out = (struct barcode){.gs1 = true, .readable = string.bracketed, .scanned = string.scanned};
    return encode(a, for_encoder(a, elements, count), BARCODE_GS1_128, GS1_MODE, elements[0].field,
                  out);
}

double barcode_width_mm(const struct barcode *symbol, double module_mm)
{
    return (symbol->modules + 2 * BARCODE_QUIET_MODULES) * module_mm;
}

struct result barcode_module_dots(const struct barcode *symbol, double width_mm, int printer_dpi,
                                  const char *field, int *out_dots)
{
    CHECK(printer_dpi >= 100 && printer_dpi <= 2400);
    double dot_mm = MM_PER_INCH / printer_dpi;
    int dots = (int)ceil(GS1_128_MODULE_MIN_MM / dot_mm);
    double limit_mm = width_mm;
    if (symbol->gs1) {
        CHECK(dots * dot_mm <= GS1_128_MODULE_MAX_MM);
        limit_mm = fmin(width_mm, GS1_128_WIDTH_MAX_MM);
    }
    double floor_mm = symbol->gs1 ? GS1_128_MODULE_MIN_MM : HOUSE_MODULE_MIN_MM;
    for (; dots * dot_mm >= floor_mm; dots--) {
        if (barcode_width_mm(symbol, dots * dot_mm) <= limit_mm) {
            *out_dots = dots;
            return RESULT_OK;
        }
    }
    char needs[24], has[24];
    snprintf(needs, sizeof needs, "%.1f", barcode_width_mm(symbol, (dots + 1) * dot_mm));
    snprintf(has, sizeof has, "%.1f", limit_mm);
    return FAIL3(SYMBOL_WIDE, field, symbol->readable, needs, has);
}

#include "base/decimal.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "base/check.h"

enum { SCALE_MAX = 18 };

/* The number is text[0..len); whole is what the user wrote, for the message. */
static struct result number_read(const char *text, size_t len, int scale, const char *field,
                                 const char *whole, int64_t *out)
{
    CHECK(scale >= 0 && scale <= SCALE_MAX);
    size_t i = 0;
    bool negative = len > 0 && text[0] == '-';
    if (len > 0 && (text[0] == '-' || text[0] == '+')) {
        i++;
    }
    size_t first = i;
    int64_t value = 0;
    int decimals = -1; /* -1 before the point */
    bool large = false, fine = false;
    for (; i < len; i++) {
        char c = text[i];
        if (c == '.' && decimals < 0 && i > first && i + 1 < len) {
            decimals = 0;
            continue;
        }
        if (!isdigit((unsigned char)c)) {
            return FAIL1(DECIMAL_BAD, field, whole);
        }
        if (decimals >= 0 && ++decimals > scale) {
            fine = fine || c != '0';
            continue;
        }
        int64_t digit = c - '0';
        large = large || __builtin_mul_overflow(value, (int64_t)10, &value) ||
                __builtin_sub_overflow(value, digit, &value); /* kept negative: the wider side */
    }
    if (i == first) {
        return FAIL1(DECIMAL_BAD, field, whole);
    }
    if (fine) {
        char most[8];
        snprintf(most, sizeof most, "%d", scale);
        return FAIL2(DECIMAL_FINE, field, whole, most);
    }
    for (int have = decimals < 0 ? 0 : decimals; have < scale; have++) {
        large = large || __builtin_mul_overflow(value, (int64_t)10, &value);
    }
    if (large || (!negative && value == INT64_MIN)) {
        return FAIL1(DECIMAL_LARGE, field, whole);
    }
    *out = negative ? value : -value;
    return RESULT_OK;
}

struct result decimal_read(const char *text, int scale, const char *field, int64_t *out)
{
    return number_read(text, strlen(text), scale, field, text, out);
}

static uint64_t size_of(int64_t value)
{
    return value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
}

static char *signed_before(char *end, uint64_t size, bool is_negative)
{
    do {
        *--end = (char)('0' + size % 10);
        size /= 10;
    } while (size > 0);
    if (is_negative) {
        *--end = '-';
    }
    return end;
}

char *integer_before(char *end, int64_t value)
{
    return signed_before(end, size_of(value), value < 0);
}

const char *decimal_text(struct arena *a, int64_t value, int scale, bool keep_zeros)
{
    CHECK(scale >= 0 && scale <= SCALE_MAX);
    uint64_t rest = size_of(value);
    char text[32]; /* by hand, from the right: a decision writes several */
    char *at = text + sizeof text;
    bool seen = keep_zeros; /* behind the point, zeros at the end may be left out */
    for (int i = 0; i < scale; i++, rest /= 10) {
        seen = seen || rest % 10 != 0;
        if (seen) {
            *--at = (char)('0' + rest % 10);
        }
    }
    if (at < text + sizeof text) {
        *--at = '.';
    }
    at = signed_before(at, rest, value < 0);
    return arena_copy_n(a, at, (size_t)(text + sizeof text - at));
}

/* A unit: the number is read with this scale and then multiplied. */
struct unit_row {
    const char *name;
    int scale;
    int64_t factor;
};

static struct result quantity_read(const char *text, const char *field,
                                   const struct unit_row *units, const char *choice, int64_t *out)
{
    size_t len = strspn(text, "+-.0123456789");
    const char *unit = text + len + strspn(text + len, " ");
    for (const struct unit_row *u = units; u->name != NULL; u++) {
        if (strcmp(u->name, unit) == 0) {
            int64_t number;
            TRY(number_read(text, len, u->scale, field, text, &number));
            if (__builtin_mul_overflow(number, u->factor, out)) {
                return FAIL1(DECIMAL_LARGE, field, text);
            }
            return RESULT_OK;
        }
    }
    if (len == 0) {
        return FAIL1(DECIMAL_BAD, field, text);
    }
    return FAIL2(UNIT_BAD, field, unit, choice);
}

struct result mass_read(const char *text, const char *field, int64_t *out_mg)
{
    static const struct unit_row units[] = {
        {"kg", 6, 1}, {"g", 3, 1}, {"mg", 0, 1}, {"t", 9, 1}, {NULL, 0, 0}};
    return quantity_read(text, field, units, "kg, g, mg, t", out_mg);
}

struct result temp_read(const char *text, const char *field, int64_t *out_mc)
{
    static const struct unit_row units[] = {
        {"C", 3, 1}, {"\u00b0C", 3, 1}, {"", 3, 1}, {NULL, 0, 0}};
    return quantity_read(text, field, units, "C", out_mc);
}

struct result duration_read(const char *text, const char *field, int64_t *out_ms)
{
    static const struct unit_row units[] = {{"s", 3, 1},     {"min", 3, 60}, {"h", 3, 3600},
                                            {"d", 3, 86400}, {"ms", 0, 1},   {NULL, 0, 0}};
    int64_t ms;
    TRY(quantity_read(text, field, units, "s, min, h, d", &ms));
    if (ms < 0) {
        return FAIL2(FIELD_RANGE, field, text, "0 s or longer");
    }
    *out_ms = ms;
    return RESULT_OK;
}

struct result percent_read(const char *text, const char *field, int64_t *out_ppm)
{
    static const struct unit_row units[] = {{"%", 4, 1}, {NULL, 0, 0}};
    return quantity_read(text, field, units, "%", out_ppm);
}

/* Rounds to a multiple of step, halves away from zero. step is a power of ten. */
static int64_t rounded(int64_t value, int64_t step)
{
    int64_t rest = value % step;
    int64_t down = value - rest;
    int64_t half = step / 2;
    if (step > 1 && (rest >= half || rest <= -half)) {
        int64_t up;
        return __builtin_add_overflow(down, rest < 0 ? -step : step, &up) ? down : up;
    }
    return down;
}

const char *mass_text(struct arena *a, int64_t mg, int64_t division_mg)
{
    int64_t step =
        1; /* the largest power of ten within the division: the last digit the scale showed */
    int step_log = 0;
    while (step <= division_mg / 10) {
        step *= 10;
        step_log++;
    }
    int64_t shown = rounded(mg, step);
    bool in_kg = shown >= 1000000 || shown <= -1000000;
    int scale = in_kg ? 6 : 3;
    if (division_mg <= 0) {
        return arena_printf(a, "%s %s", decimal_text(a, shown, scale, false), in_kg ? "kg" : "g");
    }
    int decimals = scale > step_log ? scale - step_log : 0;
    for (int i = decimals; i < scale; i++) {
        shown /= 10;
    }
    return arena_printf(a, "%s %s", decimal_text(a, shown, decimals, true), in_kg ? "kg" : "g");
}

#include "base/csv_decode.h"

#include <stdint.h>

/* Code points of bytes 80..9F; 0 where there is none. Unicode Consortium 1998, "cp1252 to Unicode
 * table" version 2.01: from memory, compared byte by byte with the C library's own converter in
 * tests/base/csv_test.c. A0..FF are themselves. */
static const uint16_t high_32[32] = {
    0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017D, 0,      0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178,
};

/* How many bytes the character at bytes takes, 0 when it is not one. */
static size_t utf8_one(const unsigned char *b, size_t len)
{
    if (b[0] < 0x80) {
        return 1;
    }
    size_t need = b[0] >= 0xF0 ? 4 : b[0] >= 0xE0 ? 3 : 2;
    if (b[0] < 0xC2 || b[0] > 0xF4 || len < need) {
        return 0;
    }
    for (size_t i = 1; i < need; i++) {
        if ((b[i] & 0xC0) != 0x80) {
            return 0;
        }
    }
    bool overlong = (b[0] == 0xE0 && b[1] < 0xA0) || (b[0] == 0xF0 && b[1] < 0x90);
    bool surrogate = b[0] == 0xED && b[1] > 0x9F;
    bool beyond = b[0] == 0xF4 && b[1] > 0x8F;
    return overlong || surrogate || beyond ? 0 : need;
}

size_t utf8_valid_len(const unsigned char *bytes, size_t len)
{
    size_t at = 0;
    while (at < len) {
        size_t one = utf8_one(bytes + at, len - at);
        if (one == 0) {
            break;
        }
        at += one;
    }
    return at;
}

size_t utf8_characters(const char *text, size_t len)
{
    size_t count = 0;
    for (size_t i = 0; i < len; i++) {
        count += ((unsigned char)text[i] & 0xC0) != 0x80;
    }
    return count;
}

size_t windows_1252_decode(const unsigned char *bytes, size_t len, char *out, size_t *out_bad)
{
    size_t n = 0;
    for (size_t i = 0; i < len; i++) {
        unsigned point = bytes[i];
        if (point >= 0x80 && point < 0xA0) {
            point = high_32[point - 0x80];
            if (point == 0) {
                *out_bad = i;
                return n;
            }
        }
        if (point < 0x80) {
            out[n++] = (char)point;
        } else if (point < 0x800) {
            out[n++] = (char)(0xC0 | (point >> 6));
            out[n++] = (char)(0x80 | (point & 0x3F));
        } else {
            out[n++] = (char)(0xE0 | (point >> 12));
            out[n++] = (char)(0x80 | ((point >> 6) & 0x3F));
            out[n++] = (char)(0x80 | (point & 0x3F));
        }
    }
    *out_bad = len;
    return n;
}

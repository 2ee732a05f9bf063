/* The two encodings of csv.h, a cell at a time. */
#ifndef BASE_CSV_DECODE_H
#define BASE_CSV_DECODE_H

#include <stdbool.h>
#include <stddef.h>

/* Length of the beginning of bytes that is valid UTF-8 (RFC 3629: no surrogates, no overlong forms,
 * up to U+10FFFF). */
size_t utf8_valid_len(const unsigned char *bytes, size_t len);
/* Characters in valid UTF-8. */
size_t utf8_characters(const char *text, size_t len);
/* Windows-1252 -> UTF-8, up to three bytes a character. Returns bytes written; *out_bad is the
 * index of the first of the five bytes that stand for nothing (81 8D 8F 90 9D), or len. */
size_t windows_1252_decode(const unsigned char *bytes, size_t len, char *out, size_t *out_bad);

#endif

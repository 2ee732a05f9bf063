/* Exact decimals: scaled integers in, text out. No binary floating point on the way. */
#ifndef BASE_DECIMAL_H
#define BASE_DECIMAL_H

#include "base/result.h"

/* "12.5" with scale 3 -> 12500. Sign allowed; no exponent, no spaces, point only. Zeros past the
 * scale are fine. Errors: DECIMAL_BAD, DECIMAL_FINE, DECIMAL_LARGE. */
MUST_USE struct result decimal_read(const char *text, int scale, const char *field, int64_t *out);
/* 12500, scale 3 -> "12.5"; keep_zeros: "12.500". */
const char *decimal_text(struct arena *a, int64_t value, int scale, bool keep_zeros);
/* A whole number written so that its last digit stands before end; nothing is put behind it. -> its
 * first character, at most INTEGER_TEXT_MAX before end. By hand: an entry has dozens, and a
 * formatted print of each would be a tenth of its cost. */
enum { INTEGER_TEXT_MAX = 20 };
char *integer_before(char *end, int64_t value);

/* "942 kg", "942.5kg", "300 g", "12 mg", "1.2 t" -> mg. A number without a unit is refused
 * (UNIT_BAD). */
MUST_USE struct result mass_read(const char *text, const char *field, int64_t *out_mg);
/* mg -> "942.5 kg" (or g below 1 kg), no more digits than division_mg allows (0: all digits). */
const char *mass_text(struct arena *a, int64_t mg, int64_t division_mg);
/* "85 C" or "85.25 C" or "85.25" -> thousandths of a degree Celsius. */
MUST_USE struct result temp_read(const char *text, const char *field, int64_t *out_mc);
/* "40 s", "12 min", "48 h", "2 d" -> ms. */
MUST_USE struct result duration_read(const char *text, const char *field, int64_t *out_ms);
/* "12.5 %" or "12.5%" -> parts per million (125000). */
MUST_USE struct result percent_read(const char *text, const char *field, int64_t *out_ppm);

#endif

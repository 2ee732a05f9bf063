/* Identification keys and element strings of the GS1 system: check digits, GTINs, and the fields
 * behind the bars.
 *
 * Keys are texts of digits, never numbers: leading zeros count. Every function that can be handed a
 * user's text names the field and the position of the first character that is wrong.
 *
 * Known application identifiers: 00 01 02 10 11 13 15 17 21 37 3100..3105.
 * Formats, separators and pairing: GS1, Barcode Syntax Dictionary, release of 2026-07-27
 * (published, seen). */
#ifndef PAPER_GS1_H
#define PAPER_GS1_H

#include "base/result.h"

/* One field of a symbol. field is the name the user knows it by, for messages. */
struct gs1_element {
    const char *ai;
    const char *value;
    const char *field;
};

/* Several fields as one string.
 * bracketed  for people: (01)09520123456788(10)ABC
 * scanned    what a scanner hands over after its symbology identifier: separators are the byte 0x1D
 * chars      data characters the way the 48-character limit of GS1-128 counts them: identifiers,
 * values, separators */
struct gs1_string {
    const char *bracketed;
    const char *scanned;
    size_t chars;
};

enum { GS1_LOT_MAX = 20, GS1_SEPARATOR = 0x1D };

/* The digit that makes len digits a whole key; any len from 1. digits must hold digits only
 * (CHECK). */
char gs1_check_digit(const char *digits, size_t len);
/* A whole key of 8, 12, 13, 14, 17 or 18 digits. KEY_LENGTH, KEY_DIGIT, KEY_CHECK. */
MUST_USE struct result gs1_key_check(const char *digits, const char *field);
/* GTIN of 8, 12, 13 or 14 digits -> the same number with 14 digits. Errors as above. */
MUST_USE struct result gs1_gtin14(struct arena *a, const char *text, const char *field,
                                  const char **out);
/* Day -> YYMMDD. FIELD_RANGE outside 2000..2099, where two digits of the year are read back the
 * same. */
MUST_USE struct result gs1_date(struct arena *a, int32_t day, const char *field, const char **out);
/* Net weight with the decimals of kilograms that were measured (0..5): 3 and 1 250 000 mg -> 3103,
 * 001250. ELEMENT_FINE when the mass has more decimals, ELEMENT_LARGE when six digits do not hold
 * it. */
MUST_USE struct result gs1_net_weight(struct arena *a, int64_t mass_mg, int decimals,
                                      const char *field, struct gs1_element *out);

/* Everything that is on one item: each element by itself, no identifier twice with different
 * values, and the pairs the dictionary demands or forbids. ELEMENT_UNKNOWN, ELEMENT_LENGTH,
 * ELEMENT_CHARACTER, ELEMENT_DATE, KEY_CHECK, ELEMENT_TWICE, ELEMENT_NEEDS, ELEMENT_CLASH. */
MUST_USE struct result gs1_elements_check(const struct gs1_element *elements, size_t count);
/* One symbol's share of an item. Each element is checked by itself; pairs are not, since an item
 * may bear several symbols. */
MUST_USE struct result gs1_string_make(struct arena *a, const struct gs1_element *elements,
                                       size_t count, struct gs1_string *out);
/* What a scanner or a person handed over, bracketed or scanned, with or without the symbology
 * identifier "]C1": its fields with their identifiers, in order. false: it is no such string, or
 * has more than room fields. The values are not checked. */
bool gs1_string_read(struct arena *a, const char *text, struct gs1_element *out, size_t room,
                     size_t *out_count);

#endif

/* JSON at the edges and in entries. jansson reads; reading here is stricter: UTF-8, no duplicate
 * names, depth and size capped. Writing is RFC 8785 (names sorted by UTF-16 code units, shortest
 * escapes); entries hold integers and strings only, so no real number is ever written:
 * json_canonical refuses reals by CHECK. */
#ifndef BASE_JSON_H
#define BASE_JSON_H

#include <jansson.h>

#include "base/digest.h"
#include "base/result.h"

/* What comes in may be 64 deep; what is stored wraps it in an entry, so that is read back and
 * written with more room. */
enum { JSON_DEPTH_MAX = 64, JSON_DEPTH_STORED = 80 };

/* Parses exactly one value. On success the caller owns *out (json_decref). Errors: JSON_BAD (with
 * line, column), JSON_DUPLICATE, JSON_DEEP, INPUT_LARGE. Real numbers are accepted here;
 * json_no_reals tells. */
MUST_USE struct result json_read(const char *bytes, size_t len, size_t limit_bytes, json_t **out);
/* The same for text that json_canonical wrote: up to JSON_DEPTH_STORED, any size. */
MUST_USE struct result json_read_stored(const char *text, json_t **out);
/* Of an object that json_canonical wrote the members whose names stand before that one, which is
 * the cheap way to what was told: "did" stands before "effects", which is most of an entry. The
 * whole object where it has no such member. */
MUST_USE struct result json_read_stored_before(struct arena *a, const char *text, const char *name,
                                               json_t **out);
/* FIELD_TYPE when any number in value is a real: decimals travel as strings with their unit.
 * FIELD_RANGE for a whole number beyond +-(2^53 - 1). What passes here can be written by
 * json_canonical. */
MUST_USE struct result json_no_reals(const json_t *value);
/* As short as it gets, members in the order in which they were put in: for answers. The caller
 * frees it. */
char *json_text(const json_t *value, size_t *out_len);
/* RFC 8785 text, in the arena. */
const char *json_canonical(struct arena *a, const json_t *value);
/* The SHA-256 of that text, of an object without the members named (NULL-ended). */
struct hash json_sum_without(const json_t *value, const char *const *names);
/* A text (UTF-8) as json_canonical writes it, with its quotes. */
const char *json_quoted(struct arena *a, const char *text);

/* Typed getters. path is the field's name as the user knows it ("outputs[1].mass"); key is looked
 * up in object. need: FIELD_MISSING when absent or null; without need *out keeps its value. Texts
 * are borrowed from the object. */
enum json_need { JSON_OPTIONAL = 0, JSON_NEEDED = 1 };
MUST_USE struct result json_get_text(const json_t *object, const char *key, const char *path,
                                     enum json_need need, const char **out);
MUST_USE struct result json_get_int(const json_t *object, const char *key, const char *path,
                                    enum json_need need, int64_t low, int64_t high, int64_t *out);
MUST_USE struct result json_get_bool(const json_t *object, const char *key, const char *path,
                                     enum json_need need, bool *out);
MUST_USE struct result json_get_array(const json_t *object, const char *key, const char *path,
                                      enum json_need need, json_t **out);
MUST_USE struct result json_get_object(const json_t *object, const char *key, const char *path,
                                       enum json_need need, json_t **out);
/* FIELD_UNKNOWN for the first name in object that is not in names (NULL-ended). what: "a harvest".
 */
MUST_USE struct result json_only(const json_t *object, const char *path, const char *what,
                                 const char *const *names);
/* The 1-based line on which the value at a path such as "steps[3].checks[0].low" begins in valid
 * JSON text; the nearest parent's line when the path does not exist. For messages about files
 * people edit. */
int64_t json_line_of(const char *text, const char *path);

#endif

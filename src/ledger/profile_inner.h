/* Between profile.c and the files that fill a profile from JSON; nobody else includes this. */
#ifndef LEDGER_PROFILE_INNER_H
#define LEDGER_PROFILE_INNER_H

#include "base/json.h"
#include "ledger/profile.h"

/* field paths are those of the file ("steps[3].roles") so that the line can be found from them */
MUST_USE struct result profile_fill(struct profile *p, const json_t *root);
MUST_USE struct result profile_fill_rules(struct profile *p, const json_t *root);
MUST_USE struct result profile_fill_house(struct profile *p, const json_t *root);
MUST_USE struct result profile_fill_planning(struct profile *p, const json_t *root);
/* Of planning o: its recipes. */
MUST_USE struct result profile_fill_recipes(struct profile *p, const json_t *o,
                                            struct planning *out);
/* planning.received, where it is given */
MUST_USE struct result profile_fill_received(struct profile *p, const json_t *planning);
MUST_USE struct result profile_fill_lines(struct profile *p, const json_t *root);

MUST_USE struct result profile_text(struct profile *p, const json_t *o, const char *path,
                                    const char *key, enum json_need need, const char **out);
/* An array of texts as a comma list; "" when absent and optional. */
MUST_USE struct result profile_list(struct profile *p, const json_t *o, const char *path,
                                    const char *key, enum json_need need, const char **out);
MUST_USE struct result profile_bool(const json_t *o, const char *path, const char *key, bool *out);
MUST_USE struct result profile_duration(const json_t *o, const char *path, const char *key,
                                        enum json_need need, int64_t *out_ms);
MUST_USE struct result profile_percent(const json_t *o, const char *path, const char *key,
                                       enum json_need need, int64_t *out_ppm);
MUST_USE struct result profile_decimal(const json_t *o, const char *path, const char *key,
                                       enum json_need need, int64_t *out, bool *out_given);
MUST_USE struct result profile_temp(const json_t *o, const char *path, const char *key,
                                    enum json_need need, int64_t *out_mc);
MUST_USE struct result profile_mass(const json_t *o, const char *path, const char *key,
                                    enum json_need need, int64_t *out_mg);
/* An array of "mon" ... "sun" as bits, bit 0 Monday: one at least, 0 when absent and optional. */
MUST_USE struct result profile_weekdays(struct profile *p, const json_t *o, const char *path,
                                        const char *key, enum json_need need, unsigned *out);
/* The source named by key "source": PROFILE_BAD when the profile does not list it. */
MUST_USE struct result profile_source(struct profile *p, const json_t *o, const char *path,
                                      const char *key, enum json_need need,
                                      const struct source **out);

const char *path_join(struct profile *p, const char *path, const char *key);

/* Reads root[key] as an array of objects: makes *out_array of elements of size, calls fill for each
 * with its path. */
typedef struct result fill_fn(struct profile *p, const json_t *o, const char *path, void *element);
MUST_USE struct result profile_each(struct profile *p, const json_t *root, const char *parent,
                                    const char *key, size_t size, fill_fn *fill, void *out_array,
                                    size_t *out_count);

#endif

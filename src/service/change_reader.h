/* Reads the changes of a what-if: a list of objects, each with a "what" that says its kind, and the
 * names that the kind may have. */
#ifndef SERVICE_CHANGE_READER_H
#define SERVICE_CHANGE_READER_H

#include "base/arena.h"
#include "base/json.h"

/* One change as it is read. */
struct change {
    struct arena *arena;
    const json_t *o;
    const char *path; /* "changes[2]" */
    int32_t first_day;
    int day_count; /* of the plan */
};

struct change_kind {
    const char *what;
    struct result (*make)(const struct change *x, void *self);
    const char *names[8]; /* "what" too; ends with NULL */
    int stage;            /* changes of stage 0 are made before those of stage 1 */
};

struct change_kinds {
    const struct change_kind *list;
    size_t count;
};

/* Makes the changes of one stage, in their order; all of them are looked at. at: the arena and the
 * plan's days. changes NULL: none. FIELD_TYPE, FIELD_CHOICE, FIELD_UNKNOWN, and those of make. */
MUST_USE struct result change_each(const struct change *at, const json_t *changes,
                                   const struct change_kinds *kinds, int stage, void *self);

/* "changes[2].key" */
const char *change_field(const struct change *x, const char *key);
MUST_USE struct result change_int(const struct change *x, const char *key, int64_t low,
                                  int64_t high, int64_t *out);
MUST_USE struct result change_text(const struct change *x, const char *key, const char **out);
/* *out stays where the key is not given. */
MUST_USE struct result change_optional(const struct change *x, const char *key, const char **out);
/* As an index of the plan's days, any day; otherwise where none is given. */
MUST_USE struct result change_day_or(const struct change *x, const char *key, int otherwise,
                                     int *out);
/* Needed, and one of the plan's days. FIELD_RANGE. */
MUST_USE struct result change_day(const struct change *x, const char *key, int *out);

/* The place in a list of structs, each of which begins with its code, of the one that the change
 * names. The code given for one that is not there; of FIELD_CHOICE the sentence lists them. */
struct change_list {
    const void *first;
    int count;
    size_t size;
    enum code unknown;
};

MUST_USE struct result change_named(const struct change *x, const char *key,
                                    const struct change_list *list, int *out);
/* count: not there. */
int change_find(const struct change_list *list, const char *code);
#define CHANGE_LIST(first, count, unknown)                     \
    &(struct change_list)                                      \
    {                                                          \
        (first), (int)(count), sizeof *(first), CODE_##unknown \
    }
/* A list with room for more, to be changed. */
void *change_copy(struct arena *a, const void *list, int count, int more, size_t size);

#endif

/* Lot ids to places in an array. Ids are 64-bit and may be far apart; places are 0, 1, 2 ... in the
 * order of the ids. */
#ifndef TRACE_IDS_H
#define TRACE_IDS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Built once from many ids. Ids fall into buckets of equal width, about one id a bucket, so that a
 * search reads two places in memory and ids that are near each other share cache lines. */
struct id_map {
    int64_t *id; /* ascending, each once */
    uint32_t count;
    unsigned shift;  /* bucket of an id: (id - id[0]) >> shift */
    uint32_t *start; /* the first place of each bucket, and one more */
    size_t buckets;
};

/* ids may repeat, in any order; the array is sorted in place. More than 2^30 different ids: false.
 */
bool id_map_build(struct id_map *map, int64_t *ids, size_t count);
void id_map_release(struct id_map *map);
bool id_map_find(const struct id_map *map, int64_t id, uint32_t *out_place);

/* A short list that grows one by one, most often at its end: ids ascending, each with a value. */
struct id_list {
    int64_t *id;
    uint32_t *value;
    size_t count, room;
};

/* The id must be new to the list. */
void id_list_add(struct id_list *list, int64_t id, uint32_t value);
bool id_list_find(const struct id_list *list, int64_t id, uint32_t *out_value);
/* Drops every id whose value is first_value or more. */
void id_list_cut(struct id_list *list, uint32_t first_value);
void id_list_release(struct id_list *list);

#endif

#include "trace/ids.h"

#include <string.h>

#include "trace/memory.h"

enum { BUCKET_SCAN_MAX = 24, ID_COUNT_MAX = 1 << 30 };
static const size_t ID_MENTIONS_MAX = UINT32_MAX;

static int compare_ids(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

static void sort_ids(int64_t *ids, size_t count)
{
    if (count > BUCKET_SCAN_MAX) {
        qsort(ids, count, sizeof *ids, compare_ids);
        return;
    }
    for (size_t i = 1; i < count; i++) {
        int64_t id = ids[i];
        size_t k = i;
        for (; k > 0 && ids[k - 1] > id; k--) {
            ids[k] = ids[k - 1];
        }
        ids[k] = id;
    }
}

/* The smallest shift that leaves no more than count buckets; two where fewer are wanted, so that
 * it stays below the width of the range. */
static unsigned shift_for(uint64_t range, size_t count)
{
    unsigned shift = 0;
    count = count > 2 ? count : 2;
    while ((range >> shift) >= count) {
        shift++;
    }
    return shift;
}

/* One counting pass spreads the ids over buckets, then each bucket is sorted by itself. */
static int64_t *spread_and_sort(const int64_t *ids, size_t count, int64_t low, int64_t high)
{
    uint64_t range = (uint64_t)high - (uint64_t)low;
    unsigned shift = shift_for(range, count / 4 + 1);
    size_t buckets = (size_t)(range >> shift) + 1;
    uint32_t *end = MEMORY_ZERO(uint32_t, buckets + 1);
    for (size_t i = 0; i < count; i++) {
        end[(((uint64_t)ids[i] - (uint64_t)low) >> shift) + 1]++;
    }
    for (size_t b = 1; b <= buckets; b++) {
        end[b] += end[b - 1];
    }
    int64_t *spread = MEMORY_TAKE(int64_t, count);
    for (size_t i = 0; i < count; i++) {
        spread[end[((uint64_t)ids[i] - (uint64_t)low) >> shift]++] = ids[i];
    }
    uint32_t from = 0; /* filling moved each bucket's start to its end */
    for (size_t b = 0; b < buckets; b++) {
        sort_ids(spread + from, end[b] - from);
        from = end[b];
    }
    free(end);
    return spread;
}

static bool is_sorted(const int64_t *ids, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        if (ids[i - 1] > ids[i]) {
            return false;
        }
    }
    return true;
}

static int64_t *sort_all(const int64_t *ids, size_t count)
{
    int64_t low = ids[0], high = ids[0];
    for (size_t i = 1; i < count; i++) {
        low = ids[i] < low ? ids[i] : low;
        high = ids[i] > high ? ids[i] : high;
    }
    return spread_and_sort(ids, count, low, high);
}

static void make_buckets(struct id_map *map)
{
    uint64_t range = (uint64_t)map->id[map->count - 1] - (uint64_t)map->id[0];
    map->shift = shift_for(range, 2 * (size_t)map->count);
    map->buckets = (size_t)(range >> map->shift) + 1;
    map->start = MEMORY_TAKE(uint32_t, map->buckets + 1);
    size_t bucket = 0;
    for (uint32_t i = 0; i < map->count; i++) {
        size_t own = (size_t)(((uint64_t)map->id[i] - (uint64_t)map->id[0]) >> map->shift);
        for (; bucket <= own; bucket++) {
            map->start[bucket] = i;
        }
    }
    map->start[map->buckets] = map->count;
}

/* Each id once, in the place of the first; -> how many. */
static size_t drop_repeats(int64_t *ids, size_t count)
{
    size_t kept = 1;
    for (size_t i = 1; i < count; i++) {
        if (ids[i] != ids[i - 1]) {
            ids[kept++] = ids[i];
        }
    }
    return kept;
}

bool id_map_build(struct id_map *map, int64_t *ids, size_t count)
{
    *map = (struct id_map){.count = 0};
    if (count == 0 || count > ID_MENTIONS_MAX) {
        free(ids);
        return count == 0;
    }
    if (!is_sorted(ids, count)) {
        int64_t *sorted = sort_all(ids, count);
        free(ids);
        ids = sorted;
    }
    count = drop_repeats(ids, count);
    map->id = MEMORY_GROW(ids, int64_t, count);
    if (count > ID_COUNT_MAX) {
        return false;
    }
    map->count = (uint32_t)count;
    make_buckets(map);
    return true;
}

void id_map_release(struct id_map *map)
{
    free(map->id);
    free(map->start);
    *map = (struct id_map){.count = 0};
}

bool id_map_find(const struct id_map *map, int64_t id, uint32_t *out_place)
{
    if (map->count == 0 || id < map->id[0] || id > map->id[map->count - 1]) {
        return false;
    }
    size_t bucket = (size_t)(((uint64_t)id - (uint64_t)map->id[0]) >> map->shift);
    uint32_t from = map->start[bucket], to = map->start[bucket + 1];
    while (to - from > BUCKET_SCAN_MAX) {
        uint32_t middle = from + (to - from) / 2;
        if (map->id[middle] <= id) {
            from = middle;
        } else {
            to = middle;
        }
    }
    while (from < to && map->id[from] < id) {
        from++;
    }
    if (from == to || map->id[from] != id) {
        return false;
    }
    *out_place = from;
    return true;
}

/* The first place whose id is not below id. */
static size_t id_list_place(const struct id_list *list, int64_t id)
{
    size_t from = 0, to = list->count;
    if (to > 0 && list->id[to - 1] < id) {
        return to;
    }
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        if (list->id[middle] < id) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    return from;
}

void id_list_add(struct id_list *list, int64_t id, uint32_t value)
{
    if (list->count == list->room) {
        list->room = list->room > 0 ? 2 * list->room : 64;
        list->id = MEMORY_GROW(list->id, int64_t, list->room);
        list->value = MEMORY_GROW(list->value, uint32_t, list->room);
    }
    size_t at = id_list_place(list, id);
    CHECK(at == list->count || list->id[at] != id);
    memmove(list->id + at + 1, list->id + at, (list->count - at) * sizeof *list->id);
    memmove(list->value + at + 1, list->value + at, (list->count - at) * sizeof *list->value);
    list->id[at] = id;
    list->value[at] = value;
    list->count++;
}

bool id_list_find(const struct id_list *list, int64_t id, uint32_t *out_value)
{
    size_t at = id_list_place(list, id);
    if (at == list->count || list->id[at] != id) {
        return false;
    }
    *out_value = list->value[at];
    return true;
}

void id_list_cut(struct id_list *list, uint32_t first_value)
{
    size_t kept = 0;
    for (size_t i = 0; i < list->count; i++) {
        if (list->value[i] < first_value) {
            list->id[kept] = list->id[i];
            list->value[kept++] = list->value[i];
        }
    }
    list->count = kept;
}

void id_list_release(struct id_list *list)
{
    free(list->id);
    free(list->value);
    *list = (struct id_list){.count = 0};
}

#include "service/health.h"

#include <string.h>
#include <sys/stat.h>
#include <sys/statvfs.h>

#include "base/check.h"
#include "service/copies.h"

enum { DAY_MS = 86400000, DAYS_LEAST = 2, DAYS_SHOWN_MAX = 99999 };

static struct result finish(struct statement *q, bool row)
{
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result tree_root(struct store *s, struct hash *out_root, int64_t *out_size)
{
    struct merkle_edge edge = {0};
    struct statement *q = store_prepare(s, Q_TREE_GET);
    bool row;
    size_t len = 0;
    TRY(store_step(q, &row));
    edge.size = row ? (uint64_t)store_int(q, 0) : 0;
    const void *peaks = row ? store_bytes(q, 1, &len) : NULL;
    if (len != (size_t)__builtin_popcountll(edge.size) * sizeof edge.peak[0]) {
        return FAIL1(STORE_DAMAGED, "", "the edge of the tree does not fit its size");
    }
    if (peaks != NULL) {
        memcpy(edge.peak, peaks, len);
    }
    *out_root = merkle_edge_root(&edge);
    *out_size = (int64_t)edge.size;
    return finish(q, row);
}

static struct result newest_head(struct store *s, json_t **out)
{
    struct statement *q = store_prepare(s, Q_HEAD_NEWEST);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? json_pack("{s:I,s:I}", "size", (json_int_t)store_int(q, 0), "signed_ms",
                           (json_int_t)store_int(q, 1))
               : json_null();
    return finish(q, row);
}

static int64_t file_bytes(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 ? (int64_t)st.st_size : 0;
}

static struct result disk_days(struct plant *reader, struct arena *a, json_t **out)
{
    struct statvfs disk;
    struct statement *q = store_prepare(reader->store, Q_RECORD_SPAN);
    bool row;
    TRY(store_step(q, &row));
    int64_t span_ms = row ? store_int(q, 1) - store_int(q, 0) : 0;
    TRY(finish(q, row));
    const char *file = plant_file(a, reader->folder);
    int64_t used = file_bytes(file) + file_bytes(arena_printf(a, "%s-wal", file));
    *out = json_null();
    if (span_ms < DAYS_LEAST * (int64_t)DAY_MS || used <= 0 ||
        statvfs(reader->folder, &disk) != 0) {
        return RESULT_OK;
    }
    double free_bytes = (double)disk.f_bavail * (double)disk.f_frsize;
    double days = free_bytes / ((double)used * DAY_MS / (double)span_ms);
    *out = json_integer(days < DAYS_SHOWN_MAX ? (json_int_t)days : DAYS_SHOWN_MAX);
    return RESULT_OK;
}

struct result health_read(struct plant *reader, struct arena *a, json_t **out)
{
    struct hash root;
    int64_t size;
    struct copies_rule rule;
    json_t *head = NULL, *days = NULL;
    TRY(tree_root(reader->store, &root, &size));
    TRY(copies_read(reader->folder, a, &rule));
    TRY(newest_head(reader->store, &head));
    struct result r = disk_days(reader, a, &days);
    if (r.code != CODE_OK) {
        json_decref(head);
        return r;
    }
    json_t *at = rule.last_ms != 0 ? json_integer(rule.last_ms) : json_null();
    *out = json_pack("{s:I,s:s,s:o,s:{s:o,s:b,s:s?},s:o}", "size", (json_int_t)size, "root",
                     hex_text(a, root.b, sizeof root.b), "signed", head, "backup", "at_ms", at,
                     "checked", rule.last_ms != 0, "place", rule.to, "disk_days", days);
    CHECK(*out != NULL);
    return RESULT_OK;
}

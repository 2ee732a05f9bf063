#include "service/backup.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/civil.h"
#include "base/file.h"

enum { SMALL_MAX = 64 << 20 };

static const char *stamp(struct arena *a, int64_t ms)
{
    struct civil c = civil_from_ms(ms, 0);
    return arena_printf(a, "%04d%02d%02dT%02d%02d%02dZ", c.year, c.month, c.day, c.hour, c.minute, c.second);
}

static struct result copy_small(struct arena *a, const char *from, const char *to)
{
    char *bytes;
    size_t len;
    if (!file_exists(from)) {
        return RESULT_OK;
    }
    TRY(file_read(a, from, SMALL_MAX, &bytes, &len));
    return file_write(to, bytes, len, 0644);
}

struct result backup_make(struct plant *reader, const char *folder, int64_t now_ms, struct arena *a, const char **out_path)
{
    const char *path = arena_printf(a, "%s/plant-%s", folder, stamp(a, now_ms));
    TRY(folder_make(path));
    TRY(store_backup(reader->store, arena_printf(a, "%s/plant.db", path)));
    TRY(copy_small(a, arena_printf(a, "%s/plant.zone", reader->folder), arena_printf(a, "%s/plant.zone", path)));
    TRY(copy_small(a, arena_printf(a, "%s/plant.heads", reader->folder), arena_printf(a, "%s/plant.heads", path)));
    *out_path = path;
    return RESULT_OK;
}

/* The record that is there is set aside whole: it may hold what the copy has not. */
static struct result set_aside(const char *folder, int64_t now_ms, struct arena *a)
{
    static const char *const parts[] = {"", "-wal", "-shm"};
    for (size_t i = 0; i < 3; i++) {
        const char *from = arena_printf(a, "%s/plant.db%s", folder, parts[i]);
        const char *to = arena_printf(a, "%s/plant.db.before-%s%s", folder, stamp(a, now_ms), parts[i]);
        if (file_exists(from) && rename(from, to) != 0) {
            return FAIL2(FILE_WRITE, "", to, strerror(errno));
        }
    }
    return RESULT_OK;
}

static struct result check_free(const char *folder, struct arena *a)
{
    /* nobody may be writing while its record is set aside: the lock says so */
    struct store *s;
    TRY(store_open(plant_file(a, folder), STORE_WRITE, &s));
    store_close(s);
    return RESULT_OK;
}

struct result backup_restore(const char *copy, const char *folder, bool replace, struct world world, struct arena *a)
{
    const char *from = arena_printf(a, "%s/plant.db", copy), *to = plant_file(a, folder);
    int64_t now_ms = world.now_ms(world.self);
    struct store *source;
    if (!file_exists(from)) {
        return FAIL1(PLANT_MISSING, "", copy);
    }
    TRY(store_open(from, STORE_READ, &source)); /* a copy that can't be opened changes nothing here */
    struct result r = folder_make(folder);
    if (r.code == CODE_OK && file_exists(to)) {
        r = replace ? check_free(folder, a) : FAIL1(BACKUP_EXISTS, "", folder);
        if (r.code == CODE_OK) {
            r = set_aside(folder, now_ms, a);
        }
    }
    if (r.code == CODE_OK) {
        r = store_backup(source, to);
    }
    store_close(source);
    TRY(r);
    if (!file_exists(arena_printf(a, "%s/plant.zone", folder))) {
        TRY(copy_small(a, arena_printf(a, "%s/plant.zone", copy), arena_printf(a, "%s/plant.zone", folder)));
    }
    if (!file_exists(arena_printf(a, "%s/plant.heads", folder))) {
        TRY(copy_small(a, arena_printf(a, "%s/plant.heads", copy), arena_printf(a, "%s/plant.heads", folder)));
    }
    if (!file_exists(plant_key(a, folder))) {
        uint8_t seed[32];
        world.random(world.self, seed, sizeof seed);
        TRY(file_write(plant_key(a, folder), seed, sizeof seed, 0600));
    }
    return RESULT_OK;
}

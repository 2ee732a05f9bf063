#include "service/backup.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/civil.h"
#include "base/file.h"

enum { SMALL_MAX = 64 << 20 };

static const char *const parts[] = {"", "-wal", "-shm"}; /* of a record, while it is open */

static const char *stamp(struct arena *a, int64_t ms)
{
    struct civil c = civil_from_ms(ms, 0);
    return arena_printf(a, "%04d%02d%02dT%02d%02d%02dZ", c.year, c.month, c.day, c.hour, c.minute,
                        c.second);
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

struct result backup_make(struct plant *reader, const char *folder, int64_t now_ms, struct arena *a,
                          const char **out_path)
{
    const char *path = arena_printf(a, "%s/plant-%s", folder, stamp(a, now_ms));
    TRY(folder_make(path));
    const char *db = arena_printf(a, "%s/plant.db", path);
    const char *zone = arena_printf(a, "%s/plant.zone", path);
    const char *heads = arena_printf(a, "%s/plant.heads", path);
    struct result r = store_backup(reader->store, db);
    if (r.code == CODE_OK) {
        r = copy_small(a, arena_printf(a, "%s/plant.zone", reader->folder), zone);
        if (r.code == CODE_OK) {
            r = copy_small(a, arena_printf(a, "%s/plant.heads", reader->folder), heads);
        }
        if (r.code != CODE_OK) {
            unlink(db);
            unlink(zone);
            unlink(heads);
        }
    }
    if (r.code != CODE_OK) {
        rmdir(path); /* unless a copy stands in it: else it would pass for the latest one */
        return r;
    }
    *out_path = path;
    return RESULT_OK;
}

/* What is there of a record is set aside whole: it may hold what the copy has not. A log without
 * its record too: it would be played into the copy. */
static struct result set_aside(const char *folder, int64_t now_ms, struct arena *a)
{
    const char *aside = arena_printf(a, "%s/plant.db.before-%s", folder, stamp(a, now_ms));
    for (size_t i = 0; i < 3; i++) {
        const char *to = arena_printf(a, "%s%s", aside, parts[i]);
        if (file_exists(to)) {
            return FAIL1(STORE_EXISTS, "", to);
        }
    }
    for (size_t i = 0; i < 3; i++) {
        const char *from = arena_printf(a, "%s%s", plant_file(a, folder), parts[i]);
        const char *to = arena_printf(a, "%s%s", aside, parts[i]);
        if (file_exists(from) && rename(from, to) != 0) {
            return FAIL2(FILE_WRITE, "", to, strerror(errno));
        }
    }
    return RESULT_OK;
}

/* Nobody may be writing while the record is set aside: the lock says so, before anything is read. A
 * record that can't be opened any more is what restores are for. */
static struct result check_free(const char *folder, struct arena *a)
{
    struct store *s;
    struct result r = store_open(plant_file(a, folder), STORE_WRITE, &s);
    store_close(s);
    return r.code == CODE_STORE_BUSY || r.code == CODE_FILE_OPEN ? r : RESULT_OK;
}

/* A copy of an older schema is brought up to date under its own name, as opening a record does; the
 * backup that this leaves is a third of what is kept in the copy, and goes. */
static struct result upgrade(const char *fresh, struct arena *a)
{
    struct store *s;
    struct result r = store_open(fresh, STORE_READ, &s);
    store_close(s);
    if (r.code != CODE_STORE_OLDER) {
        return r;
    }
    const char *number = arena_copy(a, r.value[1]);
    const char *backup = arena_printf(a, "%s.schema-%s.1.backup", fresh, number);
    unlink(backup); /* what a crash left */
    r = store_open(fresh, STORE_WRITE, &s);
    store_close(s);
    unlink(backup);
    unlink(arena_printf(a, "%s.lock", fresh));
    return r;
}

/* The copy is checked and whole beside the record before that is touched: a full disk changes
 * nothing here. */
static struct result put_back(struct store *source, const char *folder, int64_t now_ms,
                              struct arena *a)
{
    const char *to = plant_file(a, folder), *fresh = arena_printf(a, "%s.restoring", to);
    for (size_t i = 0; i < 3; i++) {
        unlink(arena_printf(a, "%s%s", fresh, parts[i])); /* what a crash left */
    }
    TRY(store_backup(source, fresh));
    struct result r = upgrade(fresh, a);
    if (r.code == CODE_OK && file_exists(to)) {
        r = check_free(folder, a);
    }
    if (r.code == CODE_OK) {
        r = set_aside(folder, now_ms, a);
    }
    if (r.code == CODE_OK && rename(fresh, to) != 0) {
        r = FAIL2(FILE_WRITE, "", to, strerror(errno));
    }
    if (r.code != CODE_OK) {
        unlink(fresh);
        return r;
    }
    return file_settle(to);
}

static struct result copy_missing(const char *copy, const char *folder, const char *name,
                                  struct arena *a)
{
    const char *to = arena_printf(a, "%s/%s", folder, name);
    return file_exists(to) ? RESULT_OK : copy_small(a, arena_printf(a, "%s/%s", copy, name), to);
}

struct result backup_restore(const char *copy, const char *folder, bool replace, struct world world,
                             struct arena *a)
{
    const char *from = arena_printf(a, "%s/plant.db", copy);
    struct store *source;
    if (!file_exists(from)) {
        return FAIL1(PLANT_MISSING, "", copy);
    }
    if (!replace && file_exists(plant_file(a, folder))) {
        return FAIL1(BACKUP_EXISTS, "", folder);
    }
    TRY(store_open(from, STORE_COPY,
                   &source)); /* a copy that can't be opened changes nothing here */
    struct result r = folder_make(folder);
    if (r.code == CODE_OK) {
        r = put_back(source, folder, world.now_ms(world.self), a);
    }
    store_close(source);
    TRY(r);
    TRY(copy_missing(copy, folder, "plant.zone", a));
    TRY(copy_missing(copy, folder, "plant.heads", a));
    if (!file_exists(plant_key(a, folder))) {
        uint8_t seed[32];
        world.random(world.self, seed, sizeof seed);
        TRY(file_write(plant_key(a, folder), seed, sizeof seed, 0600));
    }
    return RESULT_OK;
}

#include "service/plant.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/file.h"
#include "service/witness.h"

enum { PLANT_MAGIC = 0x504c4e54 };

const char *plant_file(struct arena *a, const char *folder)
{
    return arena_printf(a, "%s/plant.db", folder);
}

const char *plant_key(struct arena *a, const char *folder)
{
    return arena_printf(a, "%s/plant.key", folder);
}

const char *plant_socket(struct arena *a, const char *folder)
{
    return arena_printf(a, "%s/plant.sock", folder);
}

struct result plant_zone_set(const char *folder, const char *zone)
{
    struct arena a;
    arena_init(&a, 1 << 20);
    struct result r = civil_zone_use(zone);
    if (r.code == CODE_OK) {
        r = file_write(arena_printf(&a, "%s/plant.zone", folder), zone, strlen(zone), 0644);
    }
    arena_release(&a);
    return r;
}

static struct result zone_load(const char *folder, struct arena *a)
{
    const char *path = arena_printf(a, "%s/plant.zone", folder);
    char *zone;
    size_t len;
    TRY(file_read(a, path, 256, &zone, &len));
    return civil_zone_use(zone);
}

/* A key or heads without a record are what is left of another one: with them a new record would be
 * taken for that one cut short. */
static struct result check_empty(struct arena *a, const char *folder)
{
    const char *const paths[] = {plant_key(a, folder), arena_printf(a, "%s/plant.heads", folder)};
    for (size_t i = 0; i < 2; i++) {
        if (file_exists(paths[i])) {
            return FAIL1(STORE_EXISTS, "", paths[i]);
        }
    }
    return RESULT_OK;
}

static struct result create_in(struct arena *a, const char *folder, struct world world)
{
    struct store *store;
    uint8_t seed[32];
    const char *path = plant_file(a, folder);
    TRY(folder_make(folder));
    if (!file_exists(path)) {
        TRY(check_empty(a, folder));
    }
    TRY(store_open(path, STORE_CREATE, &store));
    world.random(world.self, seed, sizeof seed);
    struct result r = file_write(plant_key(a, folder), seed, sizeof seed, 0600);
    store_close(store);
    if (r.code != CODE_OK) {
        unlink(path); /* it could never be opened for writing */
    }
    return r;
}

struct result plant_create(const char *folder, struct world world)
{
    struct arena a;
    arena_init(&a, 1 << 20);
    struct result r = create_in(&a, folder, world);
    arena_release(&a);
    return r;
}

static struct result key_load(struct plant *p)
{
    char *seed;
    size_t len;
    const char *path = plant_key(&p->arena, p->folder);
    TRY(file_read(&p->arena, path, 64, &seed, &len));
    if (len != 32) {
        return FAIL2(FILE_READ, "", path, "it is not a signing key");
    }
    sign_key_from_seed((const uint8_t *)seed, &p->key);
    memset(seed, 0, len);
    return RESULT_OK;
}

static struct plant *plant_new(const char *folder, struct world world)
{
    struct plant *p = calloc(1, sizeof *p);
    CHECK(p != NULL);
    *p = (struct plant){.magic = PLANT_MAGIC, .world = world};
    arena_init(&p->arena, 16 << 20);
    p->folder = arena_copy(&p->arena, folder);
    return p;
}

static struct result open_parts(struct plant *p, enum store_mode mode)
{
    const char *path = plant_file(&p->arena, p->folder);
    if (!file_exists(path)) {
        return FAIL1(PLANT_MISSING, "", p->folder);
    }
    TRY(zone_load(p->folder, &p->arena));
    TRY(store_open(path, mode, &p->store));
    if (mode == STORE_READ) {
        return RESULT_OK;
    }
    TRY(key_load(p));
    TRY(ledger_open(p->store, p->world, &p->ledger));
    json_t *head;
    TRY(witness_missing(p, &p->arena, &head));
    p->shortened = head != NULL;
    json_decref(head);
    return RESULT_OK;
}

static struct result plant_open(const char *folder, struct world world, enum store_mode mode,
                                struct plant **out)
{
    struct plant *p = plant_new(folder, world);
    struct result r = open_parts(p, mode);
    if (r.code != CODE_OK) {
        plant_close(p);
        *out = NULL;
        return r;
    }
    *out = p;
    return RESULT_OK;
}

struct result plant_open_write(const char *folder, struct world world, struct plant **out)
{
    return plant_open(folder, world, STORE_WRITE, out);
}

struct result plant_open_read(const char *folder, struct plant **out)
{
    return plant_open(folder, world_real(), STORE_READ, out);
}

void plant_close(struct plant *p)
{
    if (p == NULL) {
        return;
    }
    CHECK(p->magic == PLANT_MAGIC);
    ledger_close(p->ledger);
    if (p->store != NULL) {
        store_close(p->store);
    }
    memset(&p->key, 0, sizeof p->key);
    p->magic = 0;
    arena_release(&p->arena);
    free(p);
}

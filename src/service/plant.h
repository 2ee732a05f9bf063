/* A plant's folder: the record, its signing key, the socket of a serving program. */
#ifndef SERVICE_PLANT_H
#define SERVICE_PLANT_H

#include "base/digest.h"
#include "ledger/ledger.h"

/* Paths in the folder, in the arena. */
const char *plant_file(struct arena *a, const char *folder);   /* plant.db */
const char *plant_key(struct arena *a, const char *folder);    /* plant.key, mode 0600 */
const char *plant_socket(struct arena *a, const char *folder); /* plant.sock */

/* Makes the folder, an empty record and a new signing key. FILE_WRITE, STORE_* errors; an existing
 * record, key or file of heads is refused. */
MUST_USE struct result plant_create(const char *folder, struct world world);

struct plant {
    uint32_t magic;
    const char *folder;
    struct arena arena;
    struct world world;
    struct store *store;
    struct ledger *ledger; /* NULL when opened for reading */
    struct sign_key key;   /* writer only */
    bool shortened; /* put back from an older copy: only a "restored" entry is taken (witness.h) */
    bool stale;     /* the ledger could not be read again after a rollback */
};
/* Writing: takes the lock. Reading: beside a writer. Uses the plant's zone (plant.zone) for civil
 * time. */
MUST_USE struct result plant_open_write(const char *folder, struct world world, struct plant **out);
MUST_USE struct result plant_open_read(const char *folder, struct plant **out);
void plant_close(struct plant *p);
/* The zone is a fact of the place, kept as a small file so that readers need no entry to tell
 * times. */
MUST_USE struct result plant_zone_set(const char *folder, const char *zone);

#endif

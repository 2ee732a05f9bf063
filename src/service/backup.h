/* Copies of a plant in a second place, and putting one back. */
#ifndef SERVICE_BACKUP_H
#define SERVICE_BACKUP_H

#include "service/plant.h"

/* A checked copy of the record with its zone and kept heads, in folder/plant-<time>/. The signing
 * key is not copied: it is kept apart by the house. Also while the plant is served. *out_path in
 * the arena. */
MUST_USE struct result backup_make(struct plant *reader, const char *folder, int64_t now_ms,
                                   struct arena *a, const char **out_path);
/* Puts a copy back as the plant in folder. One of an older schema is brought up to date on the way;
 * the copy itself is never written to. An existing record is refused (BACKUP_EXISTS) unless
 * replace, which sets it aside as plant.db.before-<time>. The key and the heads of the folder stay;
 * without a key a new one is made. */
MUST_USE struct result backup_restore(const char *copy, const char *folder, bool replace,
                                      struct world world, struct arena *a);

#endif

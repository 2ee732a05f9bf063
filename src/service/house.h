/* Starting a plant: its folder, its first manager, its profile, and what stands in it. */
#ifndef SERVICE_HOUSE_H
#define SERVICE_HOUSE_H

#include "service/socket.h"

struct house_start {
    const char *profile; /* path of the profile's JSON */
    const char *house; /* path of a file of JSON lines with place, instrument, item, partner, person
                          commands; NULL: none */
    const char *zone;
    int64_t manager;
    const char *name, *password;
};
struct house_made {
    int64_t entries;
    const char *profile;
};

/* Files are read and checked before the folder is made. What fails later names its line; the plant
 * is then removed again. */
MUST_USE struct result house_start(const char *folder, struct world world,
                                   const struct house_start *start, struct arena *a,
                                   struct house_made *out);

#endif

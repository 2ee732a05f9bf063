/* How the record itself is. */
#ifndef SERVICE_HEALTH_H
#define SERVICE_HEALTH_H

#include "service/plant.h"

/* {size, root, signed:{size, signed_ms}|null, backup:{at_ms|null, checked, place|null},
 * disk_days|null}: entries and root of the tree; the newest signed head; the last copy made by
 * itself, which is always checked; how many days the disk still takes what the record has grown by
 * a day so far, null while less than two days are recorded. The caller owns *out. Inside a
 * transaction of the reader. */
MUST_USE struct result health_read(struct plant *reader, struct arena *a, json_t **out);

#endif

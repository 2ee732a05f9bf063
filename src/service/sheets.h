/* The shift's folder: sheets to go on by paper with when the server is down. */
#ifndef SERVICE_SHEETS_H
#define SERVICE_SHEETS_H

#include "service/view.h"

enum sheets_kind { SHEETS_SOAK, SHEETS_HARVEST, SHEETS_CHECKS, SHEETS_WEIGHTS, SHEETS_COUNT };

/* "soak", "harvest", "checks", "weights"; SHEETS_COUNT where it is none. */
const char *sheets_name(enum sheets_kind kind);
enum sheets_kind sheets_named(const char *name);

/* One of them for a house day as A4, in the view's language; the bytes live in the arena. Codes of
 * lots that are made are printed as the item's, the day and the chamber: whoever types the sheet in
 * tells them as they stand. The errors of sheet.h and of the store. */
MUST_USE struct result sheets_make(struct view *v, enum sheets_kind kind, int32_t day,
                                   const uint8_t **out, size_t *out_len);
/* All of them as folder/DAY-KIND.pdf. All are made before the first is written, and each is there
 * whole or not at all. FILE_WRITE. */
MUST_USE struct result sheets_write(struct view *v, const char *folder, int32_t day);

#endif

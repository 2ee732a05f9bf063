/* The shift's folder: sheets to go on by paper with when the server is down. */
#ifndef SERVICE_SHEETS_H
#define SERVICE_SHEETS_H

#include "service/shift.h"
#include "service/view.h"

enum sheets_kind {
    SHEETS_SOAK,
    SHEETS_HARVEST,
    SHEETS_CHECKS,
    SHEETS_WEIGHTS,
    SHEETS_DAY,
    SHEETS_DOSES,
    SHEETS_COUNT
};

/* "soak", "harvest", "checks", "weights", "day", "doses"; SHEETS_COUNT where it is none. */
const char *sheets_name(enum sheets_kind kind);
enum sheets_kind sheets_named(const char *name);

/* A house day, or one shift of it (NULL: the whole day). A shift's sheets hold the shift's work:
 * the starts that the plan has at the hour of soaking, those of an earlier shift of the day that
 * were not made yet, the chambers that are ready before it ends, and what of the day's sequence
 * begins in it. */
struct sheets_span {
    int32_t day;
    const struct shift *shift;
};

/* One of them as A4, in the view's language; the bytes live in the arena. Codes of lots that are
 * made are printed as the item's, the day and the chamber: whoever types the sheet in tells them as
 * they stand. The errors of sheet.h and of the store. */
MUST_USE struct result sheets_make(struct view *v, enum sheets_kind kind, struct sheets_span span,
                                   const uint8_t **out, size_t *out_len);
/* The name of its file without the ending: DAY-KIND, or DAY-SHIFT-KIND. */
const char *sheets_file(struct arena *a, struct sheets_span span, enum sheets_kind kind);
/* All of them into the folder. All are made before the first is written, and each is there whole
 * or not at all. FILE_WRITE. */
MUST_USE struct result sheets_write(struct view *v, const char *folder, struct sheets_span span);

#endif

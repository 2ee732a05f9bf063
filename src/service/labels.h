/* Case labels of a packed lot, filled from the record. */
#ifndef SERVICE_LABELS_H
#define SERVICE_LABELS_H

#include "paper/case_label.h"
#include "service/plant.h"

/* One page for each case of the lot that is still here (only those named by first..last when last >
 * 0, counted from 1): A6 upright, A5 where codes are too long for that. In the language that the
 * profile has for the item's labels. LOT_UNKNOWN, LOT_KIND,
 * LABEL_* errors; LABELS_MANY above CASE_LABELS_MAX of them; LABEL_STORAGE when the profile in
 * force has no label_storage for the item. */
MUST_USE struct result labels_of_lot(struct plant *plant, const char *lot, int64_t first,
                                     int64_t last, int64_t now_ms, struct arena *a,
                                     const uint8_t **out_pdf, size_t *out_len, size_t *out_pages);

#endif

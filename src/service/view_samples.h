/* Samples that somebody has to draw. */
#ifndef SERVICE_VIEW_SAMPLES_H
#define SERVICE_VIEW_SAMPLES_H

#include "service/view.h"

/* Growing batches without a sample yet, the oldest first: {"samples":[{lot, chamber, wet_ms, age_h,
 * due_ms}]}. due_ms: from when on one counts in every market the batch may go to. Errors of the
 * store. */
MUST_USE struct result view_samples_due(struct view *v, json_t **out);

#endif

/* Samples that somebody has to draw, that wait for results, and results that wait for a second
 * reading. */
#ifndef SERVICE_VIEW_SAMPLES_H
#define SERVICE_VIEW_SAMPLES_H

#include "service/view.h"

/* Growing batches without a sample yet, the oldest first: {"samples":[{lot, chamber, wet_ms, age_h,
 * due_ms}]}. due_ms: from when on one counts in every market the batch may go to. Errors of the
 * store. */
MUST_USE struct result view_samples_due(struct view *v, json_t **out);

/* The same with two lists beside it, of samples of the last 30 days:
 * open:   [{sample, what, lot|null, item|null, place|null, location, taken_ms, age_h, presumptive,
 *         owed:[organism]}]: an organism that the lot's markets (of a place: its water) ask for is
 *         owed until its result is final. Presumptive ones first, then those that owe, the oldest
 *         first; samples of which nothing was told yet are open without owing.
 * second: [{sample, organism, state, lot|null, place|null, by, at_ms, entry}]: typed by hand with
 *         their report, the oldest first. */
MUST_USE struct result view_samples(struct view *v, json_t **out);

#endif

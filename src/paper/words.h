/* Dates and times as paper shows them. The month is a word, so that no reader takes it for the day.
 */
#ifndef PAPER_WORDS_H
#define PAPER_WORDS_H

#include "base/arena.h"

/* "7 March 2026" */
const char *words_date(struct arena *a, int32_t day);
/* "7 March 2026 05:30 +01:00", on the clock that was offset_min minutes east of UTC. */
const char *words_time(struct arena *a, int64_t ms, int offset_min);

#endif

/* What a place's own logger measured: sealed pieces of the series that bears the place's name. */
#ifndef SERVICE_VIEW_LOG_H
#define SERVICE_VIEW_LOG_H

#include "ledger/series.h"
#include "service/view.h"

struct view_log_point {
    int64_t t_ms;
    int32_t temp_mc;
};

enum { VIEW_LOG_NAMES = 3 };
/* The names a place's series may bear. "C-01": itself, "c-01", and "chamber-1". */
void view_log_names(struct arena *a, const char *place, const char *names[VIEW_LOG_NAMES]);

/* Whether its unit is degrees Celsius. */
bool view_log_is_temperature(const struct series *s);
/* The mean of the channels of a sample that have a value from low_mc to high_mc; false: none has.
 * *out_outside: one had a value beyond them. */
bool view_log_mean(const struct series *s, size_t i, int32_t low_mc, int32_t high_mc, int32_t *out,
                   bool *out_outside);

/* The last one measured; *out_any false: there is none. Errors of the store and of series.h. */
MUST_USE struct result view_log_last(const struct view *v, const char *place,
                                     struct view_log_point *out, bool *out_any);
/* From from_ms to to_ms, at most most (1 ..) points, each the mean of the channels over an equal
 * stretch of time; ascending. *out in the arena. */
MUST_USE struct result view_log_read(const struct view *v, const char *place, int64_t from_ms,
                                     int64_t to_ms, size_t most, struct view_log_point **out,
                                     size_t *out_count);

#endif

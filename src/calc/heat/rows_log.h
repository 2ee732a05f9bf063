/* A heat log as the rows take it: a table of [time in s, temperature of each probe in C]. */
#ifndef CALC_HEAT_ROWS_LOG_H
#define CALC_HEAT_ROWS_LOG_H

#include "calc/answer.h"
#include "calc/heat/heat_log.h"

#define HEAT_ROWS_POINTS_MAX 2000000

/* The four fields that heat_rows_log_read and heat_rows_log_gap_ms read. */
#define HEAT_ROWS_LOG_FIELDS                                                                      \
    CALC_NEED_TABLE("points", "s, C",                                                             \
                    "The log: for each point the time in s and the temperature of each probe; "   \
                    "leave a point out where a probe fell silent.",                               \
                    0, HEAT_ROWS_POINTS_MAX),                                                     \
        CALC_MAY_LIST("uncertainty_c", "C",                                                       \
                      "Expanded uncertainty (k = 2) of each probe with its channel and drift; "   \
                      "one number holds for all.",                                                \
                      0, 20, 1, HEAT_PROBES_MAX, NULL),                                           \
        CALC_MAY_NUMBER("interval_s", "s",                                                        \
                        "How often the logger should write; otherwise the middle interval of "    \
                        "the log.",                                                               \
                        0.001, 86400, NULL),                                                      \
        CALC_MAY_NUMBER("gap_max_s", "s",                                                         \
                        "A longer silence is a gap; otherwise twice the interval.", 0.001, 86400, \
                        NULL)

/* FIELD_RANGE, FIELD_MISSING on points, uncertainty_c, and what heat_log_check refuses. */
MUST_USE struct result heat_rows_log_read(const json_t *in, struct arena *a, struct heat_log *out);
int64_t heat_rows_log_gap_ms(const json_t *in, struct arena *a, const struct heat_log *log);

#endif

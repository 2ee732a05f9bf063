/* Is a connection of the water system safe against back-flow?
 *
 * An air gap is at least twice the bore of the inlet and at least 25 mm; elsewhere a vacuum breaker
 * or a reduced-pressure valve, the latter tested yearly. From memory: kept all the same, to be
 * verified. A connection without a device, or overdue, makes the water not fit for use. */
#ifndef CALC_WATER_BACKFLOW_H
#define CALC_WATER_BACKFLOW_H

#include "base/result.h"

enum backflow_device {
    BACKFLOW_NONE,
    BACKFLOW_AIR_GAP,
    BACKFLOW_VACUUM_BREAKER,
    BACKFLOW_REDUCED_PRESSURE
};

/* Never tested. */
#define BACKFLOW_NEVER INT32_MIN

struct backflow_connection {
    enum backflow_device device;
    double bore_mm;         /* of an air gap's inlet, 1 .. 2000 */
    double gap_mm;          /* 0 .. 10000 */
    int32_t last_test_day;  /* days on any one count; BACKFLOW_NEVER */
    int32_t test_every_day; /* 0: only where the device asks for it; else 1 .. 3660 */
};

enum backflow_state {
    BACKFLOW_OK,
    BACKFLOW_NO_DEVICE,
    BACKFLOW_GAP_SMALL,
    BACKFLOW_UNTESTED,
    BACKFLOW_OVERDUE
};

struct backflow_report {
    enum backflow_state state;
    double gap_needed_mm; /* of an air gap */
    bool has_due;
    int32_t due_day; /* last day on which the test still holds */
};

/* NUMBER_BAD, FIELD_RANGE on bore_mm, gap_mm, test_every_day, last_test_day (after today). */
MUST_USE struct result backflow_judge(const struct backflow_connection *connection,
                                      int32_t today_day, struct backflow_report *out);

/* "ok", "no-device", "gap-small", "untested", "overdue" */
const char *backflow_state_word(enum backflow_state state);

#endif

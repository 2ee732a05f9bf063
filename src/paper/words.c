#include "paper/words.h"

#include <stdlib.h>

#include "base/civil.h"

static const char *const months[] = {
    "January", "February", "March",     "April",   "May",      "June",
    "July",    "August",   "September", "October", "November", "December",
};

const char *words_date(struct arena *a, int32_t day)
{
    int year, month, day_of_month;
    day_to_ymd(day, &year, &month, &day_of_month);
    return arena_printf(a, "%d %s %d", day_of_month, months[month - 1], year);
}

const char *words_time(struct arena *a, int64_t ms, int offset_min)
{
    struct civil c = civil_from_ms(ms, offset_min);
    return arena_printf(a, "%d %s %d %02d:%02d %c%02d:%02d", c.day, months[c.month - 1], c.year,
                        c.hour, c.minute, offset_min < 0 ? '-' : '+', abs(offset_min) / 60,
                        abs(offset_min) % 60);
}

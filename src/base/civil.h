/* Civil time. Instants are int64 milliseconds since 1970-01-01T00:00:00Z; days are int32 days since
 * 1970-01-01. Zones come from the C library and Debian's tzdata; one zone is in use at a time
 * (civil_zone_use), which is why only the start of the program and file readers running alone may
 * change it. Durations always come from instants. */
#ifndef BASE_CIVIL_H
#define BASE_CIVIL_H

#include "base/result.h"

struct civil {
    int year, month, day, hour, minute, second, ms;
};

/* ZONE_UNKNOWN when the machine has no such zone. */
MUST_USE struct result civil_zone_use(const char *zone);
const char *civil_zone(void);
/* Minutes east of UTC that the zone in use has at an instant. */
int civil_offset_min(int64_t ms);
/* RFC 3339: "2026-03-01T05:30:00.250+01:00" or ...Z; a blank instead of T and missing seconds are
 * taken. Without an offset the zone in use counts: TIME_GAP, TIME_TWICE where the clock change
 * makes it unclear. */
MUST_USE struct result civil_read(const char *text, const char *field, int64_t *out_ms);
/* Local fields in the zone in use -> instant, with the same two errors. prefer_offset_min settles a
 * repeated time; pass CIVIL_NO_OFFSET where there is none. */
enum { CIVIL_NO_OFFSET = 100000 };
MUST_USE struct result civil_to_ms(const struct civil *c, int prefer_offset_min, const char *field,
                                   int64_t *out_ms);
struct civil civil_from_ms(int64_t ms, int offset_min);
/* "2026-03-01T05:30:00+01:00"; with ms when they are not zero. */
const char *civil_text(struct arena *a, int64_t ms, int offset_min);
/* "2026-03-01 05:30" in the zone in use: for people. */
const char *civil_short(struct arena *a, int64_t ms);
/* Days. */
MUST_USE struct result day_read(const char *text, const char *field, int32_t *out_day);
const char *day_text(struct arena *a, int32_t day);
int32_t day_from_ymd(int year, int month, int day);
void day_to_ymd(int32_t day, int *year, int *month, int *day_of_month);
/* 0 Monday ... 6 Sunday. */
int day_weekday(int32_t day);
/* Of "mon" ... "sun"; -1: none of them. */
int weekday_named(const char *word);
/* "mon" ... "sun". */
const char *weekday_name(int weekday);
/* Those words, for who gave another. */
#define WEEKDAY_NAMES "mon, tue, wed, thu, fri, sat, sun"
int day_of_year(int32_t day);
/* The house day of an instant: the local date of (instant - start minutes). A night shift is one
 * day. */
int32_t day_of_house(int64_t ms, int offset_min, int day_starts_min);
/* When a house day begins in the zone in use; where a clock change skips that, an hour later.
 * TIME_BAD on "day" where it is beyond the calendar. */
MUST_USE struct result house_day_begin(int32_t day, int day_starts_min, int64_t *out_ms);

#endif

#include "base/civil.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/check.h"

enum { DAY_S = 86400, DAY_MS = 86400000, YEAR_MIN = 1, YEAR_MAX = 9999 };

static char zone_name[64];

static int64_t floor_div(int64_t value, int64_t by)
{
    return value / by - (value % by < 0);
}

static void zone_set(const char *zone)
{
    char tz[sizeof zone_name + 1];
    snprintf(tz, sizeof tz, ":%s", zone);
    CHECK(setenv("TZ", tz, 1) == 0);
    tzset();
    snprintf(zone_name, sizeof zone_name, "%s", zone);
}

/* A name such as America/Argentina/Ushuaia, never a way out of the zone folder. */
static bool zone_name_fits(const char *zone)
{
    size_t len = strlen(zone);
    if (len == 0 || len >= sizeof zone_name || !isalpha((unsigned char)zone[0])) {
        return false;
    }
    for (size_t i = 0; i < len; i++) {
        if (!isalnum((unsigned char)zone[i]) && strchr("_+-/", zone[i]) == NULL) {
            return false;
        }
    }
    return true;
}

struct result civil_zone_use(const char *zone)
{
    if (!zone_name_fits(zone)) {
        return FAIL1(ZONE_UNKNOWN, "", zone);
    }
    const char *folder = getenv("TZDIR"); /* where the C library looks too */
    char path[512];
    snprintf(path, sizeof path, "%s/%s", folder != NULL ? folder : "/usr/share/zoneinfo", zone);
    char magic[4] = "";
    FILE *file = fopen(path, "rb");
    size_t got = file != NULL ? fread(magic, 1, sizeof magic, file) : 0;
    if (file != NULL) {
        fclose(file);
    }
    if (got != sizeof magic || memcmp(magic, "TZif", 4) != 0) {
        return FAIL1(ZONE_UNKNOWN, "", zone);
    }
    zone_set(zone);
    return RESULT_OK;
}

/* Without a choice the zone is UTC, whatever the machine's is: a record must not depend on where it
 * is read. */
static void zone_ready(void)
{
    if (zone_name[0] == '\0') {
        zone_set("UTC");
    }
}

const char *civil_zone(void)
{
    zone_ready();
    return zone_name;
}

static int64_t offset_s(int64_t utc_s)
{
    zone_ready();
    time_t when = (time_t)utc_s;
    struct tm local;
    CHECK(localtime_r(&when, &local) != NULL);
    return local.tm_gmtoff;
}

int civil_offset_min(int64_t ms)
{
    return (int)floor_div(offset_s(floor_div(ms, 1000)), 60);
}

int32_t day_from_ymd(int year, int month, int day)
{
    struct tm date = {.tm_year = year - 1900, .tm_mon = month - 1, .tm_mday = day};
    return (int32_t)floor_div(timegm(&date), DAY_S);
}

static struct tm day_fields(int32_t day)
{
    time_t when = (time_t)day * DAY_S;
    struct tm date;
    CHECK(gmtime_r(&when, &date) != NULL);
    return date;
}

void day_to_ymd(int32_t day, int *year, int *month, int *day_of_month)
{
    struct tm date = day_fields(day);
    *year = date.tm_year + 1900;
    *month = date.tm_mon + 1;
    *day_of_month = date.tm_mday;
}

int day_weekday(int32_t day)
{
    return (day_fields(day).tm_wday + 6) % 7;
}

static const char *const weekdays[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

int weekday_named(const char *word)
{
    for (int i = 0; i < 7; i++) {
        if (strcmp(weekdays[i], word) == 0) {
            return i;
        }
    }
    return -1;
}

const char *weekday_name(int weekday)
{
    CHECK(weekday >= 0 && weekday < 7);
    return weekdays[weekday];
}

int day_of_year(int32_t day)
{
    return day_fields(day).tm_yday + 1;
}

static bool date_fits(int year, int month, int day)
{
    if (year < YEAR_MIN || year > YEAR_MAX || month < 1 || month > 12 || day < 1 || day > 31) {
        return false;
    }
    int y, m, d;
    day_to_ymd(day_from_ymd(year, month, day), &y, &m, &d);
    return m == month && d == day;
}

/* Exactly count digits; moves on. */
static bool digits(const char **at, int count, int *out)
{
    int value = 0;
    for (int i = 0; i < count; i++) {
        if (!isdigit((unsigned char)(*at)[i])) {
            return false;
        }
        value = value * 10 + ((*at)[i] - '0');
    }
    *at += count;
    *out = value;
    return true;
}

static bool letter(const char **at, const char *one_of)
{
    if (**at == '\0' || strchr(one_of, **at) == NULL) {
        return false;
    }
    ++*at;
    return true;
}

static bool date_digits(const char **at, struct civil *c)
{
    return digits(at, 4, &c->year) && letter(at, "-") && digits(at, 2, &c->month) &&
           letter(at, "-") && digits(at, 2, &c->day) && date_fits(c->year, c->month, c->day);
}

/* Milliseconds of ".250"; finer digits are dropped. */
static bool fraction_digits(const char **at, int *out_ms)
{
    int ms = 0, count = 0;
    for (; isdigit((unsigned char)**at); ++*at, count++) {
        if (count < 3) {
            ms = ms * 10 + (**at - '0');
        }
    }
    for (int i = count; i < 3; i++) {
        ms *= 10;
    }
    *out_ms = ms;
    return count >= 1 && count <= 9;
}

static bool time_digits(const char **at, struct civil *c)
{
    if (!digits(at, 2, &c->hour) || !letter(at, ":") || !digits(at, 2, &c->minute)) {
        return false;
    }
    if (letter(at, ":")) {
        if (!digits(at, 2, &c->second) || (letter(at, ".") && !fraction_digits(at, &c->ms))) {
            return false;
        }
    }
    return c->hour <= 23 && c->minute <= 59 && c->second <= 59;
}

static bool offset_digits(const char **at, int *out_min)
{
    if (letter(at, "Zz")) {
        *out_min = 0;
        return true;
    }
    int sign = **at == '-' ? -1 : 1;
    int hours, minutes;
    if (!letter(at, "+-") || !digits(at, 2, &hours) || !letter(at, ":") ||
        !digits(at, 2, &minutes) || hours > 23 || minutes > 59) {
        return false;
    }
    *out_min = sign * (hours * 60 + minutes);
    return true;
}

/* The fields as if they were UTC. */
static int64_t naive_s(const struct civil *c)
{
    return (int64_t)day_from_ymd(c->year, c->month, c->day) * DAY_S + c->hour * 3600 +
           c->minute * 60 + c->second;
}

/* A local time can only carry the offset in force a day before or a day after it. Each of the two
 * is tried; it holds when the zone has it at the instant it leads to. */
static struct result local_to_ms(const struct civil *c, int prefer_offset_min, const char *field,
                                 const char *text, int64_t *out_ms)
{
    int64_t naive = naive_s(c);
    int64_t before = offset_s(naive - DAY_S), after = offset_s(naive + DAY_S);
    bool before_holds = offset_s(naive - before) == before;
    bool after_holds = offset_s(naive - after) == after;
    int64_t offset = before_holds ? before : after;
    if (!before_holds && !after_holds) {
        return FAIL2(TIME_GAP, field, text, civil_zone());
    }
    if (before_holds && after_holds && before != after) {
        if (prefer_offset_min * 60 != before && prefer_offset_min * 60 != after) {
            return FAIL2(TIME_TWICE, field, text, civil_zone());
        }
        offset = prefer_offset_min * 60;
    }
    *out_ms = (naive - offset) * 1000 + c->ms;
    return RESULT_OK;
}

struct result civil_read(const char *text, const char *field, int64_t *out_ms)
{
    struct civil c = {0};
    const char *at = text;
    if (!date_digits(&at, &c) || !letter(&at, "Tt ") || !time_digits(&at, &c)) {
        return FAIL1(TIME_BAD, field, text);
    }
    if (*at == '\0') {
        return local_to_ms(&c, CIVIL_NO_OFFSET, field, text, out_ms);
    }
    int offset_min;
    if (!offset_digits(&at, &offset_min) || *at != '\0') {
        return FAIL1(TIME_BAD, field, text);
    }
    *out_ms = (naive_s(&c) - offset_min * 60) * 1000 + c.ms;
    return RESULT_OK;
}

struct result civil_to_ms(const struct civil *c, int prefer_offset_min, const char *field,
                          int64_t *out_ms)
{
    char text[80];
    snprintf(text, sizeof text, "%04d-%02d-%02d %02d:%02d:%02d", c->year, c->month, c->day, c->hour,
             c->minute, c->second);
    if (!date_fits(c->year, c->month, c->day) || c->hour < 0 || c->hour > 23 || c->minute < 0 ||
        c->minute > 59 || c->second < 0 || c->second > 59 || c->ms < 0 || c->ms > 999) {
        return FAIL1(TIME_BAD, field, text);
    }
    return local_to_ms(c, prefer_offset_min, field, text, out_ms);
}

struct civil civil_from_ms(int64_t ms, int offset_min)
{
    int64_t local = ms + (int64_t)offset_min * 60000;
    int32_t day = (int32_t)floor_div(local, DAY_MS);
    int rest = (int)(local - (int64_t)day * DAY_MS);
    struct civil c = {.hour = rest / 3600000,
                      .minute = rest / 60000 % 60,
                      .second = rest / 1000 % 60,
                      .ms = rest % 1000};
    day_to_ymd(day, &c.year, &c.month, &c.day);
    return c;
}

const char *civil_text(struct arena *a, int64_t ms, int offset_min)
{
    struct civil c = civil_from_ms(ms, offset_min);
    char fraction[16] = "", offset[16] = "Z";
    if (c.ms != 0) {
        snprintf(fraction, sizeof fraction, ".%03d", c.ms);
    }
    if (offset_min != 0) {
        int size = abs(offset_min);
        snprintf(offset, sizeof offset, "%c%02d:%02d", offset_min < 0 ? '-' : '+', size / 60,
                 size % 60);
    }
    return arena_printf(a, "%04d-%02d-%02dT%02d:%02d:%02d%s%s", c.year, c.month, c.day, c.hour,
                        c.minute, c.second, fraction, offset);
}

const char *civil_short(struct arena *a, int64_t ms)
{
    struct civil c = civil_from_ms(ms, civil_offset_min(ms));
    return arena_printf(a, "%04d-%02d-%02d %02d:%02d", c.year, c.month, c.day, c.hour, c.minute);
}

struct result day_read(const char *text, const char *field, int32_t *out_day)
{
    struct civil c = {0};
    const char *at = text;
    if (!date_digits(&at, &c) || *at != '\0') {
        return FAIL1(DATE_BAD, field, text);
    }
    *out_day = day_from_ymd(c.year, c.month, c.day);
    return RESULT_OK;
}

const char *day_text(struct arena *a, int32_t day)
{
    int year, month, day_of_month;
    day_to_ymd(day, &year, &month, &day_of_month);
    return arena_printf(a, "%04d-%02d-%02d", year, month, day_of_month);
}

int32_t day_of_house(int64_t ms, int offset_min, int day_starts_min)
{
    return (int32_t)floor_div(ms + ((int64_t)offset_min - day_starts_min) * 60000, DAY_MS);
}

struct result house_day_begin(int32_t day, int day_starts_min, int64_t *out_ms)
{
    struct civil c = {.hour = day_starts_min / 60, .minute = day_starts_min % 60};
    day_to_ymd(day, &c.year, &c.month, &c.day);
    int64_t about_ms = (int64_t)day * DAY_MS + c.hour * INT64_C(3600000);
    struct result r = civil_to_ms(&c, civil_offset_min(about_ms), "day", out_ms);
    if (r.code == CODE_TIME_GAP) { /* skipped by the clock change: the hour behind it */
        c.hour++;
        return civil_to_ms(&c, CIVIL_NO_OFFSET, "day", out_ms);
    }
    return r;
}

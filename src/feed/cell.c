#include "feed/cell.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "base/civil.h"

enum { DIGITS_MAX = 40, MINUTE_MS = 60000 };

struct result cell_at(const struct cell *c, struct result r)
{
    return result_at(r, c->line, c->column);
}

struct result cell_missing(const struct cell *c)
{
    return cell_at(c, FAIL1(FIELD_MISSING, c->header, "Fill it in where the file comes from."));
}

static struct result not_a(const struct cell *c, const char *wanted)
{
    return cell_at(c, FAIL2(FIELD_RANGE, c->header, c->len > 0 ? c->text : "empty", wanted));
}

/* Groups of three digits behind the first, as far as there are any: 1.234.567 */
static bool take_group(const char *at, char sign)
{
    return sign != '\0' && at[0] == sign && isdigit((unsigned char)at[1]) &&
           isdigit((unsigned char)at[2]) && isdigit((unsigned char)at[3]) &&
           !isdigit((unsigned char)at[4]);
}

/* The digits of a number without its signs: value * 10^-decimals, exact or not at all. */
struct digits {
    char text[DIGITS_MAX + 1];
    int count;
    int decimals;
    bool negative;
};

static bool read_digits(const struct mapping *m, const struct cell *c, struct digits *out)
{
    const char *at = c->text;
    bool point = false;
    bool grouped = false;
    *out = (struct digits){.negative = *at == '-'};
    at += *at == '-' || *at == '+';
    if (!isdigit((unsigned char)*at)) {
        return false;
    }
    for (; *at != '\0'; at++) {
        if (isdigit((unsigned char)*at)) {
            if (out->count == DIGITS_MAX) {
                return false;
            }
            out->text[out->count++] = *at;
            out->decimals += point;
        } else if (*at == m->decimal && !point && isdigit((unsigned char)at[1])) {
            point = true;
        } else if (point || (!grouped && out->count > 3) || !take_group(at, m->thousands)) {
            return false;
        } else {
            grouped = true;
        }
    }
    return true;
}

struct result cell_number(const struct mapping *m, const struct cell *c, int scale,
                          enum cell_rounding rounding, int64_t *out, bool *out_rounded)
{
    struct digits d;
    if (!read_digits(m, c, &d)) {
        return not_a(c, m->decimal == ',' ? "a number such as 12,5" : "a number such as 12.5");
    }
    int64_t value = 0;
    bool large = false;
    bool cut = false;
    bool up = false;
    int whole = d.count - d.decimals;
    for (int i = 0; i < whole + scale; i++) {
        int digit = i < d.count ? d.text[i] - '0' : 0;
        large = large || __builtin_mul_overflow(value, INT64_C(10), &value) ||
                __builtin_add_overflow(value, (int64_t)digit, &value);
    }
    for (int i = whole + scale; i < d.count; i++) {
        cut = cut || d.text[i] != '0';
        up = up || (i == whole + scale && d.text[i] >= '5');
    }
    if (cut && rounding == CELL_EXACT) {
        char wanted[80];
        snprintf(wanted, sizeof wanted, "a number with at most %d decimals", scale);
        return not_a(c, wanted);
    }
    large = large || (up && __builtin_add_overflow(value, INT64_C(1), &value));
    if (large) {
        return not_a(c, "a smaller number");
    }
    *out = d.negative ? -value : value;
    *out_rounded = cut;
    return RESULT_OK;
}

/* "1.000" where the mapping names no sign of thousands: one, or a thousand. */
static bool may_be_thousands(const struct mapping *m, const struct cell *c, int64_t value,
                             int64_t high)
{
    struct digits d;
    return m->thousands == '\0' && read_digits(m, c, &d) && d.decimals == 3 && d.count <= 6 &&
           value > 0 && value <= high / 1000;
}

struct result cell_count(const struct mapping *m, const struct cell *c, int64_t low, int64_t high,
                         int64_t *out)
{
    int64_t value;
    bool rounded;
    TRY(cell_number(m, c, 0, CELL_EXACT, &value, &rounded));
    if (may_be_thousands(m, c, value, high)) {
        return not_a(c, "written without decimals, or with thousands named in the mapping");
    }
    if (value < low || value > high) {
        char wanted[80];
        snprintf(wanted, sizeof wanted, "a whole number from %lld to %lld", (long long)low,
                 (long long)high);
        return not_a(c, wanted);
    }
    *out = value;
    return RESULT_OK;
}

/* From low to high digits; moves on. */
static bool take_number(const char **at, int low, int high, int *out)
{
    int value = 0;
    int count = 0;
    while (count < high && isdigit((unsigned char)(*at)[count])) {
        value = value * 10 + ((*at)[count++] - '0');
    }
    *at += count;
    *out = value;
    return count >= low;
}

static bool take(const char **at, char sign)
{
    bool there = **at == sign && sign != '\0';
    *at += there;
    return there;
}

static bool day_exists(int year, int month, int day, int32_t *out)
{
    int y, m, d;
    if (month < 1 || month > 12 || day < 1 || day > 31) {
        return false;
    }
    *out = day_from_ymd(year, month, day);
    day_to_ymd(*out, &y, &m, &d);
    return m == month && d == day;
}

/* 2026-03-29; or day first 29.03.2026 29/3/2026 29-03-26, a year of two digits being of this
 * century. */
static bool take_day(const char **at, bool day_first, int32_t *out)
{
    int year, month, day;
    if (!day_first) {
        return take_number(at, 4, 4, &year) && take(at, '-') && take_number(at, 2, 2, &month) &&
               take(at, '-') && take_number(at, 2, 2, &day) && year >= 1971 &&
               day_exists(year, month, day, out);
    }
    if (!take_number(at, 1, 2, &day)) {
        return false;
    }
    char sign = **at;
    if ((sign != '.' && sign != '/' && sign != '-') || !take(at, sign) ||
        !take_number(at, 1, 2, &month) || !take(at, sign)) {
        return false;
    }
    const char *begin = *at;
    if (!take_number(at, 2, 4, &year) || *at - begin == 3) {
        return false;
    }
    year += *at - begin == 2 ? 2000 : 0;
    return year >= 1971 && day_exists(year, month, day, out);
}

/* 5:30 05:30:00 05:30:00.250 05:30:00,250 */
static bool take_clock(const char **at, int64_t *out_ms)
{
    int hour, minute;
    int second = 0;
    int ms = 0;
    if (!take_number(at, 1, 2, &hour) || !take(at, ':') || !take_number(at, 2, 2, &minute)) {
        return false;
    }
    if (take(at, ':')) {
        if (!take_number(at, 2, 2, &second)) {
            return false;
        }
        if (take(at, '.') || take(at, ',')) {
            const char *begin = *at;
            if (!take_number(at, 1, 3, &ms)) {
                return false;
            }
            for (int64_t have = *at - begin; have < 3; have++) {
                ms *= 10;
            }
            *at += strspn(*at, "0123456789"); /* finer than a millisecond */
        }
    }
    *out_ms = ((int64_t)hour * 60 + minute) * MINUTE_MS + second * 1000 + ms;
    return hour <= 23 && minute <= 59 && second <= 59;
}

/* Z +01:00 +0100 */
static bool take_offset(const char **at, int *out_min)
{
    int hours;
    int minutes;
    if (take(at, 'Z')) {
        *out_min = 0;
        return true;
    }
    bool negative = **at == '-';
    if (!take(at, '+') && !take(at, '-')) {
        return false;
    }
    bool fits = take_number(at, 2, 2, &hours) && (take(at, ':') || isdigit((unsigned char)**at)) &&
                take_number(at, 2, 2, &minutes) && hours <= 23 && minutes <= 59;
    *out_min = fits ? (negative ? -1 : 1) * (hours * 60 + minutes) : 0;
    return fits;
}

static bool read_stamp(const char *text, bool day_first, struct stamp *out)
{
    const char *at = text;
    *out = (struct stamp){0};
    if (!take_day(&at, day_first, &out->day)) {
        return false;
    }
    if (*at == '\0') {
        return true;
    }
    if (!take(&at, 'T') && !take(&at, ' ')) {
        return false;
    }
    out->has_time = true;
    if (!take_clock(&at, &out->day_ms)) {
        return false;
    }
    if (*at != '\0') {
        take(&at, ' ');
        out->has_offset = take_offset(&at, &out->offset_min);
        return out->has_offset && *at == '\0';
    }
    return true;
}

static struct result not_a_date(const struct mapping *m, const struct cell *c)
{
    return cell_at(c, FAIL2(FEED_DATE, c->header, c->text,
                            m->day_first ? "29.03.2026 or 29.03.2026 05:30:00 (day first)"
                                         : "2026-03-29 or 2026-03-29 05:30:00"));
}

struct result cell_stamp(const struct mapping *m, const struct cell *c, struct stamp *out)
{
    return read_stamp(c->text, m->day_first, out) ? RESULT_OK : not_a_date(m, c);
}

struct result cell_day(const struct mapping *m, const struct cell *c, int32_t *out)
{
    struct stamp s;
    if (!read_stamp(c->text, m->day_first, &s) || s.day_ms != 0 || s.has_offset) {
        return not_a_date(m, c);
    }
    *out = s.day;
    return RESULT_OK;
}

struct result cell_clock(const struct mapping *m, const struct cell *c, struct stamp *out)
{
    const char *at = c->text;
    *out = (struct stamp){.has_time = true};
    if (!take_clock(&at, &out->day_ms) || *at != '\0') {
        return cell_at(c, FAIL2(FEED_DATE, c->header, c->text, "05:30:00"));
    }
    return RESULT_OK;
}

struct result cell_word(struct arena *a, const struct mapping *m, int field, const struct cell *c,
                        const char **out)
{
    bool any = false;
    for (size_t i = 0; i < m->code_count; i++) {
        const struct mapping_code *code = &m->codes[i];
        if (code->field == field && strcmp(code->theirs, c->text) == 0) {
            *out = code->ours;
            return RESULT_OK;
        }
        any = any || code->field == field;
    }
    if (any) {
        return cell_at(c, FAIL2(FEED_CODE, c->header, c->text, mapping_field_name(m->kind, field)));
    }
    *out = arena_copy(a, c->text);
    return RESULT_OK;
}

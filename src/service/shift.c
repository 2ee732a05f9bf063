#include "service/shift.h"

#include <string.h>

#include "base/civil.h"
#include "base/words.h"

#define MINUTE_MS INT64_C(60000)
#define DAY_MIN INT64_C(1440)

int64_t shift_wall_ms(int32_t day, int64_t minutes)
{
    int64_t utc_ms = (day * DAY_MIN + minutes) * MINUTE_MS, ms = utc_ms;
    for (int i = 0; i < 2; i++) { /* the second time with the offset that is in force then */
        ms = utc_ms - civil_offset_min(ms) * MINUTE_MS;
    }
    return ms;
}

/* Shift number at of a day; false: it has no more. */
static bool shift_of_day(const struct profile *p, struct arena *a, int32_t day, size_t at,
                         struct shift *out)
{
    int64_t began_ms = shift_wall_ms(day, p->day_starts_min);
    int64_t ends_ms = shift_wall_ms(day + 1, p->day_starts_min);
    *out = (struct shift){.day = day, .start_ms = began_ms, .end_ms = ends_ms};
    if (p->shift_count > 0) {
        const struct profile_shift *s = &p->shifts[at < p->shift_count ? at : 0];
        out->name = s->name;
        out->start_ms = shift_wall_ms(day, s->start_min);
        out->end_ms =
            at + 1 < p->shift_count ? shift_wall_ms(day, p->shifts[at + 1].start_min) : ends_ms;
        return at < p->shift_count;
    }
    out->name = arena_printf(a, "%zu", at + 1);
    if (p->shift_ms > 0) {
        out->start_ms = began_ms + (int64_t)at * p->shift_ms;
        out->end_ms = out->start_ms + p->shift_ms < ends_ms ? out->start_ms + p->shift_ms : ends_ms;
    }
    return p->shift_ms > 0 ? out->start_ms < ends_ms : at == 0;
}

struct shift shift_at(const struct profile *p, struct arena *a, int64_t ms)
{
    int32_t day = day_of_house(ms, civil_offset_min(ms), p->day_starts_min);
    struct shift one, in_force;
    size_t at = 0;
    shift_of_day(p, a, day, at, &in_force);
    if (p->shift_count == 0 && p->shift_ms > 0 && ms > in_force.start_ms) {
        at = (size_t)((ms - in_force.start_ms) / p->shift_ms);
        shift_of_day(p, a, day, at, &in_force);
    }
    while (shift_of_day(p, a, day, ++at, &one) && one.start_ms <= ms) {
        in_force = one;
    }
    return in_force;
}

struct result shift_named(const struct profile *p, struct arena *a, int32_t day, const char *name,
                          struct shift *out)
{
    const char *names = "";
    for (size_t at = 0; shift_of_day(p, a, day, at, out); at++) {
        if (strcmp(out->name, name) == 0) {
            return RESULT_OK;
        }
        names = arena_printf(a, "%s%s%s", names, at > 0 ? ", " : "", out->name);
    }
    return FAIL2(FIELD_CHOICE, "shift", name, names);
}

const char *shift_title(struct arena *a, const char *lang, const char *name)
{
    return words_of(a, lang, "ui.shift.", name, WORDS(a, lang, "sheet.shift-name", name));
}

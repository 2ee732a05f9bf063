/* Today of the invented house, as somebody sees it. */
#ifndef TESTS_SERVICE_TODAYS_H
#define TESTS_SERVICE_TODAYS_H

#include "view_support.h"

#include "service/view_today.h"

/* The lines of a day, so many days ahead, in a language; the caller's. */
static inline json_t *todays_lines_in(struct house *h, int64_t person, const char *role,
                                      const char *lang, int days)
{
    struct view v = view_as(h, person, role);
    json_t *out;
    v.lang = lang;
    assert_ok(view_today(&v, (int32_t)house_day(h) + days, NULL, &out));
    json_t *lines = json_incref(json_object_get(out, "lines"));
    json_decref(out);
    return lines;
}

static inline json_t *todays_lines(struct house *h, int64_t person, const char *role)
{
    return todays_lines_in(h, person, role, "en", 0);
}

/* What the line's form is filled in with. */
static inline const json_t *todays_with(const json_t *line)
{
    return at_key(at_key(line, "go"), "with");
}

#endif

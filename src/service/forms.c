#include "service/forms.h"

#include <string.h>

#include "base/check.h"

#define FORM(form_, group_, moves_) {.form = form_, .group = group_, .moves = moves_},
#define F(name_, kind_, ...) {.name = name_, .kind = kind_, __VA_ARGS__},
#define MASS(...)                                                        \
    F("mass", "mass", .unit = "kg", .either = "gross", __VA_ARGS__)      \
    F("instrument", "instrument", .of = "scale")                         \
    F("how", "choice", .choices = "weighed,counted,standard,difference") \
    F("gross", "mass", .unit = "kg")                                     \
    F("tare", "mass", .unit = "kg")

static const struct form_field rows[] = {
#include "service/forms.def"
};

enum { ROWS = sizeof rows / sizeof rows[0] };

size_t form_count(void)
{
    size_t count = 0;
    for (size_t i = 0; i < ROWS; i++) {
        count += rows[i].form != NULL;
    }
    return count;
}

struct form form_at(size_t n)
{
    size_t at = 0, seen = 0;
    while (at < ROWS && (rows[at].form == NULL || seen++ < n)) {
        at++;
    }
    CHECK(at < ROWS);
    struct form f = {.name = rows[at].form,
                     .group = rows[at].group,
                     .moves = rows[at].moves,
                     .fields = &rows[at + 1]};
    while (at + 1 + f.count < ROWS && f.fields[f.count].form == NULL) {
        f.count++;
    }
    return f;
}

bool form_find(const char *name, struct form *out)
{
    for (size_t i = 0; i < form_count(); i++) {
        *out = form_at(i);
        if (strcmp(out->name, name) == 0) {
            return true;
        }
    }
    return false;
}

bool form_of(const struct profile *p, const char *kind, struct form *out)
{
    const struct profile_step *step = profile_step(p, kind);
    bool check = step != NULL && strcmp(step->act, "check") == 0;
    return form_find(step == NULL ? kind : check ? step->check : step->act, out);
}

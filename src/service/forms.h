/* The recording forms as data: which fields each act of the ledger takes. See forms.def. */
#ifndef SERVICE_FORMS_H
#define SERVICE_FORMS_H

#include "ledger/profile.h"

/* What is not said is NULL. Comma lists: of, choices ("@markets" and such: the profile's), either.
 * with: "field=value,value". */
struct form_field {
    const char *form, *group; /* of the row that begins a form; else NULL */
    bool moves;
    const char *name, *kind;
    bool need;
    const char *either, *of, *choices, *unit, *with;
};

struct form {
    const char *name, *group;
    bool moves; /* its entry moves mass */
    const struct form_field *fields;
    size_t count;
};

size_t form_count(void);
/* The n-th of them. */
struct form form_at(size_t n);
/* Of an act, or of a check by its name; false: there is none. */
bool form_find(const char *name, struct form *out);
/* Of a kind as it is told: a step of the profile, or a kind of the house. */
bool form_of(const struct profile *p, const char *kind, struct form *out);

#endif

#include "service/may.h"

#include <stdio.h>

#include "ledger/draft.h"

const char may_stations[] = "manager";
const char may_people[] = "manager";

/* An action of the pages and the kind of command behind it. */
static const struct {
    const char *action, *kind;
} actions[] = {
    {"release", "release"}, {"lift", "lift"},      {"hold", "hold"},
    {"review", "review"},   {"strike", "strike"},  {"limit", "limit"},
    {"people", "person"},   {"plan", "plan-take"}, {"attach", "attach"},
};

static void add(json_t *list, const char *prefix, const char *name)
{
    char text[128];
    snprintf(text, sizeof text, "%s%s", prefix, name);
    json_array_append_new(list, json_string(text));
}

static void add_house_kinds(json_t *list, const char *role)
{
    static const struct {
        const char *kind, *roles;
    } kinds[] = {
#define ACT(name, function, roles) {name, roles},
#include "ledger/acts.def"
#undef ACT
    };
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (kinds[i].roles != NULL && list_has(kinds[i].roles, role)) {
            add(list, "record:", kinds[i].kind);
        }
    }
}

json_t *may_list(const struct profile *profile, const char *role)
{
    json_t *list = json_array();
    if (role == NULL) {
        return list;
    }
    for (size_t i = 0; profile != NULL && i < profile->step_count; i++) {
        if (list_has(profile->steps[i].roles, role)) {
            add(list, "record:", profile->steps[i].name);
        }
    }
    add_house_kinds(list, role);
    for (size_t i = 0; i < sizeof actions / sizeof actions[0]; i++) {
        const struct act *act = act_find(actions[i].kind);
        if (act != NULL && act->roles != NULL && list_has(act->roles, role)) {
            add(list, "", actions[i].action);
        }
    }
    if (list_has(may_stations, role)) {
        add(list, "", "stations");
    }
    return list;
}

#include "service/may.h"

#include <stdio.h>

#include "ledger/draft.h"
#include "ledger/fit.h"

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

/* A step or house kind for which somebody's training is not valid is not offered. */
static struct result add_record(const struct may_asking *who, json_t *list, const char *kind)
{
    const char *training;
    bool valid;
    TRY(training_valid(who->store, who->profile, kind, who->person, who->at_ms, &training, &valid));
    if (valid) {
        add(list, "record:", kind);
    }
    return RESULT_OK;
}

static struct result add_records(const struct may_asking *who, json_t *list)
{
    static const struct {
        const char *kind, *roles;
    } kinds[] = {
#define ACT(name, function, roles) {name, roles},
#include "ledger/acts.def"
#undef ACT
    };
    const struct profile *p = who->profile;
    for (size_t i = 0; p != NULL && i < p->step_count; i++) {
        if (list_has(p->steps[i].roles, who->role)) {
            TRY(add_record(who, list, p->steps[i].name));
        }
    }
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (kinds[i].roles != NULL && list_has(kinds[i].roles, who->role)) {
            TRY(add_record(who, list, kinds[i].kind));
        }
    }
    return RESULT_OK;
}

static void add_actions(json_t *list, const char *role)
{
    for (size_t i = 0; i < sizeof actions / sizeof actions[0]; i++) {
        const struct act *act = act_find(actions[i].kind);
        if (act != NULL && act->roles != NULL && list_has(act->roles, role)) {
            add(list, "", actions[i].action);
        }
    }
    if (list_has(may_stations, role)) {
        add(list, "", "stations");
    }
}

struct result may_list(const struct may_asking *who, json_t **out)
{
    json_t *list = json_array();
    if (who->role != NULL) {
        struct result r = add_records(who, list);
        if (r.code != CODE_OK) {
            json_decref(list);
            return r;
        }
        add_actions(list, who->role);
    }
    *out = list;
    return RESULT_OK;
}

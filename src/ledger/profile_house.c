/* From JSON to struct profile: training, swab zones, whom tasks are told to, what ends soon, how
 * lots are inspected by sample, what water is asked for. */
#include <string.h>

#include "calc/microbe/sampling_plan.h"
#include "ledger/profile_inner.h"

/* What ends is told so long before, where the profile does not say (common practice). */
#define AHEAD_MS (INT64_C(30) * 86400000)
#define CALIBRATION_AHEAD_MS (INT64_C(3) * 86400000)

static struct result fill_training(struct profile *p, const json_t *o, const char *path,
                                   void *element)
{
    static const char *const names[] = {"training", "title", "steps", "valid", "source", NULL};
    struct training *t = element;
    TRY(json_only(o, path, "a training", names));
    TRY(profile_text(p, o, path, "training", JSON_NEEDED, &t->name));
    TRY(profile_text(p, o, path, "title", JSON_NEEDED, &t->title));
    TRY(profile_list(p, o, path, "steps", JSON_NEEDED, &t->steps));
    TRY(profile_duration(o, path, "valid", JSON_NEEDED, &t->valid_ms));
    if (profile_training(p, t->name) != NULL) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "training"), "this training is named twice.");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &t->source);
}

static struct result fill_zone(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"zone", "every", "clear", "holds", "source", NULL};
    struct swab_zone *z = element;
    TRY(json_only(o, path, "a zone", names));
    TRY(json_get_int(o, "zone", path_join(p, path, "zone"), JSON_NEEDED, 1, 4, &z->zone));
    TRY(profile_duration(o, path, "every", JSON_NEEDED, &z->every_ms));
    TRY(json_get_int(o, "clear", path_join(p, path, "clear"), JSON_NEEDED, 1, 100, &z->clear));
    TRY(profile_bool(o, path, "holds", &z->holds));
    /* 21 CFR 112.145: not less than monthly, published (seen) */
    if (z->every_ms <= 0 || z->every_ms > INT64_C(31) * 86400000) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "every"),
                     "sites are swabbed at least monthly (21 CFR 112.145).");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &z->source);
}

static struct result fill_told(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"task", "roles", NULL};
    struct task_roles *t = element;
    TRY(json_only(o, path, "whom a task is told to", names));
    TRY(profile_text(p, o, path, "task", JSON_NEEDED, &t->task));
    TRY(profile_list(p, o, path, "roles", JSON_NEEDED, &t->roles));
    const char *at = t->roles;
    char role[64];
    while (list_next(&at, role, sizeof role)) {
        if (!list_has(profile_roles, role)) {
            return FAIL2(FIELD_CHOICE, path_join(p, path, "roles"), role, profile_roles);
        }
    }
    return t->roles[0] != '\0' ? RESULT_OK
                               : FAIL1(PROFILE_BAD, path_join(p, path, "roles"),
                                       "a task needs somebody whom it is told to.");
}

static bool makes_check(const struct profile *p, const char *check)
{
    for (size_t i = 0; i < p->step_count; i++) {
        if (strcmp(p->steps[i].act, "check") == 0 && strcmp(p->steps[i].check, check) == 0) {
            return true;
        }
    }
    return false;
}

static bool share_items(const char *one, const char *other)
{
    char item[64];
    if (one[0] == '\0' || other[0] == '\0') {
        return one[0] == other[0]; /* the row for all stands behind those that name items */
    }
    while (list_next(&one, item, sizeof item)) {
        if (list_has(other, item)) {
            return true;
        }
    }
    return false;
}

/* Pieces of packed lots are counted where somebody looks at them. */
static struct result check_of_packs(struct profile *p, const char *path, const struct acceptance *a)
{
    const char *field = path_join(p, path, "check");
    if (!list_has(profile_counting_checks, a->check)) {
        return FAIL2(FIELD_CHOICE, field, a->check, profile_counting_checks);
    }
    if (!makes_check(p, a->check)) {
        return FAIL1(PROFILE_BAD, field, "no step of the profile makes this check.");
    }
    for (size_t i = 0; i < p->acceptance_count; i++) {
        const struct acceptance *b = &p->acceptances[i];
        if (strcmp(b->check, a->check) == 0 && share_items(a->items, b->items)) {
            return FAIL1(PROFILE_BAD, path_join(p, path, "items"),
                         "another row says how this check inspects such an item.");
        }
    }
    return RESULT_OK;
}

static struct result fill_acceptance(struct profile *p, const json_t *o, const char *path,
                                     void *element)
{
    static const char *const names[] = {"check", "items", "level", "aql", "source", NULL};
    struct acceptance *a = element;
    struct sampling_plan plan;
    enum sampling_level level;
    int64_t milli;
    bool given;
    a->check = "";
    TRY(json_only(o, path, "how lots are inspected by sample", names));
    TRY(profile_text(p, o, path, "check", JSON_OPTIONAL, &a->check));
    bool of_packs = a->check[0] != '\0';
    TRY(profile_list(p, o, path, "items", of_packs ? JSON_OPTIONAL : JSON_NEEDED, &a->items));
    if (of_packs) {
        TRY(check_of_packs(p, path, a));
    }
    TRY(profile_text(p, o, path, "level", JSON_NEEDED, &a->level));
    if (!sampling_level_read(a->level, &level)) {
        return FAIL2(FIELD_CHOICE, path_join(p, path, "level"), a->level,
                     "S-1, S-2, S-3, S-4, I, II, III");
    }
    TRY(profile_decimal(o, path, "aql", JSON_NEEDED, &milli, &given));
    a->aql_hundredths = milli / 10;
    struct result r = sampling_plan(2, level, a->aql_hundredths, false, &plan);
    if (r.code != CODE_OK || milli % 10 != 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "aql"),
                     "it is one of 0.65, 1.0, 1.5, 2.5, 4.0, 6.5.");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &a->source);
}

static struct result fill_ahead(struct profile *p, const json_t *root)
{
    static const char *const names[] = {"training",    "health",      "supplier",
                                        "certificate", "calibration", NULL};
    struct ahead *a = &p->ahead;
    json_t *o = NULL;
    *a = (struct ahead){AHEAD_MS, AHEAD_MS, AHEAD_MS, AHEAD_MS, CALIBRATION_AHEAD_MS};
    TRY(json_get_object(root, "ahead", "ahead", JSON_OPTIONAL, &o));
    if (o == NULL) {
        return RESULT_OK;
    }
    TRY(json_only(o, "ahead", "how long before its end something is told", names));
    int64_t *const to[] = {&a->training_ms, &a->health_ms, &a->supplier_ms, &a->certificate_ms,
                           &a->calibration_ms};
    for (size_t i = 0; names[i] != NULL; i++) {
        TRY(profile_duration(o, "ahead", names[i], JSON_OPTIONAL, to[i]));
    }
    return RESULT_OK;
}

/* Decimals as "0.5"; 3 of Giardia and 4 of viruses are all that the tables say anything of. */
static struct result fill_log(const json_t *o, const char *path, const char *key, int64_t most,
                              struct profile *p, int64_t *out)
{
    bool given;
    TRY(profile_decimal(o, path, key, JSON_OPTIONAL, out, &given));
    return *out >= 0 && *out <= most
               ? RESULT_OK
               : FAIL1(PROFILE_BAD, path_join(p, path, key),
                       "the tables of contact time end at 3 decimals of Giardia, 4 of viruses.");
}

static struct result fill_water_rule(struct profile *p, const json_t *o, const char *path,
                                     void *element)
{
    static const char *const names[] = {"rule", "places", "giardia_log", "virus_log",
                                        "told", "source", NULL};
    struct water_rule *w = element;
    TRY(json_only(o, path, "a rule of water", names));
    TRY(profile_text(p, o, path, "rule", JSON_NEEDED, &w->name));
    if (profile_water_rule(p, w->name) != NULL) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "rule"), "this rule is named twice.");
    }
    TRY(profile_list(p, o, path, "places", JSON_OPTIONAL, &w->places));
    TRY(fill_log(o, path, "giardia_log", 3000, p, &w->giardia_milli));
    TRY(fill_log(o, path, "virus_log", 4000, p, &w->virus_milli));
    TRY(profile_list(p, o, path, "told", JSON_NEEDED, &w->told));
    return profile_source(p, o, path, "source", JSON_NEEDED, &w->source);
}

struct result profile_fill_house(struct profile *p, const json_t *root)
{
    TRY(profile_bool(root, "", "suppliers_approved", &p->suppliers_approved));
    if (json_object_get(root, "trainings") != NULL) {
        TRY(profile_each(p, root, "", "trainings", sizeof(struct training), fill_training,
                         &p->trainings, &p->training_count));
    }
    if (json_object_get(root, "swab_zones") != NULL) {
        TRY(profile_each(p, root, "", "swab_zones", sizeof(struct swab_zone), fill_zone,
                         &p->swab_zones, &p->swab_zone_count));
    }
    if (json_object_get(root, "told") != NULL) {
        TRY(profile_each(p, root, "", "told", sizeof(struct task_roles), fill_told, &p->told,
                         &p->told_count));
    }
    if (json_object_get(root, "acceptance") != NULL) {
        TRY(profile_each(p, root, "", "acceptance", sizeof(struct acceptance), fill_acceptance,
                         &p->acceptances, &p->acceptance_count));
    }
    if (json_object_get(root, "water_rules") != NULL) {
        TRY(profile_each(p, root, "", "water_rules", sizeof(struct water_rule), fill_water_rule,
                         &p->water_rules, &p->water_rule_count));
    }
    return fill_ahead(p, root);
}

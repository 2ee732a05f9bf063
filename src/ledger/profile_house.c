/* From JSON to struct profile: training, swab zones, what water is asked for. */
#include <string.h>

#include "ledger/profile_inner.h"

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
    if (json_object_get(root, "water_rules") != NULL) {
        TRY(profile_each(p, root, "", "water_rules", sizeof(struct water_rule), fill_water_rule,
                         &p->water_rules, &p->water_rule_count));
    }
    return RESULT_OK;
}

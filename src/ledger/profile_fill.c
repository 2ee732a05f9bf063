/* From JSON to struct profile: name, sources, steps, crops. */
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "base/words.h"
#include "ledger/draft.h"
#include "ledger/profile_inner.h"

static struct result fill_source(struct profile *p, const json_t *o, const char *path,
                                 void *element)
{
    static const char *const names[] = {"source", "title", "locator", "word", NULL};
    struct source *s = element;
    const char *word = NULL;
    TRY(json_only(o, path, "a source", names));
    TRY(profile_text(p, o, path, "source", JSON_NEEDED, &s->key));
    TRY(profile_text(p, o, path, "title", JSON_NEEDED, &s->title));
    s->locator = "";
    TRY(profile_text(p, o, path, "locator", JSON_OPTIONAL, &s->locator));
    TRY(profile_text(p, o, path, "word", JSON_NEEDED, &word));
    for (int i = WORD_SEEN; i <= WORD_MEMORY; i++) {
        if (strcmp(word_text((enum word)i), word) == 0) {
            s->word = (enum word)i;
            return RESULT_OK;
        }
    }
    return FAIL2(FIELD_CHOICE, path_join(p, path, "word"), word,
                 "published (seen), published (abstract only), computed here, derived, common "
                 "practice, from memory");
}

static struct result fill_out(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"role", "kind", "item", "yield_low", "yield_high", NULL};
    struct step_out *out = element;
    TRY(json_only(o, path, "an output", names));
    TRY(profile_text(p, o, path, "role", JSON_NEEDED, &out->role));
    TRY(profile_text(p, o, path, "kind", JSON_NEEDED, &out->kind));
    TRY(profile_text(p, o, path, "item", JSON_OPTIONAL, &out->item));
    TRY(profile_percent(o, path, "yield_low", JSON_OPTIONAL, &out->yield_low_ppm));
    TRY(profile_percent(o, path, "yield_high", JSON_OPTIONAL, &out->yield_high_ppm));
    if (out->yield_low_ppm > out->yield_high_ppm) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "yield_low"),
                     "the low yield is above the high one.");
    }
    return RESULT_OK;
}

static struct result step_mode(struct profile *p, const json_t *o, const char *path,
                               struct profile_step *s)
{
    const char *mode = NULL;
    TRY(profile_text(p, o, path, "mode", JSON_NEEDED, &mode));
    s->asks_by_default = strcmp(mode, "ask") == 0;
    if (!s->asks_by_default && strcmp(mode, "tell") != 0) {
        return FAIL2(FIELD_CHOICE, path_join(p, path, "mode"), mode, "ask, tell");
    }
    return RESULT_OK;
}

static struct result fill_step(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"step",      "act",    "title",    "mode", "roles",
                                        "in",        "places", "check",    "out",  "difference",
                                        "tolerance", "on_run", "reviewed", "wets", NULL};
    struct profile_step *s = element;
    TRY(json_only(o, path, "a step", names));
    TRY(profile_text(p, o, path, "step", JSON_NEEDED, &s->name));
    TRY(profile_text(p, o, path, "act", JSON_NEEDED, &s->act));
    TRY(profile_text(p, o, path, "title", JSON_NEEDED, &s->title));
    if (profile_step(p, s->name) != NULL) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "step"), "this step is named twice.");
    }
    if (act_find(s->act) == NULL) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "act"),
                     "the ledger has no such act; see docs/daybook.md.");
    }
    TRY(step_mode(p, o, path, s));
    TRY(profile_list(p, o, path, "roles", JSON_NEEDED, &s->roles));
    TRY(profile_list(p, o, path, "in", JSON_OPTIONAL, &s->in_kinds));
    TRY(profile_list(p, o, path, "places", JSON_OPTIONAL, &s->place_kinds));
    s->check = s->difference = "";
    TRY(profile_text(p, o, path, "check", JSON_OPTIONAL, &s->check));
    TRY(profile_text(p, o, path, "difference", JSON_OPTIONAL, &s->difference));
    TRY(profile_percent(o, path, "tolerance", JSON_OPTIONAL, &s->tolerance_ppm));
    TRY(profile_bool(o, path, "on_run", &s->on_run));
    TRY(profile_bool(o, path, "reviewed", &s->reviewed));
    TRY(profile_bool(o, path, "wets", &s->wets));
    if (json_object_get(o, "out") != NULL) {
        TRY(profile_each(p, o, path, "out", sizeof(struct step_out), fill_out, &s->outs,
                         &s->out_count));
    }
    return RESULT_OK;
}

static struct result fill_crop(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"item",
                                        "seed_items",
                                        "heat_base",
                                        "heat_best",
                                        "heat_goal_c_h",
                                        "set_point",
                                        "expansion",
                                        "hull",
                                        "trim",
                                        "cull",
                                        "carry",
                                        "moisture",
                                        "dry_loss",
                                        "chamber_seed_low",
                                        "chamber_seed_high",
                                        "source",
                                        NULL};
    struct crop *c = element;
    bool given;
    TRY(json_only(o, path, "a crop", names));
    TRY(profile_text(p, o, path, "item", JSON_NEEDED, &c->item));
    TRY(profile_list(p, o, path, "seed_items", JSON_NEEDED, &c->seed_items));
    TRY(profile_temp(o, path, "heat_base", JSON_NEEDED, &c->heat_base_mc));
    TRY(profile_temp(o, path, "heat_best", JSON_NEEDED, &c->heat_best_mc));
    TRY(profile_decimal(o, path, "heat_goal_c_h", JSON_NEEDED, &c->heat_goal_ch, &given));
    TRY(profile_temp(o, path, "set_point", JSON_NEEDED, &c->set_point_mc));
    TRY(profile_decimal(o, path, "expansion", JSON_NEEDED, &c->expansion_std, &given));
    TRY(profile_percent(o, path, "hull", JSON_NEEDED, &c->hull_ppm));
    TRY(profile_percent(o, path, "trim", JSON_NEEDED, &c->trim_ppm));
    TRY(profile_percent(o, path, "cull", JSON_NEEDED, &c->cull_ppm));
    TRY(profile_percent(o, path, "carry", JSON_NEEDED, &c->carry_ppm));
    TRY(profile_percent(o, path, "moisture", JSON_NEEDED, &c->seed_moisture_ppm));
    TRY(profile_percent(o, path, "dry_loss", JSON_NEEDED, &c->dry_loss_ppm));
    TRY(profile_mass(o, path, "chamber_seed_low", JSON_NEEDED, &c->chamber_seed_low_mg));
    TRY(profile_mass(o, path, "chamber_seed_high", JSON_NEEDED, &c->chamber_seed_high_mg));
    if (c->heat_base_mc >= c->heat_best_mc || c->set_point_mc <= c->heat_base_mc) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "heat_base"),
                     "it must lie below heat_best and set_point.");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &c->source);
}

static struct result fill_label_storage(struct profile *p, const json_t *o, const char *path,
                                        void *element)
{
    static const char *const names[] = {"items", "text", "language", "source", NULL};
    enum { TEXT_MAX = 200 }; /* three lines of a case label */
    struct label_storage *row = element;
    TRY(json_only(o, path, "a text for labels", names));
    TRY(profile_list(p, o, path, "items", JSON_OPTIONAL, &row->items));
    TRY(profile_text(p, o, path, "text", JSON_NEEDED, &row->text));
    if (row->text[0] == '\0' || strlen(row->text) > TEXT_MAX) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "text"), "it must have 1 to 200 bytes.");
    }
    if (row->items[0] == '\0' && profile_label_storage(p, "") != NULL) {
        return FAIL1(PROFILE_BAD, path, "only one row may be for all items.");
    }
    TRY(profile_text(p, o, path, "language", JSON_OPTIONAL, &row->language));
    row->language = row->language != NULL ? row->language : words_spoken[0];
    if (!words_has_file(row->language)) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "language"), "it must be en or es.");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &row->source);
}

static struct result fill_shift(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"shift", "start", NULL};
    enum { NAME_MAX_BYTES = 40, DAY_MIN = 1440 };
    struct profile_shift *s = element;
    int64_t start_ms = 0;
    TRY(json_only(o, path, "a shift", names));
    TRY(profile_text(p, o, path, "shift", JSON_NEEDED, &s->name));
    TRY(profile_duration(o, path, "start", JSON_NEEDED, &start_ms));
    size_t len = strspn(s->name, "abcdefghijklmnopqrstuvwxyz0123456789-");
    if (len == 0 || len > NAME_MAX_BYTES || s->name[len] != '\0') {
        return FAIL1(PROFILE_BAD, path_join(p, path, "shift"),
                     "it must be of small letters, digits and hyphens, at most 40.");
    }
    if (start_ms < 0 || start_ms >= DAY_MIN * INT64_C(60000)) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "start"), "it must lie between 0 h and 24 h.");
    }
    s->start_min = start_ms / 60000;
    s->start_min += s->start_min < p->day_starts_min ? DAY_MIN : 0;
    for (size_t i = 0; i < p->shift_count; i++) {
        if (strcmp(p->shifts[i].name, s->name) == 0) {
            return FAIL1(PROFILE_BAD, path, "two shifts must not have one name.");
        }
    }
    int64_t least =
        p->shift_count > 0 ? p->shifts[p->shift_count - 1].start_min + 1 : p->day_starts_min;
    bool first_late = p->shift_count == 0 && s->start_min != least;
    return s->start_min < least || first_late
               ? FAIL1(PROFILE_BAD, path_join(p, path, "start"),
                       "the first shift begins with the house day, each other after the one "
                       "before it.")
               : RESULT_OK;
}

struct result profile_fill(struct profile *p, const json_t *root)
{
    static const char *const names[] = {"profile",
                                        "title",
                                        "day_starts",
                                        "shift",
                                        "sources",
                                        "steps",
                                        "limits",
                                        "surfaces",
                                        "markets",
                                        "recipes",
                                        "clauses",
                                        "crops",
                                        "lab_transit",
                                        "lab_time",
                                        "planning",
                                        "label_storage",
                                        "trainings",
                                        "swab_zones",
                                        "suppliers_approved",
                                        "shifts",
                                        "lines",
                                        "told",
                                        "ahead",
                                        "acceptance",
                                        "water_rules",
                                        NULL};
    if (!json_is_object(root)) {
        return FAIL1(PROFILE_BAD, "", "a profile is one JSON object.");
    }
    TRY(json_only(root, "", "a profile", names));
    TRY(profile_text(p, root, "", "profile", JSON_NEEDED, &p->name));
    TRY(profile_text(p, root, "", "title", JSON_NEEDED, &p->title));
    int64_t starts_ms = 0;
    TRY(profile_duration(root, "", "day_starts", JSON_NEEDED, &starts_ms));
    TRY(profile_duration(root, "", "shift", JSON_NEEDED, &p->shift_ms));
    if (starts_ms < 0 || starts_ms >= 24 * 3600 * 1000LL) {
        return FAIL1(PROFILE_BAD, "day_starts", "it must lie between 0 h and 24 h.");
    }
    p->day_starts_min = (int)(starts_ms / 60000);
    if (json_object_get(root, "shifts") != NULL) {
        TRY(profile_each(p, root, "", "shifts", sizeof(struct profile_shift), fill_shift,
                         &p->shifts, &p->shift_count));
    }
    TRY(profile_duration(root, "", "lab_transit", JSON_NEEDED, &p->lab_transit_ms));
    TRY(profile_duration(root, "", "lab_time", JSON_NEEDED, &p->lab_time_ms));
    TRY(profile_each(p, root, "", "sources", sizeof(struct source), fill_source, &p->sources,
                     &p->source_count));
    TRY(profile_each(p, root, "", "steps", sizeof(struct profile_step), fill_step, &p->steps,
                     &p->step_count));
    TRY(profile_each(p, root, "", "crops", sizeof(struct crop), fill_crop, &p->crops,
                     &p->crop_count));
    if (json_object_get(root, "label_storage") != NULL) {
        TRY(profile_each(p, root, "", "label_storage", sizeof(struct label_storage),
                         fill_label_storage, &p->label_storages, &p->label_storage_count));
    }
    TRY(profile_fill_house(p, root));
    TRY(profile_fill_planning(p, root));
    TRY(profile_fill_rules(p, root));
    return profile_fill_lines(p, root);
}

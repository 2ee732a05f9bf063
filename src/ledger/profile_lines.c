/* From JSON to struct profile: the lines within a day, change-overs, trucks. */
#include <string.h>

#include "ledger/profile_inner.h"

enum { STAGES_MAX = 8, LINES_MAX = 8, FAMILIES_MAX = 60, PAUSES_MAX = 40, TRUCKS_MAX = 100 };
enum { COLOUR_MAX = 9, AHEAD_MAX = 14, DAY_MIN = 1440, MINUTE_MS = 60000 };
#define SPAN_MAX_MS INT64_C(172800000)

static struct result wrong(struct profile *p, const char *path, const char *key, const char *why)
{
    return FAIL1(PROFILE_BAD, path_join(p, path, key), why);
}

static struct result name_ok(struct profile *p, const char *path, const char *key, const char *name)
{
    size_t len = strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-");
    return len > 0 && len <= 40 && name[len] == '\0'
               ? RESULT_OK
               : wrong(p, path, key,
                       "it must be of small letters, digits and hyphens, at most 40.");
}

/* A span of at most two days. */
static struct result span(struct profile *p, const json_t *o, const char *path, const char *key,
                          enum json_need need, int64_t *out_ms)
{
    TRY(profile_duration(o, path, key, need, out_ms));
    return *out_ms <= SPAN_MAX_MS && *out_ms >= -1
               ? RESULT_OK
               : wrong(p, path, key, "it must be at most two days.");
}

/* A time of the house day, in minutes from midnight. */
static struct result clock_min(struct profile *p, const json_t *o, const char *path,
                               const char *key, int64_t *out)
{
    int64_t ms = 0;
    TRY(profile_duration(o, path, key, JSON_NEEDED, &ms));
    if (ms < 0 || ms >= DAY_MIN * INT64_C(60000)) {
        return wrong(p, path, key, "it must lie between 0 h and 24 h.");
    }
    *out = ms / MINUTE_MS;
    *out += *out < p->day_starts_min ? DAY_MIN : 0;
    return RESULT_OK;
}

/* ---- stages */

static const struct line_stage *stage_named(const struct profile *p, const char *name)
{
    for (size_t i = 0; i < p->lines.stage_count; i++) {
        if (strcmp(p->lines.stages[i].name, name) == 0) {
            return &p->lines.stages[i];
        }
    }
    return NULL;
}

static struct result steps_known(struct profile *p, const char *path, const struct line_stage *s)
{
    char step[64];
    for (const char *at = s->steps; list_next(&at, step, sizeof step);) {
        if (profile_step(p, step) == NULL) {
            return wrong(p, path, "steps", "there is no such step.");
        }
    }
    for (const char *at = s->passes; list_next(&at, step, sizeof step);) {
        if (profile_crop(p, step) == NULL) {
            return wrong(p, path, "passes", "only what the profile grows can pass a stage by.");
        }
    }
    return RESULT_OK;
}

/* Is a clean of this stage good for a run only? Then the clause "clean" asks for one after each
 * change of family or allergens. */
static bool clean_is_of_a_run(const struct profile *p, const struct line_stage *s)
{
    char kind[64];
    for (const char *at = s->place_kinds; list_next(&at, kind, sizeof kind);) {
        const struct surface *surface = profile_surface(p, kind);
        if (surface != NULL && surface->scope == SCOPE_RUN) {
            return true;
        }
    }
    return false;
}

static struct result fill_changes(struct profile *p, const json_t *o, const char *path,
                                  struct line_stage *s)
{
    TRY(span(p, o, path, "change", JSON_OPTIONAL, &s->change_ms));
    TRY(span(p, o, path, "clean", JSON_OPTIONAL, &s->clean_ms));
    s->step_down_ms = s->clean_ms;
    TRY(span(p, o, path, "step_down", JSON_OPTIONAL, &s->step_down_ms));
    if (s->step_down_ms < s->clean_ms) {
        return wrong(p, path, "step_down", "a clean after an allergen is no shorter than another.");
    }
    if (clean_is_of_a_run(p, s) && s->clean_ms == 0) {
        return wrong(
            p, path, "clean",
            "the clause on cleaning asks for a clean after each change of family here; say "
            "how long it takes.");
    }
    return RESULT_OK;
}

static struct result fill_times(struct profile *p, const json_t *o, const char *path,
                                struct line_stage *s)
{
    s->overlap_ms = s->longest_wait_ms = -1;
    TRY(profile_mass(o, path, "per_minute", JSON_OPTIONAL, &s->rate_mg));
    TRY(span(p, o, path, "minutes", JSON_OPTIONAL, &s->fixed_ms));
    TRY(span(p, o, path, "overlap", JSON_OPTIONAL, &s->overlap_ms));
    TRY(span(p, o, path, "wait", JSON_OPTIONAL, &s->wait_ms));
    TRY(span(p, o, path, "longest_wait", JSON_OPTIONAL, &s->longest_wait_ms));
    if (s->rate_mg < 0 || s->fixed_ms < 0 || (s->rate_mg == 0 && s->fixed_ms == 0)) {
        return wrong(p, path, "per_minute", "a stage needs per_minute, minutes or both, above 0.");
    }
    if (s->overlap_ms >= 0 && (s->wait_ms > 0 || p->lines.stage_count == 0)) {
        return wrong(p, path, "overlap", "a stage that overlaps has one before and no wait.");
    }
    return s->longest_wait_ms >= 0 && s->longest_wait_ms < s->wait_ms
               ? wrong(p, path, "longest_wait", "it is shorter than wait.")
               : RESULT_OK;
}

static struct result fill_stage(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {
        "stage", "steps",  "places",       "lines", "room",      "minutes", "per_minute", "overlap",
        "wait",  "change", "longest_wait", "clean", "step_down", "passes",  "source",     NULL};
    struct line_stage *s = element;
    TRY(json_only(o, path, "a stage", names));
    TRY(profile_text(p, o, path, "stage", JSON_NEEDED, &s->name));
    TRY(name_ok(p, path, "stage", s->name));
    if (stage_named(p, s->name) != NULL || p->lines.stage_count == STAGES_MAX) {
        return wrong(p, path, "stage", "it stands twice, or there are more than eight stages.");
    }
    TRY(profile_list(p, o, path, "steps", JSON_OPTIONAL, &s->steps));
    TRY(profile_list(p, o, path, "places", JSON_OPTIONAL, &s->place_kinds));
    TRY(profile_list(p, o, path, "passes", JSON_OPTIONAL, &s->passes));
    TRY(steps_known(p, path, s));
    TRY(json_get_int(o, "lines", path_join(p, path, "lines"), JSON_OPTIONAL, 1, LINES_MAX,
                     &s->lines));
    TRY(profile_bool(o, path, "room", &s->has_room));
    if (!s->has_room && s->place_kinds[0] == '\0' && s->lines == 0) {
        return wrong(p, path, "lines", "say how many work at once, or at which places.");
    }
    TRY(fill_times(p, o, path, s));
    TRY(fill_changes(p, o, path, s));
    return profile_source(p, o, path, "source", JSON_NEEDED, &s->source);
}

/* ---- families and what lies between two */

static bool family_known(const struct profile *p, const char *family)
{
    for (size_t i = 0; i < p->lines.family_count; i++) {
        if (strcmp(p->lines.families[i].family, family) == 0) {
            return true;
        }
    }
    return false;
}

static struct result fill_family(struct profile *p, const json_t *o, const char *path,
                                 void *element)
{
    static const char *const names[] = {"family", "colour", NULL};
    struct line_family *f = element;
    TRY(json_only(o, path, "a family", names));
    TRY(profile_text(p, o, path, "family", JSON_NEEDED, &f->family));
    if (family_known(p, f->family) || p->lines.family_count == FAMILIES_MAX) {
        return wrong(p, path, "family", "it stands twice, or there are too many.");
    }
    return json_get_int(o, "colour", path_join(p, path, "colour"), JSON_NEEDED, 1, COLOUR_MAX,
                        &f->colour);
}

static struct result change_stages(struct profile *p, const char *path, const struct line_change *c)
{
    char stage[64];
    for (const char *at = c->stages; list_next(&at, stage, sizeof stage);) {
        if (stage_named(p, stage) == NULL) {
            return wrong(p, path, "stages", "there is no such stage.");
        }
    }
    for (size_t i = 0; i < p->lines.stage_count; i++) {
        const struct line_stage *s = &p->lines.stages[i];
        bool meant = c->stages[0] == '\0' || list_has(c->stages, s->name);
        if (meant && c->clean_ms == 0 && clean_is_of_a_run(p, s)) {
            return wrong(p, path, "clean",
                         "the clause on cleaning asks for a clean after each change of family; say "
                         "how long it takes.");
        }
    }
    return RESULT_OK;
}

static struct result fill_change(struct profile *p, const json_t *o, const char *path,
                                 void *element)
{
    static const char *const names[] = {"from", "to", "stages", "change", "clean", "source", NULL};
    struct line_change *c = element;
    TRY(json_only(o, path, "a change-over", names));
    TRY(profile_text(p, o, path, "from", JSON_NEEDED, &c->from));
    TRY(profile_text(p, o, path, "to", JSON_NEEDED, &c->to));
    if (!family_known(p, c->from) || !family_known(p, c->to) || strcmp(c->from, c->to) == 0) {
        return wrong(p, path, "from", "from and to are two of the families listed before.");
    }
    TRY(profile_list(p, o, path, "stages", JSON_OPTIONAL, &c->stages));
    TRY(span(p, o, path, "change", JSON_OPTIONAL, &c->change_ms));
    TRY(span(p, o, path, "clean", JSON_OPTIONAL, &c->clean_ms));
    TRY(change_stages(p, path, c));
    return profile_source(p, o, path, "source", JSON_NEEDED, &c->source);
}

/* ---- when nobody works, and the trucks */

static struct result fill_pause(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"start", "span", NULL};
    struct line_pause *pause = element;
    int64_t ms = 0;
    TRY(json_only(o, path, "a pause", names));
    TRY(clock_min(p, o, path, "start", &pause->start_min));
    TRY(span(p, o, path, "span", JSON_NEEDED, &ms));
    pause->span_min = ms / MINUTE_MS;
    size_t n = p->lines.pause_count;
    const struct line_pause *last = n > 0 ? &p->lines.pauses[n - 1] : NULL;
    if (pause->span_min < 1 || n == PAUSES_MAX ||
        (last != NULL && pause->start_min <= last->start_min + last->span_min)) {
        return wrong(p, path, "start", "pauses follow each other in the order of the house day.");
    }
    return RESULT_OK;
}

static struct result fill_truck(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"truck",      "groups", "customers", "weekdays", "cut_off",
                                        "ahead_days", "load",   "source",    NULL};
    struct truck *t = element;
    TRY(json_only(o, path, "a truck", names));
    TRY(profile_text(p, o, path, "truck", JSON_NEEDED, &t->name));
    TRY(name_ok(p, path, "truck", t->name));
    for (size_t i = 0; i < p->lines.truck_count; i++) {
        if (strcmp(p->lines.trucks[i].name, t->name) == 0) {
            return wrong(p, path, "truck", "this truck is named twice.");
        }
    }
    TRY(profile_list(p, o, path, "groups", JSON_OPTIONAL, &t->groups));
    TRY(profile_list(p, o, path, "customers", JSON_OPTIONAL, &t->customers));
    if ((t->groups[0] == '\0' && t->customers[0] == '\0') || p->lines.truck_count == TRUCKS_MAX) {
        return wrong(p, path, "groups", "say whose goods it takes: groups, customers or both.");
    }
    TRY(profile_weekdays(p, o, path, "weekdays", JSON_NEEDED, &t->weekdays));
    TRY(clock_min(p, o, path, "cut_off", &t->cut_off_min));
    TRY(json_get_int(o, "ahead_days", path_join(p, path, "ahead_days"), JSON_OPTIONAL, 0, AHEAD_MAX,
                     &t->ahead_days));
    TRY(span(p, o, path, "load", JSON_OPTIONAL, &t->load_ms));
    return profile_source(p, o, path, "source", JSON_NEEDED, &t->source);
}

static struct result fill_shifts(struct profile *p, const json_t *o)
{
    char name[64];
    TRY(profile_list(p, o, "lines", "shifts", JSON_OPTIONAL, &p->lines.shifts));
    for (const char *at = p->lines.shifts; list_next(&at, name, sizeof name);) {
        bool known = false;
        for (size_t i = 0; i < p->shift_count; i++) {
            known = known || strcmp(p->shifts[i].name, name) == 0;
        }
        if (!known) {
            return FAIL1(PROFILE_BAD, "lines.shifts", "there is no shift of that name.");
        }
    }
    return RESULT_OK;
}

/* Profiles from before there were lines have none. */
struct result profile_fill_lines(struct profile *p, const json_t *root)
{
    static const char *const names[] = {"margin",  "blocks", "shifts", "stages", "families",
                                        "changes", "pauses", "trucks", NULL};
    struct lines *l = &p->lines;
    json_t *o = NULL;
    TRY(json_get_object(root, "lines", "lines", JSON_OPTIONAL, &o));
    if (o == NULL) {
        return RESULT_OK;
    }
    l->given = l->blocks = true;
    TRY(json_only(o, "lines", "lines", names));
    TRY(span(p, o, "lines", "margin", JSON_NEEDED, &l->margin_ms));
    TRY(profile_bool(o, "lines", "blocks", &l->blocks));
    TRY(fill_shifts(p, o));
    TRY(profile_each(p, o, "lines", "stages", sizeof(struct line_stage), fill_stage, &l->stages,
                     &l->stage_count));
    if (l->stage_count == 0) {
        return FAIL1(PROFILE_BAD, "lines.stages", "lines have one stage at least.");
    }
    TRY(profile_each(p, o, "lines", "families", sizeof(struct line_family), fill_family,
                     &l->families, &l->family_count));
    TRY(profile_each(p, o, "lines", "changes", sizeof(struct line_change), fill_change, &l->changes,
                     &l->change_count));
    TRY(profile_each(p, o, "lines", "pauses", sizeof(struct line_pause), fill_pause, &l->pauses,
                     &l->pause_count));
    return profile_each(p, o, "lines", "trucks", sizeof(struct truck), fill_truck, &l->trucks,
                        &l->truck_count);
}

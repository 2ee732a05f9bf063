#include "ledger/profile.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/json.h"
#include "base/text.h"
#include "ledger/profile_inner.h"

enum { PROFILE_BYTES_MAX = 4 << 20 };

static const char *const word_names[] = {"published (seen)", "published (abstract only)",
                                         "computed here",    "derived",
                                         "common practice",  "from memory"};

const char profile_roles[] =
    "grower,line,quality,planner,intake,hygiene,dispatch,maintenance,manager";

const char *word_text(enum word w)
{
    return word_names[w];
}

bool source_may_release(const struct source *s)
{
    return s->word != WORD_COMMON && s->word != WORD_MEMORY;
}

bool list_next(const char **at, char *out, size_t size)
{
    const char *p = *at;
    if (p == NULL || *p == '\0') {
        return false;
    }
    size_t len = strcspn(p, ",");
    CHECK(len < size);
    memcpy(out, p, len);
    out[len] = '\0';
    *at = p[len] == ',' ? p + len + 1 : p + len;
    return true;
}

bool list_has(const char *comma_list, const char *word)
{
    size_t want = strlen(word);
    for (const char *p = comma_list; p != NULL && *p != '\0';) {
        size_t len = strcspn(p, ",");
        if (len == want && memcmp(p, word, len) == 0) {
            return true;
        }
        p += len + (p[len] == ',' ? 1 : 0);
    }
    return false;
}

const struct profile_step *profile_step(const struct profile *p, const char *name)
{
    for (size_t i = 0; i < p->step_count; i++) {
        if (text_is(p->steps[i].name, name)) {
            return &p->steps[i];
        }
    }
    return NULL;
}

const struct limit *profile_limit(const struct profile *p, const char *name, const char *item)
{
    const struct limit *any = NULL;
    for (size_t i = 0; i < p->limit_count; i++) {
        const struct limit *l = &p->limits[i];
        if (!text_is(l->name, name)) {
            continue;
        }
        if (item != NULL && list_has(l->item, item)) {
            return l;
        }
        any = strcmp(l->item, "*") == 0 ? l : any;
    }
    return any;
}

const struct surface *profile_surface(const struct profile *p, const char *place_kind)
{
    for (size_t i = 0; i < p->surface_count; i++) {
        if (list_has(p->surfaces[i].place_kinds, place_kind)) {
            return &p->surfaces[i];
        }
    }
    return NULL;
}

#define FIND_BY(type, array, member)                    \
    for (size_t i = 0; i < p->array##_count; i++) {     \
        if (strcmp(p->array##s[i].member, name) == 0) { \
            return &p->array##s[i];                     \
        }                                               \
    }                                                   \
    return NULL

const struct market *profile_market(const struct profile *p, const char *name)
{
    FIND_BY(struct market, market, name);
}

const struct recipe *profile_recipe(const struct profile *p, const char *name)
{
    FIND_BY(struct recipe, recipe, name);
}

const struct clause *profile_clause(const struct profile *p, const char *name)
{
    FIND_BY(struct clause, clause, name);
}

const struct training *profile_training(const struct profile *p, const char *name)
{
    FIND_BY(struct training, training, name);
}

const struct swab_zone *profile_swab_zone(const struct profile *p, int64_t zone)
{
    for (size_t i = 0; i < p->swab_zone_count; i++) {
        if (p->swab_zones[i].zone == zone) {
            return &p->swab_zones[i];
        }
    }
    return NULL;
}

const char *profile_told(const struct profile *p, const char *task)
{
    for (size_t i = 0; p != NULL && i < p->told_count; i++) {
        if (strcmp(p->told[i].task, task) == 0) {
            return p->told[i].roles;
        }
    }
    return "quality,hygiene";
}

const char profile_counting_checks[] = "seal-check,label-check,inspect";

const struct acceptance *profile_acceptance(const struct profile *p, const char *check,
                                            const char *item)
{
    const struct acceptance *of_all = NULL;
    for (size_t i = 0; p != NULL && i < p->acceptance_count; i++) {
        const struct acceptance *a = &p->acceptances[i];
        if (strcmp(a->check, check) != 0) {
            continue;
        }
        if (list_has(a->items, item)) {
            return a;
        }
        of_all = check[0] != '\0' && a->items[0] == '\0' ? a : of_all;
    }
    return of_all;
}

const struct water_rule *profile_water_rule(const struct profile *p, const char *name)
{
    FIND_BY(struct water_rule, water_rule, name);
}

const struct water_rule *profile_water_rule_at(const struct profile *p, const char *place_kind)
{
    for (size_t i = 0; i < p->water_rule_count; i++) {
        if (list_has(p->water_rules[i].places, place_kind)) {
            return &p->water_rules[i];
        }
    }
    return NULL;
}

const struct crop *profile_crop(const struct profile *p, const char *name)
{
    FIND_BY(struct crop, crop, item);
}

const struct label_storage *profile_label_storage(const struct profile *p, const char *item)
{
    const struct label_storage *for_all = NULL;
    for (size_t i = 0; i < p->label_storage_count; i++) {
        const struct label_storage *row = &p->label_storages[i];
        if (list_has(row->items, item)) {
            return row;
        }
        for_all = row->items[0] == '\0' ? row : for_all;
    }
    return for_all;
}

void profile_free(struct profile *p)
{
    if (p != NULL) {
        arena_release(&p->arena);
        free(p);
    }
}

struct result profile_read(const char *text, size_t len, struct profile **out)
{
    json_t *root = NULL;
    *out = NULL;
    TRY(json_read(text, len, PROFILE_BYTES_MAX, &root));
    struct profile *p = calloc(1, sizeof *p);
    CHECK(p != NULL);
    arena_init(&p->arena, ARENA_LIMIT_DEFAULT);
    p->text = arena_copy_n(&p->arena, text, len);
    p->digest = digest_sha256(text, len);
    struct result r = profile_fill(p, root);
    json_decref(root);
    if (r.code != CODE_OK) {
        r = result_at(r, json_line_of(p->text, r.field), 0);
        profile_free(p);
        return r;
    }
    *out = p;
    return RESULT_OK;
}

struct result profile_propose(const char *text, size_t len, struct profile **out)
{
    TRY(profile_read(text, len, out));
    struct result r = (*out)->unproved;
    if (r.code != CODE_OK) {
        r = result_at(r, json_line_of((*out)->text, r.field), 0);
        profile_free(*out);
        *out = NULL;
    }
    return r;
}

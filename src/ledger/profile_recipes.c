/* From JSON to struct profile: what packed items take beside their crop, and how that is bought. */
#include <string.h>

#include "ledger/profile_inner.h"

static struct result fill_take(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"item", "per_piece", NULL};
    struct pack_take *t = element;
    TRY(json_only(o, path, "what a piece takes", names));
    TRY(profile_text(p, o, path, "item", JSON_NEEDED, &t->item));
    TRY(profile_mass(o, path, "per_piece", JSON_NEEDED, &t->mg));
    return t->mg > 0 ? RESULT_OK
                     : FAIL1(PROFILE_BAD, path_join(p, path, "per_piece"), "it must be above 0.");
}

static struct result named_once(struct profile *p, const struct pack_recipe *r, const char *path)
{
    for (size_t i = 0; i < r->take_count; i++) {
        for (size_t k = 0; k < i; k++) {
            if (strcmp(r->takes[i].item, r->takes[k].item) == 0) {
                return FAIL1(PROFILE_BAD, path_join(p, path, "takes"),
                             "an item stands in it twice.");
            }
        }
    }
    return RESULT_OK;
}

static struct result fill_crop(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"item", "mass", NULL};
    struct pack_crop *c = element;
    TRY(json_only(o, path, "a crop in a dish", names));
    TRY(profile_text(p, o, path, "item", JSON_NEEDED, &c->item));
    TRY(profile_mass(o, path, "mass", JSON_NEEDED, &c->mg));
    return c->mg > 0 ? RESULT_OK
                     : FAIL1(PROFILE_BAD, path_join(p, path, "mass"), "it must be above 0.");
}

/* One mass, of the crop the item is packed from; or a list, which begins with that crop. */
static struct result fill_crops(struct profile *p, const json_t *o, const char *path,
                                struct pack_recipe *r)
{
    if (!json_is_array(json_object_get(o, "crop"))) {
        return profile_mass(o, path, "crop", JSON_OPTIONAL, &r->crop_mg);
    }
    struct pack_crop *crops;
    size_t count;
    TRY(profile_each(p, o, path, "crop", sizeof *crops, fill_crop, &crops, &count));
    if (count == 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "crop"), "a list names one crop at least.");
    }
    if (count > PLANNING_DISH_CROPS_MAX) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "crop"), "there may be 5 crops at most.");
    }
    for (size_t i = 0; i < count; i++) {
        if (profile_crop(p, crops[i].item) == NULL) {
            return FAIL1(PROFILE_BAD, path_join(p, path, "crop"),
                         "no such crop is in the profile.");
        }
        for (size_t k = 0; k < i; k++) {
            if (strcmp(crops[i].item, crops[k].item) == 0) {
                return FAIL1(PROFILE_BAD, path_join(p, path, "crop"), "a crop stands in it twice.");
            }
        }
    }
    r->crop = crops[0].item;
    r->crop_mg = crops[0].mg;
    r->with = &crops[1];
    r->with_count = count - 1;
    return RESULT_OK;
}

static struct result fill_recipe(struct profile *p, const json_t *o, const char *path,
                                 void *element)
{
    static const char *const names[] = {"item", "crop", "takes", "source", NULL};
    struct pack_recipe *r = element;
    TRY(json_only(o, path, "what a packed item takes", names));
    TRY(profile_text(p, o, path, "item", JSON_NEEDED, &r->item));
    TRY(fill_crops(p, o, path, r));
    TRY(profile_each(p, o, path, "takes", sizeof(struct pack_take), fill_take, &r->takes,
                     &r->take_count));
    TRY(named_once(p, r, path));
    return profile_source(p, o, path, "source", JSON_OPTIONAL, &r->source);
}

struct result profile_fill_recipes(struct profile *p, const json_t *o, struct planning *out)
{
    const char *path = "planning";
    if (json_object_get(o, "recipes") == NULL) {
        return RESULT_OK;
    }
    TRY(profile_each(p, o, path, "recipes", sizeof(struct pack_recipe), fill_recipe, &out->recipes,
                     &out->recipe_count));
    for (size_t i = 0; i < out->recipe_count; i++) {
        for (size_t k = 0; k < i; k++) {
            if (strcmp(out->recipes[i].item, out->recipes[k].item) == 0) {
                return FAIL1(PROFILE_BAD, arena_printf(&p->arena, "planning.recipes[%zu].item", i),
                             "it has a recipe already.");
            }
        }
    }
    return RESULT_OK;
}

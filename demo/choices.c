/* What the invented house has chosen of what a profile leaves open: chambers cut early, late or in
 * parts, how long a second test takes, and trays bought by the piece. The profile that is shipped
 * says nothing of the first three: nobody else's numbers would be true. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/file.h"
#include "demo/house.h"

enum { PROFILE_MAX = 1 << 20 };

static const char source[] = "demo-choices";

static json_t *early_late(void)
{
    static const struct {
        const char *item, *yield;
        int days;
    } list[] = {{"MUNG", "0.92", -1}, {"URD", "0.96", 1}};
    json_t *all = json_array();
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        json_array_append_new(all,
                              json_pack("{s:s,s:i,s:s,s:s}", "item", list[i].item, "days",
                                        list[i].days, "yield", list[i].yield, "source", source));
    }
    return all;
}

static json_t *parts(void)
{
    return json_pack("[{s:s,s:i,s:s,s:s},{s:s,s:i,s:s,s:s,s:s}]", "item", "SOY", "after_days", 0,
                     "share", SOY_FIRST_PART, "source", source, "item", "SOY", "after_days", 1,
                     "share", SOY_SECOND_PART, "yield", "1.05", "source", source);
}

/* Trays are bought in boxes of two thousand, four boxes at least. */
static void buy_trays(json_t *planning)
{
    json_t *order;
    size_t i;
    json_array_foreach(json_object_get(planning, "ingredient_orders"), i, order)
    {
        const char *item = json_string_value(json_object_get(order, "item"));
        if (item != NULL && strcmp(item, "TRAY") == 0) {
            json_object_set_new(order, "least", json_string("96 kg"));
            json_object_set_new(order, "step", json_string("24 kg"));
        }
    }
}

static void choose(json_t *profile)
{
    json_t *planning = json_object_get(profile, "planning"), *market;
    size_t i;
    json_array_append_new(
        json_object_get(profile, "sources"),
        json_pack("{s:s,s:s,s:s,s:s}", "source", source, "title",
                  "Invented for the demo house: what a chamber bears early, late and in parts, and "
                  "how long a second test takes. Put what your own house has seen",
                  "locator", "", "word", "from memory"));
    json_object_set_new(planning, "early_late", early_late());
    json_object_set_new(planning, "parts", parts());
    buy_trays(planning);
    json_array_foreach(json_object_get(profile, "markets"), i, market)
    {
        json_object_set_new(market, "retest", json_sprintf("%d h", AGAIN_DAYS * (int)(DAY / HOUR)));
        json_object_set_new(market, "retest_source", json_string(source));
    }
}

struct result house_profile(struct play *p, const char *path)
{
    char *text;
    size_t len;
    json_t *profile;
    TRY(file_read(p->arena, p->s->profile, PROFILE_MAX, &text, &len));
    TRY(json_read(text, len, PROFILE_MAX, &profile));
    choose(profile);
    char *chosen = json_text(profile, &len);
    json_decref(profile);
    struct result r = file_write(path, chosen, len, 0644);
    free(chosen);
    return r;
}

#include "service/planning_change_house.h"

#include <string.h>

#include "ledger/closing.h"

enum { EVERY_WEEKDAY = 127 };

static const unsigned all = CLOSES_SOAK | CLOSES_HARVEST | CLOSES_PACK | CLOSES_DISPATCH;

static struct result what_of(const struct change *x, unsigned *out)
{
    const char *of = NULL;
    *out = all;
    TRY(change_optional(x, "of", &of));
    if (of == NULL) {
        return RESULT_OK;
    }
    for (unsigned bit = CLOSES_SOAK; bit <= CLOSES_DISPATCH; bit <<= 1) {
        if (strcmp(closing_id((enum closes)bit), of) == 0) {
            *out = bit;
            return RESULT_OK;
        }
    }
    return FAIL2(FIELD_CHOICE, change_field(x, "of"), of, "soak, harvest, pack, dispatch");
}

/* From "day", one of the plan's, to "to", that day where none is given. */
static struct result days_of(const struct change *x, int32_t *out_from, int32_t *out_to)
{
    int from, to;
    TRY(change_day(x, "day", &from));
    TRY(change_day_or(x, "to", from, &to));
    *out_from = x->first_day + from;
    *out_to = x->first_day + to;
    return to >= from ? RESULT_OK
                      : FAIL2(FIELD_RANGE, change_field(x, "to"), "an earlier day",
                              "the first day or a later one");
}

struct result planning_change_closed(const struct change *x, void *self)
{
    struct profile *house = self;
    struct planning *pl = &house->planning;
    const char *reason = "what if";
    int32_t from, to;
    unsigned what;
    TRY(days_of(x, &from, &to));
    TRY(what_of(x, &what));
    TRY(change_optional(x, "reason", &reason));
    struct closing *list =
        change_copy(x->arena, pl->closings, (int)pl->closing_count, 1, sizeof *list);
    list[pl->closing_count++] =
        (struct closing){from, to, EVERY_WEEKDAY, what, arena_copy(x->arena, reason)};
    pl->closings = list;
    return RESULT_OK;
}

/* Each row that covers any of the days becomes what it was before them and what it was after. */
struct result planning_change_open(const struct change *x, void *self)
{
    struct profile *house = self;
    struct planning *pl = &house->planning;
    int32_t from, to;
    TRY(days_of(x, &from, &to));
    struct closing *list = ARENA_ARRAY(x->arena, struct closing, 2 * pl->closing_count + 1);
    size_t count = 0;
    for (size_t i = 0; i < pl->closing_count; i++) {
        struct closing before = pl->closings[i], after = before;
        if (to < before.from_day || from > before.to_day) {
            list[count++] = before;
            continue;
        }
        before.to_day = from - 1;
        after.from_day = to + 1;
        if (before.from_day <= before.to_day) {
            list[count++] = before;
        }
        if (after.from_day <= after.to_day) {
            list[count++] = after;
        }
    }
    pl->closings = list;
    pl->closing_count = count;
    return RESULT_OK;
}

/* Without what the profile says of the crop's parts, and with room for two. */
static void forget_parts(struct arena *a, struct planning *pl, const char *item)
{
    struct item_part *parts = ARENA_ARRAY(a, struct item_part, pl->part_count + 2);
    size_t count = 0;
    for (size_t i = 0; i < pl->part_count; i++) {
        if (strcmp(pl->parts[i].item, item) != 0) {
            parts[count++] = pl->parts[i];
        }
    }
    pl->parts = parts;
    pl->part_count = count;
}

static void forget_early_late(struct arena *a, struct planning *pl, const char *item)
{
    struct item_early_late *list = ARENA_ARRAY(a, struct item_early_late, pl->early_late_count + 1);
    size_t count = 0;
    for (size_t i = 0; i < pl->early_late_count; i++) {
        if (strcmp(pl->early_late[i].item, item) != 0) {
            list[count++] = pl->early_late[i];
        }
    }
    pl->early_late = list;
    pl->early_late_count = count;
}

struct result planning_change_parts(const struct change *x, void *self)
{
    struct profile *house = self;
    struct planning *pl = &house->planning;
    const char *item;
    int64_t share_ppm, days = 0, yield_milli = 1000;
    TRY(change_text(x, "item", &item));
    const struct crop *crop = profile_crop(house, item);
    if (crop == NULL) {
        return FAIL1(ITEM_UNKNOWN, change_field(x, "item"), item);
    }
    TRY(change_int(x, "share_ppm", 1, 1000000, &share_ppm));
    forget_parts(x->arena, pl, crop->item);
    if (share_ppm == 1000000) {
        return RESULT_OK;
    }
    TRY(change_int(x, "days", 1, 14, &days));
    if (json_object_get(x->o, "yield_milli") != NULL) {
        TRY(change_int(x, "yield_milli", 1, 10000, &yield_milli));
    }
    forget_early_late(x->arena, pl, crop->item);
    pl->parts[pl->part_count++] =
        (struct item_part){.item = crop->item, .share_ppm = share_ppm, .yield = 1000};
    pl->parts[pl->part_count++] = (struct item_part){.item = crop->item,
                                                     .after_days = days,
                                                     .share_ppm = 1000000 - share_ppm,
                                                     .yield = yield_milli};
    return RESULT_OK;
}

/* A standing order is recorded, changed under the same code, ended by its last day, or taken back
 * (active false: as if it had never been). */
#include "ledger/standing.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/sold.h"

enum { PIECES_MAX = 100000000, TERMS_MAX = 500 };

static struct result read_weekdays(struct draft *d, json_t **out)
{
    json_t *list = NULL, *day;
    size_t i;
    unsigned bits = 0;
    TRY(json_get_array(d->cmd->body, "weekdays", "weekdays", JSON_NEEDED, &list));
    json_array_foreach(list, i, day)
    {
        const char *word = json_is_string(day) ? json_string_value(day) : "";
        int weekday = weekday_named(word);
        if (weekday < 0) {
            return FAIL2(FIELD_CHOICE, "weekdays", word, WEEKDAY_NAMES);
        }
        bits |= 1U << weekday;
    }
    if (bits == 0) {
        return FAIL2(FIELD_RANGE, "weekdays", "an empty list", "one weekday at least");
    }
    *out = json_array();
    for (int weekday = 0; weekday < 7; weekday++) {
        if ((bits >> weekday & 1) != 0) {
            json_array_append_new(*out, json_string(weekday_name(weekday)));
        }
    }
    return RESULT_OK;
}

static struct result read_days(struct draft *d, const char **out_from, const char **out_to)
{
    const char *from = NULL, *to = NULL;
    int32_t first, last;
    TRY(json_get_text(d->cmd->body, "from", "from", JSON_NEEDED, &from));
    TRY(day_read(from, "from", &first));
    TRY(json_get_text(d->cmd->body, "to", "to", JSON_OPTIONAL, &to));
    *out_from = day_text(d->arena, first);
    *out_to = NULL;
    if (to == NULL) {
        return RESULT_OK;
    }
    TRY(day_read(to, "to", &last));
    *out_to = day_text(d->arena, last);
    return last >= first ? RESULT_OK : FAIL2(END_BEFORE_START, "to", from, to);
}

struct result decide_standing(struct draft *d)
{
    static const char *const names[] = {"code", "customer", "item",  "weekdays", "pieces",
                                        "from", "to",       "terms", "active",   NULL};
    const json_t *o = d->cmd->body;
    const char *code, *customer = NULL, *item = NULL, *from, *to, *terms = "";
    int64_t pieces;
    bool active = true;
    json_t *weekdays;
    TRY(draft_only(d, "a standing order", names));
    TRY(listed_code(o, "code", JSON_NEEDED, &code));
    TRY(json_get_text(o, "customer", "customer", JSON_NEEDED, &customer));
    TRY(json_get_text(o, "item", "item", JSON_NEEDED, &item));
    TRY(json_get_int(o, "pieces", "pieces", JSON_NEEDED, 1, PIECES_MAX, &pieces));
    TRY(read_days(d, &from, &to));
    TRY(listed_words(o, "terms", TERMS_MAX, JSON_OPTIONAL, &terms));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    TRY(sold_names(d, "", customer, item, active));
    TRY(read_weekdays(d, &weekdays));
    json_t *data =
        json_pack("{s:s,s:s,s:o,s:I,s:s,s:s*,s:s}", "customer", customer, "item", item, "weekdays",
                  weekdays, "pieces", (json_int_t)pieces, "from", from, "to", to, "terms", terms);
    CHECK(data != NULL);
    listed_add(d, "standing-order", code, NULL, customer, 0, active, data);
    json_object_set_new(d->answer, "standing_order", json_string(code));
    return RESULT_OK;
}

static struct result read_one(struct arena *a, const struct listed *l, struct standing *out)
{
    const char *to = listed_text(l, "to");
    *out = (struct standing){.code = l->code,
                             .customer = arena_copy(a, listed_text(l, "customer")),
                             .item = arena_copy(a, listed_text(l, "item")),
                             .terms = arena_copy(a, listed_text(l, "terms")),
                             .pieces = listed_int(l, "pieces"),
                             .to_day = INT32_MAX,
                             .entry = l->entry};
    size_t i;
    json_t *day;
    json_array_foreach(json_object_get(l->data, "weekdays"), i, day)
    {
        int weekday = weekday_named(json_string_value(day));
        CHECK(weekday >= 0);
        out->weekdays |= 1U << weekday;
    }
    TRY(day_read(listed_text(l, "from"), "from", &out->from_day));
    return to != NULL ? day_read(to, "to", &out->to_day) : RESULT_OK;
}

struct result standing_all(struct store *s, struct arena *a, struct standing **out,
                           size_t *out_count)
{
    struct listed *list;
    size_t count;
    TRY(listed_all(s, a, "standing-order", &list, &count));
    *out = ARENA_ARRAY(a, struct standing, count + 1);
    *out_count = count;
    struct result r = RESULT_OK;
    for (size_t i = 0; i < count && r.code == CODE_OK; i++) {
        r = read_one(a, &list[i], &(*out)[i]);
    }
    listed_free(list, count);
    return r;
}

bool standing_on(const struct standing *x, int32_t day)
{
    return day >= x->from_day && day <= x->to_day && (x->weekdays >> day_weekday(day) & 1) != 0;
}

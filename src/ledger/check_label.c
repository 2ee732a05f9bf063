/* A label against the record. What a label says wrongly reaches the customer with every pack: one
 * difference holds the lot. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/check.h"

struct comparing {
    struct draft *d;
    json_t *differs; /* names of what does */
};

/* Each difference is a deviation of its own: both readings stand in it. */
static struct result compare(struct comparing *x, const char *field, const char *label,
                             const char *record, bool same)
{
    if (same) {
        return RESULT_OK;
    }
    json_array_append_new(x->differs, json_string(field));
    return draft_deviation(x->d, "label-differs", 0, NULL, 0, 0,
                           FAIL2(LABEL_DIFFERS, field, label, record));
}

/* Both are comma lists in any order. */
static bool same_members(const char *one, const char *other)
{
    const char *lists[] = {one, other};
    for (int i = 0; i < 2; i++) {
        const char *at = lists[i];
        char word[200];
        while (list_next(&at, word, sizeof word)) {
            if (!list_has(lists[1 - i], word)) {
                return false;
            }
        }
    }
    return true;
}

static struct result read_allergens(struct draft *d, const char **out)
{
    json_t *list = NULL;
    *out = "";
    TRY(json_get_array(d->cmd->body, "allergens", "allergens", JSON_NEEDED, &list));
    for (size_t i = 0; i < json_array_size(list); i++) {
        const char *name = json_string_value(json_array_get(list, i));
        if (name == NULL || name[0] == '\0' || strlen(name) > 60 || strchr(name, ',') != NULL) {
            return FAIL2(FIELD_TYPE, "allergens", "a list of short texts without commas",
                         "something else");
        }
        *out = i == 0 ? name : arena_printf(d->arena, "%s,%s", *out, name);
    }
    return RESULT_OK;
}

static struct result compare_all(struct comparing *x, const struct lot *lot)
{
    struct draft *d = x->d;
    const json_t *o = d->cmd->body;
    const char *item = NULL, *code = NULL, *date = NULL, *net = NULL, *allergens;
    struct item record;
    bool found;
    int32_t day;
    int64_t net_mg;
    TRY(json_get_text(o, "item", "item", JSON_NEEDED, &item));
    TRY(json_get_text(o, "lot_code", "lot_code", JSON_NEEDED, &code));
    TRY(json_get_text(o, "best_before", "best_before", JSON_NEEDED, &date));
    TRY(json_get_text(o, "net", "net", JSON_NEEDED, &net));
    TRY(day_read(date, "best_before", &day));
    TRY(mass_read(net, "net", &net_mg));
    TRY(read_allergens(d, &allergens));
    TRY(item_by_code(d->store, d->arena, lot->item, &record, &found));
    if (!found) {
        return FAIL1(ITEM_UNKNOWN, "lot", lot->item);
    }
    const char *kept = lot->best_before != 0 ? day_text(d->arena, lot->best_before) : "no date";
    TRY(compare(x, "item", item, lot->item, strcmp(item, lot->item) == 0));
    TRY(compare(x, "lot_code", code, lot->code, strcmp(code, lot->code) == 0));
    TRY(compare(x, "best_before", date, kept, lot->best_before != 0 && day == lot->best_before));
    TRY(compare(x, "net", net, mass_text(d->arena, record.net_mg, 0), net_mg == record.net_mg));
    return compare(x, "allergens", allergens, record.allergens,
                   same_members(allergens, record.allergens));
}

struct result check_label(struct draft *d, struct check *c)
{
    json_t *data = json_object();
    struct comparing x = {.d = d, .differs = json_array()};
    json_object_set_new(data, "differs", x.differs);
    struct result r = compare_all(&x, &c->lot);
    bool good = json_array_size(x.differs) == 0;
    json_object_set(d->answer, "differs", x.differs);
    check_reading(d, c, "", false, 0, good, data);
    TRY(r);
    if (!good) {
        int64_t hold;
        const char *code = draft_hold(d, "label", "release,load", "check",
                                      "the label differs from the record", 0, 0, 0, &hold);
        draft_hold_on(d, hold, c->lot.id, 0, "label");
        json_object_set_new(d->answer, "hold", json_string(code));
    }
    return RESULT_OK;
}

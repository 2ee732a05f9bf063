/* Maintenance: a work order takes a place out of use until somebody else than who did it hands it
 * back, tools and parts counted and the place cleaned. */
#include <string.h>

#include "base/check.h"
#include "ledger/listed.h"
#include "ledger/view.h"

struct result decide_work_order(struct draft *d)
{
    static const char *const names[] = {"code", "place", "what", NULL};
    const json_t *o = d->cmd->body;
    const char *code = arena_printf(d->arena, "W%lld", (long long)d->seq), *what;
    struct place place;
    struct listed before;
    bool found;
    TRY(draft_only(d, "a work order", names));
    TRY(listed_code(o, "code", JSON_OPTIONAL, &code));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(listed_words(o, "what", 500, JSON_NEEDED, &what));
    TRY(listed_one(d->store, d->arena, "work-order", code, &before, &found));
    if (found) {
        listed_free(&before, 1);
        return FAIL1(LOT_EXISTS, "code", code);
    }
    listed_add(d, "work-order", code, place.code, NULL, 0, true,
               json_pack("{s:s,s:I}", "what", what, "by", (json_int_t)d->cmd->person));
    json_object_set_new(d->answer, "work_order", json_string(code));
    return RESULT_OK;
}

struct result decide_hand_back(struct draft *d)
{
    static const char *const names[] = {"work_order", "tools_counted", "cleaned", "what", NULL};
    const json_t *o = d->cmd->body;
    const char *code, *what = "";
    struct listed order;
    bool tools = false, cleaned = false, found;
    TRY(draft_only(d, "a hand-back", names));
    TRY(json_get_text(o, "work_order", "work_order", JSON_NEEDED, &code));
    TRY(listed_one(d->store, d->arena, "work-order", code, &order, &found));
    int64_t by = found ? listed_int(&order, "by") : 0;
    if (found) {
        listed_free(&order, 1);
    }
    if (!found || !order.active) {
        return FAIL1(WORK_ORDER_UNKNOWN, "work_order", code);
    }
    TRY(json_get_bool(o, "tools_counted", "tools_counted", JSON_NEEDED, &tools));
    TRY(json_get_bool(o, "cleaned", "cleaned", JSON_NEEDED, &cleaned));
    TRY(listed_words(o, "what", 500, JSON_OPTIONAL, &what));
    if (!tools || !cleaned) {
        return FAIL1(HAND_BACK_NOT_CLEAR, tools ? "cleaned" : "tools_counted", code);
    }
    if (by == d->cmd->person) {
        return FAIL1(SECOND_PERSON, "person", arena_printf(d->arena, "%lld", (long long)by));
    }
    listed_add(d, "work-order", code, order.place, NULL, 0, false,
               json_pack("{s:s,s:I,s:I}", "what", what, "by", (json_int_t)by, "cleared_by",
                         (json_int_t)d->cmd->person));
    json_object_set_new(d->answer, "work_order", json_string(code));
    return RESULT_OK;
}

/* Things that are counted because they must not end in product: glass and hard plastic, knives and
 * blades, blue consumables. A count that does not come out holds everything that came off the place
 * since the last one that did. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/duty.h"
#include "ledger/listed.h"
#include "ledger/view.h"
#include "ledger/window.h"

struct result decide_register(struct draft *d)
{
    static const char *const names[] = {"code", "of", "place", "expected", "active", NULL};
    const json_t *o = d->cmd->body;
    const char *code, *of;
    struct place place;
    int64_t expected;
    bool active = true;
    TRY(draft_only(d, "a register", names));
    TRY(listed_code(o, "code", JSON_NEEDED, &code));
    TRY(listed_choice(o, "of", "glass,blades,consumables,tools", JSON_NEEDED, &of));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(json_get_int(o, "expected", "expected", JSON_NEEDED, 0, 1000000, &expected));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    listed_add(d, "register", code, place.code, NULL, 0, active,
               json_pack("{s:s,s:I}", "of", of, "expected", (json_int_t)expected));
    json_object_set_new(d->answer, "register", json_string(code));
    return RESULT_OK;
}

static struct result hold_since(struct draft *d, const char *code, const char *place,
                                int64_t counted, int64_t expected)
{
    int64_t since_ms;
    TRY(noted_good(d->store, "register", code, d->cmd->happened_ms, &since_ms));
    const char *reason = arena_printf(d->arena, "the count of %s was %lld instead of %lld", code,
                                      (long long)counted, (long long)expected);
    struct window w = {.place = place,
                       .from_ms = since_ms,
                       .to_ms = d->cmd->happened_ms,
                       .kind = "foreign-body",
                       .needs = "check",
                       .reason = reason,
                       .holds = json_array(),
                       .lots = json_array()};
    json_object_set_new(d->answer, "holds", w.holds);
    json_object_set_new(d->answer, "lots", w.lots);
    TRY(window_hold(d, &w));
    return draft_deviation(d, "count-off", 0, place, since_ms, d->cmd->happened_ms,
                           FAIL3(COUNT_OFF, "counted", code,
                                 arena_printf(d->arena, "%lld", (long long)counted),
                                 arena_printf(d->arena, "%lld", (long long)expected)));
}

struct result decide_register_count(struct draft *d)
{
    static const char *const names[] = {"register", "counted", "what", NULL};
    const json_t *o = d->cmd->body;
    const char *code, *what = "";
    struct listed l;
    int64_t counted;
    bool found;
    TRY(draft_only(d, "a count of a register", names));
    TRY(json_get_text(o, "register", "register", JSON_NEEDED, &code));
    TRY(listed_one(d->store, d->arena, "register", code, &l, &found));
    if (!found) {
        return FAIL1(REGISTER_UNKNOWN, "register", code);
    }
    int64_t expected = listed_int(&l, "expected");
    listed_free(&l, 1);
    TRY(json_get_int(o, "counted", "counted", JSON_NEEDED, 0, 1000000, &counted));
    bool ok = counted == expected;
    TRY(listed_words(o, "what", 500, ok ? JSON_OPTIONAL : JSON_NEEDED, &what));
    noted_add(d, 0,
              &(struct noting){.kind = "register",
                               .code = code,
                               .place = l.place,
                               .ok = ok,
                               .data = json_pack("{s:I,s:I,s:s}", "counted", (json_int_t)counted,
                                                 "expected", (json_int_t)expected, "what", what)});
    json_object_set_new(d->answer, "ok", json_boolean(ok));
    return ok ? duties_met(d, "register-count", l.place, code)
              : hold_since(d, code, l.place, counted, expected);
}

/* Why a start went otherwise than planned, told by who knows: of a start that a plan meant for a
 * chamber and day, or that was made there without one. The newest telling counts. */
#include "base/civil.h"
#include "ledger/departure.h"
#include "ledger/listed.h"
#include "ledger/view.h"

enum { WHAT_MAX = 500 };

static struct result start_known(struct draft *d, int32_t day, const char *place, bool *out)
{
    struct statement *q = store_prepare(d->store, Q_START_ON_DAY);
    store_bind_int(q, 1, day);
    store_bind_text(q, 2, place);
    TRY(store_step(q, out));
    for (bool row = *out; row;) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result decide_plan_departure(struct draft *d)
{
    static const char *const names[] = {"place", "day", "departure", "what", NULL};
    const json_t *o = d->cmd->body;
    const char *code, *given, *why, *what = NULL;
    struct place place;
    int32_t day;
    bool found;
    TRY(draft_only(d, "a departure from the plan", names));
    TRY(json_get_text(o, "place", "place", JSON_NEEDED, &code));
    TRY(json_get_text(o, "day", "day", JSON_NEEDED, &given));
    TRY(day_read(given, "day", &day));
    TRY(listed_choice(o, "departure", DEPARTURE_REASONS, JSON_NEEDED, &why));
    TRY(listed_words(o, "what", WHAT_MAX, JSON_OPTIONAL, &what));
    TRY(place_by_code(d->store, d->arena, code, &place, &found));
    if (!found) {
        return FAIL1(PLACE_UNKNOWN, "place", code);
    }
    TRY(start_known(d, day, code, &found));
    if (!found) {
        return FAIL2(START_UNKNOWN, "day", code, given);
    }
    noted_add(d, 0,
              &(struct noting){.kind = DEPARTURE_NOTED,
                               .code = code,
                               .ok = true,
                               .data = json_pack("{s:s,s:s?,s:s}", "day", day_text(d->arena, day),
                                                 "what", what, "why", why)});
    return RESULT_OK;
}

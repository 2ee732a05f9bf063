/* Water that had too little contact with its disinfectant: what a reading makes known of its period
 * so far. Booked once a period, with a stop, and with everything held that met the water in it. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/consequence.h"
#include "ledger/water_credit.h"
#include "ledger/water_hold.h"
#include "ledger/water_stop.h"

struct low {
    struct place place;
    int64_t from_ms, at_ms;
    struct water_credit credit;
};

static struct result book_into(struct draft *d, const struct low *low, int64_t because)
{
    const char *worth = water_credit_text(d->arena, &low->credit);
    json_object_set_new(d->answer, "because", json_integer(because));
    json_object_set_new(d->answer, "place", json_string(low->place.code));
    json_object_set_new(d->answer, "contact", json_string(worth));
    TRY(water_hold(
        d, low->place.code, low->from_ms, low->at_ms,
        arena_printf(d->arena, "contact of the water of %s: %s", low->place.code, worth)));
    draft_task(d, "water-stop", low->place.code, 0, low->place.code, d->cmd->recorded_ms);
    TRY(water_stop_put(d, low->place.code, low->place.kind, "contact"));
    return draft_deviation(
        d, "water-contact-low", 0, low->place.code, low->from_ms, low->at_ms,
        FAIL3(WATER_CONTACT_LOW, "", low->place.code, civil_short(d->arena, low->from_ms), worth));
}

static struct result book(struct consequence *c, const struct low *low)
{
    struct command cmd;
    struct draft d;
    consequence_begin(c, "water-contact", &cmd, &d);
    cmd.happened_ms = low->at_ms; /* the stop is of the moment it was read */
    struct result r = book_into(&d, low, c->cause_seq);
    if (r.code != CODE_OK) {
        draft_release(&d);
        return r;
    }
    return consequence_take(c, &d);
}

struct result consequence_water(struct consequence *c)
{
    const struct command *cause = c->cause;
    struct low low = {.at_ms = cause->happened_ms};
    struct water_book b;
    struct water_credit before;
    int64_t end_ms;
    bool found;
    if (cause->step == NULL || strcmp(cause->step->check, "water-reading") != 0) {
        return RESULT_OK;
    }
    const char *place = json_string_value(json_object_get(cause->body, "place"));
    CHECK(place != NULL); /* a water reading names one */
    TRY(place_by_code(c->lg->store, c->arena, place, &low.place, &found));
    CHECK(found);
    TRY(water_book_read(c->lg->store, c->arena, place, low.at_ms - 2 * INT64_C(86400000),
                        low.at_ms + 2 * INT64_C(86400000), &b));
    water_period_at(&b, c->lg->profile, low.at_ms, &low.from_ms, &end_ms);
    water_credit(&b, c->lg->profile, low.at_ms, low.from_ms, end_ms, 0, &low.credit);
    water_credit(&b, c->lg->profile, low.at_ms, low.from_ms, end_ms, c->cause_seq, &before);
    return low.credit.low && !before.low ? book(c, &low) : RESULT_OK;
}

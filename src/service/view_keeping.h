/* Keeping: the cold rooms and what stands in them, the first to expire first. */
#ifndef SERVICE_VIEW_KEEPING_H
#define SERVICE_VIEW_KEEPING_H

#include "service/view.h"

/* {"day", "rooms":[{place, name, lots, mg, temp_mc, temp_ms, how, entry, low_mc, high_mc, state,
 * tone, excursions:[{entry, sentence, from_ms, to_ms, closed}]}], "customers":[{customer,
 * life_days, market, entry}], "stock":[{lot, item, kind, place, mg, pieces, holds, state, tone,
 * born_ms, day, age_d, best_before, left_d, leave_by, takers, customers, life, life_tone}]}.
 * temp: the later of the last reading told ("checked", with its entry) and the last of the room's
 * logger ("logged"). state of a room: within, outside, silent (no temperature for a day), none.
 * excursions: the last five deviations booked there.
 * customers of a lot: those whose market it may go to; takers: those of them whose remaining life
 * it still has today, as a shipment is judged. leave_by: the last day that anybody takes it. life:
 * "past" its date, "nobody" takes it any more, "today" is the last day for all that still do,
 * "fewer" take it tomorrow, "some" as many tomorrow, "all" of them, "none" without a date. Errors
 * of the store. */
MUST_USE struct result view_keeping(struct view *v, json_t **out);

#endif

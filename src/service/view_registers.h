/* The house's registers as pages show them. */
#ifndef SERVICE_VIEW_REGISTERS_H
#define SERVICE_VIEW_REGISTERS_H

#include "service/view.h"

/* {"now_ms", "registers", "rounds", "work", "work_places", "rejects", "retained", "deliveries",
 * "packs"}:
 * glass and blades with their last counts; rounds against pests, of glass, of maintenance with what
 * was told of them; work orders open or handed back within half a year; what metal detectors took
 * out; samples kept back; whose deliveries and which line's packed lots get which inspection. */
MUST_USE struct result view_registers(struct view *v, json_t **out);

/* {"now_ms", "complaints", "months", "alike"}: a year of them; per month and item against the packs
 * that left, with the exact interval of 95 %, null where none left or more
 * complaints came than packs left; and which of the last 30 days are alike, from two on, "asks"
 * from three on. */
MUST_USE struct result view_complaints(struct view *v, json_t **out);

#endif

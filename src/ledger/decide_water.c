/* Watering a chamber. Water that only runs through is a meter reading. */
#include "base/decimal.h"
#include "ledger/inputs.h"
#include "ledger/quantity.h"
#include "ledger/watering.h"

struct result decide_water(struct draft *d)
{
    static const char *const names[] = {"lot", "chamber", "source", "litres", "temp", NULL};
    const json_t *o = d->cmd->body;
    const char *chamber = NULL, *source = NULL, *litres = NULL, *temp = NULL;
    struct lot lot;
    int64_t litres_milli, temp_mc = 0;
    TRY(draft_only(d, "a watering", names));
    TRY(json_get_text(o, "chamber", "chamber", JSON_OPTIONAL, &chamber));
    if (chamber != NULL) {
        TRY(lot_in_chamber(d, chamber, "chamber", &lot));
    } else {
        TRY(lot_named(d, o, "lot", "lot", &lot));
    }
    TRY(lot_fits(d, &lot, chamber != NULL ? "chamber" : "lot"));
    TRY(watering_source(d, "source", JSON_NEEDED, &source));
    TRY(json_get_text(o, "litres", "litres", JSON_NEEDED, &litres));
    TRY(quantity_read(litres, "L", "litres", &litres_milli));
    if (litres_milli < 0) {
        return FAIL2(FIELD_RANGE, "litres", litres, "zero or more");
    }
    json_t *data = json_pack("{s:s}", "source", source);
    TRY(json_get_text(o, "temp", "temp", JSON_OPTIONAL, &temp));
    struct result r = temp != NULL ? temp_read(temp, "temp", &temp_mc) : RESULT_OK;
    if (temp != NULL) {
        json_object_set_new(data, "temp_mc", json_integer(temp_mc));
    }
    const char *text = json_canonical(d->arena, data);
    json_decref(data);
    TRY(r);
    draft_add(d, EFFECT_READING,
              "ittiniti"
              "tti",
              (int64_t)0, "watering", lot.place, lot.id, litres_milli, "L", (int64_t)1, NULL, text,
              d->cmd->happened_ms);
    json_object_set_new(d->answer, "lot", json_string(lot.code));
    return RESULT_OK;
}

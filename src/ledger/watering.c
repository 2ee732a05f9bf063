#include "ledger/watering.h"

#include <string.h>

#include "ledger/water_stop.h"

struct result watering_source(struct draft *d, const char *key, enum json_need need,
                              const char **out_source)
{
    struct place water;
    bool found;
    *out_source = NULL;
    TRY(json_get_text(d->cmd->body, key, key, need, out_source));
    if (*out_source == NULL) {
        return RESULT_OK;
    }
    TRY(place_by_code(d->store, d->arena, *out_source, &water, &found));
    return found && strcmp(water.kind, "water-system") == 0
               ? water_stop_check(d, *out_source, key)
               : FAIL1(PLACE_UNKNOWN, key, *out_source);
}

void watering_add(struct draft *d, size_t n, const char *place, int64_t lot, const char *source,
                  int64_t from_ms, int64_t to_ms)
{
    if (source == NULL) {
        return;
    }
    json_t *data = json_pack("{s:s,s:I}", "source", source, "to_ms", (json_int_t)to_ms);
    const char *text = json_canonical(d->arena, data);
    json_decref(data);
    draft_add(d, EFFECT_READING, "ittinntitti", (int64_t)n, "watering", place, lot, "L", (int64_t)1,
              NULL, text, from_ms);
}

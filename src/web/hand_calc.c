#include "base/check.h"
#include "calc/registry.h"
#include "calc/sweep.h"
#include "service/calc_words.h"
#include "web/openapi.h"
#include "web/web_inner.h"

struct result hand_calculations(struct call *c)
{
    json_t *rows = json_array();
    for (size_t i = 0; i < registry_count(); i++) {
        json_t *row = registry_row_json(registry_at(i), c->arena);
        calc_words(c->arena, c->lang, row);
        json_array_append_new(rows, row);
    }
    c->out = json_pack("{s:o}", "rows", rows);
    CHECK(c->out != NULL);
    return RESULT_OK;
}

struct result hand_calculate(struct call *c)
{
    TRY(registry_call(c->part[0], c->json, c->arena, &c->out));
    calc_words(c->arena, c->lang, c->out);
    return RESULT_OK;
}

struct result hand_sweep(struct call *c)
{
    const json_t *inputs = json_object_get(c->json, "inputs");
    const char *over;
    TRY(json_get_text(c->json, "over", "over", JSON_NEEDED, &over));
    if (!json_is_object(inputs)) {
        return FAIL1(FIELD_MISSING, "inputs", "Give the fields of the calculation.");
    }
    TRY(calc_sweep(c->part[0], inputs, over, json_number_value(json_object_get(c->json, "low")),
                   json_number_value(json_object_get(c->json, "high")), c->arena, &c->out));
    calc_words(c->arena, c->lang, c->out);
    return RESULT_OK;
}

struct result hand_openapi(struct call *c)
{
    c->out = openapi_document();
    return RESULT_OK;
}

#include "base/check.h"
#include "ledger/clause.h"

static json_t *line_json(const struct clause_line *line)
{
    json_t *o = json_pack("{s:s,s:s,s:s}", "clause", line->clause, "lot", line->lot_code, "state",
                          clause_state_text(line->state));
    json_t *entries = json_array(), *way = json_array();
    CHECK(o != NULL && entries != NULL && way != NULL);
    if (line->place != NULL) {
        json_object_set_new(o, "place", json_string(line->place));
    }
    if (line->market != NULL) {
        json_object_set_new(o, "market", json_string(line->market));
    }
    if (line->reason.code != CODE_OK) {
        const struct result *r = &line->reason;
        json_object_set_new(o, "code", json_string(code_id(r->code)));
        json_t *values = json_array();
        for (size_t i = 0; i < 3 && r->value[i][0] != '\0'; i++) {
            json_array_append_new(values, json_string(r->value[i]));
        }
        json_object_set_new(o, "values", values);
    }
    for (size_t i = 0; i < line->entry_count; i++) {
        json_array_append_new(entries, json_integer(line->entries[i]));
    }
    for (size_t i = 0; i < line->way_count; i++) {
        json_array_append_new(way, json_string(line->way[i]));
    }
    json_object_set_new(o, "entries", entries);
    json_object_set_new(o, "way", way);
    return o;
}

json_t *clauses_json(const struct clause_list *list)
{
    json_t *all = json_array();
    CHECK(all != NULL);
    for (size_t i = 0; i < list->line_count; i++) {
        json_array_append_new(all, line_json(&list->lines[i]));
    }
    return all;
}

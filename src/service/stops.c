#include "service/stops.h"

#include "base/check.h"
#include "service/view_waters.h"

static void add(json_t *list, const char *place, const char *of, const char *why, int64_t since_ms)
{
    size_t at = 0;
    while (at < json_array_size(list) &&
           json_integer_value(json_object_get(json_array_get(list, at), "since_ms")) >= since_ms) {
        at++;
    }
    json_t *o = json_pack("{s:s,s:s,s:s,s:I}", "place", place, "of", of, "why", why, "since_ms",
                          (json_int_t)since_ms);
    CHECK(o != NULL && json_array_insert_new(list, at, o) == 0);
}

static struct result fill(const struct view *v, json_t *list)
{
    struct water_stopped *waters;
    size_t count;
    TRY(waters_stopped(v, &waters, &count));
    for (size_t i = 0; i < count; i++) {
        add(list, waters[i].place, "water", SAY_WHY(v, waters[i].why), waters[i].since_ms);
    }
    struct statement *q = store_prepare(v->store, Q_LINES_STOPPED);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        add(list, store_text(q, 0), "line", SAY_WHY(v, "rejects"), store_int(q, 1));
    }
}

struct result stops_json(const struct view *v, json_t **out)
{
    json_t *list = json_array();
    CHECK(list != NULL);
    struct result r = fill(v, list);
    if (r.code != CODE_OK) {
        json_decref(list);
        return r;
    }
    *out = list;
    return RESULT_OK;
}

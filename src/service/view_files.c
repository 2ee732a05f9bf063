#include "service/view_files.h"

#include <string.h>

#include "base/check.h"
#include "service/view_inner.h"

struct result view_mappings(struct view *v, json_t **out)
{
    json_t *list = json_array();
    struct result r = RESULT_OK;
    struct statement *q = store_prepare(v->store, Q_PAGE_MAPPINGS);
    for (bool row = true; row && r.code == CODE_OK;) {
        json_t *data = NULL;
        r = store_step(q, &row);
        if (r.code == CODE_OK && row) {
            r = json_read_stored(store_text(q, 2), &data);
        }
        if (r.code == CODE_OK && row) {
            view_append(list,
                        json_pack("{s:s,s:s,s:o,s:I,s:I,s:I}", "source", store_text(q, 0), "for",
                                  store_text(q, 1), "data", data, "entry",
                                  (json_int_t)store_int(q, 3), "at_ms", (json_int_t)store_int(q, 4),
                                  "by", (json_int_t)store_int(q, 5)));
        }
    }
    if (r.code != CODE_OK) {
        json_decref(list);
        return r;
    }
    *out = json_pack("{s:o}", "mappings", list);
    CHECK(*out != NULL);
    return RESULT_OK;
}

struct result view_profile_text(struct view *v, const char **out_text, size_t *out_len,
                                const char **out_name)
{
    struct statement *q = store_prepare(v->store, Q_PROFILE_IN_FORCE);
    store_bind_int(q, 1, v->now_ms);
    bool row;
    TRY(store_step(q, &row));
    size_t len = 0;
    const void *text = row ? store_bytes(q, 1, &len) : NULL;
    if (text == NULL || v->profile == NULL) {
        return FAIL0(PROFILE_MISSING, "");
    }
    char *copy = arena_alloc(v->arena, len + 1);
    memcpy(copy, text, len);
    copy[len] = '\0';
    *out_text = copy;
    *out_len = len;
    *out_name = v->profile->name;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

#include "service/view_samples.h"

#include "base/check.h"
#include "service/view_inner.h"

/* The longest of the least ages that the markets ask for. */
static int64_t least_age_ms(const struct profile *p, const char *markets)
{
    int64_t age_ms = 0;
    for (size_t i = 0; i < p->market_count; i++) {
        const struct market *m = &p->markets[i];
        bool meant = markets[0] == '\0' || list_has(markets, m->name);
        age_ms = meant && m->min_age_ms > age_ms ? m->min_age_ms : age_ms;
    }
    return age_ms;
}

struct result view_samples_due(struct view *v, json_t **out)
{
    json_t *list = json_array();
    json_t *o = json_pack("{s:o}", "samples", list);
    CHECK(o != NULL);
    struct statement *q = store_prepare(v->store, Q_SAMPLE_DUE);
    bool row;
    for (;;) {
        struct result r = store_step(q, &row);
        if (r.code != CODE_OK) {
            json_decref(o);
            return r;
        }
        if (!row) {
            *out = o;
            return RESULT_OK;
        }
        int64_t wet_ms = store_int(q, 2);
        view_append(list,
                    json_pack("{s:s,s:s,s:I,s:I,s:I}", "lot", store_text(q, 0), "chamber",
                              store_text(q, 1), "wet_ms", (json_int_t)wet_ms, "age_h",
                              (json_int_t)((v->now_ms - wet_ms) / 3600000), "due_ms",
                              (json_int_t)(wet_ms + least_age_ms(v->profile, store_text(q, 3)))));
    }
}

#include "service/safety.h"

#include <string.h>

#include "base/check.h"
#include "ledger/evidence.h"
#include "service/story.h"

static struct result read_action(const struct view *v, const char *stored, struct deviation *d)
{
    json_t *data = NULL;
    d->cause = d->correction = d->disposition = d->restart = "";
    if (d->action == 0) {
        return RESULT_OK;
    }
    TRY(json_read_stored(stored, &data));
    const struct {
        const char *key, **to;
    } texts[] = {{"cause", &d->cause},
                 {"correction", &d->correction},
                 {"disposition", &d->disposition},
                 {"restart", &d->restart}};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        const char *text = json_string_value(json_object_get(data, texts[i].key));
        *texts[i].to = text != NULL ? arena_copy(v->arena, text) : "";
    }
    json_decref(data);
    return RESULT_OK;
}

static const char *text_or_null(const struct view *v, struct statement *q, int column)
{
    const char *text = store_text(q, column);
    return text[0] != '\0' ? arena_copy(v->arena, text) : NULL;
}

struct result deviations_open(const struct view *v, struct deviation **out, size_t *out_count)
{
    struct statement *q = store_prepare(v->store, Q_SAFETY_DEVIATIONS);
    *out = NULL;
    *out_count = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct deviation *d = evidence_grow(v->arena, out, out_count, sizeof **out);
        *d = (struct deviation){.id = store_int(q, 0),
                                .entry = store_int(q, 1),
                                .rule = arena_copy(v->arena, store_text(q, 2)),
                                .lot = store_int(q, 3),
                                .lot_code = text_or_null(v, q, 4),
                                .place = text_or_null(v, q, 5),
                                .sentence = told_deviation(v->arena, v->lang, store_text(q, 6)),
                                .from_ms = store_int(q, 7),
                                .to_ms = store_int(q, 8),
                                .at_ms = store_int(q, 9),
                                .person = store_int(q, 10),
                                .action = store_int(q, 11),
                                .action_person = store_int(q, 12),
                                .action_ms = store_int(q, 13)};
        TRY(read_action(v, store_text(q, 14), d));
    }
}

static void put(json_t *o, const char *key, const char *text)
{
    if (text != NULL) {
        view_put(o, key, json_string(text));
    }
}

struct duty_way duty_way(const struct duty *d)
{
    struct duty_way way = {.form = "duty-done", .verb = "done", .with = json_object()};
    CHECK(way.with != NULL);
    if (strcmp(d->by, "clean") == 0) {
        way.form = way.verb = "clean";
        put(way.with, "place", d->place);
    } else if (strcmp(d->by, "swab") == 0) {
        way.form = "sample";
        way.verb = "swab";
        put(way.with, "what", "swab");
        put(way.with, "place", d->place);
        put(way.with, "location", d->about);
    } else if (strcmp(d->by, "check") == 0) {
        way.form = d->about;
        way.verb = "check";
        put(way.with, "place", d->place);
    } else if (strcmp(d->by, "calibrate") == 0) {
        way.form = way.verb = "calibrate";
        put(way.with, "instrument", d->about);
    } else if (strcmp(d->by, "instrument-check") == 0) {
        way.form = "instrument-check";
        way.verb = "check";
        put(way.with, "instrument", d->about);
    } else if (strcmp(d->by, "register-count") == 0) {
        way.form = "register-count";
        way.verb = "count";
        put(way.with, "register", d->about);
    } else {
        put(way.with, "duty", d->code);
    }
    return way;
}

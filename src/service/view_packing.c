#include "service/view_packing.h"

#include <string.h>

#include "base/check.h"
#include "service/story.h"
#include "service/view_inner.h"

static const char *tone_of(const char *state)
{
    return strcmp(state, "good") == 0   ? "done"
           : strcmp(state, "bad") == 0  ? "stopped"
           : strcmp(state, "none") == 0 ? "waiting"
                                        : "due";
}

/* A check of a step's kind at a line, where something was packed last at packed_ms. */
static struct result put_check(const struct view *v, const struct profile_step *step,
                               const char *line, int64_t packed_ms, json_t *checks)
{
    struct statement *q = store_prepare(v->store, Q_PACKING_CHECK_LAST);
    store_bind_text(q, 1, line);
    store_bind_text(q, 2, step->check);
    bool row;
    TRY(store_step(q, &row));
    int64_t at_ms = row ? store_int(q, 0) : 0, entry = row ? store_int(q, 1) : 0;
    const char *state = !row                   ? "none"
                        : store_int(q, 2) == 0 ? "bad"
                        : at_ms < packed_ms    ? "due"
                                               : "good";
    bool known = row;
    TRY(told_finish(q, row));
    view_append(checks, json_pack("{s:s,s:s,s:n,s:o,s:o,s:n,s:s,s:s}", "kind", step->name, "title",
                                  view_step(v, step->name), "instrument", "at_ms",
                                  view_int(known, at_ms), "entry", view_int(known, entry), "due_ms",
                                  "state", state, "tone", tone_of(state)));
    return RESULT_OK;
}

/* The instruments that weighed in the last steps there, each once. */
static struct result put_instruments(const struct view *v, const char *line, json_t *checks)
{
    const char *seen = "";
    struct statement *q = store_prepare(v->store, Q_PAGE_INSTRUMENT_LAST);
    store_bind_text(q, 1, line);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        const char *code = store_text(q, 0);
        if (!list_has(seen, code)) {
            seen = arena_printf(v->arena, "%s%s%s", seen, seen[0] != '\0' ? "," : "", code);
        }
    }
    char code[128];
    for (const char *at = seen; list_next(&at, code, sizeof code);) {
        struct instrument i;
        bool found;
        TRY(instrument_on(v->store, v->arena, code, v->now_ms, &i, &found));
        if (!found) {
            continue;
        }
        const char *state = i.due_ms > v->now_ms ? "good" : "due";
        view_append(checks, json_pack("{s:s,s:s,s:s,s:n,s:n,s:I,s:s,s:s}", "kind", "calibrate",
                                      "title", view_step(v, "calibrate"), "instrument", i.code,
                                      "at_ms", "entry", "due_ms", (json_int_t)i.due_ms, "state",
                                      state, "tone", tone_of(state)));
    }
    return RESULT_OK;
}

static struct result put_checks(const struct view *v, const char *line, int64_t packed_ms,
                                json_t *checks)
{
    for (size_t i = 0; i < v->profile->step_count; i++) {
        const struct profile_step *step = &v->profile->steps[i];
        if (strcmp(step->act, "check") == 0 && list_has(step->place_kinds, "pack-line")) {
            TRY(put_check(v, step, line, packed_ms, checks));
        }
    }
    return put_instruments(v, line, checks);
}

struct line {
    const char *place, *name;
    bool in_service;
    int64_t packed_ms;
};

static struct result read_lines(const struct view *v, json_t *lines)
{
    struct statement *q = store_prepare(v->store, Q_PACKING_LINES);
    struct line list[64];
    size_t count = 0;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row || count == sizeof list / sizeof list[0]) {
            break;
        }
        list[count++] = (struct line){.place = arena_copy(v->arena, store_text(q, 0)),
                                      .name = arena_copy(v->arena, store_text(q, 1)),
                                      .in_service = store_int(q, 2) != 0,
                                      .packed_ms = store_int(q, 3)};
    }
    TRY(told_finish(q, row));
    for (size_t i = 0; i < count; i++) {
        json_t *checks = json_array();
        view_append(lines,
                    json_pack("{s:s,s:s,s:b,s:n,s:o}", "place", list[i].place, "name", list[i].name,
                              "in_service", list[i].in_service, "run", "checks", checks));
        TRY(put_checks(v, list[i].place, list[i].packed_ms, checks));
    }
    return RESULT_OK;
}

/* The open run stands at its line. */
static void put_open(json_t *lines, const char *place, const char *run)
{
    size_t i;
    json_t *line;
    json_array_foreach(lines, i, line)
    {
        if (strcmp(json_string_value(json_object_get(line, "place")), place) == 0 &&
            json_is_null(json_object_get(line, "run"))) {
            view_put(line, "run", json_string(run));
        }
    }
}

static struct result read_runs(const struct view *v, json_t *runs, json_t *lines)
{
    struct statement *q = store_prepare(v->store, Q_PACKING_RUNS);
    store_bind_int(q, 1, VIEW_PACKING_RUNS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t end_ms = store_int(q, 4), pieces = store_int(q, 7), declared_mg = store_int(q, 9),
                net_mg = store_int(q, 10), giveaway_mg = store_int(q, 11);
        bool packed = pieces > 0 && declared_mg > 0;
        if (end_ms == 0) {
            put_open(lines, store_text(q, 1), store_text(q, 0));
        }
        view_append(
            runs,
            json_pack(
                "{s:s,s:s,s:s,s:I,s:o,s:I,s:I,s:I,s:I,s:o,s:o,s:I,s:o}", "run", store_text(q, 0),
                "place", store_text(q, 1), "family", store_text(q, 2), "start_ms",
                (json_int_t)store_int(q, 3), "end_ms", view_int(end_ms != 0, end_ms), "entry",
                (json_int_t)store_int(q, 5), "lots", (json_int_t)store_int(q, 6), "pieces",
                (json_int_t)pieces, "cases", (json_int_t)store_int(q, 8), "declared_mg",
                view_int(packed, packed ? declared_mg / pieces : 0), "mean_net_mg",
                view_int(packed, packed ? net_mg / pieces : 0), "giveaway_mg",
                (json_int_t)giveaway_mg, "giveaway_ppm",
                view_int(packed,
                         packed ? (int64_t)((__int128)giveaway_mg * 1000000 / declared_mg) : 0)));
    }
}

static json_t *label_json(struct statement *q, int column)
{
    bool known = !store_is_null(q, column);
    int64_t both = known ? store_int(q, column) : 0; /* the entry doubled, and one where good */
    const char *state = !known ? "due" : both % 2 == 1 ? "good" : "bad";
    json_t *o = json_pack("{s:o,s:s,s:s}", "entry", view_int(known, both / 2), "state", state,
                          "tone", tone_of(state));
    CHECK(o != NULL);
    return o;
}

static struct result read_lots(const struct view *v, json_t *lots)
{
    struct statement *q = store_prepare(v->store, Q_PACKING_LOTS);
    store_bind_int(q, 1, VIEW_PACKING_LOTS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        bool held = store_int(q, 11) > 0, released = store_int(q, 12) != 0,
             closed = store_int(q, 13) != 0;
        const char *state = closed ? "closed" : held ? "held" : released ? "released" : "open";
        const char *tone = strcmp(state, "held") == 0   ? "stopped"
                           : strcmp(state, "open") == 0 ? "waiting"
                                                        : "done";
        view_append(
            lots,
            json_pack("{s:I,s:I,s:s,s:o,s:s,s:s,s:I,s:I,s:I,s:I,s:I,s:I,s:s,s:s,s:o}", "entry",
                      (json_int_t)store_int(q, 0), "at_ms", (json_int_t)store_int(q, 1), "place",
                      store_text(q, 2), "run", view_text(store_text(q, 3)), "lot", store_text(q, 4),
                      "item", store_text(q, 5), "pieces", (json_int_t)store_int(q, 6), "cases",
                      (json_int_t)store_int(q, 10), "declared_mg", (json_int_t)store_int(q, 7),
                      "mean_net_mg", (json_int_t)store_int(q, 8), "giveaway_mg",
                      (json_int_t)store_int(q, 9), "holds", (json_int_t)store_int(q, 11), "state",
                      state, "tone", tone, "label", label_json(q, 14)));
    }
}

struct result view_packing(struct view *v, json_t **out)
{
    json_t *lines = json_array(), *runs = json_array(), *lots = json_array();
    json_t *o = json_pack("{s:o,s:o,s:o}", "lines", lines, "runs", runs, "lots", lots);
    CHECK(o != NULL);
    struct result r = read_lines(v, lines);
    r = r.code == CODE_OK ? read_runs(v, runs, lines) : r;
    r = r.code == CODE_OK ? read_lots(v, lots) : r;
    return view_hand_over(r, o, out);
}

/* The list is filled by the today_*.c files, put in order here, and cut where it is long. */
#include "service/view_today.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/evidence.h"
#include "service/story.h"
#include "service/today.h"
#include "service/view_balance.h"
#include "service/view_review.h"

enum { LINES_OF_A_KIND = 5, NOT_YET = 20, NOT_OWN = 40, BACKUP_OLD_MS = 26 * 3600000 };

/* rank: least first. roles: who it is for (empty: everybody, or the line says whom), first of all
 * the first of them, for whom it comes before the others' work; managers and auditors see all. */
static const struct kind {
    const char *id, *tone, *roles, *verb, *page, *form;
    int rank;
    const char *many; /* the page of several in one line; NULL: as of one */
} kinds[TODAY_WHATS] = {
    [TODAY_POSITIVE] = {"positive", "stopped", "", "trace", "trace", NULL, 0},
    [TODAY_RECALL] = {"recall", "stopped", "quality,dispatch", "trace", "trace", NULL, 1},
    [TODAY_STOP] = {"stop", "stopped", "", "heard", "record", "stop-heard", 2},
    [TODAY_ASIDE] = {"aside", "stopped", "", "settle", "daybook", NULL, 3},
    [TODAY_ENVIRONMENT] = {"environment", "stopped", "hygiene,quality", "close", "record",
                           "environment", 5},
    [TODAY_PRESUMPTIVE] = {"presumptive", "stopped", "quality,grower", "enter", "record", "result",
                           6},
    [TODAY_TWICE] = {"twice", "due", "", "look", "daybook", NULL, 8},
    [TODAY_BLOCKED] = {"blocked", "stopped", "", "done", "record", "duty-done", 9, "schedule"},
    [TODAY_HARVEST] = {"harvest", "due", "grower,line,planner", "harvest", "record", "harvest", 10},
    [TODAY_TRUCK] = {"truck", "due", "planner,line,dispatch", "look", "lines", NULL, 11},
    [TODAY_WATER] = {"water", "due", "grower", "water", "record", "water", 12},
    [TODAY_CHANGE] = {"water-change", "due", "line,hygiene,grower,quality", "change", "record",
                      "water-change", 13},
    [TODAY_SAMPLE] = {"sample", "due", "grower,quality,hygiene", "sample", "record", "sample", 14},
    [TODAY_START] = {"start", "due", "grower,planner", "start", "record", "grow", 16},
    [TODAY_SHORT] = {"short", "due", "planner,dispatch", "plan", "plan", NULL, 18},
    [TODAY_AGREED] = {"agreed", "due", "planner,intake", "look", "plan", NULL, 19},
    [TODAY_SHIP] = {"ship", "due", "dispatch", "ship", "record", "ship", 20},
    [TODAY_CLOSED] = {"closed", "waiting", "grower,line,planner,dispatch", "look", "plan", NULL,
                      21},
    [TODAY_RELEASE] = {"release", "due", "quality,dispatch", "release", "lot", NULL, 22},
    [TODAY_DECIDE] = {"decide", "stopped", "quality", "decide", "hold", NULL, 24},
    [TODAY_INSTRUMENT] = {"instrument-check", "due", "", "check", "record", "instrument-check", 25},
    [TODAY_CLEAN] = {"clean", "due", "hygiene,grower", "clean", "record", "clean", 26},
    [TODAY_WORK] = {"work-order", "due", "", "hand-back", "record", "hand-back", 27, "safety"},
    [TODAY_TASK] = {"task", "due", "", "done", "record", "task-done", 28},
    [TODAY_DUTY] = {"duty", "due", "", "done", "record", "duty-done", 29, "schedule"},
    [TODAY_CALIBRATE] = {"calibrate", "due", "maintenance,quality", "calibrate", "record",
                         "calibrate", 30},
    [TODAY_CERTIFICATE] = {"certificate", "waiting", "quality,intake", "renew", "record",
                           "certificate", 31},
    [TODAY_TRAINING] = {"training", "waiting", "", "renew", "record", "training", 31},
    [TODAY_FITNESS] = {"fitness", "waiting", "", "renew", "record", "health-check", 31},
    [TODAY_DELIVERY] = {"delivery", "due", "", "inspect", "record", "delivery-check", 23},
    [TODAY_RETAINED] = {"retained", "waiting", "quality", "end", "record", "retain-end", 39,
                        "registers"},
    [TODAY_BACKUP] = {"backup", "due", "manager", "look", "health", NULL, 32},
    [TODAY_OWED] = {"owed", "due", "line,quality", "explain", "lot", NULL, 34},
    [TODAY_DEVIATION] = {"deviation", "due", "quality", "correct", "record", "corrective-action",
                         36, "safety"},
    [TODAY_VERIFY] = {"verify", "due", "quality", "verify", "record", "verification", 37, "safety"},
    [TODAY_REVIEW] = {"review", "waiting", "quality", "review", "review", NULL, 38},
    [TODAY_RESULT] = {"result", "waiting", "quality,grower", "enter", "record", "result", 40},
    [TODAY_CLAUSE] = {"clause", "waiting", "quality", "look", "lot", NULL, 42},
};

static bool sees_all(const char *role)
{
    return role == NULL || list_has("manager,auditor", role);
}

bool today_wants(const struct today *t, enum what what)
{
    const char *roles = kinds[what].roles;
    return roles[0] == '\0' || sees_all(t->v->role) || list_has(roles, t->v->role);
}

static int rank_of(const struct today *t, const struct today_line *line)
{
    const struct kind *k = &kinds[line->what];
    const char *roles = line->role != NULL ? line->role : k->roles;
    size_t len = strcspn(roles, ",");
    bool own = sees_all(t->v->role) || roles[0] == '\0' ||
               (line->person != 0 && line->person == t->v->person) ||
               (strlen(t->v->role) == len && strncmp(roles, t->v->role, len) == 0);
    bool stopped = strcmp(k->tone, "stopped") == 0;
    bool later = line->tone != NULL && strcmp(line->tone, "waiting") == 0 && !stopped;
    return k->rank + (own || stopped ? 0 : NOT_OWN) + (later ? NOT_YET : 0);
}

void today_add(struct today *t, const struct today_line *line)
{
    bool mine = line->role == NULL || sees_all(t->v->role) || list_has(line->role, t->v->role) ||
                (line->person != 0 && line->person == t->v->person);
    if (!mine || !today_wants(t, line->what)) {
        json_decref(line->with);
        return;
    }
    struct today_line *l = evidence_grow(t->v->arena, &t->lines, &t->count, sizeof *t->lines);
    *l = *line;
    l->rank = rank_of(t, line);
}

json_t *today_with(const char *key, const char *value)
{
    json_t *o = json_object();
    if (value != NULL && value[0] != '\0') {
        view_put(o, key, json_string(value));
    }
    return o;
}

static int by_urgency(const void *x, const void *y)
{
    const struct today_line *a = x, *b = y;
    if (a->rank != b->rank) {
        return a->rank - b->rank;
    }
    if (a->by_ms != b->by_ms) {
        int64_t first = a->by_ms != 0 ? a->by_ms : INT64_MAX;
        int64_t second = b->by_ms != 0 ? b->by_ms : INT64_MAX;
        return first < second ? -1 : 1;
    }
    return strcmp(a->about, b->about);
}

static json_t *line_json(const struct today *t, const struct today_line *l)
{
    const struct kind *k = &kinds[l->what];
    struct arena *a = t->v->arena;
    const char *verb = l->verb != NULL ? l->verb : k->verb;
    json_t *go = json_pack("{s:s,s:o,s:o}", "page", l->page != NULL ? l->page : k->page, "form",
                           view_text(l->page != NULL ? l->form : k->form), "with",
                           l->with != NULL ? l->with : json_object());
    json_t *o = json_pack("{s:s,s:i,s:s,s:s,s:s,s:o,s:o,s:o,s:s,s:o}", "key",
                          arena_printf(a, "%s:%s", k->id, l->about), "rank", l->rank, "tone",
                          l->tone != NULL ? l->tone : k->tone, "sentence", l->sentence, "what",
                          k->id, "lot", view_text(l->lot), "place", view_text(l->place), "by_ms",
                          view_int(l->by_ms != 0, l->by_ms), "verb",
                          words_of(a, t->v->lang, "verb.", verb, verb), "go", go);
    CHECK(o != NULL);
    return o;
}

/* The lines of one kind from first on, as one with their number and the first few of them. */
static json_t *grouped(const struct today *t, const struct today_line *first, size_t count)
{
    const struct kind *k = &kinds[first->what];
    struct arena *a = t->v->arena;
    const char *few = "";
    for (size_t i = 0; i < 3; i++) {
        const char *name = first[i].place != NULL ? first[i].place
                           : first[i].lot != NULL ? first[i].lot
                                                  : first[i].about;
        few = arena_printf(a, "%s%s%s", few, i > 0 ? ", " : "", name);
    }
    const char *kind = words_of(a, t->v->lang, "today-kind.", k->id, k->id);
    struct today_line line = *first;
    line.about = "many";
    line.sentence = SAY(t->v, "today.many", view_number(t->v, (int64_t)count), kind, few);
    line.lot = line.place = NULL;
    if (k->many != NULL) {
        line.page = k->many;
        line.form = NULL;
        line.verb = "look";
    }
    line.with = NULL;
    for (size_t i = 0; i < count; i++) {
        json_decref(first[i].with);
    }
    return line_json(t, &line);
}

static json_t *lines_json(const struct today *t)
{
    json_t *list = json_array();
    for (size_t i = 0; i < t->count;) {
        size_t same = 1;
        while (i + same < t->count && t->lines[i + same].what == t->lines[i].what) {
            same++;
        }
        /* each of those that were told and not booked needs somebody of its own */
        bool together = same > LINES_OF_A_KIND && t->lines[i].what != TODAY_ASIDE;
        if (together) {
            view_append(list, grouped(t, &t->lines[i], same));
        }
        for (size_t k = 0; k < same && !together; k++) {
            view_append(list, line_json(t, &t->lines[i + k]));
        }
        i += same;
    }
    return list;
}

static struct result handover(const struct today *t, json_t **out)
{
    struct statement *q = store_prepare(t->v->store, Q_TODAY_HANDOVER);
    int64_t from_ms = t->day == t->now_day ? t->day_ms - 86400000 : t->day_ms;
    store_bind_int(q, 1, from_ms); /* this morning the night's note still counts */
    store_bind_int(q, 2, t->next_ms);
    bool row;
    TRY(store_step(q, &row));
    *out = json_null();
    if (row) {
        json_t *note = NULL;
        TRY(json_read_stored(store_text(q, 0), &note));
        *out = json_pack("{s:O,s:O,s:I,s:I,s:I}", "text", json_object_get(note, "text"), "shift",
                         json_object_get(note, "shift"), "by", (json_int_t)store_int(q, 1), "at_ms",
                         (json_int_t)store_int(q, 2), "entry", (json_int_t)store_int(q, 3));
        json_decref(note);
        CHECK(*out != NULL);
    }
    return told_finish(q, row);
}

static void add_review(struct today *t, int64_t count)
{
    if (count > 0) {
        today_add(t, &(struct today_line){.what = TODAY_REVIEW,
                                          .about = "",
                                          .sentence =
                                              SAY(t->v, "today.review", view_number(t->v, count))});
    }
}

static void add_owed(struct today *t, const json_t *owed)
{
    size_t i;
    json_t *o;
    json_array_foreach(owed, i, o)
    {
        const char *lot = arena_copy(t->v->arena, json_string_value(json_object_get(o, "lot")));
        const char *unit = json_string_value(json_object_get(o, "unit"));
        int64_t amount = json_integer_value(json_object_get(o, "amount"));
        const char *much = strcmp(unit, "mg") == 0
                               ? view_mass(t->v, amount)
                               : arena_printf(t->v->arena, "%lld %s", (long long)amount, unit);
        today_add(t, &(struct today_line){.what = TODAY_OWED,
                                          .about = lot,
                                          .lot = lot,
                                          .sentence = SAY(t->v, "today.owed", lot, much),
                                          .with = today_with("lot", lot)});
    }
}

static void add_backup(struct today *t, const json_t *health)
{
    const json_t *backup = json_object_get(health, "backup");
    const json_t *at = json_object_get(backup, "at_ms");
    int64_t age_ms = t->v->now_ms - json_integer_value(at);
    if (backup == NULL || (json_is_integer(at) && age_ms < BACKUP_OLD_MS)) {
        return;
    }
    today_add(t, &(struct today_line){.what = TODAY_BACKUP,
                                      .about = "",
                                      .sentence =
                                          json_is_integer(at)
                                              ? SAY(t->v, "today.backup", view_hours(t->v, age_ms))
                                              : SAY(t->v, "today.backup-none", NULL)});
}

static struct result fill(struct today *t, const json_t *health, json_t *o)
{
    json_t *owed, *note;
    int64_t reviews = 0;
    TRY(view_owed(t->v, &owed));
    view_put(o, "owed", owed);
    TRY(handover(t, &note));
    view_put(o, "handover", note);
    TRY(view_review_count(t->v, &reviews));
    view_put(o, "review_count", json_integer(reviews));
    if (t->day >= t->now_day) {
        TRY(today_chambers(t));
        TRY(today_plan(t));
        today_closed(t);
        TRY(today_orders(t));
        TRY(today_lines(t));
    }
    if (t->day != t->now_day) {
        return RESULT_OK;
    }
    add_review(t, reviews);
    add_owed(t, owed);
    add_backup(t, health);
    TRY(today_agreed(t));
    TRY(today_samples(t));
    TRY(today_asides(t));
    TRY(today_twice(t));
    TRY(today_house(t));
    TRY(today_water(t));
    TRY(today_positives(t));
    TRY(today_results(t));
    TRY(today_decisions(t));
    TRY(today_releases(t));
    TRY(today_ends(t));
    return today_safety(t);
}

struct result view_today(struct view *v, int32_t day, const json_t *health, json_t **out)
{
    struct today t = {.v = v, .day = day, .now_day = view_day(v, v->now_ms)};
    TRY(view_day_start(v, day, &t.day_ms));
    TRY(view_day_start(v, day + 1, &t.next_ms));
    json_t *o = json_pack("{s:s,s:o}", "day", day_text(v->arena, day), "health",
                          health != NULL ? json_deep_copy(health) : json_null());
    CHECK(o != NULL);
    struct result r = fill(&t, health, o);
    if (r.code != CODE_OK) {
        for (size_t i = 0; i < t.count; i++) {
            json_decref(t.lines[i].with);
        }
        json_decref(o);
        return r;
    }
    if (t.count > 0) {
        qsort(t.lines, t.count, sizeof *t.lines, by_urgency);
    }
    view_put(o, "lines", lines_json(&t));
    *out = o;
    return RESULT_OK;
}

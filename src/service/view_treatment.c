#include "service/view_treatment.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "calc/constants.h"
#include "calc/heat/lethal_rate.h"
#include "calc/heat/lethal_set.h"
#include "calc/heat/treatment.h"
#include "calc/registry.h"
#include "ledger/treat_log.h"
#include "ledger/view.h"
#include "service/story.h"
#include "service/view_inner.h"

/* Each point shown is worth a pass over the log up to it. */
enum { POINTS_MAX = 120, POINTS_LEAST = 8, WORK_MAX = 20000000 };

struct treated {
    const struct view *v;
    struct lot lot;
    int64_t entry, at_ms;
    const char *way, *recipe, *reason;
    bool met;
    json_t *data, *body; /* as decided, as booked */
    struct treat_log log;
    struct treatment_constants constants;
    const struct lethal_set *set; /* the stand-in; NULL: signed constants */
    json_t *o;
};

static struct result read_treatment(struct treated *t)
{
    const struct view *v = t->v;
    struct statement *q = store_prepare(v->store, Q_EVIDENCE_TREATMENTS);
    store_bind_int(q, 1, t->lot.id);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return t->entry != 0 ? RESULT_OK : FAIL1(LOT_UNKNOWN, "lot", t->lot.code);
        }
        t->way = arena_copy(v->arena, store_text(q, 0));
        t->recipe = arena_copy(v->arena, store_text(q, 1));
        t->reason = arena_copy(v->arena, store_text(q, 2));
        t->met = store_int(q, 3) != 0;
        t->at_ms = store_int(q, 5);
        t->entry = store_int(q, 6);
        json_decref(t->data);
        json_decref(t->body);
        t->data = t->body = NULL;
        TRY(json_read_stored(store_text(q, 4), &t->data));
        TRY(json_read_stored(store_text(q, 7), &t->body));
    }
}

/* Reads the log as it was read when it was judged; nothing is booked. */
static struct result read_log(struct treated *t, bool *out_any)
{
    const struct view *v = t->v;
    const json_t *did = json_object_get(t->body, "did");
    *out_any = false;
    if (json_object_get(did, "log") == NULL && json_object_get(did, "series") == NULL) {
        return RESULT_OK;
    }
    const struct command cmd = {.kind = "treat",
                                .act = "treat",
                                .mode = MODE_TELL,
                                .happened_ms = t->at_ms,
                                .recorded_ms = v->now_ms,
                                .body = did};
    struct draft d = {.store = v->store,
                      .arena = v->arena,
                      .cmd = &cmd,
                      .profile = v->profile,
                      .effects = json_array(),
                      .answer = json_object(),
                      .deviations = json_array()};
    struct result r = treat_log_read(&d, &t->log);
    json_decref(d.effects);
    json_decref(d.answer);
    json_decref(d.deviations);
    if (r.code == CODE_LOG_MISSING) {
        return RESULT_OK; /* past its retention */
    }
    *out_any = r.code == CODE_OK && t->log.mc.points > 0;
    return r;
}

/* Those that decided, or the stand-in that was shown. */
static struct result choose_constants(struct treated *t)
{
    int64_t entry = json_integer_value(json_object_get(t->data, "constants_entry"));
    const struct recipe *recipe = profile_recipe(t->v->profile, t->recipe);
    if (entry == 0) {
        t->set = lethal_set_find("seed-salmonella");
        CHECK(t->set != NULL); /* stands in constants/heat.csv */
        t->constants = treatment_of_set(t->set);
        t->constants.limit_mc = recipe != NULL ? (int32_t)recipe->temp_mc : 0;
        t->constants.window = LETHALITY_WINDOW_HOLD;
        return RESULT_OK;
    }
    struct statement *q = store_prepare(t->v->store, Q_TREATMENT_CONSTANTS);
    store_bind_int(q, 1, entry);
    bool row;
    TRY(store_step(q, &row));
    CHECK(row); /* entries are never taken away */
    t->constants = (struct treatment_constants){.reference_mc = (int32_t)store_int(q, 1),
                                                .z_mc = (int32_t)store_int(q, 2),
                                                .d_ms = store_int(q, 3),
                                                .has_tested_max = true,
                                                .tested_max_mc = (int32_t)store_int(q, 4),
                                                .limit_mc = (int32_t)store_int(q, 5),
                                                .cut_low = true,
                                                .window = LETHALITY_WINDOW_COME_UP_HOLD};
    view_put(t->o, "signed",
             json_pack("{s:s,s:I,s:I,s:I}", "authority", store_text(q, 0), "entry",
                       (json_int_t)entry, "at_ms", (json_int_t)store_int(q, 7), "target_milli",
                       (json_int_t)store_int(q, 6)));
    return told_finish(q, row);
}

static int64_t coldest_mc(const struct heat_log_mc *log, size_t point)
{
    int64_t least = INT64_MAX;
    for (size_t k = 0; k < log->probes; k++) {
        int64_t mc = log->temp_mc[point * log->probes + k] - log->uncertainty_mc[k];
        least = mc < least ? mc : least;
    }
    return least;
}

static struct result put_point(struct treated *t, size_t point,
                               const struct treatment_constants *constants,
                               const struct lethal_scale *scale, json_t *rows)
{
    struct heat_log_mc so_far = t->log.mc;
    struct treatment_lethality sum;
    so_far.points = point + 1;
    TRY(treatment_lethality(t->v->arena, &so_far, constants, &sum));
    json_t *temps = json_array();
    for (size_t k = 0; k < so_far.probes; k++) {
        view_append(temps, json_integer(so_far.temp_mc[point * so_far.probes + k]));
    }
    int64_t cold_mc = coldest_mc(&so_far, point);
    double rate = lethal_rate(scale, (double)cold_mc / 1000);
    view_append(rows,
                json_pack("{s:I,s:o,s:I,s:I,s:I,s:I}", "t_ms", (json_int_t)so_far.time_ms[point],
                          "temps_mc", temps, "coldest_mc", (json_int_t)cold_mc, "rate_milli",
                          (json_int_t)(fmin(rate, 1e9) * 1000), "f_best_ms",
                          (json_int_t)sum.f_best_ms, "f_conservative_ms",
                          (json_int_t)sum.f_conservative_ms));
    return RESULT_OK;
}

static struct result put_points(struct treated *t, int64_t gap_max_ms, json_t *curve)
{
    const struct heat_log_mc *log = &t->log.mc;
    struct treatment_constants constants = t->constants;
    struct lethal_scale scale;
    json_t *rows = json_array();
    view_put(curve, "points", rows);
    constants.gap_max_ms = gap_max_ms; /* that of the whole log */
    TRY(lethal_scale_make(constants.reference_mc / 1000.0, constants.z_mc / 1000.0, -INFINITY,
                          INFINITY, &scale));
    size_t room = (size_t)WORK_MAX / log->points, most = POINTS_MAX;
    most = room < most ? (room > POINTS_LEAST ? room : POINTS_LEAST) : most;
    size_t step = log->points > most ? (log->points + most - 1) / most : 1;
    for (size_t i = 0; i < log->points; i += step) {
        TRY(put_point(t, i, &constants, &scale, rows));
    }
    if ((log->points - 1) % step != 0) {
        TRY(put_point(t, log->points - 1, &constants, &scale, rows));
    }
    return RESULT_OK;
}

static json_t *probe_names(const struct treated *t)
{
    const json_t *did = json_object_get(t->body, "did"), *log = json_object_get(did, "log");
    json_t *names = json_object_get(log != NULL ? log : did, "probes");
    return json_is_array(names) ? json_deep_copy(names) : json_array();
}

static struct result fill_curve(struct treated *t, json_t *curve)
{
    struct treatment_lethality all;
    TRY(treatment_lethality(t->v->arena, &t->log.mc, &t->constants, &all));
    view_put(curve, "probes", probe_names(t));
    view_put(curve, "logged", json_integer((json_int_t)t->log.mc.points));
    view_put(curve, "lost", json_integer((json_int_t)t->log.lost));
    view_put(curve, "gaps", json_integer((json_int_t)all.gaps));
    view_put(curve, "gap_longest_ms", json_integer(all.gap_longest_ms));
    view_put(curve, "coldest_probe", json_integer((json_int_t)all.coldest_probe));
    view_put(curve, "overdue", json_boolean(t->log.overdue));
    view_put(curve, "limit_mc", view_int(t->constants.limit_mc != 0, t->constants.limit_mc));
    view_put(curve, "f_best_ms", json_integer(all.f_best_ms));
    view_put(curve, "f_conservative_ms", json_integer(all.f_conservative_ms));
    view_put(curve, "reduction_shown", json_string(all.shown));
    view_put(curve, "share_come_up_ppm", json_integer(all.share_come_up_ppm));
    view_put(curve, "share_hold_ppm", json_integer(all.share_hold_ppm));
    view_put(curve, "share_cooling_ppm", json_integer(all.share_cooling_ppm));
    return put_points(t, all.gap_max_ms, curve);
}

static struct result put_curve(struct treated *t)
{
    bool any;
    TRY(read_log(t, &any));
    if (!any) {
        view_put(t->o, "curve", json_null());
        return RESULT_OK;
    }
    json_t *curve = json_object();
    struct result r = fill_curve(t, curve);
    if (r.code != CODE_OK) { /* the recipe judged it all the same */
        json_decref(curve);
        view_put(t->o, "curve", json_null());
        view_put(t->o, "refused", json_string(result_sentence_in(t->v->arena, t->v->lang, &r)));
        return RESULT_OK;
    }
    view_put(t->o, "curve", curve);
    return RESULT_OK;
}

static void put_constants(struct treated *t)
{
    json_t *rows = json_array(), *cautions = json_array();
    const struct treatment_constants *k = &t->constants;
    const struct calc_row *row = registry_find("lethality");
    CHECK(row != NULL); /* a calculation of the program */
    view_put(t->o, "stand_in",
             t->set != NULL ? json_string(words_own(t->v->arena, t->v->lang, t->set->title))
                            : json_null());
    view_put(t->o, "reference_mc", json_integer(k->reference_mc));
    view_put(t->o, "z_mc", json_integer(k->z_mc));
    view_put(t->o, "d_ms", json_integer(k->d_ms));
    view_put(t->o, "tested_max_mc", view_int(k->has_tested_max, k->tested_max_mc));
    for (size_t i = 0; t->set != NULL && i < LETHAL_SET_CONSTANTS; i++) {
        const char *name = t->set->constant[i];
        const struct constant *c = name != NULL ? constant_find(name) : NULL;
        if (c != NULL) {
            view_append(rows, json_pack("{s:s,s:f,s:s,s:s,s:s,s:s}", "name", c->name, "value",
                                        c->value, "unit", c->unit, "source", c->source, "locator",
                                        c->locator, "word", c->word));
        }
    }
    for (size_t i = 0; row->cautions[i] != NULL; i++) {
        const char *text = words_own(t->v->arena, t->v->lang, row->cautions[i]);
        view_append(cautions, json_string(text));
    }
    view_put(t->o, "constants", rows);
    view_put(t->o, "cautions", cautions);
}

static struct result put_deviations(struct treated *t)
{
    json_t *rows = json_array();
    view_put(t->o, "deviations", rows);
    struct statement *q = store_prepare(t->v->store, Q_TREATMENT_DEVIATIONS);
    store_bind_int(q, 1, t->lot.id);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t closed_ms = store_int(q, 4);
        view_append(rows,
                    json_pack("{s:I,s:I,s:s,s:s,s:o}", "deviation", (json_int_t)store_int(q, 0),
                              "entry", (json_int_t)store_int(q, 1), "rule", store_text(q, 2),
                              "sentence", told_deviation(t->v->arena, t->v->lang, store_text(q, 3)),
                              "closed_ms", view_int(closed_ms != 0, closed_ms)));
    }
}

static struct result put_papers(struct treated *t)
{
    const json_t *papers = json_object_get(json_object_get(t->body, "did"), "papers");
    json_t *rows = json_array();
    view_put(t->o, "papers", rows);
    for (size_t i = 0; i < json_array_size(papers); i++) {
        const char *sha = json_string_value(json_array_get(papers, i));
        struct hash hash;
        bool row;
        TRY(hex_read(sha, "papers", hash.b, sizeof hash.b));
        struct statement *q = store_prepare(t->v->store, Q_TREATMENT_PAPER);
        store_bind_bytes(q, 1, hash.b, sizeof hash.b);
        TRY(store_step(q, &row));
        if (row) {
            view_append(rows, json_pack("{s:s,s:s,s:s}", "sha256", sha, "kind", store_text(q, 0),
                                        "name", store_text(q, 1)));
        }
        TRY(told_finish(q, row));
    }
    return RESULT_OK;
}

static json_t *decided(const struct treated *t, const char *key)
{
    json_t *value = json_object_get(t->data, key);
    return value != NULL ? json_deep_copy(value) : json_null();
}

static struct result fill(struct treated *t)
{
    json_t *o = t->o;
    TRY(read_treatment(t));
    const struct recipe *recipe = profile_recipe(t->v->profile, t->recipe);
    const struct {
        const char *key, *text;
    } texts[] = {{"lot", t->lot.code},
                 {"item", t->lot.item},
                 {"way", t->way},
                 {"recipe", t->recipe},
                 {"reason", t->reason},
                 {"place", t->lot.place},
                 {"recipe_source", recipe != NULL ? recipe->source->title : NULL}};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        view_put(o, texts[i].key, view_text(texts[i].text));
    }
    view_put(o, "entry", json_integer(t->entry));
    view_put(o, "at_ms", json_integer(t->at_ms));
    view_put(o, "met", json_boolean(t->met));
    view_put(o, "hold_s", decided(t, "hold_s"));
    view_put(o, "hold_wanted_s", decided(t, "hold_wanted_s"));
    view_put(o, "validation", decided(t, "validation"));
    view_put(o, "reduction_target_milli", decided(t, "reduction_target_milli"));
    view_put(o, "signed", json_null());
    view_put(o, "refused", json_null());
    TRY(choose_constants(t));
    TRY(put_curve(t));
    put_constants(t);
    TRY(put_deviations(t));
    return put_papers(t);
}

struct result view_treatment(struct view *v, const char *code, json_t **out)
{
    struct treated t = {.v = v};
    bool found;
    TRY(lot_by_code(v->store, v->arena, code, &t.lot, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", code);
    }
    t.o = json_object();
    struct result r = fill(&t);
    json_decref(t.data);
    json_decref(t.body);
    if (r.code != CODE_OK) {
        json_decref(t.o);
        return r;
    }
    *out = t.o;
    return RESULT_OK;
}

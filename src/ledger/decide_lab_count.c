/* What a laboratory counted, as it counted it: tubes that grew at several dilutions, or colonies on
 * plates. The number and its limits are worked out here, so that nobody copies them from a table;
 * tubes that hardly ever fall so by chance are a deviation: something went wrong with them. */
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "calc/constants.gen.h"
#include "calc/microbe/mpn.h"
#include "calc/microbe/plate_count.h"
#include "ledger/listed.h"
#include "ledger/sample.h"

enum { VOLUME_DECIMALS = 6, ROWS_MAX = MPN_LEVELS_MAX, UNLIKELY = 3 };

struct counting {
    size_t rows;
    double volume_ml[ROWS_MAX];
    int64_t tubes[ROWS_MAX], grew[ROWS_MAX];
};

static struct result read_volumes(struct draft *d, struct counting *c)
{
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "volumes_ml", "volumes_ml", JSON_NEEDED, &list));
    c->rows = json_array_size(list);
    if (c->rows == 0 || c->rows > ROWS_MAX) {
        return FAIL2(FIELD_RANGE, "volumes_ml", "another number", "1 to 12 volumes");
    }
    for (size_t i = 0; i < c->rows; i++) {
        const char *text = json_string_value(json_array_get(list, i));
        int64_t millionths;
        TRY(decimal_read(text != NULL ? text : "", VOLUME_DECIMALS, "volumes_ml", &millionths));
        if (millionths <= 0) {
            return FAIL2(FIELD_RANGE, "volumes_ml", text, "more than nothing");
        }
        c->volume_ml[i] = (double)millionths / 1e6;
    }
    return RESULT_OK;
}

static struct result read_counts(struct draft *d, const char *key, size_t rows, int64_t most,
                                 int64_t *out)
{
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, key, key, JSON_NEEDED, &list));
    if (json_array_size(list) != rows) {
        return FAIL2(FIELD_RANGE, key, "another number", "one for each volume");
    }
    for (size_t i = 0; i < rows; i++) {
        const json_t *value = json_array_get(list, i);
        out[i] = json_integer_value(value);
        if (!json_is_integer(value) || out[i] < 0 || out[i] > most) {
            return FAIL2(FIELD_RANGE, key, arena_printf(d->arena, "%lld", (long long)out[i]),
                         "a whole number that can be");
        }
    }
    return RESULT_OK;
}

/* Three figures as a plain decimal, rounded to the side named; "0" stays. */
static json_t *figures(double value, bool up)
{
    char text[64];
    int decimals = 0;
    if (value > 0) {
        int order = (int)floor(log10(value)) - 2;
        double step = pow(10, order);
        value = (up ? ceil(value / step - 1e-9) : floor(value / step + 1e-9)) * step;
        decimals = order < 0 ? -order : 0;
    }
    snprintf(text, sizeof text, "%.*f", decimals, value);
    return json_string(text);
}

static struct result count_tubes(struct draft *d, struct counting *c, json_t *data, bool *out_odd)
{
    struct mpn_level levels[ROWS_MAX];
    struct mpn_settings set = {.k = CONSTANT_NORMAL_QUANTILE_975,
                               .tail = CONSTANT_MPN_ONE_SIDED_TAIL};
    struct mpn_report m;
    TRY(read_counts(d, "tubes", c->rows, MPN_TUBES_MAX, c->tubes));
    TRY(read_counts(d, "positive", c->rows, MPN_TUBES_MAX, c->grew));
    for (size_t i = 0; i < c->rows; i++) {
        if (c->tubes[i] == 0 || c->grew[i] > c->tubes[i]) {
            return FAIL2(FIELD_RANGE, c->tubes[i] == 0 ? "tubes" : "positive",
                         arena_printf(d->arena, "%lld", (long long)c->grew[i]),
                         "no more than the tubes there were, and these one or more");
        }
        levels[i] = (struct mpn_level){
            .amount = c->volume_ml[i], .tubes = c->tubes[i], .positive = c->grew[i]};
    }
    TRY(mpn(levels, c->rows, &set, &m));
    bool measured = m.state == MPN_MEASURED;
    json_object_set_new(data, "state",
                        json_string(measured                       ? "measured"
                                    : m.state == MPN_NONE_POSITIVE ? "none"
                                                                   : "all"));
    json_object_set_new(data, "per_ml", figures(measured ? m.mpn : 0, true));
    json_object_set_new(data, "low",
                        figures(measured                      ? m.ratio_low
                                : m.state == MPN_ALL_POSITIVE ? m.one_sided
                                                              : 0,
                                false));
    if (m.state != MPN_ALL_POSITIVE) {
        json_object_set_new(data, "high", figures(measured ? m.ratio_high : m.one_sided, true));
    }
    *out_odd = measured && (m.suspect || m.category == UNLIKELY);
    return RESULT_OK;
}

static struct result count_plates(struct draft *d, struct counting *c, json_t *data)
{
    struct plate plates[ROWS_MAX];
    struct plate_count_report r;
    TRY(read_counts(d, "colonies", c->rows, PLATE_COUNT_COLONIES_MAX, c->grew));
    for (size_t i = 0; i < c->rows; i++) {
        plates[i] = (struct plate){.sample_ml = c->volume_ml[i], .colonies = c->grew[i]};
    }
    TRY(plate_count(plates, c->rows, NULL, 0, &r));
    json_object_set_new(data, "state", json_string(plate_count_state_word(r.state)));
    json_object_set_new(data, "per_ml", figures(r.per_ml, true));
    json_object_set_new(data, "low", figures(r.low, false));
    json_object_set_new(data, "high", figures(r.high, true));
    return RESULT_OK;
}

struct result decide_lab_count(struct draft *d)
{
    static const char *const names[] = {"sample",   "organism", "volumes_ml", "tubes",
                                        "positive", "colonies", NULL};
    const json_t *o = d->cmd->body;
    const char *organism;
    struct counting c = {0};
    struct sample s;
    bool odd = false;
    TRY(draft_only(d, "a count of a laboratory", names));
    TRY(sample_named(d, &s));
    TRY(listed_words(o, "organism", 80, JSON_NEEDED, &organism));
    TRY(read_volumes(d, &c));
    json_t *data = json_pack("{s:s}", "organism", organism);
    CHECK(data != NULL);
    struct result r = json_object_get(o, "colonies") != NULL ? count_plates(d, &c, data)
                                                             : count_tubes(d, &c, data, &odd);
    if (r.code != CODE_OK) {
        json_decref(data);
        return r;
    }
    json_object_set(d->answer, "count", data);
    json_object_set_new(d->answer, "sample", json_string(s.code));
    noted_add(d, 0,
              &(struct noting){
                  .kind = "lab-count", .code = s.code, .lot = s.lot, .ok = !odd, .data = data});
    return odd ? draft_deviation(d, "count-unlikely", s.lot, NULL, 0, 0,
                                 FAIL2(COUNT_UNLIKELY, "positive", s.code, organism))
               : RESULT_OK;
}

/* What a laboratory counted, as it counted it: tubes that grew at several dilutions, or colonies on
 * plates. The number and its limits are worked out here, so that nobody copies them from a table;
 * tubes that hardly ever fall so by chance are a deviation: something went wrong with them. */
#include "base/check.h"
#include "base/decimal.h"
#include "calc/microbe/lab_count.h"
#include "ledger/listed.h"
#include "ledger/sample.h"

enum { VOLUME_DECIMALS = 6, TUBES_MAX = 1000, COLONIES_MAX = 100000 };

struct counting {
    size_t rows;
    int64_t volume_nl[LAB_COUNT_ROWS_MAX], tubes[LAB_COUNT_ROWS_MAX], grew[LAB_COUNT_ROWS_MAX];
};

static struct result read_volumes(struct draft *d, struct counting *c)
{
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "volumes_ml", "volumes_ml", JSON_NEEDED, &list));
    c->rows = json_array_size(list);
    if (c->rows == 0 || c->rows > LAB_COUNT_ROWS_MAX) {
        return FAIL2(FIELD_RANGE, "volumes_ml", "another number", "1 to 12 volumes");
    }
    for (size_t i = 0; i < c->rows; i++) {
        const char *text = json_string_value(json_array_get(list, i));
        TRY(decimal_read(text != NULL ? text : "", VOLUME_DECIMALS, "volumes_ml",
                         &c->volume_nl[i]));
        if (c->volume_nl[i] <= 0) {
            return FAIL2(FIELD_RANGE, "volumes_ml", text, "more than nothing");
        }
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

static struct result work_out(struct draft *d, struct lab_count *out)
{
    struct counting c = {0};
    TRY(read_volumes(d, &c));
    if (json_object_get(d->cmd->body, "colonies") != NULL) {
        TRY(read_counts(d, "colonies", c.rows, COLONIES_MAX, c.grew));
        return lab_count_plates(c.volume_nl, c.grew, c.rows, out);
    }
    TRY(read_counts(d, "tubes", c.rows, TUBES_MAX, c.tubes));
    TRY(read_counts(d, "positive", c.rows, TUBES_MAX, c.grew));
    return lab_count_tubes(c.volume_nl, c.tubes, c.grew, c.rows, out);
}

struct result decide_lab_count(struct draft *d)
{
    static const char *const names[] = {"sample",   "organism", "volumes_ml", "tubes",
                                        "positive", "colonies", NULL};
    const char *organism;
    struct lab_count count;
    struct sample s;
    TRY(draft_only(d, "a count of a laboratory", names));
    TRY(sample_named(d, &s));
    TRY(listed_words(d->cmd->body, "organism", 80, JSON_NEEDED, &organism));
    TRY(work_out(d, &count));
    json_t *data = json_pack("{s:s,s:s,s:s,s:s}", "organism", organism, "state", count.state,
                             "per_ml", count.per_ml, "low", count.low);
    CHECK(data != NULL);
    if (count.high[0] != '\0') {
        json_object_set_new(data, "high", json_string(count.high));
    }
    json_object_set(d->answer, "count", data);
    json_object_set_new(d->answer, "sample", json_string(s.code));
    noted_add(d, 0,
              &(struct noting){.kind = "lab-count",
                               .code = s.code,
                               .lot = s.lot,
                               .ok = !count.unlikely,
                               .data = data});
    return count.unlikely ? draft_deviation(d, "count-unlikely", s.lot, NULL, 0, 0,
                                            FAIL2(COUNT_UNLIKELY, "positive", s.code, organism))
                          : RESULT_OK;
}

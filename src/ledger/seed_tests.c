#include "ledger/seed_tests.h"

#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "calc/growth/germination.h"
#include "calc/growth/seed_quality.h"

static const char *limit_text(struct draft *d, const struct limit *l)
{
    const char *low = l->has_low ? decimal_text(d->arena, l->low, 3, false) : NULL;
    const char *high = l->has_high ? decimal_text(d->arena, l->high, 3, false) : NULL;
    return low != NULL && high != NULL ? arena_printf(d->arena, "%s to %s %s", low, high, l->unit)
           : low != NULL               ? arena_printf(d->arena, "at least %s %s", low, l->unit)
           : high != NULL              ? arena_printf(d->arena, "at most %s %s", high, l->unit)
                                       : "no limit";
}

/* A test without a limit in force decides nothing: it does not pass. */
static struct result against(struct draft *d, const char *name, const char *item, int64_t value,
                             struct seed_outcome *out)
{
    struct limit l;
    TRY(limit_in_force(d->store, d->profile, name, item, d->cmd->happened_ms, &l));
    out->wanted = limit_text(d, &l);
    bool low = l.has_low && value < l.low, high = l.has_high && value > l.high;
    out->ok = (l.has_low || l.has_high) && !low && !high;
    out->verdict = low ? "low" : high ? "high" : out->ok ? "ok" : "no-limit";
    return RESULT_OK;
}

static struct result purity(struct draft *d, const struct lot *lot, struct seed_outcome *out,
                            json_t *data)
{
    static const char *const names[] = {"pure", "other", "weed", "inert"};
    int64_t mg[4] = {0};
    for (int i = 0; i < 4; i++) {
        const char *text = NULL;
        TRY(json_get_text(d->cmd->body, names[i], names[i], JSON_NEEDED, &text));
        TRY(mass_read(text, names[i], &mg[i]));
        json_object_set_new(data, names[i], json_integer(mg[i]));
    }
    struct seed_parts parts = {
        .pure_mg = mg[0], .other_mg = mg[1], .weed_mg = mg[2], .inert_mg = mg[3]};
    struct seed_purity p;
    TRY(seed_purity(&parts, &p));
    out->value = p.purity_ppm / 10;
    return against(d, "purity", lot->item, out->value, out);
}

static struct result germination(struct draft *d, const struct lot *lot, struct seed_outcome *out,
                                 json_t *data)
{
    json_t *list = NULL;
    int64_t normal[GERMINATION_REPLICATES_MAX];
    TRY(json_get_array(d->cmd->body, "replicates", "replicates", JSON_NEEDED, &list));
    size_t count = json_array_size(list);
    if (count != 4) {
        /* 7 CFR 201.54: at least 400 seeds in replicates of 100 or fewer - published (seen) */
        return FAIL2(FIELD_RANGE, "replicates", "another number", "four replicates of 100 seeds");
    }
    for (size_t i = 0; i < count; i++) {
        if (!json_is_integer(json_array_get(list, i))) {
            return FAIL2(FIELD_TYPE, "replicates", "whole numbers of normal seedlings",
                         "something else");
        }
        normal[i] = json_integer_value(json_array_get(list, i));
    }
    struct germination_report report;
    TRY(germination_judge(normal, count, &report));
    json_object_set(data, "replicates", list);
    json_object_set_new(data, "range", json_integer(report.range));
    json_object_set_new(data, "allowed_range", json_integer(report.allowed_range));
    json_object_set_new(data, "low_ppm", json_integer(report.low_ppm));
    out->value = (int64_t)report.mean_pct * 1000;
    TRY(against(d, "germination", lot->item, out->value, out));
    if (report.verdict == GERMINATION_RETEST) {
        out->ok = false;
        out->verdict = "retest";
        out->wanted = arena_printf(d->arena, "a range of at most %d between replicates",
                                   report.allowed_range);
    }
    return RESULT_OK;
}

static struct result seed_mass_test(struct draft *d, const struct lot *lot,
                                    struct seed_outcome *out, json_t *data)
{
    json_t *list = NULL;
    int64_t mg[SEED_MASS_REPLICATES_MAX];
    TRY(json_get_array(d->cmd->body, "replicates_g", "replicates_g", JSON_NEEDED, &list));
    size_t count = json_array_size(list);
    if (count > SEED_MASS_REPLICATES_MAX) {
        return FAIL2(FIELD_RANGE, "replicates_g", "too many", "8 to 16 weighings");
    }
    for (size_t i = 0; i < count; i++) {
        const char *text = json_string_value(json_array_get(list, i));
        TRY(decimal_read(text != NULL ? text : "", 3, "replicates_g", &mg[i]));
    }
    struct seed_mass m;
    TRY(seed_mass(mg, count, &m));
    json_object_set(data, "replicates_g", list);
    json_object_set_new(data, "cv_ppm", json_integer(m.cv_ppm));
    TRY(against(d, "thousand-seed-mass-cv", lot->item, m.cv_ppm / 10, out));
    out->value = m.tsm_mg; /* 1/1000 g */
    return RESULT_OK;
}

static struct result moisture(struct draft *d, const struct lot *lot, struct seed_outcome *out,
                              json_t *data)
{
    const char *text = NULL;
    int64_t ppm;
    TRY(json_get_text(d->cmd->body, "moisture", "moisture", JSON_NEEDED, &text));
    TRY(percent_read(text, "moisture", &ppm));
    json_object_set_new(data, "moisture_ppm", json_integer(ppm));
    out->value = ppm / 10;
    return against(d, "seed-moisture", lot->item, out->value, out);
}

static struct result look(struct draft *d, struct seed_outcome *out, json_t *data)
{
    bool good = true;
    static const char *const names[] = {"seed", "sacks"};
    for (int i = 0; i < 2; i++) {
        const char *text = NULL;
        TRY(json_get_text(d->cmd->body, names[i], names[i], JSON_NEEDED, &text));
        if (!list_has("good,bad", text)) {
            return FAIL2(FIELD_CHOICE, names[i], text, "good, bad");
        }
        good = good && strcmp(text, "good") == 0;
        json_object_set_new(data, names[i], json_string(text));
    }
    out->value = good ? 1000 : 0;
    out->ok = good;
    out->verdict = good ? "ok" : "bad";
    out->wanted = "seed and sacks both good";
    return RESULT_OK;
}

struct result seed_test_judge(struct draft *d, const struct lot *lot, const char *test,
                              struct seed_outcome *out)
{
    json_t *data = json_object();
    CHECK(data != NULL);
    struct result r;
    if (strcmp(test, "purity") == 0) {
        r = purity(d, lot, out, data);
    } else if (strcmp(test, "germination") == 0) {
        r = germination(d, lot, out, data);
    } else if (strcmp(test, "thousand-seed-mass") == 0) {
        r = seed_mass_test(d, lot, out, data);
    } else if (strcmp(test, "moisture") == 0) {
        r = moisture(d, lot, out, data);
    } else if (strcmp(test, "look") == 0) {
        r = look(d, out, data);
    } else {
        r = FAIL2(FIELD_CHOICE, "test", test,
                  "purity, germination, thousand-seed-mass, moisture, look");
    }
    out->data = json_canonical(d->arena, data);
    json_decref(data);
    return r;
}

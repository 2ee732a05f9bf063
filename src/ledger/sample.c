#include "ledger/sample.h"

#include <string.h>

#include "base/decimal.h"

static const char *keep(struct arena *a, const char *text)
{
    return text != NULL ? arena_copy(a, text) : NULL;
}

struct result sample_by_code(struct store *s, struct arena *a, const char *code, struct sample *out,
                             bool *out_found)
{
    struct statement *q = store_prepare(s, Q_SAMPLE_BY_CODE);
    store_bind_text(q, 1, code);
    TRY(store_step(q, out_found));
    if (*out_found) {
        *out = (struct sample){.code = arena_copy(a, code),
                               .id = store_int(q, 0),
                               .lot = store_int(q, 1),
                               .place = keep(a, store_text(q, 2)),
                               .location = keep(a, store_text(q, 3)),
                               .what = keep(a, store_text(q, 4)),
                               .taken_ms = store_int(q, 5),
                               .entry = store_int(q, 6)};
    }
    for (bool row = *out_found; row;) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result sample_named(struct draft *d, struct sample *out)
{
    const char *code = NULL;
    bool found;
    TRY(json_get_text(d->cmd->body, "sample", "sample", JSON_NEEDED, &code));
    TRY(sample_by_code(d->store, d->arena, code, out, &found));
    return found ? RESULT_OK : FAIL1(SAMPLE_UNKNOWN, "sample", code);
}

const char *confirming_methods(const struct profile *p, const char *organism, struct arena *a)
{
    const char *all = "";
    for (size_t i = 0; p != NULL && i < p->market_count; i++) {
        for (size_t k = 0; k < p->markets[i].organism_count; k++) {
            const struct market_organism *o = &p->markets[i].organisms[k];
            if (strcmp(o->organism, organism) == 0 && o->confirms[0] != '\0') {
                all = all[0] == '\0' ? o->confirms : arena_printf(a, "%s,%s", all, o->confirms);
            }
        }
    }
    return all;
}

struct result volume_read(const char *text, const char *field, int64_t *out_ml)
{
    size_t number = strspn(text, "0123456789.+-");
    const char *unit = text + number;
    char copy[32];
    if (number == 0 || number >= sizeof copy) {
        return FAIL1(DECIMAL_BAD, field, text);
    }
    memcpy(copy, text, number);
    copy[number] = '\0';
    while (*unit == ' ') {
        unit++;
    }
    bool litres = strcmp(unit, "L") == 0 || strcmp(unit, "l") == 0;
    if (!litres && strcmp(unit, "mL") != 0 && strcmp(unit, "ml") != 0) {
        return FAIL2(UNIT_BAD, field, unit, "L, mL");
    }
    TRY(decimal_read(copy, litres ? 3 : 0, field, out_ml));
    return *out_ml >= 0 && *out_ml <= 1000000 ? RESULT_OK
                                              : FAIL2(FIELD_RANGE, field, text, "0 mL to 1000 L");
}

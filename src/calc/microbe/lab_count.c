#include "calc/microbe/lab_count.h"

#include <math.h>
#include <stdio.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/microbe/mpn.h"
#include "calc/microbe/plate_count.h"

enum { UNLIKELY = 3 };

static void figures(double value, bool up, char out[LAB_COUNT_TEXT])
{
    int decimals = 0;
    if (value > 0) {
        int order = (int)floor(log10(value)) - 2;
        double step = pow(10, order);
        value = (up ? ceil(value / step - 1e-9) : floor(value / step + 1e-9)) * step;
        decimals = order < 0 ? -order : 0;
    }
    snprintf(out, LAB_COUNT_TEXT, "%.*f", decimals, value);
}

struct result lab_count_tubes(const int64_t *volume_nl, const int64_t *tubes,
                              const int64_t *positive, size_t rows, struct lab_count *out)
{
    CHECK(rows >= 1 && rows <= LAB_COUNT_ROWS_MAX);
    struct mpn_level levels[LAB_COUNT_ROWS_MAX];
    struct mpn_settings set = {.k = CONSTANT_NORMAL_QUANTILE_975,
                               .tail = CONSTANT_MPN_ONE_SIDED_TAIL};
    struct mpn_report m;
    for (size_t i = 0; i < rows; i++) {
        if (tubes[i] < 1 || positive[i] > tubes[i]) {
            return FAIL2(FIELD_RANGE, tubes[i] < 1 ? "tubes" : "positive", "another number",
                         "one tube or more, and no more that grew than there were");
        }
        levels[i] = (struct mpn_level){
            .amount = (double)volume_nl[i] / 1e6, .tubes = tubes[i], .positive = positive[i]};
    }
    TRY(mpn(levels, rows, &set, &m));
    bool measured = m.state == MPN_MEASURED;
    *out = (struct lab_count){.state = measured                       ? "measured"
                                       : m.state == MPN_NONE_POSITIVE ? "none"
                                                                      : "all",
                              .unlikely = measured && (m.suspect || m.category == UNLIKELY)};
    figures(measured ? m.mpn : 0, true, out->per_ml);
    figures(measured                      ? m.ratio_low
            : m.state == MPN_ALL_POSITIVE ? m.one_sided
                                          : 0,
            false, out->low);
    if (m.state != MPN_ALL_POSITIVE) {
        figures(measured ? m.ratio_high : m.one_sided, true, out->high);
    }
    return RESULT_OK;
}

struct result lab_count_plates(const int64_t *volume_nl, const int64_t *colonies, size_t rows,
                               struct lab_count *out)
{
    CHECK(rows >= 1 && rows <= LAB_COUNT_ROWS_MAX);
    struct plate plates[LAB_COUNT_ROWS_MAX];
    struct plate_count_report r;
    for (size_t i = 0; i < rows; i++) {
        plates[i] =
            (struct plate){.sample_ml = (double)volume_nl[i] / 1e6, .colonies = colonies[i]};
    }
    TRY(plate_count(plates, rows, NULL, 0, &r));
    *out = (struct lab_count){.state = plate_count_state_word(r.state)};
    figures(r.per_ml, true, out->per_ml);
    figures(r.low, false, out->low);
    figures(r.high, true, out->high);
    return RESULT_OK;
}

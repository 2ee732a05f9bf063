#include "calc/growth/germination.h"

#include <math.h>
#include <stdio.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/wilson.h"

enum { TABLE_HIGH = 99, TABLE_LOW = 71, TABLE_ROWS = TABLE_HIGH - TABLE_LOW + 1 };

/* 7 CFR 201.55(a), rows 99 down to 71: four replicates, two replicates (0: no entry). */
static const signed char table[TABLE_ROWS][2] = {
    {5, 0},   {6, 0},   {7, 6},   {8, 6},   {9, 7},   {10, 8},  {10, 8},  {11, 9},
    {11, 9},  {12, 9},  {12, 10}, {13, 10}, {13, 11}, {14, 11}, {14, 11}, {14, 11},
    {15, 12}, {15, 12}, {15, 12}, {16, 13}, {16, 13}, {16, 13}, {17, 13}, {17, 13},
    {17, 14}, {17, 14}, {17, 14}, {18, 14}, {18, 14},
};

static struct result outside(const char *field, int64_t value, const char *range)
{
    char text[24];
    snprintf(text, sizeof text, "%lld", (long long)value);
    return FAIL2(FIELD_RANGE, field, text, range);
}

int germination_allowed_range(int mean_pct, size_t replicates, bool *out_from_table)
{
    CHECK(mean_pct >= 0 && mean_pct <= 100 && (replicates == 2 || replicates == 4));
    int row_pct = mean_pct >= 51 ? mean_pct : 101 - mean_pct;
    /* At 100 (or 0) whole percent the replicates cannot lie further apart than the next row has. */
    row_pct = row_pct > TABLE_HIGH ? TABLE_HIGH : row_pct;
    int entry = row_pct >= TABLE_LOW ? table[TABLE_HIGH - row_pct][replicates == 2] : 0;
    *out_from_table = entry > 0;
    if (entry > 0) {
        return entry;
    }
    double q = replicates == 4 ? CONSTANT_GERMINATION_Q4 : CONSTANT_GERMINATION_Q2;
    return (int)floor(q * sqrt(row_pct * (100 - row_pct) / (double)GERMINATION_SEEDS));
}

static void chi2_fill(const int64_t *normal, size_t replicates, struct germination_report *out)
{
    double m = out->mean_exact_pct;
    double spread = 0;
    for (size_t i = 0; i < replicates; i++) {
        spread += ((double)normal[i] - m) * ((double)normal[i] - m);
    }
    /* With all or none germinated the replicates are alike and there is nothing to divide. */
    out->chi2 = spread > 0 ? spread / (m * (100 - m) / 100) : 0;
    out->chi2_limit =
        replicates == 4 ? CONSTANT_GERMINATION_CHI2_LIMIT_3DF : CONSTANT_GERMINATION_CHI2_LIMIT_1DF;
    out->chi2_agrees = out->chi2 <= out->chi2_limit;
}

struct result germination_judge(const int64_t *normal, size_t replicates,
                                struct germination_report *out)
{
    *out = (struct germination_report){.verdict = GERMINATION_RETEST};
    if (replicates != 2 && replicates != 4) {
        return outside("replicates", (int64_t)replicates, "2 or 4 counts");
    }
    int64_t sum = 0, least = GERMINATION_SEEDS, most = 0;
    for (size_t i = 0; i < replicates; i++) {
        if (normal[i] < 0 || normal[i] > GERMINATION_SEEDS) {
            char field[40];
            snprintf(field, sizeof field, "replicates[%zu]", i);
            return outside(field, normal[i], "from 0 to 100 seedlings");
        }
        sum += normal[i];
        least = normal[i] < least ? normal[i] : least;
        most = normal[i] > most ? normal[i] : most;
    }
    int64_t count = (int64_t)replicates;
    out->mean_pct = (int)((2 * sum + count) / (2 * count));
    out->mean_exact_pct = (double)sum / (double)count;
    out->range = (int)(most - least);
    out->allowed_range = germination_allowed_range(out->mean_pct, replicates, &out->from_table);
    out->verdict = out->range > out->allowed_range ? GERMINATION_RETEST : GERMINATION_ACCEPT;
    struct wilson interval;
    TRY(wilson(sum, count * GERMINATION_SEEDS, &interval));
    out->low_ppm = interval.low_ppm;
    out->high_ppm = interval.high_ppm;
    out->standard_error_pct = sqrt(out->mean_exact_pct * (100 - out->mean_exact_pct) /
                                   (double)(count * GERMINATION_SEEDS));
    chi2_fill(normal, replicates, out);
    return RESULT_OK;
}

const char *germination_verdict_word(enum germination_verdict verdict)
{
    return verdict == GERMINATION_ACCEPT ? "accept" : "retest";
}

#include <math.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/microbe/figures.h"
#include "calc/microbe/hit_rate.h"
#include "calc/microbe/mpn_table.h"
#include "calc/microbe/plate_count.h"
#include "calc/microbe/rows.h"

/* Most probable number */

static const struct calc_field mpn_in[] = {
    CALC_NEED_TABLE("levels", "g, 1, 1",
                    "For each dilution: g or mL of undiluted sample in each tube, tubes, positive "
                    "tubes; as read, the largest amount first.",
                    1, MPN_LEVELS_MAX),
    CALC_MAY_NUMBER("jarvis_k", "1", "Standard errors on each side of Jarvis' interval.", 0.5, 5,
                    CALC_FALLBACK(CONSTANT_NORMAL_QUANTILE_975)),
    CALC_MAY_NUMBER("tail", "1", "What the one-sided limits leave out, where all tubes agree.",
                    0.0001, 0.25, CALC_FALLBACK(CONSTANT_MPN_ONE_SIDED_TAIL)),
};

static const struct calc_output mpn_out[] = {
    CALC_OUT("shown", "1/g", "The number as it is reported, in two figures."),
    CALC_OUT("mpn", "1/g", "Most probable number per g or mL; none where all tubes are positive."),
    CALC_OUT("log10", "log10/g", "Its logarithm."),
    CALC_OUT("se_log10", "log10", "Standard error of it."),
    CALC_OUT("jarvis_low", "1/g", "Jarvis' interval, lower end."),
    CALC_OUT("jarvis_high", "1/g", "Upper end."),
    CALC_OUT("ratio_low", "1/g", "Interval of the likelihood ratio, 95 %, lower end."),
    CALC_OUT("ratio_high", "1/g", "Upper end."),
    CALC_OUT("one_sided_low", "1/g", "All positive: lower limit."),
    CALC_OUT("one_sided_high", "1/g", "None positive: upper limit."),
    CALC_OUT("likelihood", "1", "Chance of just these tubes at that number."),
    CALC_OUT("likeliest", "1", "Positive tubes that would be likeliest."),
    CALC_OUT("rarity", "1", "Rarity index: chance of these tubes over that of the likeliest."),
    CALC_OUT("category", "1", "1 likely, 2 less so, 3 unlikely."),
    CALC_OUT("thomas", "1/g", "Thomas' approximation."),
    CALC_OUT("table_mpn", "1/g", "The printed table's number, where it has this outcome."),
    CALC_OUT("table_low", "1/g", "Its lower limit."),
    CALC_OUT("table_high", "1/g", "Its upper limit."),
    CALC_OUT("table_word", "", "How the table's limits are known."),
};

static const struct calc_source mpn_sources[] = {
    {"Source of the R package MPN 0.3.0, after Jarvis 2010, Blodgett and the US FDA "
     "Bacteriological Analytical Manual, appendix 2",
     "published (seen)"},
    {"US FDA Bacteriological Analytical Manual, appendix 2, tables 1 and 2: limits of the tables",
     "from memory"},
    {"Likelihood ratio, chi-square of one degree of freedom", "computed here"},
};

static const char *const mpn_constants[] = {"normal_quantile_975", "mpn_one_sided_tail",
                                            "mpn_rarity_suspect",  "mpn_rarity_likely",
                                            "mpn_rarity_unlikely", NULL};

static const char *const mpn_cautions[] = {
    "Judge against a limit with the upper end of an interval; the number itself scatters widely.",
    "Holds for cells spread by chance and for a method that finds a single cell in a tube.",
    "Where a regulation names its table, report the table's number.", NULL};

static struct result mpn_levels_read(const json_t *in, struct arena *a, struct mpn_level **out,
                                     size_t *out_count)
{
    const double *values;
    size_t count;
    TRY(calc_table(in, "levels", a, 3, "a table of amount, tubes and positive tubes", &values,
                   &count));
    struct mpn_level *levels = ARENA_ARRAY(a, struct mpn_level, count);
    for (size_t i = 0; i < count; i++) {
        levels[i].amount = values[3 * i];
        TRY(calc_whole(a, "levels", i, 1, values[3 * i + 1], &levels[i].tubes));
        TRY(calc_whole(a, "levels", i, 2, values[3 * i + 2], &levels[i].positive));
    }
    *out = levels;
    *out_count = count;
    return RESULT_OK;
}

static void mpn_put(const struct mpn_report *r, struct calc_answer *out)
{
    char text[FIGURES_SIZE + 2] = "";
    bool measured = r->state == MPN_MEASURED;
    if (!measured) {
        text[0] = r->state == MPN_NONE_POSITIVE ? '<' : '>';
    }
    if (measured || r->bound > 0) {
        two_figures(measured ? r->mpn : r->bound, text + (measured ? 0 : 1));
        calc_put_text(out, "shown", text);
    }
    if (r->state != MPN_ALL_POSITIVE) {
        calc_put_number(out, "mpn", r->mpn);
    }
    if (measured) {
        calc_put_number(out, "log10", log10(r->mpn));
        calc_put_number(out, "se_log10", r->se_log10);
        calc_put_number(out, "jarvis_low", r->jarvis_low);
        calc_put_number(out, "jarvis_high", r->jarvis_high);
        calc_put_number(out, "ratio_low", r->ratio_low);
        calc_put_number(out, "ratio_high", r->ratio_high);
        calc_put_number(out, "thomas", r->thomas);
    } else {
        calc_put_number(out, r->state == MPN_NONE_POSITIVE ? "one_sided_high" : "one_sided_low",
                        r->one_sided);
    }
    calc_put_number(out, "likelihood", r->likelihood);
    calc_put_number(out, "rarity", r->rarity);
    calc_put_integer(out, "category", r->category);
    if (r->suspect) {
        calc_caution(out, "Tubes as improbable as these put the dilutions, the labels or the "
                          "method in doubt: test again.");
    }
}

static void mpn_table_put(const struct mpn_level *levels, size_t count, struct calc_answer *out)
{
    double scale;
    const struct mpn_table_row *row = mpn_table_find(levels, count, &scale);
    if (row == NULL) {
        return;
    }
    if (row->sign == MPN_TABLE_AT) {
        calc_put_number(out, "table_mpn", row->mpn * scale);
    }
    if (row->low > 0) {
        calc_put_number(out, "table_low", row->low * scale);
    }
    if (row->high > 0) {
        calc_put_number(out, "table_high", row->high * scale);
    }
    calc_put_text(out, "table_word", row->seen ? "published (seen)" : "from memory");
    if (!row->seen) {
        calc_caution(out, "The table's limits are from memory, to be verified.");
    }
}

static struct result mpn_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct mpn_report r;
    struct mpn_level *levels;
    size_t count;
    struct mpn_settings set = {.k = calc_number(in, "jarvis_k"), .tail = calc_number(in, "tail")};
    TRY(mpn_levels_read(in, a, &levels, &count));
    TRY(mpn(levels, count, &set, &r));
    double likeliest[MPN_LEVELS_MAX];
    for (size_t i = 0; i < count; i++) {
        likeliest[i] = (double)r.likeliest[i];
    }
    calc_put_numbers(out, "likeliest", likeliest, count);
    mpn_put(&r, out);
    mpn_table_put(levels, count, out);
    return RESULT_OK;
}

/* Plate count */

static const struct calc_field plates_in[] = {
    {.name = "plates",
     .unit = "mL, 1",
     .what = "For each plate: mL or g of undiluted sample on it (volume times dilution), colonies. "
             "Leave out plates that a spreader has overgrown.",
     .type = CALC_TABLE,
     .count_high = PLATE_COUNT_PLATES_MAX,
     .fallback = "[]"},
    {.name = "too_many",
     .unit = "mL, 1",
     .what = "For each plate with too many to count: mL or g on it, the least number it can be.",
     .type = CALC_TABLE,
     .count_high = PLATE_COUNT_PLATES_MAX,
     .fallback = "[]"},
};

static const struct calc_output plates_out[] = {
    CALC_OUT("state", "", "counted, below-range, above-range, none or too-many."),
    CALC_OUT("shown", "1/mL", "The count as it is reported, in two figures."),
    CALC_OUT("per_ml", "1/mL", "Count per mL or g; none where every plate has too many."),
    CALC_OUT("log10", "log10/mL", "Its logarithm."),
    CALC_OUT("low", "1/mL", "Lower limit, 95 %."),
    CALC_OUT("high", "1/mL", "Upper limit, 95 %."),
    CALC_OUT("short_low", "1/mL", "Lower limit by the short form of ISO 7218."),
    CALC_OUT("short_high", "1/mL", "Upper limit by it."),
    CALC_OUT("colonies", "1", "Colonies counted."),
    CALC_OUT("sample_ml", "mL", "Sample on the counted plates."),
};

static const struct calc_source plates_sources[] = {
    {"ISO 7218 and US FDA Bacteriological Analytical Manual, chapter 3: weighted mean, short "
     "limits",
     "from memory"},
    {"Exact Poisson limits by chi-square", "computed here"},
    {"Vignette of the R package MPN 0.3.0 after Haas: plates with too many to count",
     "published (seen)"},
};

static const char *const plates_constants[] = {"plate_count_low",         "plate_count_high",
                                               "plate_count_short_shift", "plate_count_short_z",
                                               "normal_quantile_975",     NULL};

static const char *const plates_cautions[] = {
    "The limits hold chance on the plates only; add the method's reproducibility "
    "(count-uncertainty).",
    "Judge against a limit with the upper end.", NULL};

static struct result plates_read(const json_t *in, const char *name, struct arena *a,
                                 struct plate **out, size_t *out_count)
{
    const double *values;
    size_t count;
    TRY(calc_table(in, name, a, 2, "a table of volume and colonies", &values, &count));
    struct plate *plates = ARENA_ARRAY(a, struct plate, count);
    for (size_t i = 0; i < count; i++) {
        plates[i].sample_ml = values[2 * i];
        TRY(calc_whole(a, name, i, 1, values[2 * i + 1], &plates[i].colonies));
    }
    *out = plates;
    *out_count = count;
    return RESULT_OK;
}

static void plates_caution(enum plate_count_state state, struct calc_answer *out)
{
    static const char *const texts[] = {
        [PLATE_COUNT_GOOD] = NULL,
        [PLATE_COUNT_LOW] = "Every plate lies below the countable range: an estimate only.",
        [PLATE_COUNT_HIGH] = "A plate lies above the countable range: an estimate only; give it "
                             "under too_many if it could not be counted well.",
        [PLATE_COUNT_NONE] = "No colony is not no cell: report fewer than one in what was plated.",
        [PLATE_COUNT_ABOVE] = "Too many on every plate: dilute further and plate again.",
    };
    if (texts[state] != NULL) {
        calc_caution(out, texts[state]);
    }
}

static struct result plates_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct plate_count_report r;
    struct plate *plates, *over;
    size_t plate_number, over_number;
    TRY(plates_read(in, "plates", a, &plates, &plate_number));
    TRY(plates_read(in, "too_many", a, &over, &over_number));
    TRY(plate_count(plates, plate_number, over, over_number, &r));
    char text[FIGURES_SIZE + 2] = "";
    bool bounded = r.bound > 0;
    text[0] = r.state == PLATE_COUNT_ABOVE ? '>' : '<';
    two_figures(bounded ? r.bound : r.per_ml, text + (bounded ? 1 : 0));
    calc_put_text(out, "state", plate_count_state_word(r.state));
    calc_put_text(out, "shown", text);
    calc_put_number(out, "low", r.low);
    calc_put_integer(out, "colonies", r.colonies);
    calc_put_number(out, "sample_ml", r.sample_ml);
    if (r.state != PLATE_COUNT_ABOVE) {
        calc_put_number(out, "per_ml", r.per_ml);
        calc_put_number(out, "high", r.high);
    }
    if (r.per_ml > 0) {
        calc_put_number(out, "log10", log10(r.per_ml));
    }
    if (over_number == 0) {
        calc_put_number(out, "short_low", r.short_low);
        calc_put_number(out, "short_high", r.short_high);
    }
    plates_caution(r.state, out);
    return RESULT_OK;
}

/* Uncertainty of a count */

static const struct calc_field doubt_in[] = {
    CALC_NEED_NUMBER("per_ml", "1/mL", "The count per mL or g.", 1e-12, 1e18),
    CALC_NEED_INTEGER("colonies", "1", "Colonies it rests on.", 1, 1e9),
    CALC_NEED_NUMBER("sd_log10", "log10",
                     "Standard deviation of reproducibility of the method, log10.", 0, 5),
};

static const struct calc_output doubt_out[] = {
    CALC_OUT("uncertainty_log10", "log10", "Expanded uncertainty, k = 2."),
    CALC_OUT("low", "1/mL", "Lower end."),
    CALC_OUT("high", "1/mL", "Upper end."),
    CALC_OUT("printed_low", "1/mL", "Lower end from the uncertainty in two decimals."),
    CALC_OUT("printed_high", "1/mL", "Upper end from it, as the standard prints it."),
};

static const struct calc_source doubt_sources[] = {
    {"ISO/TS 19036:2006/Amd 1:2009, low counts, pages 112 and 114 of the collection seen",
     "published (seen)"},
};

static const char *const doubt_constants[] = {"plate_count_poisson_log10_2", NULL};

static const char *const doubt_cautions[] = {
    "The standard deviation must come from the laboratory's own reproducibility for this food.",
    NULL};

static struct result doubt_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct count_uncertainty r;
    TRY(count_uncertainty(calc_number(in, "per_ml"), calc_integer(in, "colonies"),
                          calc_number(in, "sd_log10"), &r));
    calc_put_number(out, "uncertainty_log10", r.log10_units);
    calc_put_number(out, "low", r.low);
    calc_put_number(out, "high", r.high);
    calc_put_number(out, "printed_low", r.printed_low);
    calc_put_number(out, "printed_high", r.printed_high);
    return RESULT_OK;
}

/* Hits per swab */

static const struct calc_field hits_in[] = {
    CALC_NEED_INTEGER("hits", "1", "Swabs with a hit.", 0, HIT_RATE_SWABS_MAX),
    CALC_NEED_INTEGER("swabs", "1", "Swabs taken.", 1, HIT_RATE_SWABS_MAX),
};

static const struct calc_output hits_out[] = {
    CALC_OUT("share", "1", "Hits per swab."),
    CALC_OUT_DOWN("exact_low", "1", "Exact interval, 95 %, lower end.", 0.0001),
    CALC_OUT_UP("exact_high", "1", "Upper end.", 0.0001),
    CALC_OUT_DOWN("wilson_low", "1", "Wilson's interval, 95 %, lower end.", 0.0001),
    CALC_OUT_UP("wilson_high", "1", "Upper end.", 0.0001),
};

static const struct calc_source hits_sources[] = {
    {"Clopper and Pearson 1934, Biometrika 26:404-413", "from memory"},
    {"Wilson 1927, Journal of the American Statistical Association 22:209-212", "from memory"},
};

static const char *const hits_constants[] = {"normal_quantile_975", NULL};

static const char *const hits_cautions[] = {
    "Sites that are swabbed because they were dirty before are no random sample; compare a zone "
    "with itself, month by month.",
    NULL};

static struct result hits_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct hit_rate r;
    TRY(hit_rate(calc_integer(in, "hits"), calc_integer(in, "swabs"), &r));
    calc_put_number(out, "share", r.share);
    calc_put_number(out, "exact_low", r.exact_low);
    calc_put_number(out, "exact_high", r.exact_high);
    calc_put_number(out, "wilson_low", r.wilson_low);
    calc_put_number(out, "wilson_high", r.wilson_high);
    return RESULT_OK;
}

const struct calc_row microbe_count_rows[] = {
    {
        .name = "mpn",
        .purpose = "The most probable number behind tubes positive and negative.",
        .formula = "sum of x * v/(1 - exp(-L * v)) = sum of n * v",
        .constants = mpn_constants,
        .example = "{\"levels\": [[0.1, 3, 3], [0.01, 3, 1], [0.001, 3, 0]]}",
        MICROBE_ROW(mpn),
    },
    {
        .name = "plate-count",
        .purpose = "A count from plates of several dilutions, with its limits.",
        .formula = "N = sum of C/sum of V; limits chi2(0.025; 2C)/2 and chi2(0.975; 2C + 2)/2 over "
                   "sum of V",
        .constants = plates_constants,
        .example = "{\"plates\": [[0.01, 168], [0.01, 215], [0.001, 14], [0.001, 25]]}",
        MICROBE_ROW(plates),
    },
    {
        .name = "count-uncertainty",
        .purpose = "How far a count may be off, with the method's reproducibility.",
        .formula = "U = 2 * sqrt(sR^2 + 0.18861/C)",
        .constants = doubt_constants,
        .example = "{\"per_ml\": 100000, \"colonies\": 110, \"sd_log10\": 0.15}",
        MICROBE_ROW(doubt),
    },
    {
        .name = "hit-rate",
        .purpose = "Between what shares hits per swab really lie.",
        .formula = "exact: beta(0.025; x, n - x + 1) and beta(0.975; x + 1, n - x); Wilson: (p + "
                   "z^2/2n +- z sqrt(p(1-p)/n + z^2/4n^2))/(1 + z^2/n)",
        .constants = hits_constants,
        .example = "{\"hits\": 2, \"swabs\": 60}",
        MICROBE_ROW(hits),
    },
};

const size_t microbe_count_row_count = CALC_COUNT(microbe_count_rows);

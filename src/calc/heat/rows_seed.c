#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/resistance.h"
#include "calc/heat/rows.h"
#include "calc/heat/seed_curve.h"

enum { TIMES_MAX = 10000 };

#define H_PER_D 24.0
#define D_PER_Y 365.0

/* Treatment curve */

static const struct calc_field curve_in[] = {
    CALC_NEED_NUMBER("temp_c", "C", "Temperature of the water, or of the dry heat.", 0, 150),
    CALC_NEED_LIST("times_s", "s", "Times to work it out for.", 0, 1e9, 1, TIMES_MAX),
    CALC_NEED_NUMBER("germination_pct", "%", "Germination of the lot untreated.", 1, 99.99),
    CALC_MAY_NUMBER("reference_c", "C", "Temperature of d_s.", -60, 300,
                    CALC_FALLBACK(CONSTANT_LETHALITY_SEED_REFERENCE_C)),
    CALC_MAY_NUMBER("z_c", "C", "z of the organism on this seed.", 1e-9, 1e12,
                    CALC_FALLBACK(CONSTANT_LETHALITY_SEED_Z_C)),
    CALC_MAY_NUMBER("d_s", "s",
                    "Upper end of its D there; left out: radish seed stands in for this one.", 1e-9,
                    1e12, NULL),
    CALC_MAY_NUMBER("tested_max_c", "C", "Highest temperature at which D was measured.", -60, 300,
                    CALC_FALLBACK(CONSTANT_LETHALITY_SEED_TESTED_MAX_C)),
    CALC_MAY_NUMBER("reduction_seen", "log10", "Largest reduction seen on this seed.", 0, 20,
                    CALC_FALLBACK(CONSTANT_SEED_REDUCTION_SEEN)),
    CALC_MAY_NUMBER("target", "log10", "Reduction wanted.", 0, 20,
                    CALC_FALLBACK(CONSTANT_SEED_TARGET)),
    CALC_MAY_NUMBER("least_pct", "%",
                    "Germination that must be left; otherwise 95 of 100 of what the lot has.", 1,
                    99.99, NULL),
    CALC_CHOICE("loss", "How germination falls; probit for dry heat only.",
                "log-linear|shoulder|probit", "\"log-linear\""),
    CALC_MAY_NUMBER("germination_reference_c", "C", "Temperature of germination_d_s.", -60, 300,
                    "80"),
    CALC_MAY_NUMBER("germination_d_s", "s",
                    "Time that leaves a tenth germinating; left out: mung at 80 C.", 1e-9, 1e12,
                    NULL),
    CALC_MAY_NUMBER("germination_z_c", "C", "Its z.", 1e-9, 1e12,
                    CALC_FALLBACK(CONSTANT_GERMINATION_Z_C)),
    CALC_MAY_NUMBER("germination_shoulder_s", "s", "Shoulder at its reference.", 0, 1e12, "0"),
    CALC_CHOICE("species", "Constants of the probit.", "soybean|rice|wheat", "\"soybean\""),
    CALC_MAY_NUMBER("moisture_pct", "%", "Moisture of the seed, fresh weight; probit.", 1, 60,
                    "10"),
};

static const struct calc_output curve_out[] = {
    CALC_OUT("reduction", "log10", "Log reduction at each time, not above the largest seen."),
    CALC_OUT("germination", "%", "Germination left at each time."),
    CALC_OUT_UP("earliest_s", "s", "Least time for the target.", 1),
    CALC_OUT_DOWN("latest_s", "s", "Longest time that leaves enough germinating.", 1),
    CALC_OUT("verdict", "",
             "possible: there is a time that does both. germination: none does. not-shown: the "
             "target lies beyond what was seen."),
    CALC_OUT("credited_c", "C", "Temperature that the kill was credited for."),
    CALC_OUT("kill_known", "", "own, or stand-in: what the kill rests on."),
    CALC_OUT("loss_known", "", "own, or stand-in: what the loss of germination rests on."),
};

static const struct calc_source curve_sources[] = {
    {"Weiss and Hammes 2005, heat treatment of sprouting seed (D and z, radish and alfalfa in "
     "water)",
     "published (abstract only)"},
    {"Thomas, White and Longree 1966, Applied Microbiology 14:815-820 (no credit far above the "
     "tested range)",
     "published (abstract only)"},
    {"Annous and Burke 2016, IAFP P1-44 (mung at 75 to 90 C; a bracket of two points)",
     "published (abstract only)"},
};

static const char *const curve_constants[] = {"heat_credit_above_tested_c",
                                              "lethality_seed_reference_c",
                                              "lethality_seed_z_c",
                                              "lethality_seed_d_s",
                                              "lethality_seed_tested_max_c",
                                              "seed_reduction_seen",
                                              "seed_target",
                                              "germination_least_share",
                                              NULL};

static const char *const curve_cautions[] = {
    "No treatment makes seed free of pathogens: the germination test of the treated lot, the test "
    "of spent irrigation water, hygiene and trace-back stay.",
    "On mung the kill at 80 to 90 C is limited by heat and water reaching cells in crevices, not "
    "by D: accept a recipe there only as published and validated on this seed.",
    "Published results conflict: at 90 C one study found germination unchanged, another none left. "
    "They depend on cultivar, age, moisture and the water per seed.",
    "Hot water scalds: guard it.", NULL};

static enum seed_loss_model loss_model_read(const json_t *in)
{
    const char *word = calc_text(in, "loss");
    return strcmp(word, "log-linear") == 0 ? SEED_LOSS_LOG_LINEAR
           : strcmp(word, "shoulder") == 0 ? SEED_LOSS_SHOULDER
                                           : SEED_LOSS_PROBIT;
}

static void longevity_used(const char *name, struct arena *a, struct calc_answer *out)
{
    static const char *const parts[] = {"ke", "cw", "ch", "cq"};
    for (size_t i = 0; i < CALC_COUNT(parts); i++) {
        calc_used(out, arena_printf(a, "longevity_%s_%s", name, parts[i]));
    }
}

static struct seed_kill kill_read(const json_t *in, struct calc_answer *out)
{
    bool own = calc_has(in, "d_s");
    calc_put_text(out, "kill_known", own ? "own" : "stand-in");
    if (!own) {
        calc_caution(out,
                     "D and z are stand-ins, one strain on radish seed known from an abstract: "
                     "this result decides nothing.");
    }
    return (struct seed_kill){.reference_c = calc_number(in, "reference_c"),
                              .z_c = calc_number(in, "z_c"),
                              .d_s = own ? calc_number(in, "d_s") : CONSTANT_LETHALITY_SEED_D_S,
                              .tested_max_c = calc_number(in, "tested_max_c"),
                              .seen = calc_number(in, "reduction_seen")};
}

static struct seed_loss loss_read(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct seed_loss loss = {
        .model = loss_model_read(in),
        .initial_share = calc_number(in, "germination_pct") / 100,
        .reference_c = calc_number(in, "germination_reference_c"),
        .z_c = calc_number(in, "germination_z_c"),
        .shoulder_s = calc_number(in, "germination_shoulder_s"),
        .species = longevity_species_find(calc_text(in, "species")),
        .moisture_pct = calc_number(in, "moisture_pct"),
    };
    bool own = calc_has(in, "germination_d_s") && loss.model != SEED_LOSS_PROBIT;
    loss.d_s = own ? calc_number(in, "germination_d_s") : CONSTANT_GERMINATION_D_80C_S;
    calc_put_text(out, "loss_known", own ? "own" : "stand-in");
    if (loss.model == SEED_LOSS_PROBIT) {
        longevity_used(loss.species->name, a, out);
        calc_caution(out, "The probit is for dry seed, and no constants for mung are known: "
                          "calibrate it on this lot.");
        if (longevity_extrapolates(loss.moisture_pct, calc_number(in, "temp_c"))) {
            calc_caution(out, "Moisture or temperature lies outside the range of the probit.");
        }
    } else if (!own) {
        calc_used(out, "germination_d_80c_s");
        calc_used(out, "germination_z_c");
        calc_caution(out, "The loss of germination is a bracket of two published points on mung, "
                          "not a fit: test a sample of this lot.");
    }
    return loss;
}

static void verdict_put(const struct seed_curve *c, double target, double least_share,
                        struct calc_answer *out)
{
    double earliest_s = seed_curve_earliest_s(c, target);
    double latest_s = seed_curve_latest_s(c, least_share);
    calc_put_number(out, "latest_s", latest_s);
    if (isinf(earliest_s)) {
        calc_put_text(out, "verdict", "not-shown");
        calc_caution(out, "The target lies beyond the largest reduction seen on this seed.");
        return;
    }
    calc_put_number(out, "earliest_s", earliest_s);
    calc_put_text(out, "verdict", ceil(earliest_s) <= floor(latest_s) ? "possible" : "germination");
}

static struct result curve_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct seed_kill kill = kill_read(in, out);
    struct seed_loss loss = loss_read(in, a, out);
    struct seed_curve c;
    size_t count = 0;
    TRY(seed_curve_make(&kill, &loss, calc_number(in, "temp_c"), &c));
    const double *times_s = calc_numbers(in, "times_s", a, &count);
    double *reduction = ARENA_ARRAY(a, double, count);
    double *germination = ARENA_ARRAY(a, double, count);
    for (size_t i = 0; i < count; i++) {
        reduction[i] = seed_curve_reduction(&c, times_s[i]);
        germination[i] = 100 * seed_curve_germination(&c, times_s[i]);
    }
    double least_share = calc_has(in, "least_pct")
                             ? calc_number(in, "least_pct") / 100
                             : CONSTANT_GERMINATION_LEAST_SHARE * loss.initial_share;
    calc_put_numbers(out, "reduction", reduction, count);
    calc_put_numbers(out, "germination", germination, count);
    calc_put_number(out, "credited_c", c.credited_c);
    verdict_put(&c, calc_number(in, "target"), least_share, out);
    if (c.credited_c < c.temp_c) {
        calc_caution(out, "The temperature lies more than 5.56 C above where D was measured: the "
                          "kill is credited only up to there.");
    }
    return RESULT_OK;
}

/* Germination loss */

static const struct calc_field loss_in[] = {
    CALC_NEED_NUMBER("time_s", "s", "Time of the treatment.", 1e-6, 1e12),
    CALC_NEED_NUMBER("before_pct", "%", "Germination before.", 1e-6, 100),
    CALC_NEED_NUMBER("after_pct", "%", "Germination after.", 1e-6, 100),
};

static const struct calc_output loss_out[] = {
    CALC_OUT("d_s", "s", "Time that would leave a tenth germinating, log-linear."),
};

static const struct calc_source loss_sources[] = {
    {"Log-linear loss: Dg = t / -log10(G/G0)", "computed here"},
};

static const char *const no_constants[] = {NULL};

static const char *const loss_cautions[] = {
    "A loss of a few percent is within the error of a germination test of 400 seeds: take several "
    "times, not one.",
    "Seed often holds out at first and fails then: a straight line through a small loss overstates "
    "what it stands.",
    NULL};

static struct result loss_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double d_s;
    TRY(seed_loss_d_s(calc_number(in, "time_s"), calc_number(in, "before_pct"),
                      calc_number(in, "after_pct"), &d_s));
    calc_put_number(out, "d_s", d_s);
    return RESULT_OK;
}

/* Longevity of dry seed */

static const struct calc_field longevity_in[] = {
    CALC_CHOICE("species", "Whose constants.", "soybean|rice|wheat", "\"soybean\""),
    CALC_NEED_NUMBER("moisture_pct", "%", "Moisture, fresh weight.", 1, 60),
    CALC_NEED_NUMBER("temp_c", "C", "Temperature of the store or the dry heat.", -60, 150),
    CALC_MAY_NUMBER("germination_pct", "%", "Germination at the start.", 0.01, 99.99, "98"),
    CALC_MAY_NUMBER("least_pct", "%", "Germination that must be left.", 0.01, 99.99, "95"),
    CALC_MAY_NUMBER("time_h", "h", "For the germination after this time.", 0, 1e9, NULL),
};

static const struct calc_output longevity_out[] = {
    CALC_OUT("sigma_d", "d", "Time that costs one probit."),
    CALC_OUT("sigma_y", "years", "The same in years of 365 days."),
    CALC_OUT_DOWN("least_h", "h", "Time until no more than that is left.", 0.1),
    CALC_OUT("germination", "%", "Germination after the time."),
    CALC_OUT("z_c", "C", "Rise that makes it ten times shorter, at this temperature."),
    CALC_OUT("ea_kj_mol", "kJ/mol", "Activation energy that this z stands for."),
};

static const struct calc_source longevity_sources[] = {
    {"Ellis and Roberts 1980, Annals of Botany 45:13-30, viability equation, as a statistical "
     "library of seed science prints it",
     "published (seen)"},
};

static const char *const longevity_constants[] = {"longevity_moisture_low_pct",
                                                  "longevity_moisture_high_pct",
                                                  "longevity_temp_low_c",
                                                  "longevity_temp_high_c",
                                                  "heat_kelvin_offset_c",
                                                  "heat_gas_j_mol_k",
                                                  NULL};

static const char *const longevity_cautions[] = {
    "For dry seed kept closed. No constants for mung or black gram are known: soybean stands in; "
    "calibrate on the plant's own lots.",
    NULL};

static struct result longevity_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    const struct longevity_species *s = longevity_species_find(calc_text(in, "species"));
    double temp_c = calc_number(in, "temp_c");
    double moisture_pct = calc_number(in, "moisture_pct");
    double sigma_d, ea_j_mol;
    TRY(longevity_sigma_d(s, moisture_pct, temp_c, &sigma_d));
    double start = probit(calc_number(in, "germination_pct") / 100);
    double least = probit(calc_number(in, "least_pct") / 100);
    double z_c = longevity_z_c(s, temp_c);
    longevity_used(s->name, a, out);
    calc_put_number(out, "sigma_d", sigma_d);
    calc_put_number(out, "sigma_y", sigma_d / D_PER_Y);
    calc_put_number(out, "least_h", fmax(0, start - least) * sigma_d * H_PER_D);
    if (z_c > 0) {
        calc_put_number(out, "z_c", z_c);
        TRY(resistance_energy(z_c, temp_c, temp_c, &ea_j_mol));
        calc_put_number(out, "ea_kj_mol", ea_j_mol / 1000);
    }
    if (calc_has(in, "time_h")) {
        double days = calc_number(in, "time_h") / H_PER_D;
        calc_put_number(out, "germination", 100 * probit_share(start - days / sigma_d));
    }
    if (longevity_extrapolates(moisture_pct, temp_c)) {
        calc_caution(out, "Moisture or temperature lies outside the range of the equation, 5 to "
                          "25 % and -20 to 90 C: an extrapolation.");
    }
    return RESULT_OK;
}

const struct calc_row heat_seed_rows[] = {
    {
        .name = "seed-treatment-curve",
        .discipline = "heat",
        .purpose = "Kill against loss of germination for a seed lot at one temperature.",
        .formula =
            "R = t/D(T), at most what was seen; G = G0 10^(-t/Dg(T)), with a shoulder, or by "
            "probits",
        .in = curve_in,
        .in_count = CALC_COUNT(curve_in),
        .out = curve_out,
        .out_count = CALC_COUNT(curve_out),
        .sources = curve_sources,
        .source_count = CALC_COUNT(curve_sources),
        .constants = curve_constants,
        .cautions = curve_cautions,
        .example =
            "{\"temp_c\": 63, \"times_s\": [0, 10, 20, 30, 60, 120], \"germination_pct\": 96}",
        .run = curve_run,
    },
    {
        .name = "germination-loss",
        .discipline = "heat",
        .purpose = "How fast heat costs germination, from one test before and one after.",
        .formula = "Dg = t / log10(G0/G)",
        .in = loss_in,
        .in_count = CALC_COUNT(loss_in),
        .out = loss_out,
        .out_count = CALC_COUNT(loss_out),
        .sources = loss_sources,
        .source_count = CALC_COUNT(loss_sources),
        .constants = no_constants,
        .cautions = loss_cautions,
        .example = "{\"time_s\": 120, \"before_pct\": 96, \"after_pct\": 93}",
        .run = loss_run,
    },
    {
        .name = "seed-longevity",
        .discipline = "heat",
        .purpose = "How long dry seed keeps its germination, in store or in dry heat.",
        .formula = "sigma = 10^(KE - CW log10 m - CH T - CQ T^2) days; v = v0 - p/sigma",
        .in = longevity_in,
        .in_count = CALC_COUNT(longevity_in),
        .out = longevity_out,
        .out_count = CALC_COUNT(longevity_out),
        .sources = longevity_sources,
        .source_count = CALC_COUNT(longevity_sources),
        .constants = longevity_constants,
        .cautions = longevity_cautions,
        .example =
            "{\"species\": \"soybean\", \"moisture_pct\": 8, \"temp_c\": 60, \"time_h\": 10}",
        .run = longevity_run,
    },
};

const size_t heat_seed_row_count = CALC_COUNT(heat_seed_rows);

#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/water/breakpoint.h"
#include "calc/water/ct_credit.h"
#include "calc/water/ct_regression.h"
#include "calc/water/ct_required.h"
#include "calc/water/hocl.h"
#include "calc/water/rows.h"

#define RESIDUAL_MAX_MG_L 50

/* Share of hypochlorous acid */

static const struct calc_field hocl_in[] = {
    CALC_NEED_NUMBER("ph", "1", "pH of the water.", 0, 14),
    CALC_NEED_NUMBER("temp_c", "C", "Its temperature.", 0, 50),
    CALC_MAY_NUMBER("pka", "1", "pKa to use instead of the one at this temperature.", 4, 11, NULL),
    CALC_MAY_NUMBER("free_chlorine_mg_l", "mg/L", "Free chlorine measured.", 0, 50000, NULL),
    CALC_MAY_NUMBER("wanted_pct", "%", "A share for which the pH is looked for.", 0.0001, 99.9999,
                    NULL),
};

static const struct calc_output hocl_out[] = {
    CALC_OUT("pka", "1", "pKa of hypochlorous acid."),
    CALC_OUT_DOWN("hocl_pct", "%", "Share that is hypochlorous acid.", 0.01),
    CALC_OUT("ocl_pct", "%", "Share that is hypochlorite."),
    CALC_OUT_DOWN("hocl_mg_l", "mg/L", "Free chlorine that is hypochlorous acid.", 0.01),
    CALC_OUT_DOWN("wanted_ph", "1", "pH at which the wanted share is reached.", 0.01),
};

static const struct calc_source hocl_sources[] = {
    {"Morris 1966, Journal of Physical Chemistry 70:3798-3805", "from memory"},
    {"Davis, Water and Wastewater Engineering, example 13-1 (7.54 at 25 C)", "published (seen)"},
};

static const char *const hocl_constants[] = {"water_pka_a", "water_pka_b", "water_pka_c", NULL};

static const char *const hocl_cautions[] = {
    "Never bring chlorinated water below pH 6: chlorine gas leaves it. Never mix hypochlorite with "
    "acid.",
    "A share says nothing of how much chlorine there is: measure free chlorine, pH and temperature "
    "together.",
    NULL};

static struct result hocl_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct hocl r;
    double pka = 0;
    if (calc_has(in, "pka")) {
        pka = calc_number(in, "pka");
    } else {
        TRY(hocl_pka(calc_number(in, "temp_c"), &pka));
    }
    TRY(hocl_share(calc_number(in, "ph"), pka, &r));
    calc_put_number(out, "pka", r.pka);
    calc_put_number(out, "hocl_pct", 100 * r.hocl);
    calc_put_number(out, "ocl_pct", 100 * r.ocl);
    if (calc_has(in, "free_chlorine_mg_l")) {
        calc_put_number(out, "hocl_mg_l", r.hocl * calc_number(in, "free_chlorine_mg_l"));
    }
    if (calc_has(in, "wanted_pct")) {
        double ph = 0;
        TRY(hocl_ph(calc_number(in, "wanted_pct") / 100, pka, &ph));
        calc_put_number(out, "wanted_ph", ph);
    }
    return RESULT_OK;
}

/* Breakpoint */

static const struct calc_field breakpoint_in[] = {
    CALC_NEED_NUMBER("ammonia_n_mg_l", "mg/L", "Ammonia in the water, as nitrogen.", 0, 1000),
    CALC_MAY_NUMBER("demand_mg_l", "mg/L", "Chlorine that other things take.", 0, 1000, "0"),
    CALC_NEED_NUMBER("residual_mg_l", "mg/L", "Free chlorine wanted.", 0, 1000),
    CALC_MAY_NUMBER("ratio", "mg/mg", "Chlorine to ammonia nitrogen, by mass.", 7.5, 15,
                    CALC_FALLBACK(CONSTANT_WATER_BREAKPOINT_RATIO)),
};

static const struct calc_output breakpoint_out[] = {
    CALC_OUT_UP("dose_mg_l", "mg/L", "Chlorine to dose.", 0.1),
    CALC_OUT("breakpoint_mg_l", "mg/L", "Of it, taken by the ammonia."),
    CALC_OUT("monochloramine_mg_l", "mg/L",
             "Up to this much, ammonia only turns into monochloramine."),
    CALC_OUT("stoichiometric_ratio", "mg/mg", "Breakpoint ratio by the reaction alone."),
    CALC_OUT("monochloramine_ratio", "mg/mg", "The same for monochloramine."),
};

static const struct calc_source breakpoint_sources[] = {
    {"Handbook of environmental engineering applications, chapter 40: 7.6 by mass in theory, 10 to "
     "15 in practice, fastest near pH 8.3",
     "published (seen)"},
    {"Water works paper on chloramination: monochloramine up to 5 to 1", "published (seen)"},
};

static const char *const breakpoint_constants[] = {"water_breakpoint_ratio",
                                                   "water_breakpoint_stoichiometric",
                                                   "water_monochloramine_stoichiometric", NULL};

static const char *const breakpoint_cautions[] = {
    "Theory: plants need 10 to 15 mg of chlorine a mg of ammonia nitrogen. Measure free and total "
    "chlorine after dosing.",
    "Between monochloramine and breakpoint more chlorine leaves less residual: a test of total "
    "chlorine alone misleads.",
    NULL};

static struct result breakpoint_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct breakpoint r;
    TRY(breakpoint_dose(calc_number(in, "ammonia_n_mg_l"), calc_number(in, "demand_mg_l"),
                        calc_number(in, "residual_mg_l"), calc_number(in, "ratio"), &r));
    calc_put_number(out, "dose_mg_l", r.dose_mg_l);
    calc_put_number(out, "breakpoint_mg_l", r.breakpoint_mg_l);
    calc_put_number(out, "monochloramine_mg_l", r.monochloramine_mg_l);
    calc_put_number(out, "stoichiometric_ratio", CONSTANT_WATER_BREAKPOINT_STOICHIOMETRIC);
    calc_put_number(out, "monochloramine_ratio", CONSTANT_WATER_MONOCHLORAMINE_STOICHIOMETRIC);
    return RESULT_OK;
}

/* Contact time */

static const struct calc_field contact_in[] = {
    CALC_NEED_NUMBER("volume_l", "L", "Water in the vessel at its lowest level in use.", 1e-6, 1e9),
    CALC_NEED_NUMBER("flow_l_min", "L/min", "Highest flow through it.", 1e-6, 1e9),
    CALC_CHOICE("baffles", "How the water is led, where no tracer test says it.",
                "unbaffled|poor|average|superior|plug-flow", "\"unbaffled\""),
    CALC_MAY_NUMBER("baffling", "1", "t10 over volume/flow from a tracer test, instead.", 0.01, 1,
                    NULL),
    CALC_MAY_NUMBER("residual_mg_l", "mg/L", "Disinfectant at its end.", 0, RESIDUAL_MAX_MG_L,
                    NULL),
};

static const struct calc_output contact_out[] = {
    CALC_OUT("baffling", "1", "Share used."),
    CALC_OUT_DOWN("t10_min", "min", "Nine tenths of the water stay at least this long.", 0.1),
    CALC_OUT_DOWN("ct", "mg min/L", "Residual times that.", 0.1),
};

static const struct calc_source contact_sources[] = {
    {"US EPA guidance on disinfection profiling: t10 = share * volume / flow", "from memory"},
};

static const char *const contact_cautions[] = {
    "The shares for baffles are from memory and are to be verified: only a tracer test makes a "
    "contact time that may release water.",
    "Take the highest flow and the lowest level of the time that is judged.", NULL};

static double baffling_read(const json_t *in, struct calc_answer *out)
{
    static const struct {
        const char *word;
        double share;
        const char *constant;
    } baffles[] = {
        {"unbaffled", CONSTANT_WATER_BAFFLE_UNBAFFLED, "water_baffle_unbaffled"},
        {"poor", CONSTANT_WATER_BAFFLE_POOR, "water_baffle_poor"},
        {"average", CONSTANT_WATER_BAFFLE_AVERAGE, "water_baffle_average"},
        {"superior", CONSTANT_WATER_BAFFLE_SUPERIOR, "water_baffle_superior"},
        {"plug-flow", CONSTANT_WATER_BAFFLE_PLUG_FLOW, "water_baffle_plug_flow"},
    };
    if (calc_has(in, "baffling")) {
        return calc_number(in, "baffling");
    }
    size_t i = 0;
    while (i + 1 < CALC_COUNT(baffles) && strcmp(baffles[i].word, calc_text(in, "baffles")) != 0) {
        i++;
    }
    calc_used(out, baffles[i].constant);
    return baffles[i].share;
}

static struct result contact_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double t10_min = 0;
    double baffling = baffling_read(in, out);
    TRY(contact_time(calc_number(in, "volume_l"), calc_number(in, "flow_l_min"), baffling,
                     &t10_min));
    calc_put_number(out, "baffling", baffling);
    calc_put_number(out, "t10_min", t10_min);
    if (calc_has(in, "residual_mg_l")) {
        calc_put_number(out, "ct", t10_min * calc_number(in, "residual_mg_l"));
    }
    return RESULT_OK;
}

/* CT required */

static const struct calc_field required_in[] = {
    CALC_CHOICE("organism", "What is to be inactivated.", "giardia|virus", "\"giardia\""),
    CALC_CHOICE("disinfectant", "By what.", "free-chlorine|chlorine-dioxide|ozone|chloramine",
                "\"free-chlorine\""),
    CALC_MAY_NUMBER("log", "log10", "Decimals wanted.", 0.01, 4, "3"),
    CALC_NEED_NUMBER("ph", "1", "pH of the water, at its highest.", 5, 10),
    CALC_NEED_NUMBER("temp_c", "C", "Its temperature, at its lowest.", 0, 60),
    CALC_NEED_NUMBER("residual_mg_l", "mg/L", "Disinfectant at the end of the contact.", 0,
                     RESIDUAL_MAX_MG_L),
    CALC_CHOICE("method", "The table on the safe side, or straight between its neighbours.",
                "table|interpolated", "\"table\""),
    CALC_CHOICE("warm_halving", "Above 25 C, let CT halve with each 10 C.", "yes|no", "\"no\""),
};

static const struct calc_output required_out[] = {
    CALC_OUT_UP("ct", "mg min/L", "CT needed.", 0.01),
    CALC_OUT("table_ct", "mg min/L", "What stands in the table."),
    CALC_OUT("table_log", "log10", "Decimals that the table is for."),
    CALC_OUT("table_temp_c", "C", "Row used: temperature."),
    CALC_OUT("table_ph", "1", "Column used: pH up to this."),
    CALC_OUT("table_residual_mg_l", "mg/L", "Row used: free chlorine."),
    CALC_OUT("power_ct", "mg min/L", "For comparison, the power curve; it falls below the table."),
    CALC_OUT("exponential_ct", "mg min/L", "For comparison, the exponential curve."),
};

static const struct calc_source ct_sources[] = {
    {"US EPA 815-R-20-003, appendix B, CT tables, as transcribed in a public repository file",
     "published (seen)"},
    {"Look-up to the safe side: worked examples of a water operators' service and of a course",
     "published (seen)"},
    {"Exponential curve: Smith, Clark and others 1995", "from memory"},
};

static const char *const required_constants[] = {"water_ct_power_scale",
                                                 "water_ct_power_ph",
                                                 "water_ct_power_chlorine",
                                                 "water_ct_power_temp",
                                                 "water_ct_warm_halving_c",
                                                 "water_ct_warm_from_c",
                                                 "water_ct_cold_scale",
                                                 "water_ct_cold_offset",
                                                 "water_ct_cold_base",
                                                 "water_ct_cold_temp",
                                                 "water_ct_cold_chlorine",
                                                 "water_ct_cold_ph",
                                                 "water_ct_warm_scale",
                                                 "water_ct_warm_offset",
                                                 "water_ct_warm_base",
                                                 "water_ct_warm_temp",
                                                 "water_ct_warm_chlorine",
                                                 "water_ct_warm_ph",
                                                 NULL};

static const char *const ct_cautions[] = {
    "Calculated, not validated: the authority in charge says which table, which decimals and which "
    "contact time count.",
    "The tables are for clear water; turbidity and organic load shield germs.",
    "Neither table speaks of Cryptosporidium, which free chlorine hardly touches.", NULL};

static struct ct_water water_read(const json_t *in)
{
    return (struct ct_water){.residual_mg_l = calc_number(in, "residual_mg_l"),
                             .ph = calc_number(in, "ph"),
                             .temp_c = calc_number(in, "temp_c")};
}

static struct result required_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct ct_need need;
    struct ct_ask ask = {
        .organism = strcmp(calc_text(in, "organism"), "virus") == 0 ? CT_VIRUS : CT_GIARDIA,
        .disinfectant = ct_disinfectant_find(calc_text(in, "disinfectant")),
        .log = calc_number(in, "log"),
        .water = water_read(in),
        .between = strcmp(calc_text(in, "method"), "interpolated") == 0,
        .warm_halving = calc_yes(in, "warm_halving"),
    };
    TRY(ct_required(&ask, &need));
    calc_put_number(out, "ct", need.ct);
    calc_put_number(out, "table_ct", need.cell.ct);
    calc_put_number(out, "table_log", need.cell.log);
    calc_put_number(out, "table_temp_c", need.cell.temp_c);
    calc_put_number(out, "table_ph", need.cell.ph);
    bool by_residual = need.cell.residual_mg_l > 0;
    if (by_residual) {
        calc_put_number(out, "table_residual_mg_l", need.cell.residual_mg_l);
    }
    if (by_residual && ct_regression_covers(&ask.water)) {
        double power = 0;
        double exponential = 0;
        TRY(ct_power(ask.log, &ask.water, &power));
        TRY(ct_exponential(ask.log, &ask.water, &exponential));
        calc_put_number(out, "power_ct", power);
        calc_put_number(out, "exponential_ct", exponential);
    }
    if (need.cell.off_trend) {
        calc_caution(out, "This cell of the table, 297, lies off the run of its neighbours; it is "
                          "kept as its source has it.");
    }
    if (ask.between || ask.warm_halving) {
        calc_caution(out, "Not the safe side: interpolation and halving above 25 C are for "
                          "comparison, and release nothing.");
    }
    return RESULT_OK;
}

/* Credit of a chain of segments */

enum { SEGMENT_COLUMNS = 6 };

static const struct calc_field credit_in[] = {
    CALC_NEED_TABLE("segments", "L, L/min, 1, mg/L, 1, C",
                    "For each tank or pipe, in order: volume, flow, baffling, free chlorine at its "
                    "end, pH and temperature there.",
                    1, CT_SEGMENTS_MAX),
    CALC_MAY_NUMBER("giardia_log_needed", "log10", "Decimals of Giardia asked for.", 0, 3, "3"),
    CALC_MAY_NUMBER("virus_log_needed", "log10", "Decimals of viruses asked for.", 0, 4, "4"),
};

static const struct calc_output credit_out[] = {
    CALC_OUT("met", "", "yes or no: do both reach what is asked for?"),
    {.name = "giardia_log",
     .unit = "log10",
     .what = "Decimals of Giardia.",
     .round = CALC_DOWN,
     .step = 0.01,
     .cap = CT_GIARDIA_LOG_MAX},
    {.name = "virus_log",
     .unit = "log10",
     .what = "Decimals of viruses.",
     .round = CALC_DOWN,
     .step = 0.01,
     .cap = CT_VIRUS_LOG_MAX},
    CALC_OUT("giardia_shown", "log10", "The same as it may be said."),
    CALC_OUT("virus_shown", "log10", "The same as it may be said."),
    CALC_OUT_DOWN("t10_min", "min", "Contact time of the whole.", 0.1),
    CALC_OUT_DOWN("ct", "mg min/L", "CT of the whole.", 0.1),
    CALC_OUT("segment_ct", "mg min/L", "CT of each segment."),
    CALC_OUT("segment_giardia_log", "log10", "Decimals of Giardia of each segment."),
    CALC_OUT("segment_virus_log", "log10", "Decimals of viruses of each segment."),
    CALC_OUT("segment_ct3_giardia", "mg min/L", "CT of the table for 3 decimals of Giardia."),
    CALC_OUT("uncovered", "1", "Segments whose pH a table does not cover; they bring nothing."),
};

static const char *const no_constants[] = {NULL};

static const char *log_shown(struct arena *a, double log, double most)
{
    /* Decimals are never rounded up into what is asked for. */
    return log > most ? arena_printf(a, ">%g", most)
                      : arena_printf(a, "%.2f", (double)calc_scaled_down(log, 100) / 100);
}

static void segments_put(struct arena *a, struct calc_answer *out,
                         const struct ct_segment_credit *each, size_t count)
{
    double *ct = ARENA_ARRAY(a, double, count);
    double *giardia = ARENA_ARRAY(a, double, count);
    double *virus = ARENA_ARRAY(a, double, count);
    double *ct3 = ARENA_ARRAY(a, double, count);
    for (size_t i = 0; i < count; i++) {
        ct[i] = each[i].ct;
        giardia[i] = each[i].giardia_log;
        virus[i] = each[i].virus_log;
        ct3[i] = each[i].ct3_giardia;
    }
    calc_put_numbers(out, "segment_ct", ct, count);
    calc_put_numbers(out, "segment_giardia_log", giardia, count);
    calc_put_numbers(out, "segment_virus_log", virus, count);
    calc_put_numbers(out, "segment_ct3_giardia", ct3, count);
}

static struct result segments_read(const json_t *in, struct arena *a, struct ct_segment **out,
                                   size_t *out_count)
{
    const double *values;
    size_t count;
    TRY(calc_table(in, "segments", a, SEGMENT_COLUMNS,
                   "volume, flow, baffling, free chlorine, pH and temperature", &values, &count));
    struct ct_segment *segments = ARENA_ARRAY(a, struct ct_segment, count);
    for (size_t i = 0; i < count; i++, values += SEGMENT_COLUMNS) {
        segments[i] = (struct ct_segment){
            .volume_l = values[0],
            .flow_l_min = values[1],
            .baffling = values[2],
            .water = {.residual_mg_l = values[3], .ph = values[4], .temp_c = values[5]},
        };
    }
    *out = segments;
    *out_count = count;
    return RESULT_OK;
}

static struct result credit_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct ct_segment *segments = NULL;
    struct ct_credit r;
    size_t count = 0;
    TRY(segments_read(in, a, &segments, &count));
    struct ct_segment_credit *each = ARENA_ARRAY(a, struct ct_segment_credit, count);
    TRY(ct_credit(segments, count, each, &r));
    bool met = r.giardia_log >= calc_number(in, "giardia_log_needed") &&
               r.virus_log >= calc_number(in, "virus_log_needed");
    calc_put_text(out, "met", met ? "yes" : "no");
    calc_put_number(out, "giardia_log", r.giardia_log);
    calc_put_number(out, "virus_log", r.virus_log);
    calc_put_text(out, "giardia_shown", log_shown(a, r.giardia_log, CT_GIARDIA_LOG_MAX));
    calc_put_text(out, "virus_shown", log_shown(a, r.virus_log, CT_VIRUS_LOG_MAX));
    calc_put_number(out, "t10_min", r.t10_min);
    calc_put_number(out, "ct", r.ct);
    segments_put(a, out, each, count);
    calc_put_integer(out, "uncovered", (int64_t)r.uncovered);
    if (r.uncovered > 0) {
        calc_caution(out, "A segment's pH lies outside a table; it brings nothing there.");
    }
    return RESULT_OK;
}

const struct calc_row water_ct_rows[] = {
    {
        .name = "hocl-fraction",
        .discipline = "water",
        .purpose = "How much of the free chlorine is hypochlorous acid.",
        .formula = "share = 1/(1 + 10^(pH - pKa)), pKa = 3000/K - 10.0686 + 0.0253 K",
        .in = hocl_in,
        .in_count = CALC_COUNT(hocl_in),
        .out = hocl_out,
        .out_count = CALC_COUNT(hocl_out),
        .sources = hocl_sources,
        .source_count = CALC_COUNT(hocl_sources),
        .constants = hocl_constants,
        .cautions = hocl_cautions,
        .called_by = "A `water-reading` with chlorine, pH and temperature.",
        .example = "{\"ph\": 7, \"temp_c\": 25, \"free_chlorine_mg_l\": 2, \"wanted_pct\": 90}",
        .run = hocl_run,
    },
    {
        .name = "chlorine-breakpoint",
        .discipline = "water",
        .purpose = "The chlorine that ammonia in the water takes before free chlorine stays.",
        .formula = "dose = ratio * NH3-N + demand + residual",
        .in = breakpoint_in,
        .in_count = CALC_COUNT(breakpoint_in),
        .out = breakpoint_out,
        .out_count = CALC_COUNT(breakpoint_out),
        .sources = breakpoint_sources,
        .source_count = CALC_COUNT(breakpoint_sources),
        .constants = breakpoint_constants,
        .cautions = breakpoint_cautions,
        .example = "{\"ammonia_n_mg_l\": 0.5, \"demand_mg_l\": 0.8, \"residual_mg_l\": 1}",
        .run = breakpoint_run,
    },
    {
        .name = "contact-time",
        .discipline = "water",
        .purpose = "How long water stays in a tank or pipe at least.",
        .formula = "t10 = baffling * V/Q; CT = residual * t10",
        .in = contact_in,
        .in_count = CALC_COUNT(contact_in),
        .out = contact_out,
        .out_count = CALC_COUNT(contact_out),
        .sources = contact_sources,
        .source_count = CALC_COUNT(contact_sources),
        .constants = no_constants,
        .cautions = contact_cautions,
        .example = "{\"volume_l\": 5000, \"flow_l_min\": 50, \"baffles\": \"poor\", "
                   "\"residual_mg_l\": 0.8}",
        .run = contact_run,
    },
    {
        .name = "ct-required",
        .discipline = "water",
        .purpose = "The CT that a number of decimals needs, by the published tables.",
        .formula = "CT = CT(table) * L/L(table); row at or below the temperature, at or above pH "
                   "and chlorine; power 0.2828 pH^2.69 Cl^0.15 0.933^(T-5) L; exponential "
                   "0.353 L (12.006 + e^(2.46 - 0.073T + 0.125Cl + 0.389pH)) below 12.5 C, else "
                   "0.361 L (-2.261 + e^(2.69 - 0.065T + 0.111Cl + 0.361pH))",
        .in = required_in,
        .in_count = CALC_COUNT(required_in),
        .out = required_out,
        .out_count = CALC_COUNT(required_out),
        .sources = ct_sources,
        .source_count = CALC_COUNT(ct_sources),
        .constants = required_constants,
        .cautions = ct_cautions,
        .example = "{\"log\": 3, \"ph\": 7.5, \"temp_c\": 15, \"residual_mg_l\": 1.2}",
        .run = required_run,
    },
    {
        .name = "ct-credit",
        .discipline = "water",
        .purpose = "What a chain of tanks and pipes with free chlorine is worth in decimals.",
        .formula = "L = sum of 3 * C * baffling * V/Q / CT3 (Giardia), of 4 * ... / CT4 (viruses)",
        .in = credit_in,
        .in_count = CALC_COUNT(credit_in),
        .out = credit_out,
        .out_count = CALC_COUNT(credit_out),
        .sources = ct_sources,
        .source_count = 2,
        .constants = no_constants,
        .cautions = ct_cautions,
        .called_by = "A `water-reading` of water that goes round (`water-loop`, its tanks "
                     "`water-segment`): each "
                     "period by its worst reading, in the clause on water, in the deviation "
                     "`water-contact-low` "
                     "that stops the water and holds what met it, and on the page of water.",
        .example = "{\"segments\": [[5000, 50, 0.3, 0.8, 7.5, 10], [400, 50, 0.7, 0.6, 7.5, 10]]}",
        .run = credit_run,
    },
};

const size_t water_ct_row_count = CALC_COUNT(water_ct_rows);

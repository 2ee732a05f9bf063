#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/resistance.h"
#include "calc/heat/rows.h"
#include "calc/heat/within.h"

static const struct calc_source closed_sources[] = {
    {"Log-linear model, closed form", "computed here"},
};

static const char *const no_constants[] = {NULL};

#define UNIT_FIELD \
    CALC_CHOICE("unit", "Unit of the temperatures and z that are given.", "C|F", "\"C\"")

/* z from two */

static const struct calc_field two_in[] = {
    CALC_NEED_NUMBER("temp_1", "C or F", "One temperature.", -80, 600),
    CALC_NEED_NUMBER("time_1", "any", "D there, or another time with the same effect.", 1e-12,
                     1e12),
    CALC_NEED_NUMBER("temp_2", "C or F", "The other temperature.", -80, 600),
    CALC_NEED_NUMBER("time_2", "any", "D, or the time with the same effect, there.", 1e-12, 1e12),
    UNIT_FIELD,
};

static const struct calc_output two_out[] = {
    CALC_OUT("z_c", "C", "Rise that makes the time ten times shorter."),
    CALC_OUT("z_f", "F", "The same in degrees Fahrenheit."),
    CALC_OUT("decades", "1", "Decades between the two times."),
};

static const char *const two_cautions[] = {
    "Two points leave no doubt to be seen: the z of two temperatures has no interval. Measure at "
    "four or more.",
    "Holds between the two temperatures only.", NULL};

static double temp_read_c(const json_t *in, const char *name)
{
    double temp = calc_number(in, name);
    return strcmp(calc_text(in, "unit"), "F") == 0 ? celsius_from_fahrenheit(temp) : temp;
}

static struct result two_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double z_c;
    double time_1 = calc_number(in, "time_1");
    double time_2 = calc_number(in, "time_2");
    TRY(resistance_z(temp_read_c(in, "temp_1"), time_1, temp_read_c(in, "temp_2"), time_2, &z_c));
    calc_put_number(out, "z_c", z_c);
    calc_put_number(out, "z_f", z_c * FAHRENHEIT_PER_C);
    calc_put_number(out, "decades", fabs(log10(time_1 / time_2)));
    return RESULT_OK;
}

/* Conversions */

static const struct calc_field convert_in[] = {
    CALC_NEED_NUMBER("reference", "C or F", "Temperature at which D holds.", -80, 600),
    CALC_NEED_NUMBER("z", "C or F", "Rise that makes D ten times shorter.", 1e-9, 1e12),
    CALC_MAY_NUMBER("d_s", "s", "D there.", 1e-12, 1e12, NULL),
    CALC_MAY_NUMBER("other", "C or F", "Another temperature, for D there.", -80, 600, NULL),
    CALC_MAY_NUMBER("low", "C or F",
                    "Lower end of the range for the activation energy; otherwise the reference.",
                    -80, 600, NULL),
    CALC_MAY_NUMBER("high", "C or F", "Upper end of it; otherwise its lower end.", -80, 600, NULL),
    UNIT_FIELD,
};

static const struct calc_output convert_out[] = {
    CALC_OUT("reference_c", "C", "The reference temperature."),
    CALC_OUT("reference_f", "F", "The same in degrees Fahrenheit."),
    CALC_OUT("z_c", "C", "z."),
    CALC_OUT("z_f", "F", "z in degrees Fahrenheit."),
    CALC_OUT("rate_per_s", "1/s", "Rate constant, ln10 / D."),
    CALC_OUT("d_other_s", "s", "D at the other temperature."),
    CALC_OUT("ea_kj_mol", "kJ/mol", "Activation energy over the range."),
};

static const char *const convert_constants[] = {"heat_kelvin_offset_c", "heat_gas_j_mol_k", NULL};

static const char *const convert_cautions[] = {
    "z and activation energy are two lines through the same points: they part outside the range "
    "in which D was measured.",
    NULL};

static struct result convert_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    bool is_f = strcmp(calc_text(in, "unit"), "F") == 0;
    double reference_c = temp_read_c(in, "reference");
    double z_c = calc_number(in, "z") / (is_f ? FAHRENHEIT_PER_C : 1);
    double low_c = calc_has(in, "low") ? temp_read_c(in, "low") : reference_c;
    double high_c = calc_has(in, "high") ? temp_read_c(in, "high") : low_c;
    double ea_j_mol;
    TRY(resistance_energy(z_c, low_c, high_c, &ea_j_mol));
    calc_put_number(out, "reference_c", reference_c);
    calc_put_number(out, "reference_f", reference_c * FAHRENHEIT_PER_C + 32);
    calc_put_number(out, "z_c", z_c);
    calc_put_number(out, "z_f", z_c * FAHRENHEIT_PER_C);
    calc_put_number(out, "ea_kj_mol", ea_j_mol / 1000);
    if (calc_has(in, "d_s")) {
        double d_s = calc_number(in, "d_s");
        calc_put_number(out, "rate_per_s", M_LN10 / d_s);
        if (calc_has(in, "other")) {
            double other_s = d_s * pow(10, (reference_c - temp_read_c(in, "other")) / z_c);
            TRY(finite_result("z", calc_number(in, "z"), other_s));
            calc_put_number(out, "d_other_s", other_s);
        }
    }
    return RESULT_OK;
}

/* Survivors */

static const struct calc_field survivors_in[] = {
    CALC_NEED_NUMBER("initial_per_g", "1/g", "Count before, a gram.", 0, 1e12),
    CALC_NEED_NUMBER("reduction", "log10", "Log reduction of the process.", 0, 300),
    CALC_NEED_NUMBER("mass_g", "g", "Mass that must hold none: a pack, a serving, a lot.", 1e-9,
                     1e12),
};

static const struct calc_output survivors_out[] = {
    CALC_OUT("survivors_per_g", "1/g", "Expected survivors a gram."),
    CALC_OUT("survivors_in_mass", "1", "Expected survivors in that mass."),
    CALC_OUT("probability_any", "1", "Probability of one or more in that mass."),
    CALC_OUT_DOWN("one_in", "1", "One such mass in how many holds any.", 1),
};

static const struct calc_source survivors_sources[] = {
    {"Poisson: probability of none is e^(-expected number)", "computed here"},
};

static const char *const survivors_cautions[] = {
    "Survivors come in clumps and not every place gets the same heat: the true chance is larger.",
    "Give the reduction that a decision may use, and the largest count that is to be feared.",
    NULL};

static struct result survivors_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct survivors r;
    TRY(survivors(calc_number(in, "initial_per_g"), calc_number(in, "reduction"),
                  calc_number(in, "mass_g"), &r));
    calc_put_number(out, "survivors_per_g", r.per_g);
    calc_put_number(out, "survivors_in_mass", r.in_mass);
    calc_put_number(out, "probability_any", r.at_least_one);
    if (isfinite(r.one_in)) {
        calc_put_number(out, "one_in", r.one_in);
    }
    return RESULT_OK;
}

const struct calc_row heat_resistance_rows[] = {
    {
        .name = "z-from-two",
        .discipline = "heat",
        .purpose = "z from the times at two temperatures that have the same effect.",
        .formula = "z = (T2 - T1) / log10(D1/D2)",
        .in = two_in,
        .in_count = CALC_COUNT(two_in),
        .out = two_out,
        .out_count = CALC_COUNT(two_out),
        .sources = closed_sources,
        .source_count = CALC_COUNT(closed_sources),
        .constants = no_constants,
        .cautions = two_cautions,
        .example = "{\"temp_1\": 60, \"time_1\": 93, \"temp_2\": 65, \"time_2\": 14}",
        .run = two_run,
    },
    {
        .name = "resistance-convert",
        .discipline = "heat",
        .purpose = "Heat resistance in its other forms: rate, activation energy, degrees F.",
        .formula = "k = ln10/D; Ea = ln10 R T1 T2/z; D2 = D * 10^((Tref - T2)/z)",
        .in = convert_in,
        .in_count = CALC_COUNT(convert_in),
        .out = convert_out,
        .out_count = CALC_COUNT(convert_out),
        .sources = closed_sources,
        .source_count = CALC_COUNT(closed_sources),
        .constants = convert_constants,
        .cautions = convert_cautions,
        .example = "{\"reference\": 71.1, \"z\": 5.3, \"d_s\": 0.6, \"other\": 65, \"low\": 60, "
                   "\"high\": 71.1}",
        .run = convert_run,
    },
    {
        .name = "survivors",
        .discipline = "heat",
        .purpose = "What a log reduction leaves alive, and the chance that a pack holds any.",
        .formula = "N = N0 * 10^-R; P = 1 - e^(-N m)",
        .in = survivors_in,
        .in_count = CALC_COUNT(survivors_in),
        .out = survivors_out,
        .out_count = CALC_COUNT(survivors_out),
        .sources = survivors_sources,
        .source_count = CALC_COUNT(survivors_sources),
        .constants = no_constants,
        .cautions = survivors_cautions,
        .example = "{\"initial_per_g\": 100, \"reduction\": 5, \"mass_g\": 200}",
        .run = survivors_run,
    },
};

const size_t heat_resistance_row_count = CALC_COUNT(heat_resistance_rows);

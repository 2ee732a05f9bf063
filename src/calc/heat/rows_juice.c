#include <math.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/exchanger.h"
#include "calc/heat/food_properties.h"
#include "calc/heat/holding_tube.h"
#include "calc/heat/rows.h"
#include "calc/heat/survival.h"

#define L_H_PER_M3_S 3.6e6
#define S_PER_H 3600.0

static const char *const no_constants[] = {NULL};

/* Holding tube */

static const struct calc_field tube_in[] = {
    CALC_NEED_NUMBER("flow_l_h", "L/h", "Largest flow that the pump can give, at hold temperature.",
                     1e-3, 1e7),
    CALC_NEED_NUMBER("diameter_mm", "mm", "Smallest inner diameter.", 0.1, 10000),
    CALC_NEED_NUMBER("density_kg_m3", "kg/m3", "At hold temperature.", 100, 5000),
    CALC_NEED_NUMBER("viscosity_mpa_s", "mPa s", "At hold temperature; measure it.", 1e-3, 1e6),
    CALC_NEED_NUMBER("time_s", "s", "Time that the fastest particle must be held.", 1e-3, 1e6),
    CALC_MAY_NUMBER("length_m", "m", "Length of the tube that is there.", 1e-3, 1e6, NULL),
};

static const struct calc_output tube_out[] = {
    CALC_OUT_UP("needed_m", "m", "Length for that time, by the larger factor.", 0.01),
    CALC_OUT("needed_guide_m", "m", "The same by the guide's factor alone."),
    CALC_OUT("needed_log_law_m", "m", "The same by the other turbulent formula."),
    CALC_OUT_DOWN("least_time_s", "s", "Time of the fastest particle in the tube that is there.",
                  0.01),
    CALC_OUT("mean_time_s", "s", "Mean time in it."),
    CALC_OUT("verdict", "", "long-enough or too-short: the tube that is there."),
    CALC_OUT("speed_m_s", "m/s", "Mean speed."),
    CALC_OUT("reynolds", "1", "Reynolds number."),
    CALC_OUT("factor", "1", "Fastest over mean speed, by the guide."),
    CALC_OUT("flow_kind", "", "laminar or turbulent."),
};

static const struct calc_source tube_sources[] = {
    {"UK dairy guide on holding sections, factors by Reynolds number, copy", "published (seen)"},
    {"Ratio of mean to largest speed, 0.0336 log10 Re + 0.662", "from memory"},
};

static const char *const tube_constants[] = {
    "tube_laminar_factor",        "tube_turbulent_reynolds",
    "tube_turbulent_low_factor",  "tube_turbulent_high_reynolds",
    "tube_turbulent_high_factor", "tube_log_law_slope",
    "tube_log_law_offset",        NULL};

static const char *const tube_cautions[] = {
    "The time is that of the fastest particle at the largest flow: verify it by a tracer in a "
    "fluid like the product; salt in water misleads for a thicker one.",
    "Check again after any change of pump, tube or viscosity. No credit for bends, heater or "
    "cooler; the tube rises all the way.",
    "Log the least temperature at the tube's exit. Contamination after the hold is not covered.",
    NULL};

static struct result tube_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct tube_flow flow = {.flow_m3_s = calc_number(in, "flow_l_h") / L_H_PER_M3_S,
                             .diameter_m = calc_number(in, "diameter_mm") / 1000,
                             .density_kg_m3 = calc_number(in, "density_kg_m3"),
                             .viscosity_pa_s = calc_number(in, "viscosity_mpa_s") / 1000};
    struct tube_report r;
    TRY(tube_judge(&flow, &r));
    double time_s = calc_number(in, "time_s");
    double needed_m = tube_length_m(&r, time_s, r.factor);
    calc_put_number(out, "needed_m", needed_m);
    calc_put_number(out, "needed_guide_m", tube_length_m(&r, time_s, r.factor_guide));
    if (r.turbulent) {
        calc_put_number(out, "needed_log_law_m", tube_length_m(&r, time_s, r.factor_log_law));
    }
    calc_put_number(out, "speed_m_s", r.speed_m_s);
    calc_put_number(out, "reynolds", r.reynolds);
    calc_put_number(out, "factor", r.factor_guide);
    calc_put_text(out, "flow_kind", r.turbulent ? "turbulent" : "laminar");
    if (calc_has(in, "length_m")) {
        double length_m = calc_number(in, "length_m");
        calc_put_number(out, "least_time_s", tube_time_s(&r, length_m));
        calc_put_number(out, "mean_time_s", length_m / r.speed_m_s);
        calc_put_text(out, "verdict", length_m >= needed_m ? "long-enough" : "too-short");
    }
    return RESULT_OK;
}

/* Laminar kill */

static const struct calc_field laminar_in[] = {
    CALC_NEED_NUMBER("mean_time_s", "s", "Mean time in the tube.", 1e-6, 1e9),
    CALC_NEED_NUMBER("d_s", "s", "D at the temperature of the tube.", 1e-9, 1e12),
};

static const struct calc_output laminar_out[] = {
    CALC_OUT_DOWN("certified", "log10", "Reduction of the fastest particle: certify this.", 0.1),
    CALC_OUT("bulk", "log10", "Reduction of all particles together: information."),
};

static const struct calc_source laminar_sources[] = {
    {"Laminar profile: E(t) = tm^2 / (2 t^3) from tm/2 on", "computed here"},
};

static struct result laminar_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct tube_kill r;
    TRY(tube_laminar_kill(calc_number(in, "mean_time_s"), calc_number(in, "d_s"), &r));
    calc_put_number(out, "certified", r.certified);
    calc_put_number(out, "bulk", r.bulk);
    return RESULT_OK;
}

/* Pectin methylesterase */

static const struct calc_field pme_in[] = {
    CALC_NEED_NUMBER("temp_c", "C", "Temperature of the hold.", 40, 120),
    CALC_NEED_NUMBER("time_s", "s", "Its time.", 0, 1e6),
    CALC_MAY_NUMBER("residual", "1", "For the time that leaves this share.", 1e-6, 1, NULL),
};

static const struct calc_output pme_out[] = {
    CALC_OUT("residual_share", "1", "Activity left."),
    CALC_OUT_UP("target_s", "s", "Time for the share wanted.", 0.001),
};

static const struct calc_source pme_sources[] = {
    {"Study of pectin methylesterase of orange juice, two fractions, authors not shown",
     "published (abstract only)"},
};

static const char *const pme_constants[] = {"pme_reference_c",
                                            "pme_labile_d_s",
                                            "pme_labile_z_c",
                                            "pme_stable_d_s",
                                            "pme_stable_z_c",
                                            "pme_labile_fraction",
                                            "heat_credit_above_tested_c",
                                            NULL};

static const char *const pme_cautions[] = {
    "Orange stands in for lime: no kinetics of lime's enzyme are known.",
    "A juice may be safe and its cloud still fall: the enzyme outlives the time that safety needs.",
    NULL};

static struct result pme_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    static const struct survival two = {.model = SURVIVAL_BIPHASIC,
                                        .fraction = CONSTANT_PME_LABILE_FRACTION};
    double temp_c = calc_number(in, "temp_c");
    double time_s = calc_number(in, "time_s");
    double above_c = temp_c - CONSTANT_PME_REFERENCE_C;
    double labile = pow(10, above_c / CONSTANT_PME_LABILE_Z_C) / CONSTANT_PME_LABILE_D_S;
    double stable = pow(10, above_c / CONSTANT_PME_STABLE_Z_C) / CONSTANT_PME_STABLE_D_S;
    double reduction = survival_reduction(&two, labile * time_s, stable * time_s);
    calc_put_number(out, "residual_share", pow(10, -reduction));
    if (calc_has(in, "residual")) {
        double target = -log10(calc_number(in, "residual"));
        calc_put_number(out, "target_s", survival_time_s(&two, labile, stable, fmax(0, target)));
    }
    if (above_c > CONSTANT_HEAT_CREDIT_ABOVE_TESTED_C) {
        calc_caution(out, "The temperature lies more than 5.56 C above the reference of the "
                          "constants: an extrapolation.");
    }
    return RESULT_OK;
}

/* Properties */

#define PROPERTY_OUTPUTS                                          \
    CALC_OUT("density_kg_m3", "kg/m3", "Density."),               \
        CALC_OUT("heat_j_kg_k", "J/kg/K", "Specific heat."),      \
        CALC_OUT("conductivity_w_m_k", "W/m/K", "Conductivity."), \
        CALC_OUT("diffusivity_m2_s", "m2/s", "Diffusivity.")

static const struct calc_field food_in[] = {
    CALC_NEED_NUMBER("temp_c", "C", "Temperature.", 0, 150),
    CALC_MAY_NUMBER("water", "1", "Share of the mass.", 0, 1, "0"),
    CALC_MAY_NUMBER("protein", "1", "Share.", 0, 1, "0"),
    CALC_MAY_NUMBER("fat", "1", "Share.", 0, 1, "0"),
    CALC_MAY_NUMBER("carbohydrate", "1", "Share, without fibre.", 0, 1, "0"),
    CALC_MAY_NUMBER("fibre", "1", "Share.", 0, 1, "0"),
    CALC_MAY_NUMBER("ash", "1", "Share.", 0, 1, "0"),
};

static const struct calc_output property_out[] = {PROPERTY_OUTPUTS};

static const struct calc_source property_sources[] = {
    {"Choi and Okos 1986, component polynomials, as several public programs and ASHRAE have them",
     "published (seen)"},
};

static const char *const property_constants[] = {
    "food_water_density_0",      "food_water_density_1",
    "food_water_density_2",      "food_water_heat_0",
    "food_water_heat_1",         "food_water_heat_2",
    "food_water_conductivity_0", "food_water_conductivity_1",
    "food_water_conductivity_2", NULL};

static const char *const food_cautions[] = {
    "For food that is not frozen and holds no air.",
    "Many copies print the slope of fat's conductivity ten times too large; -2.7604e-4 is used.",
    NULL};

static void properties_put(const struct food_properties *p, struct calc_answer *out)
{
    calc_put_number(out, "density_kg_m3", p->density_kg_m3);
    calc_put_number(out, "heat_j_kg_k", p->heat_j_kg_k);
    calc_put_number(out, "conductivity_w_m_k", p->conductivity_w_m_k);
    calc_put_number(out, "diffusivity_m2_s", p->diffusivity_m2_s);
}

static void polynomials_used(const char *component, struct arena *a, struct calc_answer *out)
{
    static const char *const terms[] = {"density_0",      "density_1",     "heat_0",
                                        "heat_1",         "heat_2",        "conductivity_0",
                                        "conductivity_1", "conductivity_2"};
    for (size_t i = 0; i < CALC_COUNT(terms); i++) {
        calc_used(out, arena_printf(a, "food_%s_%s", component, terms[i]));
    }
}

static struct result food_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double share[FOOD_COMPONENTS];
    struct food_properties p;
    for (int i = 0; i < FOOD_COMPONENTS; i++) {
        const char *name = food_component_name((enum food_component)i);
        share[i] = calc_number(in, name);
        if (share[i] > 0 && i != FOOD_WATER) {
            polynomials_used(name, a, out);
        }
    }
    TRY(food_properties(share, calc_number(in, "temp_c"), &p));
    properties_put(&p, out);
    return RESULT_OK;
}

static const struct calc_field juice_in[] = {
    CALC_NEED_NUMBER("brix", "Brix", "Soluble solids.", 0, 80),
    CALC_NEED_NUMBER("temp_c", "C", "Temperature.", 0, 150),
};

static const char *const juice_cautions[] = {
    "All solids count as carbohydrate. Against lemon juice measured by others the density was "
    "within 6 %, specific heat 5 %, conductivity 12 %.",
    "Viscosity is not worked out from composition: measure it.", NULL};

static struct result juice_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct food_properties p;
    TRY(juice_properties(calc_number(in, "brix"), calc_number(in, "temp_c"), &p));
    polynomials_used("carbohydrate", a, out);
    properties_put(&p, out);
    return RESULT_OK;
}

/* Heat exchanger */

static const struct calc_field exchanger_fields[] = {
    CALC_NEED_NUMBER("flow_kg_h", "kg/h", "Flow of juice, the same on both sides.", 1e-3, 3.6e6),
    CALC_NEED_NUMBER("heat_j_kg_k", "J/kg/K", "Its specific heat.", 100, 10000),
    CALC_NEED_NUMBER("in_c", "C", "Temperature of the raw juice.", 0, 200),
    CALC_NEED_NUMBER("past_c", "C", "Temperature of pasteurisation.", 0, 200),
    CALC_NEED_NUMBER("out_c", "C", "Temperature that it leaves with.", 0, 200),
    CALC_MAY_NUMBER("regeneration", "1", "Share of the heat that comes back; or give regen_c.", 0,
                    0.99, NULL),
    CALC_MAY_NUMBER("regen_c", "C", "Temperature of the raw juice after the regenerator.", 0, 200,
                    NULL),
    CALC_MAY_NUMBER("u_w_m2_k", "W/m2/K", "For the regenerator's area: its coefficient.", 1, 100000,
                    NULL),
};

static const struct calc_output exchanger_out[] = {
    CALC_OUT("regeneration", "1", "Share of the heat that comes back."),
    CALC_OUT("regen_c", "C", "Raw juice after the regenerator."),
    CALC_OUT("hot_leaves_c", "C", "Hot juice after it."),
    CALC_OUT_UP("heater_kw", "kW", "Heater.", 0.1),
    CALC_OUT("regenerator_kw", "kW", "Regenerator."),
    CALC_OUT("total_kw", "kW", "All the heating."),
    CALC_OUT_UP("cooler_kw", "kW", "Cooler.", 0.1),
    CALC_OUT("difference_c", "C", "Across the regenerator's plates."),
    CALC_OUT("ntu", "1", "Transfer units of the regenerator."),
    CALC_OUT("ua_kw_k", "kW/K", "Its conductance."),
    CALC_OUT_UP("area_m2", "m2", "Its area.", 0.01),
};

static const struct calc_source exchanger_sources[] = {
    {"Heat balance of a counter-flow exchanger with equal flows", "computed here"},
};

static const char *const exchanger_cautions[] = {
    "In the regenerator the pasteurised side must stand under more pressure than the raw side; "
    "alarm and divert when it is lost.",
    "Losses and fouling come on top.", NULL};

static struct result regeneration_read(const json_t *in, struct exchanger_in *x)
{
    if (calc_has(in, "regeneration") == calc_has(in, "regen_c")) {
        return FAIL1(FIELD_MISSING, "regeneration", "Give either it or regen_c.");
    }
    if (calc_has(in, "regeneration")) {
        x->regeneration = calc_number(in, "regeneration");
        return RESULT_OK;
    }
    return exchanger_regeneration(x->in_c, calc_number(in, "regen_c"), x->past_c, &x->regeneration);
}

static struct result exchanger_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct exchanger r;
    struct exchanger_in x = {
        .flow_kg_s = calc_number(in, "flow_kg_h") / S_PER_H,
        .heat_j_kg_k = calc_number(in, "heat_j_kg_k"),
        .in_c = calc_number(in, "in_c"),
        .past_c = calc_number(in, "past_c"),
        .out_c = calc_number(in, "out_c"),
        .u_w_m2_k = calc_has(in, "u_w_m2_k") ? calc_number(in, "u_w_m2_k") : 0,
    };
    TRY(regeneration_read(in, &x));
    TRY(exchanger_work(&x, &r));
    calc_put_number(out, "regeneration", x.regeneration);
    calc_put_number(out, "regen_c", r.regen_c);
    calc_put_number(out, "hot_leaves_c", r.hot_leaves_c);
    calc_put_number(out, "heater_kw", r.heater_w / 1000);
    calc_put_number(out, "regenerator_kw", r.regenerator_w / 1000);
    calc_put_number(out, "total_kw", r.total_w / 1000);
    calc_put_number(out, "cooler_kw", r.cooler_w / 1000);
    calc_put_number(out, "difference_c", r.difference_c);
    calc_put_number(out, "ntu", r.ntu);
    calc_put_number(out, "ua_kw_k", r.ua_w_k / 1000);
    if (x.u_w_m2_k > 0) {
        calc_put_number(out, "area_m2", r.area_m2);
    }
    return RESULT_OK;
}

/* Mean temperature difference */

static const struct calc_field lmtd_in[] = {
    CALC_NEED_NUMBER("hot_in_c", "C", "Hot side in.", 0, 300),
    CALC_NEED_NUMBER("hot_out_c", "C", "Hot side out.", 0, 300),
    CALC_NEED_NUMBER("cold_in_c", "C", "Cold side in.", 0, 200),
    CALC_NEED_NUMBER("cold_out_c", "C", "Cold side out.", 0, 200),
};

static const struct calc_output lmtd_out[] = {
    CALC_OUT("lmtd_c", "C", "Logarithmic mean of the differences, counter-flow."),
};

static const char *const lmtd_cautions[] = {"For pure counter-flow; other arrangements have less.",
                                            NULL};

static struct result lmtd_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double lmtd_c;
    TRY(exchanger_lmtd(calc_number(in, "hot_in_c"), calc_number(in, "hot_out_c"),
                       calc_number(in, "cold_in_c"), calc_number(in, "cold_out_c"), &lmtd_c));
    calc_put_number(out, "lmtd_c", lmtd_c);
    return RESULT_OK;
}

/* Viscosity */

static const struct calc_field viscosity_in[] = {
    CALC_NEED_NUMBER("viscosity_20_mpa_s", "mPa s", "Viscosity measured at 20 C.", 0.1, 1e6),
    CALC_NEED_NUMBER("ea_kj_mol", "kJ/mol", "Activation energy of its flow.", 0.1, 200),
    CALC_NEED_NUMBER("temp_c", "C", "Temperature wanted.", 0, 120),
};

static const struct calc_output viscosity_out[] = {
    CALC_OUT("viscosity_mpa_s", "mPa s", "Viscosity at that temperature."),
};

static const struct calc_source viscosity_sources[] = {
    {"Manjunatha et al. 2012, Czech Journal of Food Sciences 30:456-466 (clarified lime juice, 7.3 "
     "to 55.7 Brix, 20 to 80 C: 3.964 to 50.29 mPa s, 4.151 to 26.050 kJ/mol)",
     "published (abstract only)"},
};

static const char *const viscosity_constants[] = {"heat_kelvin_offset_c", "heat_gas_j_mol_k", NULL};

static const char *const viscosity_cautions[] = {
    "The published low end looks high against other juices: measure, and judge the holding tube at "
    "both.",
    "For a juice that flows like water, without pulp.", NULL};

static struct result viscosity_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double mpa_s;
    TRY(juice_viscosity(calc_number(in, "viscosity_20_mpa_s"), 1000 * calc_number(in, "ea_kj_mol"),
                        calc_number(in, "temp_c"), &mpa_s));
    calc_put_number(out, "viscosity_mpa_s", mpa_s);
    if (calc_number(in, "temp_c") < 20 || calc_number(in, "temp_c") > 80) {
        calc_caution(out, "The temperature lies outside 20 to 80 C, where such lines were drawn.");
    }
    return RESULT_OK;
}

#define ROW_PARTS(fields, outputs, from, names, warnings)                                \
    .discipline = "heat", .in = fields, .in_count = CALC_COUNT(fields), .out = outputs,  \
    .out_count = CALC_COUNT(outputs), .sources = from, .source_count = CALC_COUNT(from), \
    .constants = names, .cautions = warnings

const struct calc_row heat_juice_rows[] = {
    {
        .name = "holding-tube",
        .purpose = "How long a holding tube must be, by its fastest particle.",
        .formula = "L = f v t, v = Q/A, f by Re = rho v d / mu",
        ROW_PARTS(tube_in, tube_out, tube_sources, tube_constants, tube_cautions),
        .example = "{\"flow_l_h\": 2000, \"diameter_mm\": 34.8, \"density_kg_m3\": 1007.55, "
                   "\"viscosity_mpa_s\": 3.96, \"time_s\": 6, \"length_m\": 10}",
        .run = tube_run,
    },
    {
        .name = "laminar-kill",
        .purpose = "What laminar flow in a holding tube kills, by its fastest particle and in all.",
        .formula = "certified tm/(2 D); bulk from E(t) = tm^2/(2 t^3)",
        ROW_PARTS(laminar_in, laminar_out, laminar_sources, no_constants, tube_cautions),
        .example = "{\"mean_time_s\": 12, \"d_s\": 1}",
        .run = laminar_run,
    },
    {
        .name = "pme-residual",
        .purpose = "What is left of the enzyme that lets the cloud of juice fall.",
        .formula = "f 10^(-t/D1) + (1 - f) 10^(-t/D2), each D by its z",
        ROW_PARTS(pme_in, pme_out, pme_sources, pme_constants, pme_cautions),
        .example = "{\"temp_c\": 90, \"time_s\": 18, \"residual\": 0.1}",
        .run = pme_run,
    },
    {
        .name = "food-properties",
        .purpose = "Density, specific heat and conductivity of a food from its composition.",
        .formula = "1/rho = sum X/rho_i; cp = sum X cp_i; k = rho sum (X/rho_i) k_i",
        ROW_PARTS(food_in, property_out, property_sources, property_constants, food_cautions),
        .example = "{\"temp_c\": 55, \"water\": 0.1, \"protein\": 0.24, \"fat\": 0.012, "
                   "\"carbohydrate\": 0.455, \"fibre\": 0.16, \"ash\": 0.033}",
        .run = food_run,
    },
    {
        .name = "juice-properties",
        .purpose = "Density, specific heat and conductivity of juice from its Brix.",
        .formula = "as food-properties, carbohydrate = Brix/100, the rest water",
        ROW_PARTS(juice_in, property_out, property_sources, property_constants, juice_cautions),
        .example = "{\"brix\": 8.3, \"temp_c\": 76}",
        .run = juice_run,
    },
    {
        .name = "juice-viscosity",
        .purpose = "Viscosity of juice at another temperature.",
        .formula = "eta = eta20 e^(Ea/R (1/T - 1/293.15))",
        ROW_PARTS(viscosity_in, viscosity_out, viscosity_sources, viscosity_constants,
                  viscosity_cautions),
        .example = "{\"viscosity_20_mpa_s\": 3.964, \"ea_kj_mol\": 4.151, \"temp_c\": 76}",
        .run = viscosity_run,
    },
    {
        .name = "regeneration",
        .purpose = "Heater, regenerator and cooler of a juice pasteuriser.",
        .formula = "q = m c (T_past - T_in)(1 - e); NTU = e/(1 - e)",
        ROW_PARTS(exchanger_fields, exchanger_out, exchanger_sources, no_constants,
                  exchanger_cautions),
        .example = "{\"flow_kg_h\": 2000, \"heat_j_kg_k\": 3962, \"in_c\": 5, \"past_c\": 76, "
                   "\"out_c\": 5, \"regeneration\": 0.85, \"u_w_m2_k\": 2500}",
        .run = exchanger_run,
    },
    {
        .name = "mean-difference",
        .purpose = "Mean temperature difference of a heat exchanger.",
        .formula = "(d1 - d2) / ln(d1/d2)",
        ROW_PARTS(lmtd_in, lmtd_out, exchanger_sources, no_constants, lmtd_cautions),
        .example =
            "{\"hot_in_c\": 82, \"hot_out_c\": 79, \"cold_in_c\": 65.35, \"cold_out_c\": 76}",
        .run = lmtd_run,
    },
};

const size_t heat_juice_row_count = CALC_COUNT(heat_juice_rows);

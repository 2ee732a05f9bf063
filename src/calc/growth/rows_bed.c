#include <math.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/growth/crop.h"
#include "calc/growth/heat_sum.h"
#include "calc/growth/mass_chain.h"
#include "calc/growth/rows.h"

enum { MC_PER_C = 1000, MS_PER_H = 3600000 };

#define MG_PER_KG 1e6
#define PPM_PER_PCT 1e4

/* Mass chain, both ways */

#define CHAIN_FIELDS                                                                             \
    CALC_MAY_NUMBER("expansion", "kg/kg", "Fresh mass in the bed per mass of seed.", 1, 14,      \
                    CALC_FALLBACK(CONSTANT_MASS_CHAIN_EXPANSION)),                               \
        CALC_MAY_NUMBER("hull", "1", "Hulls and dead seed, share of the bed mass.", 0, 0.9,      \
                        CALC_FALLBACK(CONSTANT_MASS_CHAIN_HULL)),                                \
        CALC_MAY_NUMBER("trim", "1", "Roots cut off, share of the washed mass.", 0, 0.9,         \
                        CALC_FALLBACK(CONSTANT_MASS_CHAIN_TRIM)),                                \
        CALC_MAY_NUMBER("cull", "1", "Sorted out, share of the trimmed mass.", 0, 0.9,           \
                        CALC_FALLBACK(CONSTANT_MASS_CHAIN_CULL)),                                \
        CALC_MAY_NUMBER("wet", "1", "Surface water carried, share of the drained mass.", 0, 0.5, \
                        CALC_FALLBACK(CONSTANT_MASS_CHAIN_WET)),                                 \
        CALC_MAY_NUMBER("pls_pct", "%", "Pure live seed of this lot.", 0.0001, 100, NULL),       \
        CALC_MAY_NUMBER("reference_pls_pct", "%",                                                \
                        "Pure live seed of the lots that set the expansion.", 0.0001, 100, NULL)

static const struct calc_field chain_in[] = {
    CALC_NEED_NUMBER("seed_kg", "kg", "Seed as received.", 0, 1e6),
    CHAIN_FIELDS,
    CALC_MAY_NUMBER("moisture_pct", "%", "Moisture of the seed, wet basis.", 2, 60,
                    CALC_FALLBACK(CONSTANT_SEED_MOISTURE_PCT)),
    CALC_MAY_NUMBER("dry_loss", "1", "Share of the seed's dry matter that is breathed out.", 0, 0.5,
                    CALC_FALLBACK(CONSTANT_MASS_CHAIN_DRY_LOSS)),
};

static const struct calc_output chain_out[] = {
    CALC_OUT_DOWN("packed_kg", "kg", "Packed mass.", 0.1),
    CALC_OUT("expansion_lot", "kg/kg", "Expansion of this lot."),
    CALC_OUT("bed_kg", "kg", "Fresh mass in the bed."),
    CALC_OUT("sprout_dry_pct", "%", "Dry matter of the fresh sprouts."),
    CALC_OUT("sprout_water_pct", "%", "Water in them."),
    CALC_OUT("water_uptake_kg_kg", "kg/kg", "Net water taken up per kg of seed."),
    CALC_OUT("breathed_kg", "kg", "Dry matter that went to the air."),
};

static const struct calc_source chain_sources[] = {
    {"Product of the shares, step by step; dry matter by difference", "computed here"},
};

static const char *const chain_constants[] = {
    "mass_chain_expansion", "mass_chain_hull",   "mass_chain_trim",     "mass_chain_cull",
    "mass_chain_wet",       "seed_moisture_pct", "mass_chain_dry_loss", NULL};

static const char *const chain_cautions[] = {
    "The defaults are common practice: replace every one by the house's own weighings.",
    "Pure live seed acts to first order only; a weak lot also grows unevenly.", NULL};

static struct result chain_read(const json_t *in, struct mass_chain *out)
{
    *out = (struct mass_chain){.expansion = calc_number(in, "expansion"),
                               .hull = calc_number(in, "hull"),
                               .trim = calc_number(in, "trim"),
                               .cull = calc_number(in, "cull"),
                               .wet = calc_number(in, "wet")};
    bool pls = calc_has(in, "pls_pct");
    if (pls != calc_has(in, "reference_pls_pct")) {
        return FAIL1(FIELD_MISSING, pls ? "reference_pls_pct" : "pls_pct",
                     "Give both, or neither.");
    }
    if (!pls) {
        return RESULT_OK;
    }
    int64_t expansion_ppm = 0;
    TRY(mass_chain_lot_expansion(calc_scaled_down(out->expansion, 1e6),
                                 calc_scaled_down(calc_number(in, "pls_pct"), PPM_PER_PCT),
                                 calc_scaled_up(calc_number(in, "reference_pls_pct"), PPM_PER_PCT),
                                 &expansion_ppm));
    out->expansion = (double)expansion_ppm / 1e6;
    return RESULT_OK;
}

static struct result chain_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct mass_chain chain;
    struct dry_matter dry;
    TRY(chain_read(in, &chain));
    TRY(mass_chain_check(&chain));
    TRY(dry_matter(chain.expansion, calc_number(in, "moisture_pct"), calc_number(in, "dry_loss"),
                   &dry));
    double seed_kg = calc_number(in, "seed_kg");
    calc_put_number(out, "packed_kg", seed_kg * mass_chain_factor(&chain));
    calc_put_number(out, "expansion_lot", chain.expansion);
    calc_put_number(out, "bed_kg", seed_kg * chain.expansion);
    calc_put_number(out, "sprout_dry_pct", dry.sprout_dry_pct);
    calc_put_number(out, "sprout_water_pct", dry.sprout_water_pct);
    calc_put_number(out, "water_uptake_kg_kg", dry.water_uptake_kg_kg);
    calc_put_number(out, "breathed_kg", seed_kg * dry.breathed_kg_kg);
    return RESULT_OK;
}

static const struct calc_field seed_in[] = {
    CALC_NEED_NUMBER("packed_kg", "kg", "Mass to pack.", 0, 1e6),
    CHAIN_FIELDS,
};

static const struct calc_output seed_out[] = {
    CALC_OUT_UP("seed_kg", "kg", "Seed needed.", 0.1),
    CALC_OUT("expansion_lot", "kg/kg", "Expansion of this lot."),
    CALC_OUT("bed_kg", "kg", "Fresh mass in the bed."),
};

static const char *const seed_constants[] = {"mass_chain_expansion", "mass_chain_hull",
                                             "mass_chain_trim",      "mass_chain_cull",
                                             "mass_chain_wet",       NULL};

static struct result seed_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct mass_chain chain;
    TRY(chain_read(in, &chain));
    TRY(mass_chain_check(&chain));
    double seed_kg = calc_number(in, "packed_kg") / mass_chain_factor(&chain);
    calc_put_number(out, "seed_kg", seed_kg);
    calc_put_number(out, "expansion_lot", chain.expansion);
    calc_put_number(out, "bed_kg", seed_kg * chain.expansion);
    return RESULT_OK;
}

/* Packing of a bed */

static const struct calc_field packing_in[] = {
    CALC_NEED_NUMBER("seed_kg", "kg", "Seed in the box that is known.", 1e-6, 1e6),
    CALC_NEED_NUMBER("expansion", "kg/kg", "Fresh mass per mass of seed there.", 1, 14),
    CALC_NEED_NUMBER("box_l", "L", "Volume of that box.", 1e-6, 1e6),
    CALC_NEED_NUMBER("bed_kg", "kg", "Fresh mass that must find room.", 1e-6, 1e6),
};

static const struct calc_output packing_out[] = {
    CALC_OUT("density_kg_m3", "kg/m3", "Fresh mass per volume in the known box."),
    CALC_OUT_UP("volume_m3", "m3", "Volume needed at that packing.", 0.001),
};

static const struct calc_source packing_sources[] = {
    {"Mass over volume", "computed here"},
};

static const char *const no_constants[] = {NULL};

static const char *const packing_cautions[] = {
    "A deep bed heats itself: room alone does not make a load safe.", NULL};

static struct result packing_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct bed_packing r;
    TRY(bed_packing(calc_number(in, "seed_kg"), calc_number(in, "expansion"),
                    calc_number(in, "box_l"), calc_number(in, "bed_kg"), &r));
    calc_put_number(out, "density_kg_m3", r.density_kg_m3);
    calc_put_number(out, "volume_m3", r.volume_m3);
    return RESULT_OK;
}

/* Heat sum and forecast */

#define CROP_FIELDS                                                                           \
    CALC_CHOICE("crop", "Crop whose published temperatures and goal are taken.",              \
                "soybean|mung|mung-short|black-gram", "\"soybean\""),                         \
        CALC_MAY_NUMBER("base_c", "C", "Base temperature instead.", -5, 60, NULL),            \
        CALC_MAY_NUMBER("optimum_c", "C", "Optimum temperature instead.", -5, 60, NULL),      \
        CALC_MAY_NUMBER("goal_c_h", "C h", "Degree-hours to harvest instead.", 0.001, 100000, \
                        NULL)

static const struct calc_field heat_sum_in[] = {
    CALC_NEED_TABLE("points", "h, C", "The chamber's log: time in hours and temperature.", 0,
                    2000000),
    CROP_FIELDS,
};

static const struct calc_output heat_sum_out[] = {
    CALC_OUT("sum_c_h", "C h", "Degree-hours above the base temperature."),
    CALC_OUT("goal_c_h", "C h", "Degree-hours to harvest."),
    CALC_OUT("done", "1", "Share of the goal."),
    CALC_OUT("gap_longest_h", "h", "Longest interval of the log."),
    CALC_OUT("gaps", "1", "Intervals longer than two hours, bridged by a straight line."),
};

static const struct calc_source heat_sum_sources[] = {
    {"Integral of max(0, min(T, optimum) - base) over straight lines", "computed here"},
};

static const char *const heat_sum_constants[] = {"heat_sum_gap_h", NULL};

static const char *const heat_sum_cautions[] = {
    "Three soybean protocols agree within 6 %; for mung and black gram the goals are weaker. Learn "
    "the house's own from its harvests.",
    "Planning only: look at the chamber before it is emptied.", NULL};

static void crop_read(const json_t *in, struct calc_answer *out, struct heat_sum_crop *heat)
{
    static const char *const names[CROP_CONSTANTS] = {"base_c", "optimum_c", "goal_c_h"};
    const struct crop *crop = crop_find(calc_text(in, "crop"));
    *heat = crop->heat;
    for (size_t i = 0; i < CROP_CONSTANTS; i++) {
        if (!calc_has(in, names[i])) {
            calc_used(out, crop->constant[i]);
        }
    }
    if (calc_has(in, "base_c")) {
        heat->base_mc = (int32_t)calc_scaled_near(calc_number(in, "base_c"), MC_PER_C);
    }
    if (calc_has(in, "optimum_c")) {
        heat->optimum_mc = (int32_t)calc_scaled_near(calc_number(in, "optimum_c"), MC_PER_C);
    }
    if (calc_has(in, "goal_c_h")) {
        heat->goal_mc_h = calc_scaled_near(calc_number(in, "goal_c_h"), MC_PER_C);
    }
}

/* A table of [time in h, temperature in C]. */
struct hour_table {
    size_t rows;
    int64_t *time_ms;
    int32_t *temp_mc;
};

static struct result hour_table_read(const json_t *in, const char *name, struct arena *a,
                                     struct hour_table *out)
{
    const double *values;
    *out = (struct hour_table){0};
    TRY(calc_table(in, name, a, 2, "a table of time in h and temperature in C", &values,
                   &out->rows));
    out->time_ms = ARENA_ARRAY(a, int64_t, out->rows);
    out->temp_mc = ARENA_ARRAY(a, int32_t, out->rows);
    for (size_t i = 0; i < out->rows; i++) {
        double time_h = values[2 * i];
        double temp_c = values[2 * i + 1];
        if (fabs(time_h) > 1e9) {
            return FAIL2(FIELD_RANGE, arena_printf(a, "%s[%zu][0]", name, i),
                         arena_printf(a, "%.10g", time_h), "a time in hours that a calendar knows");
        }
        if (temp_c < -60 || temp_c > 300) {
            return FAIL2(FIELD_RANGE, arena_printf(a, "%s[%zu][1]", name, i),
                         arena_printf(a, "%.10g", temp_c), "from -60 to 300 C");
        }
        out->time_ms[i] = calc_scaled_near(time_h, MS_PER_H);
        out->temp_mc[i] = (int32_t)calc_scaled_near(temp_c, MC_PER_C);
    }
    return RESULT_OK;
}

static struct result heat_sum_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_sum_crop heat;
    struct hour_table log;
    struct heat_sum_report r;
    crop_read(in, out, &heat);
    TRY(hour_table_read(in, "points", a, &log));
    TRY(heat_sum(&heat, log.time_ms, log.temp_mc, log.rows, &r));
    double goal_c_h = (double)heat.goal_mc_h / MC_PER_C;
    calc_put_number(out, "sum_c_h", r.sum_c_h);
    calc_put_number(out, "goal_c_h", goal_c_h);
    calc_put_number(out, "done", r.sum_c_h / goal_c_h);
    calc_put_number(out, "gap_longest_h", (double)r.gap_longest_ms / MS_PER_H);
    calc_put_integer(out, "gaps", (int64_t)r.gaps);
    if (r.has_gap) {
        calc_caution(out, "The log is silent for more than two hours; a straight line bridges it.");
    }
    return RESULT_OK;
}

static const struct calc_field forecast_in[] = {
    CALC_NEED_NUMBER("done_c_h", "C h", "Degree-hours so far.", 0, 100000),
    CALC_MAY_NUMBER("now_h", "h", "Hours since the start.", 0, 1e6, "0"),
    CALC_NEED_TABLE(
        "ahead", "h, C",
        "Set points ahead: from which hour on, and the temperature; the first holds now.", 1, 100),
    CROP_FIELDS,
};

static const struct calc_output forecast_out[] = {
    CALC_OUT("state", "", "ahead, reached, or never where nothing grows at the last set point."),
    CALC_OUT_UP("ready_h", "h", "Hour since the start at which it is ready.", 0.1),
    CALC_OUT_UP("left_h", "h", "Hours from now.", 0.1),
    CALC_OUT("remaining_c_h", "C h", "Degree-hours still to come."),
    CALC_OUT("lever_h_per_c", "h/C", "What one degree more would change now; cooler is later."),
};

static struct result forecast_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_sum_crop heat;
    struct hour_table ahead;
    struct harvest_forecast r;
    crop_read(in, out, &heat);
    TRY(hour_table_read(in, "ahead", a, &ahead));
    struct set_point *set_points = ARENA_ARRAY(a, struct set_point, ahead.rows);
    for (size_t i = 0; i < ahead.rows; i++) {
        set_points[i] = (struct set_point){ahead.time_ms[i], ahead.temp_mc[i]};
    }
    int64_t now_ms = calc_scaled_near(calc_number(in, "now_h"), MS_PER_H);
    TRY(harvest_forecast(&heat, calc_scaled_down(calc_number(in, "done_c_h"), MC_PER_C), now_ms,
                         set_points, ahead.rows, &r));
    calc_put_text(out, "state", r.never ? "never" : r.reached ? "reached" : "ahead");
    calc_put_number(out, "remaining_c_h", (double)r.remaining_mc_h / MC_PER_C);
    calc_put_number(out, "lever_h_per_c", r.lever_h_per_c);
    if (!r.never) {
        calc_put_number(out, "ready_h", (double)r.ready_ms / MS_PER_H);
        calc_put_number(out, "left_h", (double)(r.ready_ms - now_ms) / MS_PER_H);
    }
    return RESULT_OK;
}

const struct calc_row growth_bed_rows[] = {
    {
        .name = "mass-chain",
        .discipline = "growth",
        .purpose = "From seed to packed sprouts, with water and dry matter.",
        .formula = "F = S * Y * (1 - hull) * (1 - trim) * (1 - cull) * (1 + wet), "
                   "Y_lot = Y * PLS/PLS_ref; U = Y - dm - moisture",
        .in = chain_in,
        .in_count = CALC_COUNT(chain_in),
        .out = chain_out,
        .out_count = CALC_COUNT(chain_out),
        .sources = chain_sources,
        .source_count = CALC_COUNT(chain_sources),
        .constants = chain_constants,
        .cautions = chain_cautions,
        .example = "{\"seed_kg\": 100}",
        .run = chain_run,
    },
    {
        .name = "seed-needed",
        .discipline = "growth",
        .purpose = "How much seed to soak for a mass to pack.",
        .formula = "S = F / (Y * (1 - hull) * (1 - trim) * (1 - cull) * (1 + wet)), "
                   "Y_lot = Y * PLS/PLS_ref",
        .in = seed_in,
        .in_count = CALC_COUNT(seed_in),
        .out = seed_out,
        .out_count = CALC_COUNT(seed_out),
        .sources = chain_sources,
        .source_count = CALC_COUNT(chain_sources),
        .constants = seed_constants,
        .cautions = chain_cautions,
        .example = "{\"packed_kg\": 1000}",
        .run = seed_run,
    },
    {
        .name = "bed-packing",
        .discipline = "growth",
        .purpose = "The volume a bed needs when packed like a known box.",
        .formula = "density = seed * Y / box; volume = bed / density",
        .in = packing_in,
        .in_count = CALC_COUNT(packing_in),
        .out = packing_out,
        .out_count = CALC_COUNT(packing_out),
        .sources = packing_sources,
        .source_count = CALC_COUNT(packing_sources),
        .constants = no_constants,
        .cautions = packing_cautions,
        .example = "{\"seed_kg\": 3.25, \"expansion\": 5, \"box_l\": 28, \"bed_kg\": 1000}",
        .run = packing_run,
    },
    {
        .name = "heat-sum",
        .discipline = "growth",
        .purpose = "Degree-hours of a growing chamber so far.",
        .formula = "HS = integral of max(0, min(T, optimum) - base) dt",
        .in = heat_sum_in,
        .in_count = CALC_COUNT(heat_sum_in),
        .out = heat_sum_out,
        .out_count = CALC_COUNT(heat_sum_out),
        .sources = heat_sum_sources,
        .source_count = CALC_COUNT(heat_sum_sources),
        .constants = heat_sum_constants,
        .cautions = heat_sum_cautions,
        .example = "{\"points\": [[0, 18], [2, 18], [3, 20], [5, 20]], \"crop\": \"soybean\"}",
        .run = heat_sum_run,
    },
    {
        .name = "harvest-forecast",
        .discipline = "growth",
        .purpose = "When a growing chamber will be ready, and what a degree more would change.",
        .formula = "HS(now) + integral over the set points ahead = goal; "
                   "dt/dT = -remaining/(T - base)^2",
        .in = forecast_in,
        .in_count = CALC_COUNT(forecast_in),
        .out = forecast_out,
        .out_count = CALC_COUNT(forecast_out),
        .sources = heat_sum_sources,
        .source_count = CALC_COUNT(heat_sum_sources),
        .constants = no_constants,
        .cautions = heat_sum_cautions,
        .example = "{\"done_c_h\": 960, \"now_h\": 60, \"ahead\": [[60, 25]], \"crop\": "
                   "\"soybean\"}",
        .run = forecast_run,
    },
};

const size_t growth_bed_row_count = CALC_COUNT(growth_bed_rows);

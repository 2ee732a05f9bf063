#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/constants.h"
#include "calc/water/chlorine_decay.h"
#include "calc/water/rows.h"
#include "calc/water/wash_balance.h"
#include "calc/water/water_loop.h"

/* Recirculated wash water */

static const struct calc_field balance_in[] = {
    CALC_NEED_NUMBER("volume_l", "L", "Water in the loop.", 0.001, 1e9),
    CALC_NEED_NUMBER("load_g_h", "g/h", "Washed off the product.", 0, 1e9),
    CALC_MAY_NUMBER("supply_mg_l", "mg/L", "In the fresh water.", 0, 1e6, "0"),
    CALC_MAY_NUMBER("blow_down_l_h", "L/h", "Drained and made up with fresh water.", 0, 1e9, "0"),
    CALC_MAY_NUMBER("carry_out_l_h", "L/h", "Leaves on the product, made up likewise.", 0, 1e9,
                    "0"),
    CALC_MAY_NUMBER("decay_per_h", "1/h", "Broken down, filtered off or settled.", 0, 1e4, "0"),
    CALC_MAY_NUMBER("start_mg_l", "mg/L", "In the loop at the start.", 0, 1e6, "0"),
    CALC_MAY_LIST("times_h", "h", "Times for which the level is wanted.", 0, 1e6, 0, 1000, "[]"),
    CALC_MAY_NUMBER("limit_mg_l", "mg/L", "Level that must not be reached.", 1e-9, 1e6, NULL),
};

static const struct calc_output balance_out[] = {
    CALC_OUT_UP("steady_mg_l", "mg/L", "Level in the long run, where there is one.", 0.1),
    CALC_OUT("time_constant_h", "h", "Time for 63 % of the way there."),
    CALC_OUT("levels_mg_l", "mg/L", "Level at each time."),
    CALC_OUT("state", "", "stays-below, reaches-limit or above-now."),
    CALC_OUT_DOWN("limit_h", "h", "Time to the limit: change the water before.", 0.01),
    CALC_OUT_UP("make_up_l_h", "L/h", "Fresh water with which the limit is never passed.", 0.1),
};

static const struct calc_source balance_sources[] = {
    {"V dX/dt = G + Qm Xin - Qm X - k V X, one mixed tank", "computed here"},
};

static const char *const no_constants[] = {NULL};

static const char *const balance_cautions[] = {
    "A mixed tank is assumed; dead corners and filters that fill up behave otherwise.",
    "Organic load says how hard the water is to keep disinfected, not whether it is safe: judge by "
    "the disinfectant, and change the water by the schedule and by the eye.",
    NULL};

static struct result limit_put(const json_t *in, const struct wash_loop *loop,
                               struct calc_answer *out)
{
    static const char *const words[] = {"stays-below", "reaches-limit", "above-now"};
    double limit_mg_l = calc_number(in, "limit_mg_l");
    enum wash_reach reach;
    double limit_h = 0;
    double make_up_l_h = 0;
    TRY(wash_reach(loop, limit_mg_l, &reach, &limit_h));
    TRY(wash_make_up(loop, limit_mg_l, &make_up_l_h));
    calc_put_text(out, "state", words[reach]);
    if (reach == WASH_REACHES) {
        calc_put_number(out, "limit_h", limit_h);
    }
    calc_put_number(out, "make_up_l_h", make_up_l_h);
    return RESULT_OK;
}

static struct result balance_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct wash_loop loop = {
        .volume_l = calc_number(in, "volume_l"),
        .load_g_h = calc_number(in, "load_g_h"),
        .supply_mg_l = calc_number(in, "supply_mg_l"),
        .blow_down_l_h = calc_number(in, "blow_down_l_h"),
        .carry_out_l_h = calc_number(in, "carry_out_l_h"),
        .decay_per_h = calc_number(in, "decay_per_h"),
        .start_mg_l = calc_number(in, "start_mg_l"),
    };
    struct wash_steady steady;
    size_t count = 0;
    const double *times_h = calc_numbers(in, "times_h", a, &count);
    double *levels = ARENA_ARRAY(a, double, count);
    TRY(wash_steady(&loop, &steady));
    for (size_t i = 0; i < count; i++) {
        TRY(wash_level(&loop, times_h[i], &levels[i]));
    }
    if (steady.has_steady) {
        calc_put_number(out, "steady_mg_l", steady.steady_mg_l);
        calc_put_number(out, "time_constant_h", steady.time_constant_h);
    } else {
        calc_caution(out, "Nothing leaves this loop: the level rises without end.");
    }
    calc_put_numbers(out, "levels_mg_l", levels, count);
    return calc_has(in, "limit_mg_l") ? limit_put(in, &loop, out) : RESULT_OK;
}

/* Cycles of concentration */

static const struct calc_field cycles_in[] = {
    CALC_NEED_NUMBER("evaporation_l_h", "L/h", "Water that evaporates.", 0, 1e9),
    CALC_MAY_NUMBER("drift_l_h", "L/h", "Water that is blown out as drops.", 0, 1e9, "0"),
    CALC_NEED_NUMBER("cycles", "1", "How often salts may be concentrated.", 1.0001, 1000),
};

static const struct calc_output cycles_out[] = {
    CALC_OUT_UP("blow_down_l_h", "L/h", "To drain.", 0.001),
    CALC_OUT_UP("make_up_l_h", "L/h", "Fresh water.", 0.001),
    CALC_OUT("cycles", "1", "Cycles that come of it."),
};

static const struct calc_source cycles_sources[] = {
    {"Water and salt balance: M = E + B + D, N = M/(B + D)", "computed here"},
};

static const char *const cycles_cautions[] = {
    "Salts are only one reason to drain: slime, temperature and Legionella are others.", NULL};

static struct result cycles_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct water_cycles r;
    TRY(water_cycles(calc_number(in, "evaporation_l_h"), calc_number(in, "drift_l_h"),
                     calc_number(in, "cycles"), &r));
    calc_put_number(out, "blow_down_l_h", r.blow_down_l_h);
    calc_put_number(out, "make_up_l_h", r.make_up_l_h);
    if (r.cycles > 0) {
        calc_put_number(out, "cycles", r.cycles);
    }
    return RESULT_OK;
}

/* Water used again */

static const struct calc_field reuse_in[] = {
    CALC_NEED_NUMBER("reuse", "1", "Share of the water that is used again.", 0, 1),
    CALC_MAY_NUMBER("removal", "1", "Share that treatment takes out of it.", 0, 1, "0"),
    CALC_MAY_NUMBER("fresh_mg_l", "mg/L", "In the fresh water.", 0, 1e6, "0"),
    CALC_NEED_NUMBER("pick_up_mg_l", "mg/L", "Taken up in one pass over the product.", 0, 1e6),
};

static const struct calc_output reuse_out[] = {
    CALC_OUT_UP("in_mg_l", "mg/L", "Where the water reaches the product.", 0.001),
    CALC_OUT_UP("out_mg_l", "mg/L", "Where it leaves it.", 0.001),
};

static const struct calc_source reuse_sources[] = {
    {"Balance around one pass: Xin = (1 - r) Xf + r (1 - eta) Xout", "computed here"},
};

static const char *const reuse_cautions[] = {
    "What treatment takes out is to be measured, for each thing by itself.",
    "Germs are not dissolved matter: water used again is disinfected, whatever this says.", NULL};

static struct result reuse_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct water_reuse r;
    TRY(water_reuse(calc_number(in, "reuse"), calc_number(in, "removal"),
                    calc_number(in, "fresh_mg_l"), calc_number(in, "pick_up_mg_l"), &r));
    calc_put_number(out, "in_mg_l", r.in_mg_l);
    calc_put_number(out, "out_mg_l", r.out_mg_l);
    return RESULT_OK;
}

/* Loss of free chlorine */

static const struct calc_field decay_in[] = {
    CALC_NEED_NUMBER("start_mg_l", "mg/L", "Free chlorine at the start.", 0, 100000),
    CALC_NEED_NUMBER("time_min", "min", "Time after it.", 0, 1e6),
    CALC_MAY_NUMBER("rate_per_min", "1/min", "First order: share lost a minute.", 1e-9, 1e4, NULL),
    CALC_MAY_NUMBER("ratio", "1", "Second order: share that is lost in the end.", 0, 0.999999,
                    NULL),
    CALC_MAY_NUMBER("u_per_min", "1/min", "Second order: its rate.", 0, 1e4, NULL),
    CALC_MAY_NUMBER("demand_mg_l", "mg/L", "Or: what the water can take, as chlorine.", 0, 1e6,
                    NULL),
    CALC_MAY_NUMBER("demand_rate", "1/(umol/L min)", "Rate against that demand.", 0, 1,
                    CALC_FALLBACK(CONSTANT_WATER_WASH_DEMAND_PER_UM_MIN)),
    CALC_MAY_NUMBER("volume_l", "L", "Water to be held at the starting level (first order).", 0,
                    1e9, NULL),
    CALC_MAY_NUMBER("product_g_l", "g/L", "Available chlorine of the product dosed.", 0.001, 1e4,
                    NULL),
};

static const struct calc_output decay_out[] = {
    CALC_OUT_DOWN("left_mg_l", "mg/L", "Free chlorine then.", 0.001),
    CALC_OUT_DOWN("end_mg_l", "mg/L", "What is left in the end.", 0.001),
    CALC_OUT("half_life_min", "min", "Time in which half of it goes (first order)."),
    CALC_OUT_UP("dose_g_h", "g/h", "Chlorine that holds the starting level.", 0.1),
    CALC_OUT_UP("dose_l_h", "L/h", "Product that brings it.", 0.001),
};

static const struct calc_source decay_sources[] = {
    {"First order; second order against a demand", "derived"},
    {"Second order: Clark 1998, chlorine demand and formation of by-products", "from memory"},
};

static const char *const decay_constants[] = {"water_wash_demand_per_um_min",
                                              "water_chlorine_g_mol", NULL};

static const char *const decay_cautions[] = {
    "Each load of product changes the rates: measure free chlorine, do not reckon it.",
    "Dosing by a calculated rate needs a measured stop: hold the feed of product when the residual "
    "falls below its critical limit.",
    NULL};

static struct result hold_put(const json_t *in, struct calc_answer *out)
{
    struct chlorine_hold hold;
    double volume_l = calc_has(in, "volume_l") ? calc_number(in, "volume_l") : 0;
    TRY(chlorine_hold(calc_number(in, "start_mg_l"), volume_l, calc_number(in, "rate_per_min"),
                      &hold));
    calc_put_number(out, "half_life_min", hold.half_life_min);
    calc_put_number(out, "end_mg_l", 0);
    if (calc_has(in, "volume_l")) {
        calc_put_number(out, "dose_g_h", hold.dose_g_h);
        if (calc_has(in, "product_g_l")) {
            calc_put_number(out, "dose_l_h", hold.dose_g_h / calc_number(in, "product_g_l"));
        }
    }
    return RESULT_OK;
}

static struct result decay_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double start_mg_l = calc_number(in, "start_mg_l");
    double time_min = calc_number(in, "time_min");
    double left_mg_l = 0;
    int models = calc_has(in, "rate_per_min") + calc_has(in, "ratio") + calc_has(in, "demand_mg_l");
    if (models > 1) {
        return FAIL2(FIELD_RANGE, "rate_per_min", "one of several models",
                     "given without ratio and demand_mg_l, or left out with one of them");
    }
    if (calc_has(in, "rate_per_min")) {
        TRY(chlorine_first(start_mg_l, calc_number(in, "rate_per_min"), time_min, &left_mg_l));
        TRY(hold_put(in, out));
    } else if (calc_has(in, "ratio") && calc_has(in, "u_per_min")) {
        double ratio = calc_number(in, "ratio");
        TRY(chlorine_second(start_mg_l, ratio, calc_number(in, "u_per_min"), time_min, &left_mg_l));
        calc_put_number(out, "end_mg_l", start_mg_l * (1 - ratio));
    } else if (calc_has(in, "demand_mg_l")) {
        double demand_mg_l = calc_number(in, "demand_mg_l");
        TRY(chlorine_demand(start_mg_l, demand_mg_l, calc_number(in, "demand_rate"), time_min,
                            &left_mg_l));
        calc_put_number(out, "end_mg_l", demand_mg_l < start_mg_l ? start_mg_l - demand_mg_l : 0);
    } else {
        return FAIL1(FIELD_MISSING, "rate_per_min",
                     "Give it, or ratio and u_per_min, or demand_mg_l.");
    }
    calc_put_number(out, "left_mg_l", left_mg_l);
    return RESULT_OK;
}

/* Kill in wash water */

static const struct calc_field kill_in[] = {
    CALC_NEED_NUMBER("start_mg_l", "mg/L", "Free chlorine at the start of the contact.", 0, 100000),
    CALC_NEED_NUMBER("time_s", "s", "Time of contact.", 0, 1e6),
    CALC_MAY_NUMBER("rate_per_min", "1/min", "Loss of free chlorine meanwhile.", 0, 1e4, "0"),
    CALC_CHOICE("organics", "Organic load: clean water, or anything else.", "clean|high",
                "\"high\""),
};

static const struct calc_output kill_out[] = {
    CALC_OUT_DOWN("kill_log", "log10", "Decimals of E. coli O157:H7 in the water.", 0.001),
    CALC_OUT_DOWN("kill_low_log", "log10", "The same by the lower end of the rate.", 0.001),
};

static const struct calc_source kill_sources[] = {
    {"Dehghan Abnavi and others 2021, bioRxiv 2021.02.12.430939: rate of kill and its fall at "
     "COD 600 to 800 mg/L",
     "published (abstract only)"},
    {"Van Haute and others 2013, PMC3623159: residual of 1 mg/L against cross-contamination",
     "published (abstract only)"},
};

static const char *const kill_constants[] = {"water_wash_kill_l_mg_min",
                                             "water_wash_kill_left_high_cod", NULL};

static const char *const kill_cautions[] = {
    "Germs in the water, not on the product: what sits on it hardly comes off.",
    "The rate is taken for one of natural logarithms, which its abstract does not say.",
    "In one study 1 mg/L free chlorine kept wash water below 2.7 log CFU/100 mL, against 5.4 "
    "without any; houses keep 10 to 20 mg/L and more at pH 6.5 to 7 (common practice).",
    NULL};

static struct result kill_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    bool clean = strcmp(calc_text(in, "organics"), "clean") == 0;
    double left = clean ? 1 : CONSTANT_WATER_WASH_KILL_LEFT_HIGH_COD;
    double low_rate = constant_find("water_wash_kill_l_mg_min")->low;
    double log = 0;
    double low_log = 0;
    double start_mg_l = calc_number(in, "start_mg_l");
    double rate_per_min = calc_number(in, "rate_per_min");
    double time_s = calc_number(in, "time_s");
    TRY(chlorine_kill(start_mg_l, rate_per_min, time_s, CONSTANT_WATER_WASH_KILL_L_MG_MIN * left,
                      &log));
    TRY(chlorine_kill(start_mg_l, rate_per_min, time_s, low_rate * left, &low_log));
    calc_put_number(out, "kill_log", log);
    calc_put_number(out, "kill_low_log", low_log);
    return RESULT_OK;
}

const struct calc_row water_loop_rows[] = {
    {
        .name = "water-balance",
        .discipline = "water",
        .purpose = "What builds up in recirculated wash water, and the fresh water that stops it.",
        .formula = "X(t) = Xss + (X0 - Xss) e^(-t (Qm/V + k)), Xss = (G + Qm Xin)/(Qm + k V); "
                   "Qm for a limit = (G - k V Xlim)/(Xlim - Xin)",
        .in = balance_in,
        .in_count = CALC_COUNT(balance_in),
        .out = balance_out,
        .out_count = CALC_COUNT(balance_out),
        .sources = balance_sources,
        .source_count = CALC_COUNT(balance_sources),
        .constants = no_constants,
        .cautions = balance_cautions,
        .called_by = "A `water-reading` with what its `water-loop` measures: the load follows from "
                     "two readings "
                     "since the last `water-change` or clean; Today says when to change the water, "
                     "and the page "
                     "of water shows the forecast.",
        .example = "{\"volume_l\": 2000, \"load_g_h\": 400, \"blow_down_l_h\": 400, "
                   "\"carry_out_l_h\": 100, \"times_h\": [1, 2, 4, 8, 12], \"limit_mg_l\": 600}",
        .run = balance_run,
    },
    {
        .name = "water-cycles",
        .discipline = "water",
        .purpose = "How much to drain from a loop that evaporates.",
        .formula = "B = E/(N - 1) - D; M = E + B + D",
        .in = cycles_in,
        .in_count = CALC_COUNT(cycles_in),
        .out = cycles_out,
        .out_count = CALC_COUNT(cycles_out),
        .sources = cycles_sources,
        .source_count = CALC_COUNT(cycles_sources),
        .constants = no_constants,
        .cautions = cycles_cautions,
        .example = "{\"evaporation_l_h\": 100, \"cycles\": 4}",
        .run = cycles_run,
    },
    {
        .name = "water-reuse",
        .discipline = "water",
        .purpose = "What gathers in water of which a share is treated and used again.",
        .formula = "Xin = ((1 - r) Xf + r (1 - eta) dX)/(1 - r (1 - eta)); Xout = Xin + dX",
        .in = reuse_in,
        .in_count = CALC_COUNT(reuse_in),
        .out = reuse_out,
        .out_count = CALC_COUNT(reuse_out),
        .sources = reuse_sources,
        .source_count = CALC_COUNT(reuse_sources),
        .constants = no_constants,
        .cautions = reuse_cautions,
        .example = "{\"reuse\": 0.7, \"removal\": 0.5, \"pick_up_mg_l\": 100}",
        .run = reuse_run,
    },
    {
        .name = "chlorine-decay",
        .discipline = "water",
        .purpose = "How free chlorine goes in wash water, and the dose that holds it.",
        .formula = "first order C0 e^(-kt), dose k C V; second order C0 (1 - R)/(1 - R e^(-ut)), "
                   "R = D0/C0, u = K C0 (1 - R)",
        .in = decay_in,
        .in_count = CALC_COUNT(decay_in),
        .out = decay_out,
        .out_count = CALC_COUNT(decay_out),
        .sources = decay_sources,
        .source_count = CALC_COUNT(decay_sources),
        .constants = decay_constants,
        .cautions = decay_cautions,
        .example = "{\"start_mg_l\": 20, \"rate_per_min\": 0.05, \"time_min\": 10, \"volume_l\": "
                   "2000, \"product_g_l\": 125}",
        .run = decay_run,
    },
    {
        .name = "wash-kill",
        .discipline = "water",
        .purpose = "What free chlorine does to E. coli O157:H7 in wash water.",
        .formula = "decimals = k * integral of C dt / ln 10; with organic load 0.27 k",
        .in = kill_in,
        .in_count = CALC_COUNT(kill_in),
        .out = kill_out,
        .out_count = CALC_COUNT(kill_out),
        .sources = kill_sources,
        .source_count = CALC_COUNT(kill_sources),
        .constants = kill_constants,
        .cautions = kill_cautions,
        .example = "{\"start_mg_l\": 1, \"time_s\": 30}",
        .run = kill_run,
    },
};

const size_t water_loop_row_count = CALC_COUNT(water_loop_rows);

#include <string.h>

#include "calc/answer.h"
#include "calc/water/dosing.h"
#include "calc/water/rows.h"
#include "calc/water/sanitiser_limit.h"

/* The position of a word in "a|b|c"; the input was checked against the same list. */
static int word_at(const char *list, const char *word)
{
    int at = 0;
    size_t len = strlen(word);
    while (strncmp(list, word, len) != 0 || (list[len] != '|' && list[len] != '\0')) {
        list += strcspn(list, "|") + 1;
        at++;
    }
    return at;
}

/* Making up a solution */

#define COUNTS_WORDS "product|substance|available-chlorine"
#define SUBSTANCE_WORDS "calcium-hypochlorite|sodium-hypochlorite|other"
#define STRENGTH_WORDS "solid-pct|liquid-pct-mass|liquid-pct-volume|liquid-g-l"

static const struct calc_field make_up_in[] = {
    CALC_NEED_NUMBER("target_mg_l", "mg/L", "Strength wanted (ppm).", 1e-6, 1e6),
    {.name = "counts",
     .unit = "",
     .what = "What these ppm count: the product, the salt or acid in it, or available chlorine.",
     .type = CALC_TEXT,
     .choices = COUNTS_WORDS,
     .needed = true},
    CALC_NEED_NUMBER("volume_l", "L", "Solution.", 1e-6, 1e9),
    CALC_CHOICE("substance", "What the product is made of.", SUBSTANCE_WORDS, "\"other\""),
    {.name = "strength",
     .unit = "",
     .what = "How the label gives its strengths.",
     .type = CALC_TEXT,
     .choices = STRENGTH_WORDS,
     .needed = true},
    CALC_MAY_NUMBER("substance_strength", "% or g/L", "Salt or acid by the label.", 1e-6, 3000,
                    NULL),
    CALC_MAY_NUMBER("available_strength", "% or g/L", "Available chlorine by the label, at least.",
                    1e-6, 3000, NULL),
    CALC_MAY_NUMBER("density_kg_l", "kg/L", "Density of a liquid.", 0.5, 3, NULL),
    CALC_MAY_NUMBER("now_mg_l", "mg/L", "Measured in the solution now, of what is counted.", 0, 1e6,
                    "0"),
    CALC_MAY_NUMBER("demand_mg_l", "mg/L", "Taken by the water, of what is counted.", 0, 1e6, "0"),
};

static const struct calc_output make_up_out[] = {
    CALC_OUT("product_g", "g", "Product to add, by mass."),
    CALC_OUT("product_ml", "mL", "Product to add, by volume."),
    CALC_OUT("product_g_l", "g/L", "The same for a litre of solution."),
    CALC_OUT("counted_g", "g", "Of what the target counts."),
    CALC_OUT("available_g_l", "g/L", "Available chlorine that it brings into the solution."),
    CALC_OUT("water_l", "L", "It is too strong now: water that thins it to the target."),
};

static const struct calc_source make_up_sources[] = {
    {"Mass balance; C1 V1 = C2 V2", "computed here"},
    {"Label of calcium hypochlorite granules: 68 % salt, at least 65 % available chlorine",
     "published (seen)"},
};

static const char *const make_up_constants[] = {"water_calcium_hypochlorite_available",
                                                "water_sodium_hypochlorite_available", NULL};

static const char *const make_up_cautions[] = {
    "Rules for seed say \"20 000 ppm calcium hypochlorite\" without saying what counts; available "
    "chlorine is the strongest reading. Write down which was used.",
    "Not rounded: too little does not disinfect, too much passes a limit.",
    "Titrate the solution before use; old product is weaker than its label.",
    "Product into water, never water onto product; never mix hypochlorite with acid (juice, peel, "
    "peracetic acid, descaler): chlorine gas. Ventilate, gloves, eye protection.",
    "For seed: at least 5 L of solution a kg, kept moving (common practice); rinse afterwards; ask "
    "for the local permit for 20 000 ppm and for its disposal.",
    NULL};

static double number_or_zero(const json_t *in, const char *name)
{
    return calc_has(in, name) ? calc_number(in, name) : 0;
}

static struct result make_up_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct dose_product product = {
        .substance = (enum dose_substance)word_at(SUBSTANCE_WORDS, calc_text(in, "substance")),
        .strength = (enum dose_strength)word_at(STRENGTH_WORDS, calc_text(in, "strength")),
        .density_kg_l = number_or_zero(in, "density_kg_l"),
        .substance_strength = number_or_zero(in, "substance_strength"),
        .available_strength = number_or_zero(in, "available_strength"),
    };
    struct dose_ask ask = {
        .target_mg_l = calc_number(in, "target_mg_l"),
        .counts = (enum dose_counts)word_at(COUNTS_WORDS, calc_text(in, "counts")),
        .volume_l = calc_number(in, "volume_l"),
        .now_mg_l = calc_number(in, "now_mg_l"),
        .demand_mg_l = calc_number(in, "demand_mg_l"),
    };
    struct dose r;
    TRY(dosing(&product, &ask, &r));
    calc_put_number(out, "counted_g", r.counted_g);
    if (r.water_l > 0) {
        calc_put_number(out, "water_l", r.water_l);
    }
    bool by_mass = r.product_g > 0 || r.counted_g == 0;
    if (by_mass) {
        calc_put_number(out, "product_g", r.product_g);
        calc_put_number(out, "product_g_l", r.product_g / ask.volume_l);
    }
    if (product.strength != DOSE_SOLID_PCT) {
        calc_put_number(out, "product_ml", r.product_ml);
    }
    if (r.has_available) {
        calc_put_number(out, "available_g_l", r.available_g_l);
    }
    return RESULT_OK;
}

/* Limits of sanitisers */

#define SANITISER_WORDS "chlorine|peracid|iodine|quat"
#define USE_WORDS "wash|raw|surface"

static const struct calc_field limit_in[] = {
    {.name = "sanitiser",
     .unit = "",
     .what = "Available chlorine, peracetic acid, iodine or quaternary ammonium.",
     .type = CALC_TEXT,
     .choices = SANITISER_WORDS,
     .needed = true},
    CALC_CHOICE("use",
                "Wash of cut or sprouted produce, raw commodities, or a surface that is not "
                "rinsed.",
                USE_WORDS, "\"wash\""),
    CALC_NEED_NUMBER("level_mg_l", "mg/L", "Strength in use.", 0, 1e6),
};

static const struct calc_output limit_out[] = {
    CALC_OUT("within", "", "yes or no."),
    CALC_OUT_DOWN("limit_mg_l", "mg/L", "The most; none where this use is not allowed.", 0.1),
};

static const struct calc_source limit_sources[] = {
    {"21 CFR 173.315 and 40 CFR 180.1196, as quoted elsewhere, for peracetic acid",
     "published (seen)"},
    {"40 CFR 180.940 and good practice for the others", "from memory"},
};

static const char *const no_constants[] = {NULL};

static const char *const limit_cautions[] = {
    "Law of the United States; elsewhere the local list rules. The product's label may set less.",
    "After a chlorine wash rinse in potable water, or show that no residue is left.",
    "Drain a surface before food touches it.", NULL};

static struct result limit_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    enum sanitiser sanitiser = (enum sanitiser)word_at(SANITISER_WORDS, calc_text(in, "sanitiser"));
    enum sanitiser_use use = (enum sanitiser_use)word_at(USE_WORDS, calc_text(in, "use"));
    struct sanitiser_limit limit = sanitiser_limit(sanitiser, use);
    bool within = limit.known && calc_number(in, "level_mg_l") <= limit.limit_mg_l;
    calc_put_text(out, "within", within ? "yes" : "no");
    if (limit.known) {
        calc_put_number(out, "limit_mg_l", limit.limit_mg_l);
        calc_used(out, limit.constant);
    } else {
        calc_caution(out, "No limit is known for this use: do not use it so.");
    }
    return RESULT_OK;
}

/* Peracetic acid and what comes with it */

static const struct calc_field peracid_in[] = {
    CALC_NEED_NUMBER("peracid_pct", "%", "Peracetic acid in the product.", 0.001, 100),
    CALC_NEED_NUMBER("peroxide_pct", "%", "Hydrogen peroxide in the product.", 0, 100),
    CALC_MAY_NUMBER("hedp_pct", "%", "Stabiliser HEDP in the product.", 0, 100, "0"),
    CALC_NEED_NUMBER("target_mg_l", "mg/L", "Peracetic acid wanted in use.", 0, 1e6),
    CALC_CHOICE("use", "Wash of cut or sprouted produce, raw commodities, or a surface.", USE_WORDS,
                "\"wash\""),
};

static const struct calc_output peracid_out[] = {
    CALC_OUT("within", "", "yes or no: is every limit kept?"),
    CALC_OUT_UP("peroxide_mg_l", "mg/L", "Hydrogen peroxide that comes along.", 0.1),
    CALC_OUT_UP("hedp_mg_l", "mg/L", "Stabiliser that comes along.", 0.1),
    CALC_OUT_DOWN("peracid_max_mg_l", "mg/L", "The most peracetic acid that keeps every limit.",
                  0.01),
};

static const char *const peracid_constants[] = {
    "water_peracid_wash_mg_l", "water_peroxide_wash_mg_l",   "water_hedp_wash_mg_l",
    "water_peracid_raw_mg_l",  "water_peracid_surface_mg_l", NULL};

static struct result peracid_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct peracid_product product = {.peracid_pct = calc_number(in, "peracid_pct"),
                                      .peroxide_pct = calc_number(in, "peroxide_pct"),
                                      .hedp_pct = calc_number(in, "hedp_pct")};
    enum sanitiser_use use = (enum sanitiser_use)word_at(USE_WORDS, calc_text(in, "use"));
    struct peracid_check r;
    TRY(peracid_check(&product, calc_number(in, "target_mg_l"), use, &r));
    calc_put_text(out, "within", r.within ? "yes" : "no");
    calc_put_number(out, "peroxide_mg_l", r.peroxide_mg_l);
    calc_put_number(out, "hedp_mg_l", r.hedp_mg_l);
    calc_put_number(out, "peracid_max_mg_l", r.peracid_max_mg_l);
    return RESULT_OK;
}

const struct calc_row water_dose_rows[] = {
    {
        .name = "sanitiser-make-up",
        .discipline = "water",
        .purpose = "How much product makes a solution, once it is said what ppm count.",
        .formula = "counted = ((target - now) + demand) V; product = counted/strength; "
                   "liquids: strength in g/L = 10 * % by volume = 10 * % by mass * density",
        .in = make_up_in,
        .in_count = CALC_COUNT(make_up_in),
        .out = make_up_out,
        .out_count = CALC_COUNT(make_up_out),
        .sources = make_up_sources,
        .source_count = CALC_COUNT(make_up_sources),
        .constants = make_up_constants,
        .cautions = make_up_cautions,
        .called_by = "A `dose`, held against the strength of its `chemical` or the `titration` "
                     "since, and the sheet "
                     "of doses.",
        .example = "{\"target_mg_l\": 20000, \"counts\": \"available-chlorine\", \"volume_l\": "
                   "100, \"substance\": \"calcium-hypochlorite\", \"strength\": \"solid-pct\", "
                   "\"available_strength\": 65}",
        .run = make_up_run,
    },
    {
        .name = "sanitiser-limit",
        .discipline = "water",
        .purpose = "The most of a sanitiser that may touch produce or a surface.",
        .formula = "level <= limit of the use",
        .in = limit_in,
        .in_count = CALC_COUNT(limit_in),
        .out = limit_out,
        .out_count = CALC_COUNT(limit_out),
        .sources = limit_sources,
        .source_count = CALC_COUNT(limit_sources),
        .constants = no_constants,
        .cautions = limit_cautions,
        .example = "{\"sanitiser\": \"peracid\", \"level_mg_l\": 75}",
        .run = limit_run,
    },
    {
        .name = "peracid-check",
        .discipline = "water",
        .purpose = "Whether peracetic acid, its peroxide and its stabiliser keep their limits.",
        .formula = "peroxide = target * peroxide%/peracid%; most = min(80, 59 peracid%/peroxide%, "
                   "4.8 peracid%/HEDP%) in a wash",
        .in = peracid_in,
        .in_count = CALC_COUNT(peracid_in),
        .out = peracid_out,
        .out_count = CALC_COUNT(peracid_out),
        .sources = limit_sources,
        .source_count = CALC_COUNT(limit_sources),
        .constants = peracid_constants,
        .cautions = limit_cautions,
        .example = "{\"peracid_pct\": 15, \"peroxide_pct\": 23, \"target_mg_l\": 80}",
        .run = peracid_run,
    },
};

const size_t water_dose_row_count = CALC_COUNT(water_dose_rows);

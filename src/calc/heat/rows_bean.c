#include <math.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/heat_mix.h"
#include "calc/heat/rows.h"
#include "calc/heat/rows_log.h"
#include "calc/heat/sphere.h"

enum { POINTS_MAX = 2000, LOG_PROBES = 1 };

#define MM_PER_M 1000.0

static const struct calc_source sphere_sources[] = {
    {"Fourier series of the sphere with a surface coefficient", "computed here"},
};

static const char *const no_constants[] = {NULL};

/* Sphere */

static const struct calc_field sphere_in[] = {
    CALC_MAY_NUMBER("biot", "1", "h R / k; left out: the surface takes the fluid's temperature.",
                    1e-6, 1e9, NULL),
    CALC_NEED_LIST("fourier", "1", "a t / R^2.", 1e-5, 1e6, 1, POINTS_MAX),
    CALC_MAY_NUMBER("theta", "1", "For the Fourier number at which the centre lacks this share.",
                    1e-12, 0.9999, NULL),
};

static const struct calc_output sphere_out[] = {
    CALC_OUT("centre", "1", "Share of the difference that the centre still lacks, at each."),
    CALC_OUT("surface", "1", "The same of the surface."),
    CALC_OUT("mean", "1", "The same of the whole."),
    CALC_OUT("fourier_at", "1", "Fourier number at which the centre lacks theta."),
    CALC_OUT("zeta_1", "1", "First eigenvalue."),
    CALC_OUT("c_1", "1", "Its coefficient."),
};

static const char *const sphere_cautions[] = {
    "For a ball of one stuff with constant properties, put at once into a fluid of constant "
    "temperature.",
    NULL};

static struct result sphere_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct sphere *s = ARENA_ARRAY(a, struct sphere, 1);
    size_t count = 0;
    TRY(sphere_make(calc_has(in, "biot") ? calc_number(in, "biot") : INFINITY, s));
    const double *fourier = calc_numbers(in, "fourier", a, &count);
    static const struct {
        const char *name;
        enum sphere_place place;
    } places[] = {{"centre", SPHERE_CENTRE}, {"surface", SPHERE_SURFACE}, {"mean", SPHERE_MEAN}};
    for (size_t p = 0; p < CALC_COUNT(places); p++) {
        double *theta = ARENA_ARRAY(a, double, count);
        for (size_t i = 0; i < count; i++) {
            theta[i] = sphere_theta(s, places[p].place, fourier[i]);
        }
        calc_put_numbers(out, places[p].name, theta, count);
    }
    if (calc_has(in, "theta")) {
        calc_put_number(out, "fourier_at", sphere_fourier(s, calc_number(in, "theta")));
    }
    calc_put_number(out, "zeta_1", s->zeta[0]);
    calc_put_number(out, "c_1", s->weight[0]);
    return RESULT_OK;
}

/* Core of a bean */

static const struct calc_field bean_in[] = {
    CALC_NEED_TABLE("points", "s, C", "Time and temperature of the water around the seed.", 2,
                    POINTS_MAX),
    CALC_NEED_NUMBER("start_c", "C", "Temperature of the seed before.", -20, 150),
    CALC_MAY_LIST("semi_axes_mm", "mm", "Half the length, width and thickness, or one radius.",
                  0.05, 500, 1, 3, "[" CALC_FALLBACK(CONSTANT_BEAN_RADIUS_MM) "]"),
    CALC_MAY_NUMBER("diffusivity_m2_s", "m2/s", "Thermal diffusivity of the seed.", 1e-9, 1e-3,
                    CALC_FALLBACK(CONSTANT_BEAN_DIFFUSIVITY_M2_S)),
    CALC_MAY_NUMBER("conductivity_w_m_k", "W/m/K", "Its conductivity.", 1e-3, 1000,
                    CALC_FALLBACK(CONSTANT_BEAN_CONDUCTIVITY_W_M_K)),
    CALC_MAY_NUMBER("surface_w_m2_k", "W/m2/K", "Coefficient of the water at its surface.", 1, 1e6,
                    CALC_FALLBACK(CONSTANT_BEAN_SURFACE_W_M2_K)),
    CALC_MAY_NUMBER("reference_c", "C", "For equivalent times: the reference.", -60, 300, "80"),
    CALC_MAY_NUMBER("z_c", "C", "And z.", 1e-9, 1e12, CALC_FALLBACK(CONSTANT_LETHALITY_SEED_Z_C)),
};

static const struct calc_output bean_out[] = {
    CALC_OUT("centre_c", "C", "Centre of the slowest sphere (largest semi-axis), at each time."),
    CALC_OUT("half_c", "C", "Half way in."),
    CALC_OUT("surface_c", "C", "Its surface."),
    CALC_OUT("mean_c", "C", "Mean of its volume."),
    CALC_OUT("centre_fast_c", "C",
             "Centre of the fastest sphere (smallest semi-axis): what the embryo may meet."),
    CALC_OUT("f_surface_s", "s", "Equivalent time at the surface, at each time, slowest sphere."),
    CALC_OUT("f_half_s", "s", "Half way in."),
    CALC_OUT("f_centre_s", "s", "At the centre."),
    CALC_OUT("biot", "1", "h R / k of the slowest sphere."),
    CALC_OUT("time_constant_s", "s", "R^2 / (pi^2 a) of the slowest sphere."),
};

static const char *const bean_constants[] = {"bean_radius_mm",          "bean_diffusivity_m2_s",
                                             "bean_conductivity_w_m_k", "bean_surface_w_m2_k",
                                             "lethality_seed_z_c",      NULL};

static const char *const bean_cautions[] = {
    "A bean is no ball of one stuff: an ellipsoid lies between the balls of its largest and "
    "smallest semi-axis. Measure with a probe in a bean.",
    "In a sack or a heap the water's own temperature lags: give that of the coldest place.",
    "The surface coefficient is common practice for stirred water.", NULL};

static struct result bath_read(const json_t *in, struct arena *a, struct heat_log *out)
{
    double *time_s, *temp_c;
    size_t n;
    TRY(calc_pairs(in, "points", a, &time_s, &temp_c, &n));
    int64_t *time_ms = ARENA_ARRAY(a, int64_t, n);
    for (size_t i = 0; i < n; i++) {
        if (!(fabs(time_s[i]) <= 4e12)) {
            return FAIL2(FIELD_RANGE, "points", "a time too far away",
                         "times in seconds that a calendar knows");
        }
        time_ms[i] = calc_scaled_near(time_s[i], 1000);
    }
    *out =
        (struct heat_log){.points = n, .probes = LOG_PROBES, .time_ms = time_ms, .temp_c = temp_c};
    return RESULT_OK;
}

static struct result bean_sphere(const json_t *in, struct arena *a, const struct heat_log *bath,
                                 double radius_mm, struct sphere_moment **out)
{
    struct sphere *s = ARENA_ARRAY(a, struct sphere, 1);
    struct sphere_body body = {.radius_m = radius_mm / MM_PER_M,
                               .diffusivity_m2_s = calc_number(in, "diffusivity_m2_s"),
                               .start_c = calc_number(in, "start_c")};
    *out = ARENA_ARRAY(a, struct sphere_moment, bath->points);
    TRY(sphere_make(calc_number(in, "surface_w_m2_k") * body.radius_m /
                        calc_number(in, "conductivity_w_m_k"),
                    s));
    return sphere_history(s, &body, bath, calc_number(in, "reference_c"), calc_number(in, "z_c"),
                          *out);
}

static void temps_put(struct arena *a, struct calc_answer *out, const char *name,
                      const struct sphere_moment *m, size_t count, enum sphere_place place)
{
    double *temp_c = ARENA_ARRAY(a, double, count);
    for (size_t i = 0; i < count; i++) {
        temp_c[i] = m[i].temp_c[place];
    }
    calc_put_numbers(out, name, temp_c, count);
}

static void times_put(struct arena *a, struct calc_answer *out, const char *name,
                      const struct sphere_moment *m, size_t count, enum sphere_place place)
{
    double *f_s = ARENA_ARRAY(a, double, count);
    for (size_t i = 0; i < count; i++) {
        f_s[i] = m[i].f_s[place];
    }
    calc_put_numbers(out, name, f_s, count);
}

static struct result bean_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log bath;
    struct sphere_moment *slow, *fast;
    size_t axes = 0;
    TRY(bath_read(in, a, &bath));
    const double *axes_mm = calc_numbers(in, "semi_axes_mm", a, &axes);
    double largest_mm = axes_mm[0], smallest_mm = axes_mm[0];
    for (size_t i = 1; i < axes; i++) {
        largest_mm = fmax(largest_mm, axes_mm[i]);
        smallest_mm = fmin(smallest_mm, axes_mm[i]);
    }
    TRY(bean_sphere(in, a, &bath, largest_mm, &slow));
    TRY(bean_sphere(in, a, &bath, smallest_mm, &fast));
    temps_put(a, out, "centre_c", slow, bath.points, SPHERE_CENTRE);
    temps_put(a, out, "half_c", slow, bath.points, SPHERE_HALF);
    temps_put(a, out, "surface_c", slow, bath.points, SPHERE_SURFACE);
    temps_put(a, out, "mean_c", slow, bath.points, SPHERE_MEAN);
    temps_put(a, out, "centre_fast_c", fast, bath.points, SPHERE_CENTRE);
    times_put(a, out, "f_surface_s", slow, bath.points, SPHERE_SURFACE);
    times_put(a, out, "f_half_s", slow, bath.points, SPHERE_HALF);
    times_put(a, out, "f_centre_s", slow, bath.points, SPHERE_CENTRE);
    double radius_m = largest_mm / MM_PER_M;
    calc_put_number(out, "biot",
                    calc_number(in, "surface_w_m2_k") * radius_m /
                        calc_number(in, "conductivity_w_m_k"));
    calc_put_number(out, "time_constant_s",
                    radius_m * radius_m / (M_PI * M_PI * calc_number(in, "diffusivity_m2_s")));
    return RESULT_OK;
}

/* Bath */

#define SEED_FIELDS                                                                           \
    CALC_NEED_NUMBER("seed_kg", "kg", "Seed.", 1e-6, 1e9),                                    \
        CALC_MAY_NUMBER("seed_heat_j_kg_k", "J/kg/K", "Its specific heat.", 100, 10000,       \
                        CALC_FALLBACK(CONSTANT_BEAN_HEAT_J_KG_K)),                            \
        CALC_MAY_NUMBER("water_heat_j_kg_k", "J/kg/K", "Specific heat of water.", 100, 10000, \
                        CALC_FALLBACK(CONSTANT_WATER_HEAT_J_KG_K))

static const struct calc_field bath_in[] = {
    SEED_FIELDS,
    CALC_NEED_NUMBER("seed_c", "C", "Temperature of the seed before.", -20, 150),
    CALC_NEED_NUMBER("water_c", "C", "Temperature of the bath before.", 0, 150),
    CALC_MAY_NUMBER("least_c", "C", "The bath must not fall below it.", 0, 150, NULL),
    CALC_MAY_NUMBER("water_kg", "kg", "For the temperature with this much water.", 1e-6, 1e9, NULL),
};

static const struct calc_output bath_out[] = {
    CALC_OUT_UP("water_kg", "kg", "Water that is needed.", 1),
    CALC_OUT("ratio", "kg/kg", "Water per seed."),
    CALC_OUT_DOWN("mix_c", "C", "Temperature of both together.", 0.1),
    CALC_OUT_UP("drop_c", "C", "Fall of the bath.", 0.1),
};

static const struct calc_source mix_sources[] = {
    {"Heat balance without losses", "computed here"},
};

static const char *const bath_constants[] = {"bean_heat_j_kg_k", "water_heat_j_kg_k", NULL};

static const char *const bath_cautions[] = {
    "Losses to walls and air come on top; wet or soaked seed takes up more heat than dry.",
    "The bath falls first where the seed goes in: stir, and measure there.", NULL};

static struct heat_stuff seed_read(const json_t *in, const char *temp)
{
    return (struct heat_stuff){.mass_kg = calc_number(in, "seed_kg"),
                               .heat_j_kg_k = calc_number(in, "seed_heat_j_kg_k"),
                               .temp_c = calc_number(in, temp)};
}

static struct result mix_put(const json_t *in, const struct heat_stuff *seed,
                             struct calc_answer *out)
{
    struct heat_stuff water = {.mass_kg = calc_number(in, "water_kg"),
                               .heat_j_kg_k = calc_number(in, "water_heat_j_kg_k"),
                               .temp_c = calc_number(in, "water_c")};
    double mix_c;
    TRY(heat_mix_c(seed, &water, &mix_c));
    calc_put_number(out, "mix_c", mix_c);
    return RESULT_OK;
}

static struct result bath_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_stuff seed = seed_read(in, "seed_c");
    if (calc_has(in, "least_c") == calc_has(in, "water_kg")) {
        return FAIL1(FIELD_MISSING, "least_c", "Give either it or water_kg.");
    }
    if (calc_has(in, "least_c")) {
        double water_kg;
        TRY(heat_bath_kg(&seed, calc_number(in, "water_heat_j_kg_k"), calc_number(in, "water_c"),
                         calc_number(in, "least_c"), &water_kg));
        calc_put_number(out, "water_kg", water_kg);
        calc_put_number(out, "ratio", water_kg / seed.mass_kg);
        return RESULT_OK;
    }
    TRY(mix_put(in, &seed, out));
    double mix_c = json_number_value(json_object_get(out->results, "mix_c"));
    calc_put_number(out, "drop_c", calc_number(in, "water_c") - mix_c);
    calc_put_number(out, "ratio", calc_number(in, "water_kg") / seed.mass_kg);
    return RESULT_OK;
}

/* Cooling */

static const struct calc_field cooling_in[] = {
    SEED_FIELDS,
    CALC_NEED_NUMBER("hot_c", "C", "Temperature of the seed.", -20, 150),
    CALC_NEED_NUMBER("final_c", "C", "Temperature that it must come down to.", 0, 150),
    CALC_NEED_NUMBER("water_c", "C", "Temperature of the cooling water.", 0, 150),
    CALC_MAY_NUMBER("clinging_kg", "kg", "Hot water that clings to the seed.", 0, 1e9, "0"),
    CALC_MAY_NUMBER("water_kg", "kg", "For the temperature with this much water.", 1e-6, 1e9, NULL),
};

static const struct calc_output cooling_out[] = {
    CALC_OUT("heat_mj", "MJ", "Heat to take out."),
    CALC_OUT_UP("water_kg", "kg", "Cooling water that is needed.", 1),
    CALC_OUT_UP("ice_kg", "kg", "Ice that would do instead of water.", 0.1),
    CALC_OUT("mix_c", "C", "Temperature with the water given, nothing clinging."),
};

static const char *const cooling_constants[] = {"bean_heat_j_kg_k", "water_heat_j_kg_k",
                                                "ice_melting_kj_kg", NULL};

static const char *const cooling_cautions[] = {
    "Cooling water must be of drinking quality: seed takes it up.",
    "Losses and gains through walls and air are not in it; the core follows later.", NULL};

static struct result cooling_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_stuff seed = seed_read(in, "hot_c");
    struct heat_cooling r;
    TRY(heat_cooling(&seed, calc_number(in, "clinging_kg"), calc_number(in, "water_heat_j_kg_k"),
                     calc_number(in, "water_c"), calc_number(in, "final_c"), &r));
    calc_put_number(out, "heat_mj", r.heat_j / 1e6);
    calc_put_number(out, "water_kg", r.water_kg);
    calc_put_number(out, "ice_kg", r.ice_kg);
    return calc_has(in, "water_kg") ? mix_put(in, &seed, out) : RESULT_OK;
}

const struct calc_row heat_bean_rows[] = {
    {
        .name = "sphere-conduction",
        .discipline = "heat",
        .purpose = "How far heat has gone into a sphere.",
        .formula = "theta = sum C_n e^(-zeta_n^2 Fo) sin(zeta_n r)/(zeta_n r), 1 - zeta cot zeta = "
                   "Bi",
        .in = sphere_in,
        .in_count = CALC_COUNT(sphere_in),
        .out = sphere_out,
        .out_count = CALC_COUNT(sphere_out),
        .sources = sphere_sources,
        .source_count = CALC_COUNT(sphere_sources),
        .constants = no_constants,
        .cautions = sphere_cautions,
        .example = "{\"biot\": 10, \"fourier\": [0.1, 0.3, 0.5], \"theta\": 0.1}",
        .run = sphere_run,
    },
    {
        .name = "bean-core",
        .discipline = "heat",
        .purpose =
            "When the heat of a bath reaches the core of a bean, and what it is worth there.",
        .formula = "Fourier series of the sphere under a bath of straight lines; F by lethality",
        .in = bean_in,
        .in_count = CALC_COUNT(bean_in),
        .out = bean_out,
        .out_count = CALC_COUNT(bean_out),
        .sources = sphere_sources,
        .source_count = CALC_COUNT(sphere_sources),
        .constants = bean_constants,
        .cautions = bean_cautions,
        .example = "{\"points\": [[0, 85], [10, 85], [20, 84.5], [40, 84]], \"start_c\": 20, "
                   "\"semi_axes_mm\": [2.4, 1.9, 1.8]}",
        .run = bean_run,
    },
    {
        .name = "bath-size",
        .discipline = "heat",
        .purpose = "How much hot water a load of seed needs, or how far its bath falls.",
        .formula = "m_w = m_s c_s (Tmix - T_s) / (c_w (T_w - Tmix))",
        .in = bath_in,
        .in_count = CALC_COUNT(bath_in),
        .out = bath_out,
        .out_count = CALC_COUNT(bath_out),
        .sources = mix_sources,
        .source_count = CALC_COUNT(mix_sources),
        .constants = bath_constants,
        .cautions = bath_cautions,
        .example = "{\"seed_kg\": 100, \"seed_c\": 20, \"water_c\": 90, \"least_c\": 85}",
        .run = bath_run,
    },
    {
        .name = "seed-cooling",
        .discipline = "heat",
        .purpose = "How much cold water or ice stops the heat in a load of seed.",
        .formula = "m_w = (m_s c_s + m_a c_w)(T_hot - T_f) / (c_w (T_f - T_w)); m_ice = Q/(L + c_w "
                   "T_f)",
        .in = cooling_in,
        .in_count = CALC_COUNT(cooling_in),
        .out = cooling_out,
        .out_count = CALC_COUNT(cooling_out),
        .sources = mix_sources,
        .source_count = CALC_COUNT(mix_sources),
        .constants = cooling_constants,
        .cautions = cooling_cautions,
        .example = "{\"seed_kg\": 100, \"hot_c\": 85, \"final_c\": 25, \"water_c\": 4, "
                   "\"clinging_kg\": 20}",
        .run = cooling_run,
    },
};

const size_t heat_bean_row_count = CALC_COUNT(heat_bean_rows);

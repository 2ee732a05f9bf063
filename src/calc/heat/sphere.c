#include "calc/heat/sphere.h"

#include <math.h>

#include "base/check.h"
#include "calc/heat/lethal_rate.h"
#include "calc/heat/within.h"

enum { BISECTIONS = 200 };

/* First step of the Fourier number in an interval, and how the steps grow with what has passed. */
#define FOURIER_STEP 5e-4
#define FOURIER_GROWTH 0.01
/* What a mode may lack and still be left out. */
#define LACK_LEAST_C 1e-13
#define FOURIER_LEAST 1e-5

/* Zero of (1 - Bi) sin z - z cos z in ((n-1) pi, n pi); at the left end its sign is that of -Bi. */
static double zeta_find(double biot, int n)
{
    double low = (n - 1) * M_PI, high = n * M_PI;
    if (isinf(biot)) {
        return high;
    }
    double sign = n % 2 == 1 ? 1 : -1;
    for (int i = 0; i < BISECTIONS && high - low > 1e-16 * high; i++) {
        double z = (low + high) / 2;
        bool below = sign * ((1 - biot) * sin(z) - z * cos(z)) < 0;
        *(below ? &low : &high) = z;
    }
    return (low + high) / 2;
}

static double sinc(double x)
{
    return fabs(x) < 1e-8 ? 1 : sin(x) / x;
}

/* (sin z - z cos z), whose terms cancel where z is small. */
static double curl(double z)
{
    return z < 0.05 ? z * z * z * (1.0 / 3 - z * z / 30 + z * z * z * z / 840)
                    : sin(z) - z * cos(z);
}

/* 2 z - sin 2 z, the same way. */
static double spread(double z)
{
    double w = 2 * z;
    return w < 0.05 ? w * w * w * (1.0 / 6 - w * w / 120 + w * w * w * w / 5040) : w - sin(w);
}

struct result sphere_make(double biot, struct sphere *out)
{
    *out = (struct sphere){.biot = biot};
    if (!isinf(biot) || biot < 0) {
        TRY(within("biot", biot, 1e-6, 1e9, "from 0.000001 to 1e9, or without bound"));
    }
    for (int i = 0; i < SPHERE_MODES; i++) {
        double z = zeta_find(biot, i + 1);
        out->zeta[i] = z;
        out->weight[i] = 4 * curl(z) / spread(z);
        out->shape[i][SPHERE_CENTRE] = 1;
        out->shape[i][SPHERE_HALF] = sinc(z / 2);
        out->shape[i][SPHERE_SURFACE] = isinf(biot) ? 0 : sinc(z);
        out->shape[i][SPHERE_MEAN] = 3 * curl(z) / (z * z * z);
    }
    return RESULT_OK;
}

double sphere_theta(const struct sphere *s, enum sphere_place place, double fourier)
{
    CHECK(fourier == 0 || fourier >= FOURIER_LEAST);
    if (fourier == 0) {
        return place == SPHERE_SURFACE && isinf(s->biot) ? 0 : 1;
    }
    double theta = 0;
    for (int i = 0; i < SPHERE_MODES; i++) {
        double damped = exp(-s->zeta[i] * s->zeta[i] * fourier);
        theta += s->weight[i] * damped * s->shape[i][place];
        if (damped < 1e-25) {
            break;
        }
    }
    return theta;
}

double sphere_fourier(const struct sphere *s, double theta)
{
    CHECK(theta > 1e-300 && theta < 1);
    double low = FOURIER_LEAST, high = 1;
    while (sphere_theta(s, SPHERE_CENTRE, high) > theta) {
        low = high;
        high *= 2;
    }
    for (int i = 0; i < BISECTIONS && high - low > 1e-15 * high; i++) {
        double middle = (low + high) / 2;
        *(sphere_theta(s, SPHERE_CENTRE, middle) > theta ? &low : &high) = middle;
    }
    return (low + high) / 2;
}

/* Amplitude of each mode: what a place still lacks to the bath. */
struct state {
    const struct sphere *s;
    double lack_c[SPHERE_MODES];
    size_t modes; /* the rest lack nothing any more */
};

static void state_temps(const struct state *state, double bath_c, double out[SPHERE_PLACES])
{
    for (int p = 0; p < SPHERE_PLACES; p++) {
        out[p] = bath_c;
    }
    for (size_t i = 0; i < state->modes; i++) {
        for (int p = 0; p < SPHERE_PLACES; p++) {
            out[p] += state->lack_c[i] * state->s->shape[i][p];
        }
    }
}

/* One step: the bath goes on by rise_c within step (Fourier number). */
static void step_take(struct state *state, double step, double rise_c)
{
    size_t used = 0;
    for (size_t i = 0; i < state->modes; i++) {
        double z2 = state->s->zeta[i] * state->s->zeta[i];
        double damp = exp(-z2 * step);
        double driven = rise_c == 0 ? 0 : rise_c * (1 - damp) / (z2 * step);
        state->lack_c[i] = state->lack_c[i] * damp - state->s->weight[i] * driven;
        used = fabs(state->lack_c[i]) > LACK_LEAST_C ? i + 1 : used;
    }
    state->modes = used;
}

/* One interval of the log: the bath goes from from_c to to_c within span (Fourier number). Steps
 * are short at its start, where the surface changes fast, and grow with what has passed. */
static void interval_run(struct state *state, const struct lethal_scale *scale, double dt_s,
                         double span, double from_c, double to_c, struct sphere_moment *m)
{
    double next_c[SPHERE_PLACES];
    double done = 0;
    state->modes = from_c == to_c ? state->modes : SPHERE_MODES;
    while (done < span) {
        double step = fmax(FOURIER_STEP, done * FOURIER_GROWTH);
        /* The last two share what is left, so that none is a sliver. */
        step = done + step >= span ? span - done : fmin(step, (span - done) / 2);
        done = step == span - done ? span : done + step;
        step_take(state, step, (to_c - from_c) * step / span);
        state_temps(state, from_c + (to_c - from_c) * (done / span), next_c);
        for (int p = 0; p < SPHERE_PLACES; p++) {
            m->f_s[p] += lethal_piece_s(scale, dt_s * (step / span), m->temp_c[p], next_c[p]);
            m->temp_c[p] = next_c[p];
        }
    }
}

static struct result body_check(const struct sphere_body *body)
{
    TRY(within("radius_m", body->radius_m, 1e-5, 1, "from 0.00001 to 1 m"));
    TRY(within("diffusivity_m2_s", body->diffusivity_m2_s, 1e-9, 1e-3, "from 1e-9 to 1e-3 m2/s"));
    return within("start_c", body->start_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, "from -60 to 300 C");
}

struct result sphere_history(const struct sphere *s, const struct sphere_body *body,
                             const struct heat_log *bath, double reference_c, double z_c,
                             struct sphere_moment *out)
{
    struct lethal_scale scale;
    struct state state = {.s = s, .modes = SPHERE_MODES};
    TRY(body_check(body));
    TRY(heat_log_check(bath));
    TRY(lethal_scale_make(reference_c, z_c, -INFINITY, INFINITY, &scale));
    if (bath->points == 0) {
        return RESULT_OK;
    }
    for (int i = 0; i < SPHERE_MODES; i++) {
        state.lack_c[i] = s->weight[i] * (body->start_c - bath->temp_c[0]);
    }
    struct sphere_moment m = {.f_s = {0}};
    for (int p = 0; p < SPHERE_PLACES; p++) {
        m.temp_c[p] = body->start_c;
    }
    out[0] = m;
    for (size_t i = 1; i < bath->points; i++) {
        double dt_s = (double)(bath->time_ms[i] - bath->time_ms[i - 1]) / 1000;
        double span = body->diffusivity_m2_s * dt_s / (body->radius_m * body->radius_m);
        if (dt_s > 0) {
            interval_run(&state, &scale, dt_s, span, bath->temp_c[(i - 1) * bath->probes],
                         bath->temp_c[i * bath->probes], &m);
        }
        out[i] = m;
        for (int p = 0; p < SPHERE_PLACES; p++) {
            TRY(finite_result("z_c", z_c, m.f_s[p]));
        }
    }
    return RESULT_OK;
}

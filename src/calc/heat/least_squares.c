#include "calc/heat/least_squares.h"

#include <float.h>
#include <math.h>

#include "base/check.h"
#include "calc/sum.h"

enum { P = LEAST_SQUARES_PARAMS, ITERATIONS_MAX = 500, DAMPING_TRIES = 40 };

/* Relative change of the parameters and of the sum at which it stops. */
#define STEP_STOP 1e-12

struct work {
    const struct least_squares_model *model;
    const double *x;
    const double *y;
    size_t n;
    double *miss;  /* [n] */
    double *slope; /* [n * P] */
    double normal[P][P];
    double gradient[P];
};

static double rss_at(const struct work *w, const double *param)
{
    struct sum sum = {0};
    for (size_t i = 0; i < w->n; i++) {
        double miss = w->y[i] - w->model->value(param, w->x[i]);
        sum_add(&sum, miss * miss);
    }
    double rss = sum_value(&sum);
    return isfinite(rss) ? rss : INFINITY;
}

static void slopes_take(struct work *w, const double *param)
{
    const struct least_squares_model *m = w->model;
    double moved[P];
    for (size_t j = 0; j < m->params; j++) {
        moved[j] = param[j];
    }
    for (size_t j = 0; j < m->params; j++) {
        double step = cbrt(DBL_EPSILON) * fmax(fabs(param[j]), 1e-3);
        double up = fmin(param[j] + step, m->high[j]);
        double down = fmax(param[j] - step, m->low[j]);
        for (size_t i = 0; i < w->n; i++) {
            moved[j] = up;
            double above = m->value(moved, w->x[i]);
            moved[j] = down;
            w->slope[i * P + j] = (above - m->value(moved, w->x[i])) / (up - down);
        }
        moved[j] = param[j];
    }
}

static void normal_take(struct work *w, const double *param)
{
    size_t params = w->model->params;
    slopes_take(w, param);
    for (size_t i = 0; i < w->n; i++) {
        w->miss[i] = w->y[i] - w->model->value(param, w->x[i]);
    }
    for (size_t j = 0; j < params; j++) {
        struct sum g = {0};
        for (size_t i = 0; i < w->n; i++) {
            sum_add(&g, w->slope[i * P + j] * w->miss[i]);
        }
        w->gradient[j] = sum_value(&g);
        for (size_t k = 0; k <= j; k++) {
            struct sum s = {0};
            for (size_t i = 0; i < w->n; i++) {
                sum_add(&s, w->slope[i * P + j] * w->slope[i * P + k]);
            }
            w->normal[j][k] = w->normal[k][j] = sum_value(&s);
        }
    }
}

/* Cholesky of normal + damping * its diagonal; false where that has no root. */
static bool root_take(const struct work *w, double damping, double root[P][P])
{
    size_t params = w->model->params;
    for (size_t j = 0; j < params; j++) {
        for (size_t k = 0; k <= j; k++) {
            double sum = w->normal[j][k] * (j == k ? 1 + damping : 1);
            for (size_t l = 0; l < k; l++) {
                sum -= root[j][l] * root[k][l];
            }
            if (j == k && !(sum > 1e-14 * w->normal[j][j])) {
                return false;
            }
            root[j][k] = j == k ? sqrt(sum) : sum / root[k][k];
        }
    }
    return true;
}

static void root_solve(size_t params, const double root[P][P], const double *right, double *out)
{
    for (size_t j = 0; j < params; j++) {
        out[j] = right[j];
        for (size_t k = 0; k < j; k++) {
            out[j] -= root[j][k] * out[k];
        }
        out[j] /= root[j][j];
    }
    for (size_t j = params; j-- > 0;) {
        for (size_t k = j + 1; k < params; k++) {
            out[j] -= root[k][j] * out[k];
        }
        out[j] /= root[j][j];
    }
}

/* Where a step leads, cut back to the bounds; the largest relative change. */
static double step_to(const struct least_squares_model *m, const double *param, const double *step,
                      double *out)
{
    double largest = 0;
    for (size_t j = 0; j < m->params; j++) {
        out[j] = fmin(fmax(param[j] + step[j], m->low[j]), m->high[j]);
        largest = fmax(largest, fabs(out[j] - param[j]) / fmax(fabs(param[j]), 1e-12));
    }
    return largest;
}

/* One better place, or none however small the step; *damping goes on with what worked. */
static bool improve(struct work *w, struct least_squares_fit *fit, double *damping)
{
    double root[P][P], step[P], next[P];
    for (int i = 0; i < DAMPING_TRIES; i++) {
        if (root_take(w, *damping, root)) {
            root_solve(w->model->params, root, w->gradient, step);
            double change = step_to(w->model, fit->param, step, next);
            double rss = rss_at(w, next);
            if (rss <= fit->rss) {
                fit->converged = change < STEP_STOP || rss == fit->rss;
                for (size_t j = 0; j < w->model->params; j++) {
                    fit->param[j] = next[j];
                }
                fit->rss = rss;
                *damping = fmax(*damping / 9, 1e-14);
                return true;
            }
        }
        *damping = fmax(*damping * 4, 1e-10);
    }
    return false;
}

static void errors_take(struct work *w, struct least_squares_fit *fit)
{
    size_t params = w->model->params;
    double root[P][P], unit[P], column[P];
    fit->s = w->n > params ? sqrt(fit->rss / (double)(w->n - params)) : 0;
    normal_take(w, fit->param);
    bool told = w->n > params && root_take(w, 0, root);
    for (size_t j = 0; j < params; j++) {
        for (size_t k = 0; k < params; k++) {
            unit[k] = j == k;
        }
        fit->se[j] = INFINITY;
        if (told) {
            root_solve(params, root, unit, column);
            fit->se[j] = fit->s * sqrt(column[j]);
        }
    }
}

void least_squares(struct arena *a, const struct least_squares_model *model, const double *x,
                   const double *y, size_t n, const double *start, struct least_squares_fit *out)
{
    CHECK(model->params >= 1 && model->params <= P && n >= model->params);
    struct work w = {.model = model,
                     .x = x,
                     .y = y,
                     .n = n,
                     .miss = ARENA_ARRAY(a, double, n),
                     .slope = ARENA_ARRAY(a, double, n *P)};
    double damping = 1e-3;
    *out = (struct least_squares_fit){.converged = false};
    for (size_t j = 0; j < model->params; j++) {
        out->param[j] = start[j];
    }
    out->rss = rss_at(&w, out->param);
    while (!out->converged && out->iterations < ITERATIONS_MAX && isfinite(out->rss)) {
        out->iterations++;
        normal_take(&w, out->param);
        if (!improve(&w, out, &damping)) {
            /* Nothing near is better: this is the least there is, to rounding. */
            out->converged = true;
        }
    }
    errors_take(&w, out);
}

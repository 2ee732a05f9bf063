/* The zero of a function between two points at which it has opposite signs.
 *
 * Bracketing with inverse quadratic interpolation: Chandrupatla 1997, A new hybrid
 * quadratic/bisection algorithm for finding the zero of a nonlinear function without using
 * derivatives, Advances in Engineering Software 28:145-149 - from memory. It never leaves the
 * bracket. */
#ifndef CALC_ROOT_H
#define CALC_ROOT_H

typedef double root_function(double x, const void *with);

/* f(low) and f(high) must not have the same sign (CHECK). The zero is right to some units of its
 * last digit, or where the values of f no longer tell points apart. */
double root_between(root_function *f, const void *with, double low, double high);

#endif

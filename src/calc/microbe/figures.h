/* A result in two significant figures, as laboratories report counts: "38", "3.0", "24000". */
#ifndef CALC_MICROBE_FIGURES_H
#define CALC_MICROBE_FIGURES_H

enum { FIGURES_SIZE = 40 };

/* value from 0 to 1e30. Half way between two figures the nearer even digit in binary counts. */
void two_figures(double value, char out[FIGURES_SIZE]);

#endif

#include "calc/microbe/figures.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"

void two_figures(double value, char out[FIGURES_SIZE])
{
    CHECK(value >= 0 && value <= 1e30);
    char text[FIGURES_SIZE];
    snprintf(text, sizeof text, "%.1e", value);
    long exponent = strtol(strchr(text, 'e') + 1, NULL, 10);
    int decimals = exponent >= 1 ? 0 : (int)(1 - exponent);
    snprintf(out, FIGURES_SIZE, "%.*f", decimals < 20 ? decimals : 20, strtod(text, NULL));
}

/* A count of colonies from several plates and dilutions, with its limits.
 *
 *   N = sum of counts/sum of sample on the plates
 *
 * which is the weighted mean of ISO 7218, C/(V (n1 + 0.1 n2) d), for two dilutions, and the most
 * likely level under Poisson counts (from memory: ISO 7218; BAM chapter 3). Limits of 95 %:
 *   exact   chi-square, 0.025 at 2C and 0.975 at 2C + 2 degrees of freedom, half of it
 *   short   (C + 1.92 +- 1.96 sqrt(C)), the form of ISO 7218 (from memory)
 * Plates with too many to count are not thrown away: each adds the chance of a count of at least
 * its limit to the likelihood (vignette of the R package MPN 0.3.0 after Haas, published (seen)),
 * and the limits are then where twice its logarithm has fallen by 3.841459. */
#ifndef CALC_MICROBE_PLATE_COUNT_H
#define CALC_MICROBE_PLATE_COUNT_H

#include "base/result.h"

enum { PLATE_COUNT_PLATES_MAX = 100, PLATE_COUNT_COLONIES_MAX = 100000 };

struct plate {
    double sample_ml; /* of the undiluted sample on it (mL or g), 1e-12 .. 1000 */
    int64_t colonies; /* counted; or of too many to count, the least they can be: 1 or more */
};

enum plate_count_state {
    PLATE_COUNT_GOOD,  /* some plate within the countable range, none above it */
    PLATE_COUNT_LOW,   /* all plates below it */
    PLATE_COUNT_HIGH,  /* some counted plate above it */
    PLATE_COUNT_NONE,  /* no colony on any counted plate, and none with too many */
    PLATE_COUNT_ABOVE, /* every plate has too many */
};

struct plate_count_report {
    enum plate_count_state state;
    int64_t colonies; /* counted */
    double sample_ml; /* on the counted plates */
    double per_ml;    /* 0 where none; not there (0) where every plate has too many */
    double bound;     /* none: fewer than this per mL; above: more than this; else 0 */
    double low;       /* exact; from the likelihood where some plate has too many */
    double high;      /* not there (0) where every plate has too many */
    double short_low; /* without plates with too many only; never below zero */
    double short_high;
};

/* counted: counts; over: plates with too many to count. Together 1 .. PLATE_COUNT_PLATES_MAX.
 * FIELD_RANGE, NUMBER_BAD on plates, plates[i][j], too_many[i][j]. */
MUST_USE struct result plate_count(const struct plate *counted, size_t counted_count,
                                   const struct plate *over, size_t over_count,
                                   struct plate_count_report *out);
const char *plate_count_state_word(enum plate_count_state state);

/* Expanded uncertainty (k = 2) of a count, in log10: U = 2 sqrt(sR^2 + 0.18861/C); sR the standard
 * deviation of reproducibility of the method, ISO/TS 19036:2006/Amd 1:2009 (published (seen)). */
struct count_uncertainty {
    double log10_units;
    double low;  /* per mL */
    double high; /* per mL */
    double
        printed_low; /* from the uncertainty rounded to two decimals, as the standard prints it */
    double printed_high;
};

/* per_ml 1e-12 .. 1e18, colonies 1 .. 1e9, sd_log10 0 .. 5. FIELD_RANGE, NUMBER_BAD. */
MUST_USE struct result count_uncertainty(double per_ml, int64_t colonies, double sd_log10,
                                         struct count_uncertainty *out);

#endif

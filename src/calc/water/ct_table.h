/* The published CT tables, and the look-up in them.
 *
 * On the safe side: the temperature row at or below the water's, the pH column and the chlorine row
 * at or above it. Colder than the first row, weaker or more acid than the table: its first row.
 * Above 3 mg/L: the row of 3 mg/L. Interpolation between neighbours goes below that and is offered
 * for comparison only. CT in mg min/L; values and sources in giardia_ct.def, ct_temperature.def. */
#ifndef CALC_WATER_CT_TABLE_H
#define CALC_WATER_CT_TABLE_H

#include "base/result.h"

enum ct_organism { CT_GIARDIA, CT_VIRUS };
enum ct_disinfectant { CT_FREE_CHLORINE, CT_CHLORINE_DIOXIDE, CT_OZONE, CT_CHLORAMINE };

struct ct_water {
    double residual_mg_l; /* 0 .. 50 */
    double ph;
    double temp_c; /* 0 .. 60 */
};

struct ct_cell {
    double ct;
    double log; /* the decimals that the table is for */
    double temp_c;
    double ph;            /* upper end of the column */
    double residual_mg_l; /* of the row; 0 where the table knows none */
    bool off_trend;       /* the cell of giardia_ct.def that breaks its neighbours' run */
};

/* "free-chlorine", "chlorine-dioxide", "ozone", "chloramine" */
const char *ct_disinfectant_word(enum ct_disinfectant disinfectant);
/* The other way; the word must be one of them (CHECK). */
enum ct_disinfectant ct_disinfectant_find(const char *word);

/* Is there a table for this organism by this disinfectant? Viruses: free chlorine only. */
bool ct_table_has(enum ct_organism organism, enum ct_disinfectant disinfectant);

/* The table must be there (CHECK). ph: giardia 5 .. 9; virus 6 .. 10. NUMBER_BAD, FIELD_RANGE on
 * residual_mg_l, ph, temp_c. */
MUST_USE struct result ct_table_find(enum ct_organism organism, enum ct_disinfectant disinfectant,
                                     const struct ct_water *water, struct ct_cell *out);

/* Between the eight neighbours in giardia_ct.def, straight in each direction, within the table's
 * edges. Same errors. */
MUST_USE struct result ct_table_between(const struct ct_water *water, double *out_ct);

#endif

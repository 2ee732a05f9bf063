/* What a dose asks for, as the record has it: whole numbers in and out (calc/water/dosing.h). */
#ifndef CALC_WATER_DOSE_RECORD_H
#define CALC_WATER_DOSE_RECORD_H

#include "calc/water/dosing.h"

/* A product by its certificate, or by what a titration found since. */
struct dose_record_product {
    enum dose_substance substance;
    enum dose_strength form;
    bool of_chlorine;       /* the strength counts available chlorine; else the salt or acid */
    int64_t strength_milli; /* thousandths of a percent, or of g/L */
    int64_t density_milli;  /* thousandths of kg/L; 0: not known */
};

struct dose_record_ask {
    int64_t target_milli, now_milli; /* thousandths of mg/L of what is counted */
    enum dose_counts counts;
    int64_t volume_ml;
};

struct dose_record {
    int64_t product_mg; /* nearest; 0: not known */
    int64_t product_ul; /* likewise */
    int64_t water_ml;   /* instead: to thin what is too strong, rounded up */
};

/* The errors of dosing. */
MUST_USE struct result dose_record(const struct dose_record_product *product,
                                   const struct dose_record_ask *ask, struct dose_record *out);

#endif

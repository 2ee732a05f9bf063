/* The contact time of a chain of tanks as the record has it: whole numbers in and out.
 *
 * Judged by the worst of a period, whenever each was read: lowest residual, highest pH, lowest
 * temperature, and in each tank the highest flow (calc/water/ct_credit.h for the arithmetic; that
 * the four are taken together although they need not have met is on the safe side). Decimals are
 * rounded down. */
#ifndef CALC_WATER_CT_RECORD_H
#define CALC_WATER_CT_RECORD_H

#include "calc/water/ct_credit.h"

enum { CT_RECORD_TANKS_MAX = 20 };

struct ct_record_tank {
    int64_t volume_ml;      /* at its lowest level in use, 1 .. 1e12 */
    int64_t flow_ml_min;    /* at its highest, 1 .. 1e12 */
    int64_t baffling_milli; /* 10 .. 1000 */
};

/* Thousandths of mg/L, of pH and of a degree Celsius. */
struct ct_record_water {
    int64_t chlorine_milli, ph_milli, temp_mc;
};

struct ct_record {
    int64_t giardia_milli, virus_milli; /* thousandths of a decimal */
    int64_t ct_milli;                   /* mg min/L */
    int64_t t10_ms;
};

/* each: room for count, or NULL. count 0 .. CT_RECORD_TANKS_MAX; no tank is worth nothing. Beyond
 * the tables the edge on the safe side counts: water warmer than 60 C as 60 C, more than 50 mg/L
 * as that. FIELD_RANGE as ct_credit has it. */
MUST_USE struct result ct_record(const struct ct_record_tank *tanks, size_t count,
                                 const struct ct_record_water *worst, struct ct_record *each,
                                 struct ct_record *out);

#endif

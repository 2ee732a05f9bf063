/* What a chain of tanks and pipes with free chlorine in them is worth: contact time, CT and the
 * decimals of Giardia and viruses, segment by segment.
 *
 *   t10 = baffling * volume / flow      CT = residual at the segment's end * t10
 *   decimals = sum over the segments of L(table) * CT / CT(table)
 *
 * The CT of the tables is looked up on the safe side (calc/water/ct_table.h). A segment whose pH no
 * table covers brings nothing and is counted as uncovered. */
#ifndef CALC_WATER_CT_CREDIT_H
#define CALC_WATER_CT_CREDIT_H

#include "calc/water/ct_table.h"

struct ct_segment {
    double volume_l;       /* above 0, at its lowest level in use */
    double flow_l_min;     /* above 0, at its highest */
    double baffling;       /* t10 as a share of volume / flow, 0.01 .. 1 */
    struct ct_water water; /* measured at the segment's end */
};

struct ct_segment_credit {
    double t10_min;
    double ct;          /* mg min/L */
    double ct3_giardia; /* CT of the table for 3 decimals; 0 where the pH is uncovered */
    double ct4_virus;   /* for 4 decimals; likewise */
    double giardia_log;
    double virus_log;
};

struct ct_credit {
    double t10_min; /* sums */
    double ct;
    double giardia_log; /* the tables say nothing above 3 */
    double virus_log;   /* nor above 4 */
    size_t uncovered;   /* segments that brought nothing for giardia or viruses */
};

enum { CT_SEGMENTS_MAX = 200 };

#define CT_GIARDIA_LOG_MAX 3.0
#define CT_VIRUS_LOG_MAX 4.0

/* Minutes that nine tenths of the water stay at least. volume_l 1e-6 .. 1e9, flow_l_min 1e-6 ..
 * 1e9, baffling 0.01 .. 1. NUMBER_BAD, FIELD_RANGE on volume_l, flow_l_min, baffling. */
MUST_USE struct result contact_time(double volume_l, double flow_l_min, double baffling,
                                    double *out_min);

/* each: room for count credits, or NULL. count 1 .. CT_SEGMENTS_MAX. NUMBER_BAD, FIELD_RANGE on
 * segments, segments[i].volume_l and so on. */
MUST_USE struct result ct_credit(const struct ct_segment *segments, size_t count,
                                 struct ct_segment_credit *each, struct ct_credit *out);

#endif

#include "calc/water/ct_credit.h"

#include <stdio.h>

#include "calc/range.h"

#define SIZE_LOW 1e-6
#define SIZE_HIGH 1e9

struct result contact_time(double volume_l, double flow_l_min, double baffling, double *out_min)
{
    *out_min = 0;
    TRY(range_number("volume_l", volume_l, SIZE_LOW, SIZE_HIGH));
    TRY(range_number("flow_l_min", flow_l_min, SIZE_LOW, SIZE_HIGH));
    TRY(range_number("baffling", baffling, 0.01, 1));
    *out_min = baffling * volume_l / flow_l_min;
    return RESULT_OK;
}

/* 0 where no table covers the pH. */
static struct result table_ct(enum ct_organism organism, const struct ct_water *water, double *out)
{
    struct ct_cell cell;
    bool covered =
        organism == CT_VIRUS ? water->ph >= 6 && water->ph <= 10 : water->ph >= 5 && water->ph <= 9;
    *out = 0;
    if (!covered) {
        return RESULT_OK;
    }
    TRY(ct_table_find(organism, CT_FREE_CHLORINE, water, &cell));
    *out = cell.ct;
    return RESULT_OK;
}

static struct result segment_credit(const struct ct_segment *s, struct ct_segment_credit *out)
{
    *out = (struct ct_segment_credit){0};
    TRY(contact_time(s->volume_l, s->flow_l_min, s->baffling, &out->t10_min));
    TRY(range_number("ph", s->water.ph, 0, 14));
    TRY(range_number("residual_mg_l", s->water.residual_mg_l, 0, 50));
    TRY(range_number("temp_c", s->water.temp_c, 0, 60));
    TRY(table_ct(CT_GIARDIA, &s->water, &out->ct3_giardia));
    TRY(table_ct(CT_VIRUS, &s->water, &out->ct4_virus));
    out->ct = s->water.residual_mg_l * out->t10_min;
    if (out->ct3_giardia > 0) {
        out->giardia_log = CT_GIARDIA_LOG_MAX * out->ct / out->ct3_giardia;
    }
    if (out->ct4_virus > 0) {
        out->virus_log = CT_VIRUS_LOG_MAX * out->ct / out->ct4_virus;
    }
    return RESULT_OK;
}

struct result ct_credit(const struct ct_segment *segments, size_t count,
                        struct ct_segment_credit *each, struct ct_credit *out)
{
    *out = (struct ct_credit){0};
    TRY(range_check("segments", (int64_t)count, 1, CT_SEGMENTS_MAX));
    struct ct_credit sum = {0};
    for (size_t i = 0; i < count; i++) {
        struct ct_segment_credit one;
        struct result r = segment_credit(&segments[i], &one);
        if (r.code != CODE_OK) {
            char field[64];
            snprintf(field, sizeof field, "segments[%zu].%.20s", i, r.field);
            return result_make(r.code, field, r.value[0], r.value[1], NULL);
        }
        sum.t10_min += one.t10_min;
        sum.ct += one.ct;
        sum.giardia_log += one.giardia_log;
        sum.virus_log += one.virus_log;
        sum.uncovered += one.ct3_giardia == 0 || one.ct4_virus == 0;
        if (each != NULL) {
            each[i] = one;
        }
    }
    *out = sum;
    return RESULT_OK;
}

#include "calc/water/ct_record.h"

#include <math.h>

#include "calc/range.h"

#define MILLI 1000.0
#define MS_PER_MIN 60000.0
/* What binary fractions lose of a whole thousandth. */
#define SLIP 1e-6

static int64_t down(double value)
{
    return (int64_t)floor(value + SLIP);
}

static struct ct_record whole(double giardia, double virus, double ct, double t10_min)
{
    return (struct ct_record){.giardia_milli = down(giardia * MILLI),
                              .virus_milli = down(virus * MILLI),
                              .ct_milli = down(ct * MILLI),
                              .t10_ms = down(t10_min * MS_PER_MIN)};
}

struct result ct_record(const struct ct_record_tank *tanks, size_t count,
                        const struct ct_record_water *worst, struct ct_record *each,
                        struct ct_record *out)
{
    struct ct_segment segments[CT_RECORD_TANKS_MAX];
    struct ct_segment_credit credits[CT_RECORD_TANKS_MAX];
    struct ct_credit sum;
    *out = (struct ct_record){0};
    TRY(range_check("segments", (int64_t)count, 0, CT_RECORD_TANKS_MAX));
    if (count == 0) {
        return RESULT_OK;
    }
    struct ct_water water = {
        .residual_mg_l = fmin((double)worst->chlorine_milli / MILLI, 50),
        .ph = (double)worst->ph_milli / MILLI,
        .temp_c = fmin(fmax((double)worst->temp_mc / MILLI, 0), 60),
    };
    for (size_t i = 0; i < count; i++) {
        segments[i] = (struct ct_segment){
            .volume_l = (double)tanks[i].volume_ml / MILLI,
            .flow_l_min = (double)tanks[i].flow_ml_min / MILLI,
            .baffling = (double)tanks[i].baffling_milli / MILLI,
            .water = water,
        };
    }
    TRY(ct_credit(segments, count, credits, &sum));
    for (size_t i = 0; i < count && each != NULL; i++) {
        each[i] =
            whole(credits[i].giardia_log, credits[i].virus_log, credits[i].ct, credits[i].t10_min);
    }
    *out = whole(sum.giardia_log, sum.virus_log, sum.ct, sum.t10_min);
    return RESULT_OK;
}

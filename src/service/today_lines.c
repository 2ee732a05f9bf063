/* Trucks that the day's sequence brings late or only just in time. */
#include "service/today.h"
#include "service/view_dayline.h"

struct result today_lines(struct today *t)
{
    const struct lines *l = &t->v->profile->lines;
    struct dayline d;
    if (!l->given || !today_wants(t, TODAY_TRUCK)) {
        return RESULT_OK;
    }
    TRY(dayline_read(t->v, t->day, &d));
    for (int i = 0; i < d.problem.truck_count; i++) {
        const struct day_truck_told told = day_tell_truck(d.sequence, i);
        if (told.job < 0 || told.slack >= l->margin_ms / 60000) {
            continue;
        }
        today_add(t, &(struct today_line){.what = TODAY_TRUCK,
                                          .about = d.problem.trucks[i].code,
                                          .tone = told.slack < 0 ? NULL : "waiting",
                                          .by_ms = dayline_ms(&d, d.problem.trucks[i].cut_off),
                                          .sentence = view_dayline_truck(t->v, &d, i)});
    }
    return RESULT_OK;
}

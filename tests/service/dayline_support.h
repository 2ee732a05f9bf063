/* The house of the ledger's tests with a second family, customers in groups, and chambers planned
 * for a week ahead. */
#ifndef TESTS_SERVICE_DAYLINE_SUPPORT_H
#define TESTS_SERVICE_DAYLINE_SUPPORT_H

#include "stock.h"
#include "view_support.h"

#include "service/dayline.h"

enum { AHEAD = 7 };

static inline void dayline_says(const char *text, const char *part)
{
    if (strstr(text, part) == NULL) {
        fail_msg("\"%s\" does not stand in: %s", part, text);
    }
}

static inline void dayline_open(struct house *h)
{
    house_open(h);
    house_take(h, "{'kind':'item','code':'SOYSEED','item_kind':'seed','family':'soy',"
                  "'allergens':['soy']}");
    house_take(h, "{'kind':'item','code':'SOY','item_kind':'growing','family':'soy',"
                  "'allergens':['soy']}");
    house_take(h, "{'kind':'item','code':'SOY300','item_kind':'packed','family':'soy',"
                  "'allergens':['soy'],'net':'300 g','pieces_per_case':20,'life_days':6,"
                  "'source_item':'SOY'}");
    house_take(h, "{'kind':'partner','code':'COTYLEDON','role':'customer','group':'retail',"
                  "'market':'US','priority':3}");
    house_take(h, "{'kind':'partner','code':'PLUMULA','role':'customer','group':'kitchens',"
                  "'market':'EU'}");
}

/* Soaked today, ready in a week: C1 soy, C2 and C3 mung. */
static inline void dayline_plan(struct house *h)
{
    const char *today = day_text(&h->arena, (int32_t)house_day(h));
    house_take(h,
               "{'kind':'plan-take','starts':["
               "{'day':'%s','place':'C1','item':'SOY','seed':'100 kg','grow_days':7},"
               "{'day':'%s','place':'C2','item':'MUNG','seed':'100 kg','grow_days':7},"
               "{'day':'%s','place':'C3','item':'MUNG','seed':'100 kg','grow_days':7}]}",
               today, today, today);
}

static inline void dayline_order(struct house *h, const char *key, const char *customer,
                                 const char *item, int ahead, int pieces)
{
    house_take(h,
               "{'kind':'order','source':'shop','lines':[{'key':'%s','customer':'%s','item':'%s',"
               "'day':'%s','pieces':%d}]}",
               key, customer, item, day_text(&h->arena, (int32_t)house_day(h) + ahead), pieces);
}

static inline void dayline_of(struct house *h, int ahead, struct dayline *out)
{
    struct view v = view_as(h, 9, "planner");
    assert_ok(dayline_read(&v, (int32_t)house_day(h) + ahead, out));
}

static inline int dayline_job_at(const struct dayline *d, const char *chamber)
{
    for (size_t i = 0; i < d->job_count; i++) {
        if (strcmp(d->jobs[i].chamber, chamber) == 0) {
            return (int)i;
        }
    }
    fail_msg("no job of %s", chamber);
    return -1;
}

static inline const struct day_run *dayline_run(const struct dayline *d, const char *chamber,
                                                const char *stage)
{
    for (int k = 0; k < d->problem.stage_count; k++) {
        if (strcmp(d->problem.stages[k].code, stage) == 0) {
            return &d->sequence->runs[dayline_job_at(d, chamber) * d->problem.stage_count + k];
        }
    }
    fail_msg("no stage %s", stage);
    return NULL;
}

#endif

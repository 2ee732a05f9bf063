#include "ledger/closing.h"

#include "base/civil.h"

static bool covers(const struct closing *c, int32_t day)
{
    return day >= c->from_day && day <= c->to_day && (c->weekdays >> day_weekday(day) & 1) != 0;
}

unsigned closing_of(const struct profile *p, int32_t day)
{
    unsigned what = 0;
    for (size_t i = 0; i < p->planning.closing_count; i++) {
        what |= covers(&p->planning.closings[i], day) ? p->planning.closings[i].what : 0;
    }
    return what;
}

const struct closing *closing_on(const struct profile *p, int32_t day, unsigned what)
{
    for (size_t i = 0; i < p->planning.closing_count; i++) {
        const struct closing *c = &p->planning.closings[i];
        if ((c->what & what) != 0 && covers(c, day)) {
            return c;
        }
    }
    return NULL;
}

int32_t closing_leaves(const struct profile *p, int32_t day, int32_t not_before)
{
    for (int32_t at = day; at >= not_before && at >= day - CLOSING_BACK_DAYS; at--) {
        if ((closing_of(p, at) & CLOSES_DISPATCH) == 0) {
            return at;
        }
    }
    return day;
}

const char *closing_id(enum closes what)
{
    return what == CLOSES_SOAK      ? "soak"
           : what == CLOSES_HARVEST ? "harvest"
           : what == CLOSES_PACK    ? "pack"
                                    : "dispatch";
}

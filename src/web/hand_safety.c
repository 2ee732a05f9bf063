/* Pages of food safety: each asks one function of the service. */
#include "base/civil.h"
#include "service/view_calendar.h"
#include "service/view_inspection.h"
#include "service/view_registers.h"
#include "service/view_safety.h"
#include "service/view_treatment.h"
#include "web/web_inner.h"

/* Five sites of ten each fortnight: the least that practice asks of the smallest packhouse
 * (common practice). */
enum { PER_ROUND = 5, PER_ROUND_MAX = 500, DAYS_MAX = 400, SACKS_MAX = 100000 };

struct result hand_safety(struct call *c)
{
    return view_safety(c->view, &c->out);
}

struct result hand_schedule(struct call *c)
{
    const char *text = target_query(&c->target, "per_round");
    int64_t per_round = PER_ROUND;
    if (text != NULL) {
        TRY(call_number(text, "per_round", 1, PER_ROUND_MAX, &per_round));
    }
    return view_schedule(c->view, per_round, &c->out);
}

struct result hand_calendar(struct call *c)
{
    return view_calendar(c->view, &c->out);
}

struct result hand_registers(struct call *c)
{
    return view_registers(c->view, &c->out);
}

struct result hand_inspection(struct call *c)
{
    const char *form = target_query(&c->target, "form"), *sacks = target_query(&c->target, "sacks");
    struct view_inspection_asked asked = {.form = form != NULL ? form : "",
                                          .supplier = target_query(&c->target, "supplier"),
                                          .item = target_query(&c->target, "item"),
                                          .lot = target_query(&c->target, "lot")};
    if (sacks != NULL) {
        TRY(call_number(sacks, "sacks", 1, SACKS_MAX, &asked.sacks));
    }
    return view_inspection(c->view, &asked, &c->out);
}

struct result hand_complaints(struct call *c)
{
    return view_complaints(c->view, &c->out);
}

struct result hand_waters(struct call *c)
{
    int32_t from, to;
    TRY(call_day(c, "from", &from));
    TRY(call_day(c, "to", &to));
    if (to < from || to - from > DAYS_MAX) {
        return FAIL2(FIELD_RANGE, "to", day_text(c->arena, to), "from to 400 days later");
    }
    return view_waters(c->view, from, to, &c->out);
}

struct result hand_treatment(struct call *c)
{
    return view_treatment(c->view, c->part[0], &c->out);
}

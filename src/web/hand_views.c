/* Pages that read: each asks one function of the service. */
#include <string.h>

#include "service/health.h"
#include "service/view_ask.h"
#include "service/view_balance.h"
#include "service/view_chambers.h"
#include "service/view_daybook.h"
#include "service/view_days.h"
#include "service/view_forms.h"
#include "service/view_holds.h"
#include "service/view_house.h"
#include "service/view_keeping.h"
#include "service/view_packing.h"
#include "service/view_review.h"
#include "service/view_samples.h"
#include "service/view_today.h"
#include "web/web_inner.h"

struct result hand_today(struct call *c)
{
    int32_t day;
    json_t *health = NULL;
    TRY(call_day(c, "day", &day));
    TRY(health_read(c->reader, c->arena, &health));
    struct result r = view_today(c->view, day, health, &c->out);
    json_decref(health);
    return r;
}

struct result hand_days(struct call *c)
{
    int32_t from, to;
    TRY(call_day(c, "from", &from));
    TRY(call_day(c, "to", &to));
    return view_days(c->view, from, to, &c->out);
}

struct result hand_chambers(struct call *c)
{
    return view_chambers(c->view, &c->out);
}

struct result hand_chamber(struct call *c)
{
    return view_chamber(c->view, c->part[0], &c->out);
}

struct result hand_daybook(struct call *c)
{
    struct view_daybook_question question = {.day = target_query(&c->target, "day"),
                                             .kind = target_query(&c->target, "kind"),
                                             .lot = target_query(&c->target, "lot"),
                                             .cursor = target_query(&c->target, "cursor")};
    TRY(call_limit(c, &question.limit));
    TRY(view_daybook(c->view, &question, &c->out));
    call_next(c);
    return RESULT_OK;
}

struct result hand_entry(struct call *c)
{
    int64_t seq;
    TRY(call_number(c->part[0], "seq", 1, INT64_C(1) << 40, &seq));
    return view_entry(c->view, seq, &c->out);
}

struct result hand_review(struct call *c)
{
    return view_review(c->view, &c->out);
}

struct result hand_holds(struct call *c)
{
    const char *open = target_query(&c->target, "open");
    if (open != NULL && strcmp(open, "true") != 0 && strcmp(open, "false") != 0) {
        return FAIL2(FIELD_CHOICE, "open", open, "true, false");
    }
    return view_holds(c->view, open == NULL || strcmp(open, "true") == 0, &c->out);
}

struct result hand_samples(struct call *c)
{
    return view_samples(c->view, &c->out);
}

struct result hand_packing(struct call *c)
{
    return view_packing(c->view, &c->out);
}

struct result hand_keeping(struct call *c)
{
    return view_keeping(c->view, &c->out);
}

struct result hand_forms(struct call *c)
{
    return view_forms(c->view, &c->out);
}

struct result hand_house(struct call *c)
{
    return view_house(c->view, &c->out);
}

struct result hand_limits(struct call *c)
{
    return view_limits(c->view, &c->out);
}

struct result hand_ask(struct call *c)
{
    struct view_ask_question question = {.about = target_query(&c->target, "about"),
                                         .of = target_query(&c->target, "of"),
                                         .with = target_query(&c->target, "with")};
    if (question.about == NULL) {
        return FAIL1(FIELD_MISSING, "about", "Say what kind of number is asked.");
    }
    return view_ask(c->view, &question, &c->out);
}

struct result hand_balance(struct call *c)
{
    return view_balance(c->view, &c->out);
}

struct result hand_health(struct call *c)
{
    return health_read(c->reader, c->arena, &c->out);
}

struct result hand_people(struct call *c)
{
    return view_people(c->view, &c->out);
}

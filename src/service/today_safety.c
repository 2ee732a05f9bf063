/* What the house's schedule, its work orders, and the rules that were broken ask for. */
#include <string.h>

#include "ledger/duty.h"
#include "service/safety.h"
#include "service/today.h"

static const char *said(const struct view *v, const struct duty *d)
{
    return d->place == NULL ? d->title : arena_printf(v->arena, "%s (%s)", d->title, d->place);
}

static void add_duty(struct today *t, const struct duty *d)
{
    struct view *v = t->v;
    bool overdue = d->state == DUTY_OVERDUE, blocks = overdue && d->blocks;
    bool instrument = strcmp(d->by, "instrument-check") == 0;
    const char *key = blocks                  ? "today.blocked"
                      : overdue               ? "today.duty-overdue"
                      : d->state == DUTY_LATE ? "today.duty-late"
                                              : "today.duty";
    struct duty_way way = duty_way(d);
    today_add(t, &(struct today_line){.what = blocks       ? TODAY_BLOCKED
                                              : instrument ? TODAY_INSTRUMENT
                                                           : TODAY_DUTY,
                                      .about = d->code,
                                      .role = blocks ? NULL : d->role,
                                      .place = d->place,
                                      .by_ms = d->due_ms,
                                      .tone = overdue ? "stopped" : NULL,
                                      .form = way.form,
                                      .verb = way.verb,
                                      .page = "record",
                                      .with = way.with,
                                      .sentence = SAY(v, key, said(v, d), view_clock(v, d->due_ms),
                                                      d->place != NULL ? d->place : "")});
}

static struct result duties(struct today *t)
{
    struct duty *list;
    size_t count;
    TRY(duties_at(t->v->store, t->v->arena, t->v->now_ms, &list, &count));
    for (size_t i = 0; i < count; i++) {
        if (list[i].state != DUTY_DONE) {
            add_duty(t, &list[i]);
        }
    }
    return RESULT_OK;
}

static struct result work_orders(struct today *t)
{
    struct view *v = t->v;
    struct listed *list;
    size_t count;
    TRY(listed_all(v->store, v->arena, "work-order", &list, &count));
    for (size_t i = 0; i < count; i++) {
        const char *place = list[i].place != NULL ? list[i].place : "";
        if (listed_int(&list[i], "by") == v->person) {
            continue; /* a second person clears it */
        }
        today_add(t, &(struct today_line){.what = TODAY_WORK,
                                          .about = list[i].code,
                                          .place = list[i].place,
                                          .role = profile_told(v->profile, "hand-back"),
                                          .with = today_with("work_order", list[i].code),
                                          .sentence = SAY(v, "today.work-order", list[i].code,
                                                          place, view_clock(v, list[i].at_ms),
                                                          listed_text(&list[i], "what"))});
    }
    listed_free(list, count);
    return RESULT_OK;
}

/* Who told what was done never verifies it. */
static struct result deviations(struct today *t)
{
    struct view *v = t->v;
    struct deviation *list;
    size_t count;
    TRY(deviations_open(v, &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct deviation *d = &list[i];
        const char *entry = view_number(v, d->entry);
        bool told = d->action != 0;
        if (told && d->action_person == v->person) {
            continue;
        }
        today_add(t, &(struct today_line){
                         .what = told ? TODAY_VERIFY : TODAY_DEVIATION,
                         .about = view_number(v, d->id),
                         .lot = d->lot_code,
                         .place = d->place,
                         .with = today_with("deviation", view_number(v, d->id)),
                         .sentence = told ? SAY(v, "today.verify", entry, d->sentence,
                                                view_number(v, d->action_person))
                                          : SAY(v, "today.deviation", entry, d->sentence)});
    }
    return RESULT_OK;
}

struct result today_safety(struct today *t)
{
    TRY(duties(t));
    TRY(work_orders(t));
    return deviations(t);
}

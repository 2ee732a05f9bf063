#include "base/check.h"
#include "base/uuid.h"
#include "service/plan_jobs.h"
#include "service/view_dayline.h"
#include "web/web_inner.h"

struct result hand_plan_begin(struct call *c)
{
    static const char *const names[] = {"seconds", NULL};
    int64_t seconds = 0;
    const char *id;
    TRY(json_only(c->json, "", "a plan", names));
    TRY(call_int(c, "seconds", JSON_NEEDED, 0, PLAN_JOB_SECONDS_MAX, &seconds));
    plan_jobs_begin(c->web->plans, c->arena, seconds, &id);
    c->out = json_pack("{s:s}", "job", id);
    CHECK(c->out != NULL);
    return RESULT_OK;
}

struct result hand_plan_job(struct call *c)
{
    return plan_jobs_get(c->web->plans, c->arena, c->lang, c->part[0], &c->out);
}

struct result hand_plan_stop(struct call *c)
{
    TRY(plan_jobs_stop(c->web->plans, c->part[0]));
    c->out = json_object();
    return RESULT_OK;
}

struct result hand_plan_take(struct call *c)
{
    json_t *command, *answer = NULL;
    TRY(plan_jobs_command(c->web->plans, c->part[0], &command));
    json_object_set_new(command, "uuid", json_string(uuid_new(c->arena, c->web->world)));
    json_object_set_new(command, "person", json_integer(c->seat.person));
    json_t *request = json_pack("{s:s,s:o}", "do", "take", "command", command);
    CHECK(request != NULL);
    struct result r = serving_ask(c->web->serving, request, &answer);
    json_decref(request);
    TRY(r);
    c->out = json_pack("{s:[o]}", "answers", answer);
    CHECK(c->out != NULL);
    return RESULT_OK;
}

struct result hand_plan_day(struct call *c)
{
    int32_t day;
    TRY(call_day(c, "day", &day));
    return view_dayline(c->view, day, &c->out);
}

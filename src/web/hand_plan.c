#include "base/check.h"
#include "base/uuid.h"
#include "service/plan_jobs.h"
#include "service/planning_floor.h"
#include "service/view_dayline.h"
#include "service/view_plan.h"
#include "web/web_inner.h"

/* What is taken and what it gives, and the plan that is being worked out beside it. */
struct result hand_plan(struct call *c)
{
    json_t *job = NULL;
    TRY(view_plan(c->view, &c->out));
    TRY(plan_jobs_get(c->web->plans, c->arena, c->lang, NULL, &job));
    json_object_set_new(c->out, "job", job);
    return RESULT_OK;
}

struct result hand_plan_floor(struct call *c)
{
    int32_t from, to;
    TRY(call_day(c, "from", &from));
    TRY(call_day(c, "to", &to));
    return view_floor(c->view, from, to, &c->out);
}

struct result hand_plan_begin(struct call *c)
{
    static const char *const names[] = {"seconds", "keep", "service_ppm", "changes", "trial", NULL};
    int64_t seconds = 0;
    const char *id;
    TRY(json_only(c->json, "", "a plan", names));
    TRY(call_int(c, "seconds", JSON_NEEDED, 0, PLAN_JOB_SECONDS_MAX, &seconds));
    TRY(plan_jobs_begin(c->web->plans, c->arena, seconds, c->json, &id));
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
    plan_jobs_taken(c->web->plans, c->part[0]);
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

/* What a shift tells the next, who may come near open product, and what was done of what was asked
 * for. A health check keeps "passed or not" and nothing that was answered; one with an end is a
 * certificate of fitness, which runs out. */
#include <string.h>

#include "ledger/listed.h"
#include "ledger/view.h"

enum { TEXT_MAX = 2000, SHIFT_MAX = 40 };

static struct result short_text(const json_t *o, const char *key, size_t most, enum json_need need,
                                const char **out)
{
    *out = NULL;
    TRY(json_get_text(o, key, key, need, out));
    size_t len = *out != NULL ? strlen(*out) : 1;
    return len > 0 && len <= most ? RESULT_OK
                                  : FAIL2(FIELD_RANGE, key, "too long or empty",
                                          most == TEXT_MAX ? "1 to 2000 bytes" : "1 to 40 bytes");
}

/* A step without a place; what it says stands in its note. */
static void note(struct draft *d, json_t *data)
{
    const char *text = json_canonical(d->arena, data);
    json_decref(data);
    draft_step(d, NULL, 0, d->cmd->happened_ms, d->cmd->happened_ms, 0, text);
}

struct result decide_handover(struct draft *d)
{
    static const char *const names[] = {"text", "shift", NULL};
    const char *text, *shift;
    TRY(draft_only(d, "a handover", names));
    TRY(short_text(d->cmd->body, "text", TEXT_MAX, JSON_NEEDED, &text));
    TRY(short_text(d->cmd->body, "shift", SHIFT_MAX, JSON_OPTIONAL, &shift));
    note(d, json_pack("{s:s,s:s?}", "text", text, "shift", shift));
    return RESULT_OK;
}

struct result decide_health_check(struct draft *d)
{
    static const char *const names[] = {"about", "passed", "until", NULL};
    const json_t *o = d->cmd->body;
    int64_t about, until_ms;
    const char *role;
    bool passed = false, active, found;
    TRY(draft_only(d, "a health check", names));
    TRY(json_get_int(o, "about", "about", JSON_NEEDED, 1, 999999, &about));
    TRY(json_get_bool(o, "passed", "passed", JSON_NEEDED, &passed));
    const char *number = arena_printf(d->arena, "%lld", (long long)about);
    TRY(person_role(d->store, d->arena, about, &role, &active, &found));
    if (!found || !active) {
        return FAIL1(PERSON_UNKNOWN, "about", number);
    }
    TRY(listed_until(d, "until", JSON_OPTIONAL, &until_ms));
    note(d, json_pack("{s:I,s:b}", "about", (json_int_t)about, "passed", passed));
    noted_add(d, 0,
              &(struct noting){.kind = "health",
                               .code = until_ms != 0 ? "fitness" : "entry",
                               .person = about,
                               .ok = passed,
                               .until_ms = passed ? until_ms : 0});
    if (!passed) {
        draft_task(d, "keep-from-product", number, 0, NULL, d->cmd->recorded_ms);
    }
    json_object_set_new(d->answer, "about", json_integer(about));
    json_object_set_new(d->answer, "passed", json_boolean(passed));
    return RESULT_OK;
}

struct result decide_task_done(struct draft *d)
{
    static const char *const names[] = {"task", NULL};
    int64_t id;
    bool row;
    TRY(draft_only(d, "a task that is done", names));
    TRY(json_get_int(d->cmd->body, "task", "task", JSON_NEEDED, 1, INT64_MAX / 4, &id));
    struct statement *q = store_prepare(d->store, Q_TASK_OPEN);
    store_bind_int(q, 1, id);
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL1(TASK_UNKNOWN, "task", arena_printf(d->arena, "%lld", (long long)id));
    }
    if (strcmp(store_text(q, 0), "set-aside") == 0) { /* not done before somebody says how */
        return FAIL2(TASK_ASIDE, "task", arena_printf(d->arena, "%lld", (long long)id),
                     arena_printf(d->arena, "%lld", (long long)store_int(q, 1)));
    }
    json_object_set_new(d->answer, "task", json_string(store_text(q, 0)));
    while (row) {
        TRY(store_step(q, &row));
    }
    draft_add(d, EFFECT_TASK_DONE, "iin", id, d->cmd->happened_ms);
    return RESULT_OK;
}

#include "ledger/command.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/uuid.h"
#include "ledger/draft.h"

/* The digest tells whether a repeated uuid carries the same command. */
void command_sum(const json_t *command, struct command_sum *out)
{
    static const char *const changing[] = {"uuid", "device_time", NULL};
    out->whole = json_no_reals(command);
    if (out->whole.code == CODE_OK) {
        out->digest = json_sum_without(command, changing);
    }
}

static struct result read_times(struct ledger *lg, const json_t *object, struct arena *a,
                                struct command *out)
{
    const char *at = NULL, *device_time = NULL;
    out->recorded_ms = lg->world.now_ms(lg->world.self);
    out->happened_ms = out->recorded_ms;
    TRY(json_get_text(object, "at", "at", JSON_OPTIONAL, &at));
    if (at != NULL) {
        TRY(civil_read(at, "at", &out->happened_ms));
    }
    TRY(json_get_text(object, "device_time", "device_time", JSON_OPTIONAL, &device_time));
    if (device_time != NULL) {
        int64_t device_ms;
        TRY(civil_read(device_time, "device_time", &device_ms));
        out->clock_ms = device_ms - out->recorded_ms;
    }
    if (out->happened_ms > out->recorded_ms + LEDGER_FUTURE_MS) {
        return FAIL2(TIME_FUTURE, "at", at, civil_short(a, out->recorded_ms));
    }
    out->offset_min = civil_offset_min(out->happened_ms);
    int starts = lg->profile != NULL ? lg->profile->day_starts_min : 0;
    out->day = day_of_house(out->happened_ms, out->offset_min, starts);
    TRY(json_get_text(object, "reason", "reason", JSON_OPTIONAL, &out->reason));
    int64_t shift_ms = lg->profile != NULL ? lg->profile->shift_ms : INT64_MAX;
    if (out->recorded_ms - out->happened_ms > shift_ms &&
        (out->reason == NULL || out->reason[0] == '\0')) {
        return FAIL1(REASON_MISSING, "reason", civil_short(a, out->happened_ms));
    }
    return RESULT_OK;
}

static struct result read_mode(const json_t *object, struct command *out)
{
    const char *mode = NULL;
    out->mode = out->step != NULL && out->step->asks_by_default ? MODE_ASK : MODE_TELL;
    TRY(json_get_text(object, "mode", "mode", JSON_OPTIONAL, &mode));
    if (mode == NULL) {
        return RESULT_OK;
    }
    if (strcmp(mode, "ask") == 0) {
        out->mode = MODE_ASK;
    } else if (strcmp(mode, "tell") == 0) {
        out->mode = MODE_TELL;
    } else {
        return FAIL2(FIELD_CHOICE, "mode", mode, "ask, tell");
    }
    return RESULT_OK;
}

struct result command_read(struct ledger *lg, const json_t *object, const struct command_sum *sum,
                           struct arena *a, struct command *out)
{
    struct command_sum own;
    *out = (struct command){.body = object, .device = "", .mode = MODE_TELL};
    if (!json_is_object(object)) {
        return FAIL2(FIELD_TYPE, "command", "an object", "something else");
    }
    const char *uuid = NULL;
    TRY(json_get_text(object, "kind", "kind", JSON_NEEDED, &out->kind));
    TRY(json_get_text(object, "uuid", "uuid", JSON_NEEDED, &uuid));
    TRY(uuid_read(uuid, "uuid", out->uuid));
    TRY(json_get_int(object, "person", "person", JSON_NEEDED, 1, INT32_MAX, &out->person));
    TRY(json_get_text(object, "device", "device", JSON_OPTIONAL, &out->device));
    if (sum == NULL) {
        command_sum(object, &own);
        sum = &own;
    }
    TRY(sum->whole);
    out->digest = sum->digest;
    out->step = lg->profile != NULL ? profile_step(lg->profile, out->kind) : NULL;
    out->act = out->step != NULL ? out->step->act : out->kind;
    const struct act *act = act_find(out->act);
    if (act == NULL || (out->step == NULL && act->roles == NULL)) {
        return FAIL1(KIND_UNKNOWN, "kind", out->kind);
    }
    TRY(read_mode(object, out));
    return read_times(lg, object, a, out);
}

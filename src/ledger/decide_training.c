/* Training, per person and subject; which steps ask for which stands in the profile. */
#include <string.h>

#include "ledger/listed.h"
#include "ledger/view.h"

struct result decide_training(struct draft *d)
{
    static const char *const names[] = {"about", "training", "passed", "until", "what", NULL};
    const json_t *o = d->cmd->body;
    const char *name, *what = "", *role;
    int64_t about, until_ms = 0;
    bool passed = false, active, found;
    TRY(draft_only(d, "a training", names));
    TRY(json_get_int(o, "about", "about", JSON_NEEDED, 1, 999999, &about));
    const char *number = arena_printf(d->arena, "%lld", (long long)about);
    TRY(person_role(d->store, d->arena, about, &role, &active, &found));
    if (!found || !active) {
        return FAIL1(PERSON_UNKNOWN, "about", number);
    }
    TRY(json_get_text(o, "training", "training", JSON_NEEDED, &name));
    const struct training *t = d->profile != NULL ? profile_training(d->profile, name) : NULL;
    if (t == NULL) {
        return FAIL1(TRAINING_UNKNOWN, "training", name);
    }
    if (about == d->cmd->person) {
        return FAIL1(SECOND_PERSON, "about", number);
    }
    TRY(json_get_bool(o, "passed", "passed", JSON_NEEDED, &passed));
    TRY(listed_until(d, "until", JSON_OPTIONAL, &until_ms));
    int64_t longest_ms = d->cmd->happened_ms + t->valid_ms;
    until_ms = until_ms != 0 && until_ms < longest_ms ? until_ms : longest_ms;
    TRY(listed_words(o, "what", 500, JSON_OPTIONAL, &what));
    noted_add(d, 0,
              &(struct noting){.kind = "training",
                               .code = name,
                               .person = about,
                               .ok = passed,
                               .until_ms = until_ms,
                               .data = json_pack("{s:s}", "what", what)});
    json_object_set_new(d->answer, "training", json_string(name));
    json_object_set_new(d->answer, "until_ms", json_integer(passed ? until_ms : 0));
    return RESULT_OK;
}

/* Reviews: somebody other than who told an entry looks at it and puts their name to it. */
#include "ledger/hold.h"

enum { REVIEWS_MAX = 1000 };

static struct result review_one(struct draft *d, const json_t *value, const char *path)
{
    struct entry entry;
    bool found;
    int64_t striker;
    if (!json_is_integer(value)) {
        return FAIL2(FIELD_TYPE, path, "the number of an entry", "something else");
    }
    int64_t seq = json_integer_value(value);
    const char *number = arena_printf(d->arena, "%lld", (long long)seq);
    TRY(entry_by_seq(d->store, d->arena, seq, &entry, &found));
    if (!found) {
        return FAIL1(ENTRY_UNKNOWN, path, number);
    }
    TRY(struck_by(d->store, seq, &striker));
    if (striker != 0) {
        return FAIL2(ENTRY_STRUCK, path, number,
                     arena_printf(d->arena, "%lld", (long long)striker));
    }
    if (entry.person == d->cmd->person) {
        return FAIL1(REVIEW_OWN, path, number);
    }
    draft_add(d, EFFECT_REVIEW, "iii", seq, d->cmd->person, d->cmd->happened_ms);
    return RESULT_OK;
}

struct result decide_review(struct draft *d)
{
    static const char *const names[] = {"entries", NULL};
    json_t *entries = NULL;
    struct id_set seen = id_set_new(d->arena);
    TRY(draft_only(d, "a review", names));
    TRY(json_get_array(d->cmd->body, "entries", "entries", JSON_NEEDED, &entries));
    size_t count = json_array_size(entries);
    if (count == 0 || count > REVIEWS_MAX) {
        return FAIL2(FIELD_RANGE, "entries", count == 0 ? "empty" : "too long", "1 to 1000");
    }
    for (size_t i = 0; i < count; i++) {
        const json_t *value = json_array_get(entries, i);
        if (id_set_add(&seen, json_integer_value(value)) || !json_is_integer(value)) {
            TRY(review_one(d, value, arena_printf(d->arena, "entries[%zu]", i)));
        }
    }
    json_object_set_new(d->answer, "reviewed", json_integer((json_int_t)seen.count));
    return RESULT_OK;
}

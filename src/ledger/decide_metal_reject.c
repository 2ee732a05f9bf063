/* What a metal detector took out of the product by itself: passed again three times, looked at, and
 * noted. A second of one metal at a line within a shift stops it (common practice). */
#include "ledger/listed.h"
#include "ledger/view.h"

enum { PASSES = 3, PASSES_MAX = 100, ALIKE = 2 };

static struct result count_alike(struct draft *d, const char *metal, const char *place,
                                 int64_t *out)
{
    struct statement *q = store_prepare(d->store, Q_NOTED_AT_PLACE);
    bool row;
    store_bind_text(q, 1, "reject");
    store_bind_text(q, 2, metal);
    store_bind_text(q, 3, place);
    store_bind_int(q, 4, d->cmd->happened_ms - d->profile->shift_ms);
    store_bind_int(q, 5, d->cmd->happened_ms);
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result judge(struct draft *d, const char *place, const char *metal, int64_t passes,
                           bool found)
{
    int64_t before;
    if (passes < PASSES) {
        TRY(draft_deviation(d, "reject-not-repassed", 0, place, 0, 0,
                            FAIL2(REJECT_NOT_REPASSED, "passes", place,
                                  arena_printf(d->arena, "%lld", (long long)passes))));
    }
    if (!found) {
        return RESULT_OK; /* a false reject says nothing about the product */
    }
    TRY(count_alike(d, metal, place, &before));
    json_object_set_new(d->answer, "alike", json_integer(before + 1));
    if (before + 1 < ALIKE) {
        return RESULT_OK;
    }
    draft_task(d, "rejects-stop", place, 0, place, d->cmd->recorded_ms);
    return draft_deviation(d, "rejects-alike", 0, place, 0, 0,
                           FAIL2(REJECTS_ALIKE, "metal", place, metal));
}

struct result decide_metal_reject(struct draft *d)
{
    static const char *const names[] = {"place", "metal", "what", "passes", NULL};
    const json_t *o = d->cmd->body;
    const char *metal, *what;
    struct place place;
    int64_t passes;
    TRY(draft_only(d, "a reject of a metal detector", names));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    if (!list_has("detector,pack-line", place.kind)) {
        return FAIL2(FIELD_CHOICE, "place", place.code, "detector, pack-line");
    }
    TRY(listed_choice(o, "metal", "none,iron,non-iron,steel,other", JSON_NEEDED, &metal));
    TRY(listed_words(o, "what", 500, JSON_NEEDED, &what));
    TRY(json_get_int(o, "passes", "passes", JSON_NEEDED, 0, PASSES_MAX, &passes));
    bool found = !list_has("none", metal);
    noted_add(d, 0,
              &(struct noting){
                  .kind = "reject",
                  .code = metal,
                  .place = place.code,
                  .ok = !found,
                  .data = json_pack("{s:s,s:I}", "what", what, "passes", (json_int_t)passes)});
    return judge(d, place.code, metal, passes, found);
}

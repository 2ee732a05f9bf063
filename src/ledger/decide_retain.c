/* Samples that the house keeps of what it shipped, and the way of a laboratory's sample from hand
 * to hand. */
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "ledger/goods.h"
#include "ledger/listed.h"
#include "ledger/sample.h"

/* What is kept back leaves the lot for the account of samples; its cases are no longer for sale. */
struct result decide_retain(struct draft *d)
{
    static const char *const names[] = {"lot",   "units", "pieces", "mass",  "how",  "instrument",
                                        "gross", "tare",  "place",  "until", "code", NULL};
    const json_t *o = d->cmd->body;
    const char *code = arena_printf(d->arena, "K%lld", (long long)d->seq);
    struct place place;
    struct goods *goods;
    struct listed before;
    size_t count;
    int64_t until_ms;
    bool found;
    TRY(draft_only(d, "a retained sample", names));
    TRY(listed_code(o, "code", JSON_OPTIONAL, &code));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(listed_until(d, "until", JSON_NEEDED, &until_ms));
    TRY(listed_one(d->store, d->arena, "retained", code, &before, &found));
    if (found) {
        listed_free(&before, 1);
        return FAIL1(SAMPLE_EXISTS, "code", code);
    }
    TRY(goods_read(d, o, "", &goods, &count));
    if (count != 1) {
        return FAIL2(FIELD_RANGE, "units", "of several lots", "of one lot");
    }
    TRY(goods_may_cut(d, goods, ""));
    TRY(goods_take(d, goods));
    goods_to_account(d, goods, "sample", 1);
    goods_set_units(d, goods, "retained", place.code, 0);
    TRY(lot_close_when_empty(d, &goods->lot));
    listed_add(d, "retained", code, place.code, goods->lot.code, until_ms, true,
               json_pack("{s:I,s:I}", "pieces", (json_int_t)goods->pieces, "mg",
                         (json_int_t)goods->mass.value));
    json_object_set_new(d->answer, "retained", json_string(code));
    json_object_set_new(d->answer, "lot", json_string(goods->lot.code));
    return RESULT_OK;
}

struct result decide_retain_end(struct draft *d)
{
    static const char *const names[] = {"retained", "what", NULL};
    const char *code, *what;
    struct listed l;
    bool found;
    TRY(draft_only(d, "the end of a retained sample", names));
    TRY(json_get_text(d->cmd->body, "retained", "retained", JSON_NEEDED, &code));
    TRY(listed_one(d->store, d->arena, "retained", code, &l, &found));
    if (found) {
        listed_free(&l, 1);
    }
    if (!found || !l.active) {
        return FAIL1(SAMPLE_UNKNOWN, "retained", code);
    }
    TRY(listed_words(d->cmd->body, "what", 500, JSON_NEEDED, &what));
    listed_add(d, "retained", code, l.place, l.about, l.until_ms, false,
               json_pack("{s:s}", "what", what));
    json_object_set_new(d->answer, "retained", json_string(code));
    return RESULT_OK;
}

/* Warmer than this a laboratory may refuse it, colder it may freeze: common practice. */
enum { COLD_LOW_MC = 0, COLD_HIGH_MC = 8000 };

struct result decide_custody(struct draft *d)
{
    static const char *const names[] = {"sample", "to", "temp", "seal", NULL};
    const json_t *o = d->cmd->body;
    const char *to, *temp = NULL, *seal = NULL;
    struct sample s;
    int64_t mc = 0;
    TRY(draft_only(d, "a hand-over of a sample", names));
    TRY(sample_named(d, &s));
    TRY(listed_words(o, "to", 120, JSON_NEEDED, &to));
    TRY(json_get_text(o, "temp", "temp", JSON_OPTIONAL, &temp));
    if (temp != NULL) {
        TRY(temp_read(temp, "temp", &mc));
    }
    TRY(listed_choice(o, "seal", "whole,broken", JSON_OPTIONAL, &seal));
    bool warm = temp != NULL && (mc < COLD_LOW_MC || mc > COLD_HIGH_MC);
    bool broken = seal != NULL && strcmp(seal, "broken") == 0;
    json_t *data = json_pack("{s:s}", "to", to);
    CHECK(data != NULL);
    if (temp != NULL) {
        json_object_set_new(data, "temp_mc", json_integer(mc));
    }
    if (seal != NULL) {
        json_object_set_new(data, "seal", json_string(seal));
    }
    noted_add(
        d, 0,
        &(struct noting){
            .kind = "custody", .code = s.code, .lot = s.lot, .ok = !warm && !broken, .data = data});
    json_object_set_new(d->answer, "sample", json_string(s.code));
    if (broken) {
        return draft_deviation(d, "custody-broken", s.lot, NULL, 0, 0,
                               FAIL2(CUSTODY_BROKEN, "seal", s.code, "its seal is broken"));
    }
    return warm ? draft_deviation(d, "custody-broken", s.lot, NULL, 0, 0,
                                  FAIL2(CUSTODY_BROKEN, "temp", s.code,
                                        arena_printf(d->arena, "it came at %s", temp)))
                : RESULT_OK;
}

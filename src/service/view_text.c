/* What all views share: values that may be absent, and how amounts and times are said. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "service/story.h"
#include "service/view_inner.h"

#define KG_MG INT64_C(1000000)
#define HOUR_MS INT64_C(3600000)

json_t *view_int(bool known, int64_t value)
{
    json_t *o = known ? json_integer((json_int_t)value) : json_null();
    CHECK(o != NULL);
    return o;
}

json_t *view_text(const char *text)
{
    json_t *o = text != NULL && text[0] != '\0' ? json_string(text) : json_null();
    CHECK(o != NULL);
    return o;
}

json_t *view_list(const char *comma_list)
{
    json_t *list = json_array();
    char word[200];
    CHECK(list != NULL);
    for (const char *at = comma_list; list_next(&at, word, sizeof word);) {
        view_append(list, json_string(word));
    }
    return list;
}

void view_put(json_t *object, const char *key, json_t *value)
{
    CHECK(value != NULL && json_object_set_new(object, key, value) == 0);
}

void view_append(json_t *array, json_t *value)
{
    CHECK(value != NULL && json_array_append_new(array, value) == 0);
}

struct result view_hand_over(struct result r, json_t *value, json_t **out)
{
    if (r.code == CODE_OK) {
        *out = value;
    } else {
        json_decref(value);
    }
    return r;
}

const char *view_number(const struct view *v, int64_t value)
{
    return arena_printf(v->arena, "%lld", (long long)value);
}

const char *view_minutes(const struct view *v, int64_t minutes)
{
    return minutes < 120
               ? SAY(v, "day.minutes", view_number(v, minutes))
               : SAY(v, "day.hours", view_number(v, minutes / 60), view_number(v, minutes % 60));
}

const char *view_mass(const struct view *v, int64_t mg)
{
    return mass_text(v->arena, mg, llabs(mg) >= 100 * KG_MG ? KG_MG : KG_MG / 10);
}

const char *view_clock(const struct view *v, int64_t ms)
{
    struct civil c = civil_from_ms(ms, civil_offset_min(ms));
    const char *clock = arena_printf(v->arena, "%02d:%02d", c.hour, c.minute);
    struct civil now = civil_from_ms(v->now_ms, civil_offset_min(v->now_ms));
    if (c.year == now.year && c.month == now.month && c.day == now.day) {
        return clock;
    }
    return arena_printf(v->arena, "%s %s",
                        words_date(v->arena, v->lang, day_from_ymd(c.year, c.month, c.day)), clock);
}

const char *view_hours(const struct view *v, int64_t ms)
{
    int64_t hours = ms / HOUR_MS;
    return hours < 48 ? arena_printf(v->arena, "%lld h", (long long)hours)
                      : arena_printf(v->arena, "%lld d", (long long)(hours / 24));
}

const char *view_step(const struct view *v, const char *kind)
{
    const struct profile_step *step = profile_step(v->profile, kind);
    return words_of(v->arena, v->lang, "step.", kind, step != NULL ? step->title : kind);
}

int32_t view_day(const struct view *v, int64_t ms)
{
    return day_of_house(ms, civil_offset_min(ms), v->profile->day_starts_min);
}

struct result view_day_start(const struct view *v, int32_t day, int64_t *out_ms)
{
    return house_day_begin(day, v->profile->day_starts_min, out_ms);
}

struct result view_first(struct statement *q, int64_t otherwise, int64_t *out)
{
    bool row;
    TRY(store_step(q, &row));
    *out = row && !store_is_null(q, 0) ? store_int(q, 0) : otherwise;
    return told_finish(q, row);
}

/* Entries are booked in order of time. */
struct result view_entry_since(const struct view *v, int64_t ms, int64_t *out_seq)
{
    int64_t low = 1, high;
    TRY(view_first(store_prepare(v->store, Q_PAGE_LAST_SEQ), 0, &high));
    high++;
    while (low < high) {
        int64_t middle = low + (high - low) / 2, recorded;
        struct statement *q = store_prepare(v->store, Q_PAGE_RECORDED);
        store_bind_int(q, 1, middle);
        TRY(view_first(q, 0, &recorded));
        if (recorded >= ms) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    *out_seq = low;
    return RESULT_OK;
}

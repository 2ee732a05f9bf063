#include "service/view_log.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ledger/evidence.h"
#include "service/story.h"

/* C-07 and C7 are how houses call chambers; CR-1 is another place with a number. */
static bool named_like_a_chamber(const char *place, const char *digits)
{
    size_t len = (size_t)(digits - place);
    len -= len > 0 && place[len - 1] == '-' ? 1 : 0;
    return *digits != '\0' && len == 1 && (place[0] == 'C' || place[0] == 'c');
}

void view_log_names(struct arena *a, const char *place, const char *names[VIEW_LOG_NAMES])
{
    char *small = arena_copy(a, place);
    for (char *c = small; *c != '\0'; c++) {
        *c = (char)tolower((unsigned char)*c);
    }
    const char *digits = place + strlen(place);
    while (digits > place && isdigit((unsigned char)digits[-1])) {
        digits--;
    }
    names[0] = place;
    names[1] = small;
    names[2] = named_like_a_chamber(place, digits)
                   ? arena_printf(a, "chamber-%ld", strtol(digits, NULL, 10))
                   : place;
}

bool view_log_is_temperature(const struct series *s)
{
    return strcmp(s->unit, "Cel") == 0 || strcmp(s->unit, "C") == 0;
}

bool view_log_mean(const struct series *s, size_t i, int32_t low_mc, int32_t high_mc, int32_t *out,
                   bool *out_outside)
{
    double sum_mc = 0, unit_mc = 1000;
    int count = 0;
    for (int k = 0; k < s->scale; k++) {
        unit_mc /= 10;
    }
    *out_outside = false;
    for (int c = 0; c < s->channels; c++) {
        double mc = unit_mc * s->value[i * (size_t)s->channels + (size_t)c];
        bool is_there = (s->missing[i] >> c & 1) == 0, outside = mc < low_mc || mc > high_mc;
        *out_outside = *out_outside || (is_there && outside);
        if (is_there && !outside) {
            sum_mc += mc;
            count++;
        }
    }
    *out = count > 0 ? (int32_t)lround(sum_mc / count) : 0;
    return count > 0;
}

/* Whatever it is: pages show what was measured. */
static bool value_of(const struct series *s, size_t i, int32_t *out)
{
    bool outside;
    return view_log_mean(s, i, INT32_MIN, INT32_MAX, out, &outside);
}

struct result view_log_last(const struct view *v, const char *place, struct view_log_point *out,
                            bool *out_any)
{
    const char *names[VIEW_LOG_NAMES];
    view_log_names(v->arena, place, names);
    *out_any = false;
    *out = (struct view_log_point){0};
    for (int n = 0; n < VIEW_LOG_NAMES && !*out_any; n++) {
        struct statement *q = store_prepare(v->store, Q_PAGE_PIECE_LAST);
        store_bind_text(q, 1, names[n]);
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            continue;
        }
        struct series_piece piece;
        struct series s;
        piece.bytes = store_bytes(q, 0, &piece.len);
        TRY(series_decode(v->arena, &piece, &s));
        for (size_t i = s.count; i > 0 && !*out_any && view_log_is_temperature(&s); i--) {
            *out_any = value_of(&s, i - 1, &out->temp_mc);
            out->t_ms = s.ms[i - 1];
        }
        TRY(told_finish(q, row));
    }
    return RESULT_OK;
}

static struct result read_series(const struct view *v, const char *name, int64_t from_ms,
                                 int64_t to_ms, struct series *out)
{
    struct series_piece *pieces = NULL;
    size_t count = 0;
    struct statement *q = store_prepare(v->store, Q_PAGE_PIECES);
    store_bind_text(q, 1, name);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        size_t len;
        const void *bytes = store_bytes(q, 0, &len);
        if (bytes != NULL) {
            uint8_t *copy = arena_alloc(v->arena, len);
            memcpy(copy, bytes, len);
            struct series_piece *p = evidence_grow(v->arena, &pieces, &count, sizeof *pieces);
            *p = (struct series_piece){.bytes = copy, .len = len};
        }
    }
    *out = (struct series){0};
    return count > 0 ? series_range(v->arena, pieces, count, from_ms, to_ms + 1, out) : RESULT_OK;
}

/* Equal stretches of time, each with the mean of what was measured in it. */
static void thin_out(const struct view *v, const struct series *s, int64_t from_ms, int64_t to_ms,
                     size_t most, struct view_log_point **out, size_t *out_count)
{
    int64_t width_ms = (to_ms - from_ms) / (int64_t)most + 1, stretch = -1, sum = 0, count = 0;
    for (size_t i = 0; i <= s->count; i++) {
        int64_t at = i < s->count ? (s->ms[i] - from_ms) / width_ms : INT64_MAX;
        if (at != stretch && count > 0) {
            struct view_log_point *p = evidence_grow(v->arena, out, out_count, sizeof **out);
            *p = (struct view_log_point){.t_ms = from_ms + stretch * width_ms + width_ms / 2,
                                         .temp_mc = (int32_t)(sum / count)};
            sum = count = 0;
        }
        int32_t mc;
        stretch = at;
        if (i < s->count && value_of(s, i, &mc)) {
            sum += mc;
            count++;
        }
    }
}

struct result view_log_read(const struct view *v, const char *place, int64_t from_ms, int64_t to_ms,
                            size_t most, struct view_log_point **out, size_t *out_count)
{
    const char *names[VIEW_LOG_NAMES];
    view_log_names(v->arena, place, names);
    *out = NULL;
    *out_count = 0;
    for (int n = 0; n < VIEW_LOG_NAMES && *out_count == 0 && to_ms > from_ms; n++) {
        struct series s;
        TRY(read_series(v, names[n], from_ms, to_ms, &s));
        if (view_log_is_temperature(&s)) {
            thin_out(v, &s, from_ms, to_ms, most, out, out_count);
        }
    }
    return RESULT_OK;
}

#include "service/warmth.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "ledger/evidence.h"
#include "service/story.h"
#include "service/view_log.h"
#include "service/warmth_kept.h"

/* A piece holds at most some 200000 readings (series.h), each some 200 bytes in all. */
enum { HOUR_MS = 3600000, PIECE_ARENA_MAX = 128 << 20 };

struct result warmth_struck(struct store *s, int64_t *out)
{
    struct statement *q = store_prepare(s, Q_PAGE_STRUCK_LAST);
    bool row;
    TRY(store_step(q, &row));
    int64_t strike = store_int(q, 0), drop = store_int(q, 1);
    *out = strike > drop ? strike : drop;
    return told_finish(q, row);
}

int64_t warmth_rate(const struct heat_sum_crop *crop, int32_t set_point_mc)
{
    int64_t held_mc = set_point_mc < crop->optimum_mc ? set_point_mc : crop->optimum_mc;
    return held_mc > crop->base_mc ? held_mc - crop->base_mc : 0;
}

/* On the way from piece to piece. */
struct walk {
    const struct warmth_ask *ask;
    struct arena *scratch; /* of one piece */
    struct warmth *sum;
    struct warmth_piece *known; /* kept before, in the order the walk meets them */
    size_t known_count, next_known;
    struct warmth_piece *pieces;
    size_t piece_count;
    struct warmth_knot *knots;
    size_t knot_count;
    double heat_mc_h;
    int64_t at_ms, reached_ms; /* reached_ms 0: not yet */
    int32_t last_mc;
};

static void walk_to(struct walk *w, int64_t to_ms, double added_mc_h)
{
    double goal = (double)w->ask->crop.goal_mc_h, left = goal - w->heat_mc_h;
    if (w->reached_ms == 0 && added_mc_h >= left && added_mc_h > 0) {
        w->reached_ms = w->at_ms + (int64_t)ceil((double)(to_ms - w->at_ms) * left / added_mc_h);
    }
    w->heat_mc_h += added_mc_h;
    w->at_ms = to_ms;
    struct warmth_knot *knot =
        evidence_grow(w->ask->arena, &w->knots, &w->knot_count, sizeof *w->knots);
    *knot = (struct warmth_knot){to_ms, w->heat_mc_h};
}

static struct result read_bytes(const struct walk *w, const void *sha256, size_t sha_len,
                                struct series_piece *out)
{
    struct statement *q = store_prepare(w->ask->store, Q_BLOB_GET);
    store_bind_bytes(q, 1, sha256, sha_len);
    bool row;
    *out = (struct series_piece){0};
    TRY(store_step(q, &row));
    const void *bytes = row ? store_bytes(q, 4, &out->len) : NULL;
    if (bytes != NULL) {
        uint8_t *copy = arena_alloc(w->scratch, out->len);
        memcpy(copy, bytes, out->len);
        out->bytes = copy;
    }
    return told_finish(q, row);
}

/* Its readings from the end of the lead on. */
static struct result sum_up(const struct walk *w, const struct series *s, struct warmth_piece *out)
{
    const struct warmth_ask *ask = w->ask;
    int64_t *ms = ARENA_ARRAY(w->scratch, int64_t, s->count + 1);
    int32_t *mc = ARENA_ARRAY(w->scratch, int32_t, s->count + 1);
    size_t count = 0;
    struct heat_sum_report sum;
    for (size_t i = 0; i < s->count; i++) {
        bool outside;
        bool counts = view_log_mean(s, i, WARMTH_LOW_MC, WARMTH_HIGH_MC, &mc[count], &outside);
        if (s->ms[i] < ask->from_ms || (count > 0 && s->ms[i] == ms[count - 1])) {
            continue; /* the first of one moment stands for it */
        }
        out->left_out = out->left_out || outside;
        ms[count] = s->ms[i];
        count += counts;
    }
    TRY(heat_sum(&ask->crop, ms, mc, count, &sum));
    if (count > 0) {
        out->first_ms = ms[0];
        out->first_mc = mc[0];
        out->last_ms = ms[count - 1];
        out->last_mc = mc[count - 1];
    }
    out->count = (int)count;
    out->heat_mc_h = sum.sum_c_h * 1000;
    return RESULT_OK;
}

static struct result read_piece(const struct walk *w, const void *sha256, size_t sha_len,
                                struct warmth_piece *out)
{
    struct series_piece piece;
    struct series s;
    TRY(read_bytes(w, sha256, sha_len, &piece));
    if (piece.bytes == NULL || series_decode(w->scratch, &piece, &s).code != CODE_OK) {
        out->left_out = true; /* plumule verify says what is wrong with it */
        return RESULT_OK;
    }
    return view_log_is_temperature(&s) ? sum_up(w, &s, out) : RESULT_OK;
}

/* Kept pieces come in the order of the walk; those no longer in force are passed over. */
static const struct warmth_piece *known_of(struct walk *w, int64_t entry)
{
    for (size_t i = 0; i < w->known_count; i++) {
        const struct warmth_piece *x = &w->known[(w->next_known + i) % w->known_count];
        if (x->entry == entry) {
            w->next_known += i + 1;
            return x;
        }
    }
    return NULL;
}

static struct result walk_piece(struct walk *w, const struct warmth_piece *x)
{
    const struct warmth_ask *ask = w->ask;
    double rate = (double)warmth_rate(&ask->crop, ask->set_point_mc);
    w->sum->left_out += x->left_out;
    if (x->count == 0 || (w->sum->log_ms != 0 && x->first_ms < w->at_ms)) {
        return RESULT_OK; /* nothing, or of a time that was read already */
    }
    int64_t silence_ms = x->first_ms - w->at_ms;
    if (w->sum->log_ms == 0 || (double)silence_ms > CONSTANT_HEAT_SUM_GAP_H * HOUR_MS) {
        walk_to(w, x->first_ms, rate * (double)silence_ms / HOUR_MS);
    } else {
        struct heat_sum_report between;
        const int64_t ms[] = {w->at_ms, x->first_ms};
        const int32_t mc[] = {w->last_mc, x->first_mc};
        TRY(heat_sum(&ask->crop, ms, mc, silence_ms > 0 ? 2 : 0, &between));
        walk_to(w, x->first_ms, between.sum_c_h * 1000);
    }
    walk_to(w, x->last_ms, x->heat_mc_h);
    w->sum->log_ms = x->last_ms;
    w->last_mc = x->last_mc;
    return RESULT_OK;
}

static struct result walk_series(struct walk *w, const char *name)
{
    const struct warmth_ask *ask = w->ask;
    struct statement *q = store_prepare(ask->store, Q_PAGE_PIECES_LISTED);
    store_bind_text(q, 1, name);
    store_bind_int(q, 2, ask->from_ms);
    store_bind_int(q, 3, ask->now_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct warmth_piece *x =
            evidence_grow(ask->arena, &w->pieces, &w->piece_count, sizeof *w->pieces);
        *x = (struct warmth_piece){.entry = store_int(q, 0)};
        const struct warmth_piece *known = known_of(w, x->entry);
        if (known != NULL) {
            *x = *known;
        } else {
            size_t len;
            const void *sha256 = store_bytes(q, 1, &len);
            arena_clear(w->scratch);
            TRY(read_piece(w, sha256, len, x));
        }
        TRY(walk_piece(w, x));
    }
}

static struct result walk_all(struct walk *w, const char *const names[VIEW_LOG_NAMES])
{
    struct warmth *sum = w->sum;
    walk_to(w, w->ask->from_ms, 0);
    for (int n = 0; n < VIEW_LOG_NAMES && sum->log_ms == 0; n++) {
        bool is_other = true; /* a place may have fewer names */
        for (int k = 0; k < n; k++) {
            is_other = is_other && strcmp(names[k], names[n]) != 0;
        }
        TRY(is_other ? walk_series(w, names[n]) : RESULT_OK);
    }
    bool reached = w->reached_ms != 0;
    sum->until_ms = reached ? w->reached_ms : w->at_ms;
    sum->heat_mc_h = reached ? w->ask->crop.goal_mc_h : (int64_t)floor(w->heat_mc_h);
    return RESULT_OK;
}

static struct result stamp_of(const struct warmth_ask *ask, const char *const names[VIEW_LOG_NAMES],
                              struct warmth_stamp *out)
{
    struct statement *q = store_prepare(ask->store, Q_PAGE_PIECES_STAMP);
    for (int n = 0; n < VIEW_LOG_NAMES; n++) {
        store_bind_text(q, 1 + n, names[n]);
    }
    store_bind_int(q, 1 + VIEW_LOG_NAMES, ask->from_ms);
    store_bind_int(q, 2 + VIEW_LOG_NAMES, ask->now_ms);
    bool row;
    TRY(store_step(q, &row));
    *out = (struct warmth_stamp){.lot = ask->lot,
                                 .from_ms = ask->from_ms,
                                 .count = store_int(q, 0),
                                 .newest = store_int(q, 1),
                                 .struck = ask->struck,
                                 .crop = ask->crop,
                                 .set_point_mc = ask->set_point_mc};
    return told_finish(q, row);
}

static struct result read(const struct warmth_ask *ask, bool with_way, struct walk *w)
{
    const char *names[VIEW_LOG_NAMES];
    struct warmth_stamp stamp;
    view_log_names(ask->arena, ask->place, names);
    TRY(stamp_of(ask, names, &stamp));
    if (!with_way && warmth_kept_sum(ask->kept, &stamp, w->sum)) {
        return RESULT_OK;
    }
    warmth_kept_pieces(ask->kept, ask->arena, &stamp, &w->known, &w->known_count);
    struct arena scratch;
    arena_init(&scratch, PIECE_ARENA_MAX);
    w->scratch = &scratch;
    struct result r = walk_all(w, names);
    arena_release(&scratch);
    TRY(r);
    warmth_kept_put(ask->kept, &stamp, w->sum, w->pieces, w->piece_count);
    return RESULT_OK;
}

struct result warmth_read(const struct warmth_ask *ask, struct warmth *out)
{
    *out = (struct warmth){0};
    struct walk w = {.ask = ask, .sum = out, .at_ms = ask->from_ms};
    return read(ask, false, &w);
}

struct result warmth_trace(const struct warmth_ask *ask, struct warmth *out,
                           struct warmth_knot **out_knots, size_t *out_count)
{
    *out = (struct warmth){0};
    struct walk w = {.ask = ask, .sum = out, .at_ms = ask->from_ms};
    TRY(read(ask, true, &w));
    *out_knots = w.knots;
    *out_count = w.knot_count;
    return RESULT_OK;
}

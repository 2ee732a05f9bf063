/* What was read of the logs of running chambers, kept so that a piece is decoded once: a sealed
 * piece never changes. Which pieces are in force is asked of the record each time; the sum is
 * reckoned again when one came, was struck, dropped or replaced. Any thread. */
#ifndef SERVICE_WARMTH_KEPT_H
#define SERVICE_WARMTH_KEPT_H

#include "service/warmth.h"

struct warmth_kept *warmth_kept_new(void);
/* Nobody may use it any more. NULL is taken. */
void warmth_kept_free(struct warmth_kept *k);

/* What a piece adds by itself, from a moment on. */
struct warmth_piece {
    int64_t entry;
    int64_t first_ms, last_ms; /* of its readings that count */
    int32_t first_mc, last_mc;
    double heat_mc_h; /* from the first to the last */
    int count;        /* readings that count; 0: none */
    bool left_out;    /* some of its readings, or all of it */
};

/* What a sum was reckoned from: so many pieces up to the newest entry (0, 0: none), which tell by
 * themselves of which chamber. */
struct warmth_stamp {
    int64_t lot, from_ms, count, newest, struck;
    struct heat_sum_crop crop;
    int32_t set_point_mc;
};

/* The sum, where it was reckoned from just that. */
bool warmth_kept_sum(struct warmth_kept *k, const struct warmth_stamp *stamp, struct warmth *out);
/* The lot's pieces, in the arena, in the order they were put; none where anything but the pieces
 * themselves is another. */
void warmth_kept_pieces(struct warmth_kept *k, struct arena *a, const struct warmth_stamp *stamp,
                        struct warmth_piece **out, size_t *out_count);
/* Takes the room of the one that was longest not asked for. */
void warmth_kept_put(struct warmth_kept *k, const struct warmth_stamp *stamp,
                     const struct warmth *sum, const struct warmth_piece *pieces, size_t count);

#endif

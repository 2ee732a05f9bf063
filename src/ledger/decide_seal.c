/* Readings and pack weights are no entries: a sealed piece of a series is, by its digest. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/series.h"
#include "ledger/view.h"

enum { GAPS_LISTED = 50, GAPS_MAX = 100000 };

/* Numbers that are missing inside the piece: how many, and the first places, each with the number
 * before and after. */
static const char *gaps_text(struct arena *a, const struct series *s)
{
    int64_t missing = 0;
    json_t *at = json_array();
    for (size_t i = 1; i < s->count; i++) {
        int64_t step = s->n[i] - s->n[i - 1];
        if (step > 1) {
            missing += step - 1;
            if (json_array_size(at) < GAPS_LISTED) {
                json_array_append_new(
                    at, json_pack("[I,I]", (json_int_t)s->n[i - 1], (json_int_t)s->n[i]));
            }
        }
    }
    json_t *gaps = json_pack("{s:I,s:o}", "missing", (json_int_t)missing, "at", at);
    CHECK(gaps != NULL);
    const char *text = json_canonical(a, gaps);
    json_decref(gaps);
    return text;
}

/* Gaps as a file's reader found them: reason, channel (0: all), time, line of the file, rows. */
static struct result gaps_given(struct draft *d, const json_t *list, const char **out)
{
    static const char *const names[] = {"reason", "channel", "from_ms", "to_ms",
                                        "line",   "count",   NULL};
    for (size_t i = 0; i < json_array_size(list); i++) {
        const json_t *gap = json_array_get(list, i);
        const char *path = arena_printf(d->arena, "gaps[%zu]", i);
        const char *reason = NULL;
        if (!json_is_object(gap)) {
            return FAIL2(FIELD_TYPE, path, "an object", "something else");
        }
        TRY(json_only(gap, path, "a gap", names));
        TRY(json_get_text(gap, "reason", path, JSON_NEEDED, &reason));
        for (size_t k = 1; names[k] != NULL; k++) {
            int64_t value;
            TRY(json_get_int(gap, names[k], path, JSON_NEEDED, SERIES_MS_MIN, SERIES_N_MAX,
                             &value));
        }
    }
    json_t *gaps = json_pack("{s:O}", "gaps", list);
    CHECK(gaps != NULL);
    *out = json_canonical(d->arena, gaps);
    json_decref(gaps);
    return RESULT_OK;
}

/* The gaps that came with the piece; without any the numbers tell. */
static struct result read_gaps(struct draft *d, const struct series *s, const char **out)
{
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "gaps", "gaps", JSON_OPTIONAL, &list));
    if (list == NULL) {
        *out = gaps_text(d->arena, s);
        return RESULT_OK;
    }
    return json_array_size(list) > GAPS_MAX
               ? FAIL2(FIELD_RANGE, "gaps", "too long", "at most 100000 gaps")
               : gaps_given(d, list, out);
}

/* The file the piece was read from, by the digest of its attachment. */
static struct result read_source_file(struct draft *d)
{
    const char *text = NULL;
    struct hash file;
    TRY(json_get_text(d->cmd->body, "file", "file", JSON_OPTIONAL, &text));
    return text == NULL ? RESULT_OK : hex_read(text, "file", file.b, sizeof file.b);
}

/* All pieces of a series have its channels, scale and unit; the newest in force stands for them. */
static struct result fits_series(struct draft *d, const char *name, const struct series *s)
{
    struct statement *q = store_prepare(d->store, Q_PIECE_NEWEST);
    store_bind_text(q, 1, name);
    bool row;
    struct series_header header;
    struct result r = RESULT_OK;
    TRY(store_step(q, &row));
    if (row) {
        size_t len;
        const void *bytes = store_bytes(q, 0, &len);
        struct series_piece piece = {.bytes = bytes, .len = len};
        r = series_header_read(&piece, &header);
        if (r.code == CODE_OK && (header.channels != s->channels || header.scale != s->scale ||
                                  strcmp(header.unit, s->unit) != 0)) {
            r = FAIL0(SERIES_MIXED, "bytes_b64");
        }
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return r;
}

static struct result read_replaced(struct draft *d, const char *name, struct hash *out,
                                   bool *out_given)
{
    const char *text = NULL;
    TRY(json_get_text(d->cmd->body, "replaces", "replaces", JSON_OPTIONAL, &text));
    *out_given = text != NULL;
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(hex_read(text, "replaces", out->b, sizeof out->b));
    struct statement *q = store_prepare(d->store, Q_PIECE_IN_FORCE);
    store_bind_bytes(q, 1, out->b, sizeof out->b);
    store_bind_text(q, 2, name);
    bool row, found;
    TRY(store_step(q, &row));
    found = row;
    while (row) {
        TRY(store_step(q, &row));
    }
    return found ? RESULT_OK : FAIL1(PIECE_UNKNOWN, "replaces", text);
}

static struct result no_overlap(struct draft *d, const char *name, const struct series *s,
                                const struct hash *replaced)
{
    struct statement *q = store_prepare(d->store, Q_PIECES_OVERLAPPING);
    store_bind_text(q, 1, name);
    store_bind_int(q, 2, s->ms[0]);
    store_bind_int(q, 3, s->ms[s->count - 1]);
    store_bind_int(q, 4, s->n[0]);
    store_bind_int(q, 5, s->n[s->count - 1]);
    struct hash other = {0};
    bool row, overlap = false;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        size_t len;
        const void *bytes = store_bytes(q, 0, &len);
        struct hash sha;
        CHECK(len == sizeof sha.b);
        memcpy(sha.b, bytes, len);
        if (replaced == NULL || !hash_equal(&sha, replaced)) {
            overlap = true;
            other = sha;
        }
    }
    return overlap ? FAIL2(PIECE_OVERLAP, "bytes_b64", name,
                           hex_text(d->arena, other.b, sizeof other.b))
                   : RESULT_OK;
}

struct result decide_seal(struct draft *d)
{
    static const char *const names[] = {"series", "bytes_b64", "replaces", "gaps", "file", NULL};
    const json_t *o = d->cmd->body;
    const char *name = NULL, *base64 = NULL, *gaps;
    uint8_t *bytes;
    struct series_piece piece;
    struct series s;
    struct hash replaced;
    bool replaces;
    TRY(draft_only(d, "a sealed piece", names));
    TRY(json_get_text(o, "series", "series", JSON_NEEDED, &name));
    if (name[0] == '\0' || strlen(name) > 80) {
        return FAIL2(FIELD_RANGE, "series", name, "a name of 1 to 80 bytes");
    }
    TRY(json_get_text(o, "bytes_b64", "bytes_b64", JSON_NEEDED, &base64));
    if (strlen(base64) / 4 * 3 > SERIES_BYTES_MAX) {
        return FAIL1(INPUT_LARGE, "bytes_b64", arena_printf(d->arena, "%d", SERIES_BYTES_MAX));
    }
    TRY(base64_read(d->arena, base64, "bytes_b64", &bytes, &piece.len));
    piece.bytes = bytes;
    TRY(series_decode(d->arena, &piece, &s));
    TRY(fits_series(d, name, &s));
    TRY(read_replaced(d, name, &replaced, &replaces));
    TRY(no_overlap(d, name, &s, replaces ? &replaced : NULL));
    TRY(read_gaps(d, &s, &gaps));
    TRY(read_source_file(d));
    if (s.ms[s.count - 1] > d->cmd->recorded_ms + LEDGER_FUTURE_MS) {
        return FAIL2(TIME_FUTURE, "bytes_b64", civil_short(d->arena, s.ms[s.count - 1]),
                     civil_short(d->arena, d->cmd->recorded_ms));
    }
    struct hash sha = draft_blob(d, "piece", name, bytes, piece.len);
    draft_add(d, EFFECT_PIECE, replaces ? "tbiiiiitbn" : "tbiiiiitnn", name, &sha, s.ms[0],
              s.ms[s.count - 1], s.n[0], s.n[s.count - 1], (int64_t)s.count, gaps, &replaced);
    json_object_set_new(d->answer, "sha256", json_string(hex_text(d->arena, sha.b, sizeof sha.b)));
    json_object_set_new(d->answer, "count", json_integer((json_int_t)s.count));
    json_object_set_new(d->answer, "from", json_string(civil_text(d->arena, s.ms[0], 0)));
    json_object_set_new(d->answer, "to", json_string(civil_text(d->arena, s.ms[s.count - 1], 0)));
    return RESULT_OK;
}

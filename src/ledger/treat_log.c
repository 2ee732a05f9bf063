#include "ledger/treat_log.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/series.h"
#include "ledger/view.h"

enum { LOG_POINTS_MAX = 1000000 };

static struct result read_probes(struct draft *d, const json_t *o, const char *path,
                                 struct treat_log *out)
{
    json_t *probes = NULL;
    TRY(json_get_array(o, "probes", path, JSON_NEEDED, &probes));
    out->mc.probes = json_array_size(probes);
    if (out->mc.probes == 0 || out->mc.probes > HEAT_PROBES_MAX) {
        return FAIL2(FIELD_RANGE, path, "another number of probes", "1 to 16");
    }
    for (size_t i = 0; i < out->mc.probes; i++) {
        const char *code = json_string_value(json_array_get(probes, i));
        struct instrument instrument;
        bool found = false;
        if (code != NULL) {
            TRY(instrument_on(d->store, d->arena, code, d->cmd->happened_ms, &instrument, &found));
        }
        if (!found) {
            return FAIL1(INSTRUMENT_UNKNOWN, path, code != NULL ? code : "");
        }
        out->mc.uncertainty_mc[i] = (int32_t)instrument.uncertainty;
        if (instrument.due_ms < d->cmd->happened_ms) {
            out->overdue = true;
            TRY(draft_break(
                d, "calibration-overdue", 0, NULL, instrument.due_ms, d->cmd->happened_ms,
                FAIL2(INSTRUMENT_OVERDUE, path, code, civil_short(d->arena, instrument.due_ms))));
        }
    }
    return RESULT_OK;
}

static struct result read_points(struct draft *d, const json_t *log, struct treat_log *out)
{
    json_t *points = NULL;
    int64_t start_ms, end_ms;
    TRY(draft_read_span(d, &start_ms, &end_ms));
    TRY(json_get_array(log, "points", "log.points", JSON_NEEDED, &points));
    size_t count = json_array_size(points), kept = 0;
    if (count > LOG_POINTS_MAX) {
        return FAIL1(INPUT_LARGE, "log.points", "a million points");
    }
    int64_t *times = ARENA_ARRAY(d->arena, int64_t, count + 1);
    int32_t *temps = ARENA_ARRAY(d->arena, int32_t, (count + 1) * out->mc.probes);
    for (size_t i = 0; i < count; i++) {
        const json_t *point = json_array_get(points, i);
        const char *path = arena_printf(d->arena, "log.points[%zu]", i);
        if (json_array_size(point) != out->mc.probes + 1 ||
            !json_is_integer(json_array_get(point, 0))) {
            return FAIL2(FIELD_TYPE, path,
                         "a time in ms and one reading in 1/1000 C for each probe",
                         "something else");
        }
        bool whole = true;
        for (size_t k = 0; k < out->mc.probes; k++) {
            const json_t *v = json_array_get(point, k + 1);
            if (!json_is_integer(v) && !json_is_null(v)) {
                return FAIL2(FIELD_TYPE, path,
                             "whole numbers of 1/1000 C, or null for a lost reading",
                             "something else");
            }
            int64_t mc = json_integer_value(v);
            if (mc < -60000 || mc > 300000) {
                return FAIL2(FIELD_RANGE, path, "a reading", "between -60 and 300 C");
            }
            whole = whole && json_is_integer(v);
            temps[kept * out->mc.probes + k] = (int32_t)mc;
        }
        times[kept] = start_ms + json_integer_value(json_array_get(point, 0));
        kept += whole ? 1 : 0;
        out->lost += whole ? 0 : 1;
    }
    out->mc.points = kept;
    out->mc.time_ms = times;
    out->mc.temp_mc = temps;
    return RESULT_OK;
}

static struct result read_pieces(struct draft *d, const char *name, int64_t from_ms, int64_t to_ms,
                                 struct series *out)
{
    enum { PIECES_MAX = 200 };
    struct series_piece pieces[PIECES_MAX];
    size_t count = 0;
    struct statement *q = store_prepare(d->store, Q_PIECES_OF_SERIES);
    store_bind_text(q, 1, name);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (count < PIECES_MAX) {
            size_t len;
            const void *bytes = store_bytes(q, 1, &len);
            uint8_t *copy = arena_alloc(d->arena, len);
            memcpy(copy, bytes, len);
            pieces[count++] = (struct series_piece){.bytes = copy, .len = len};
        }
    }
    if (count == 0) {
        return FAIL1(LOG_MISSING, "series", name);
    }
    return series_range(d->arena, pieces, count, from_ms, to_ms + 1, out);
}

static struct result read_series(struct draft *d, const json_t *o, struct treat_log *out)
{
    const char *name = NULL, *from = NULL, *to = NULL;
    int64_t from_ms, to_ms;
    TRY(json_get_text(o, "name", "series.name", JSON_NEEDED, &name));
    TRY(json_get_text(o, "from", "series.from", JSON_NEEDED, &from));
    TRY(json_get_text(o, "to", "series.to", JSON_NEEDED, &to));
    TRY(civil_read(from, "series.from", &from_ms));
    TRY(civil_read(to, "series.to", &to_ms));
    struct series s;
    TRY(read_pieces(d, name, from_ms, to_ms, &s));
    if ((size_t)s.channels < out->mc.probes || s.scale > 3 || strcmp(s.unit, "Cel") != 0) {
        return FAIL2(FIELD_CHOICE, "series.name", name,
                     "series in Cel with a channel for each probe");
    }
    int32_t factor = s.scale == 3 ? 1 : s.scale == 2 ? 10 : s.scale == 1 ? 100 : 1000;
    int64_t *times = ARENA_ARRAY(d->arena, int64_t, s.count + 1);
    int32_t *temps = ARENA_ARRAY(d->arena, int32_t, (s.count + 1) * out->mc.probes);
    size_t kept = 0;
    for (size_t i = 0; i < s.count; i++) {
        bool whole = true;
        for (size_t k = 0; k < out->mc.probes; k++) {
            int64_t mc = (int64_t)s.value[i * (size_t)s.channels + k] * factor;
            whole = whole && (s.missing[i] >> k & 1) == 0 && mc >= -60000 && mc <= 300000;
            temps[kept * out->mc.probes + k] = (int32_t)mc;
        }
        times[kept] = s.ms[i];
        kept += whole ? 1 : 0;
        out->lost += whole ? 0 : 1;
    }
    out->mc.points = kept;
    out->mc.time_ms = times;
    out->mc.temp_mc = temps;
    return RESULT_OK;
}

struct result treat_log_read(struct draft *d, struct treat_log *out)
{
    json_t *log = NULL, *series = NULL;
    *out = (struct treat_log){0};
    TRY(json_get_object(d->cmd->body, "log", "log", JSON_OPTIONAL, &log));
    TRY(json_get_object(d->cmd->body, "series", "series", JSON_OPTIONAL, &series));
    if (log != NULL) {
        TRY(read_probes(d, log, "log.probes", out));
        TRY(read_points(d, log, out));
    } else if (series != NULL) {
        TRY(read_probes(d, d->cmd->body, "probes", out));
        TRY(read_series(d, series, out));
    } else {
        return FAIL1(FIELD_MISSING, "log",
                     "A treatment needs its logged curve: log, or series with from and to.");
    }
    return heat_log_mc_check(&out->mc);
}

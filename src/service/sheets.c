#include "service/sheets.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/file.h"
#include "base/words.h"
#include "ledger/chemical.h"
#include "paper/sheet.h"
#include "service/proof.h"
#include "service/sentence.h"
#include "service/view_dayline.h"
#include "service/view_inner.h"

enum { COLUMNS_MAX = 10, ROWS_MAX = 2000 };

static const char *const names[SHEETS_COUNT] = {"soak",    "harvest", "checks",
                                                "weights", "day",     "doses"};

const char *sheets_name(enum sheets_kind kind)
{
    CHECK(kind < SHEETS_COUNT);
    return names[kind];
}

enum sheets_kind sheets_named(const char *name)
{
    int kind = 0;
    while (kind < SHEETS_COUNT && strcmp(names[kind], name) != 0) {
        kind++;
    }
    return (enum sheets_kind)kind;
}

struct filling {
    struct view *v;
    int32_t day;
    const struct shift *shift; /* NULL: the whole day */
    struct chamber_run *runs;  /* what grows now */
    size_t run_count;
    struct sheet sheet;
    const char **cells; /* the sheet's */
    size_t room;        /* rows */
};

/* Keys of the titles, and how wide each column is; those behind the filled ones are written by
 * hand.
 */
static const struct {
    const char *const columns[COLUMNS_MAX];
    double shares[COLUMNS_MAX];
    size_t blank_rows;
} layouts[SHEETS_COUNT] = {
    {{"chamber", "item", "seed", "seed-lot", "lot", "weighed", "soaked", "into-chamber", "by"},
     {2, 2, 2, 3, 4, 2, 2, 2, 2},
     4},
    {{"chamber", "lot", "started", "into-lot", "share", "gross", "tare", "time", "by"},
     {2, 4, 3, 4, 2, 2, 2, 2, 2},
     4},
    {{"check", "place", "time", "instrument", "reading", "good", "by"}, {5, 2, 2, 2, 3, 2, 2}, 8},
    {{"item", "net", "lot", "time", "pieces", "mean-net", "cases", "by"},
     {3, 2, 4, 2, 2, 2, 2, 2},
     10},
    {{"from", "to", "stage", "place", "chamber", "item", "for", "begun-at", "done-at", "by"},
     {2, 2, 2, 2, 3, 4, 4, 2, 2, 2},
     4},
    {{"chemical", "agent", "dose-strength", "target", "counts", "volume", "wanted", "taken", "by"},
     {2, 3, 2, 2, 3, 2, 3, 3, 2},
     6},
};

/* What stands below a sheet, in order, after what stands below all of them. */
static const char *const cautions[SHEETS_COUNT][5] = {
    [SHEETS_DOSES] = {"sheet.caution.counts", "sheet.caution.gas", "sheet.caution.hands",
                      "sheet.caution.measure", "sheet.caution.law"},
};

/* The next row's cells, all empty. */
static const char **row_add(struct filling *f)
{
    size_t columns = f->sheet.column_count;
    if (f->sheet.row_count == f->room) {
        size_t room = f->room > 0 ? 2 * f->room : 32;
        const char **more = ARENA_ARRAY(f->v->arena, const char *, room *columns);
        if (f->room > 0) {
            memcpy(more, f->cells, f->room * columns * sizeof *more);
        }
        f->cells = more;
        f->room = room;
    }
    return &f->cells[f->sheet.row_count++ * columns];
}

/* "04:00" */
static const char *clock_text(struct arena *a, int64_t ms)
{
    struct civil c = civil_from_ms(ms, civil_offset_min(ms));
    return arena_printf(a, "%02d:%02d", c.hour, c.minute);
}

static const char *keep(struct filling *f, const char *text)
{
    return text != NULL ? arena_copy(f->v->arena, text) : "";
}

/* MUNG26061-C1: as the ledger begins a code, and then the chamber instead of a running number. */
static const char *lot_code(struct filling *f, const char *item, const char *chamber)
{
    int year, month, day;
    day_to_ymd(f->day, &year, &month, &day);
    return arena_printf(f->v->arena, "%s%02d%03d-%s", item, year % 100, day_of_year(f->day),
                        chamber);
}

/* ---- what stands on each */

/* Was a start of the day made in this chamber? */
static bool was_started(const struct filling *f, const char *place)
{
    for (size_t i = 0; i < f->run_count; i++) {
        int64_t ms = f->runs[i].start_ms;
        if (strcmp(f->runs[i].place, place) == 0 &&
            day_of_house(ms, civil_offset_min(ms), f->v->profile->day_starts_min) == f->day) {
            return true;
        }
    }
    return false;
}

static bool soaks_in_shift(const struct filling *f, const char *place)
{
    const struct profile *p = f->v->profile;
    if (f->shift == NULL) {
        return true;
    }
    int64_t soak_min = p->planning.soak_ms / 60000;
    int64_t soak_ms = shift_wall_ms(f->day, soak_min + (soak_min < p->day_starts_min ? 1440 : 0));
    return soak_ms < f->shift->end_ms && (soak_ms >= f->shift->start_ms || !was_started(f, place));
}

/* What has no date of its own may be harvested at any time. */
static struct result ready_in_shift(const struct filling *f, const struct chamber_run *run,
                                    bool *out)
{
    const struct crop *crop = profile_crop(f->v->profile, run->item);
    int64_t ready_ms = 0;
    *out = true;
    if (f->shift != NULL && crop != NULL) {
        TRY(chamber_due(f->v->profile, crop, run, f->v->now_ms, &ready_ms));
        *out = ready_ms > 0 && ready_ms < f->shift->end_ms;
    }
    return RESULT_OK;
}

static struct result fill_soak(struct filling *f)
{
    struct statement *q = store_prepare(f->v->store, Q_PLANNING_TAKEN);
    store_bind_int(q, 1, f->day);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 0) != f->day || f->sheet.row_count == ROWS_MAX ||
            !soaks_in_shift(f, store_text(q, 1))) {
            continue;
        }
        const char **cell = row_add(f);
        cell[0] = keep(f, store_text(q, 1));
        cell[1] = keep(f, store_text(q, 2));
        cell[2] = mass_text(f->v->arena, store_int(q, 3), 1000000);
        cell[3] = keep(f, store_text(q, 5));
        cell[4] = lot_code(f, cell[1], cell[0]);
    }
}

static struct result fill_harvest(struct filling *f)
{
    for (size_t i = 0; i < f->run_count && f->sheet.row_count < ROWS_MAX; i++) {
        const struct chamber_run *run = &f->runs[i];
        bool wanted;
        TRY(ready_in_shift(f, run, &wanted));
        if (!wanted) {
            continue;
        }
        const char **cell = row_add(f);
        cell[0] = run->place;
        cell[1] = run->code;
        cell[2] = civil_short(f->v->arena, run->start_ms);
        cell[3] = arena_printf(f->v->arena, "%s-H", lot_code(f, run->item, run->place));
    }
    return RESULT_OK;
}

static struct result add_places(struct filling *f, const struct profile_step *step)
{
    struct statement *q = store_prepare(f->v->store, Q_PAGE_PLACE_KINDS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (list_has(step->place_kinds, store_text(q, 1)) && f->sheet.row_count < ROWS_MAX) {
            const char **cell = row_add(f);
            cell[0] = sentence_title(f->v->arena, f->v->profile, f->v->lang, step->name);
            cell[1] = keep(f, store_text(q, 0));
        }
    }
}

/* Each check at each place it is made at; one that is of lots has a row without a place. */
static struct result fill_checks(struct filling *f)
{
    const struct profile *p = f->v->profile;
    for (size_t i = 0; i < p->step_count; i++) {
        const struct profile_step *step = &p->steps[i];
        if (strcmp(step->act, "check") != 0) {
            continue;
        }
        if (step->place_kinds[0] != '\0') {
            TRY(add_places(f, step));
        } else {
            row_add(f)[0] = sentence_title(f->v->arena, p, f->v->lang, step->name);
        }
    }
    return RESULT_OK;
}

static struct result fill_weights(struct filling *f)
{
    struct statement *q = store_prepare(f->v->store, Q_ITEM_ALL);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (strcmp(store_text(q, 2), "packed") == 0 && f->sheet.row_count < ROWS_MAX) {
            const char **cell = row_add(f);
            cell[0] = keep(f, store_text(q, 0));
            cell[1] = mass_text(f->v->arena, store_int(q, 5), 0);
            cell[2] = lot_code(f, cell[0], "P");
        }
    }
}

/* ---- the day's sequence */

struct day_row {
    int from, to, stage, machine;
    const char *what, *item, *takes;
};

static int by_time(const void *x, const void *y)
{
    const struct day_row *a = x, *b = y;
    return a->from != b->from ? (a->from > b->from) - (a->from < b->from)
                              : (a->stage > b->stage) - (a->stage < b->stage);
}

/* The trucks that wait for a job. */
static const char *takes_text(struct filling *f, const struct dayline *d, int job)
{
    const char *out = "";
    for (int i = 0; i < d->problem.need_count; i++) {
        if (d->problem.needs[i].job == job) {
            out = arena_printf(f->v->arena, "%s%s%s", out, out[0] != '\0' ? ", " : "",
                               d->problem.trucks[d->problem.needs[i].truck].code);
        }
    }
    return out;
}

/* What is still to be done of it, before it the clean and the change-over. */
static size_t run_rows(struct filling *f, const struct dayline *d, int job, int stage,
                       struct day_row *out)
{
    const struct day_run *run = &d->sequence->runs[job * d->problem.stage_count + stage];
    struct arena *a = f->v->arena;
    size_t count = 0;
    if (run->start == DAY_NOT_BEGUN || (run->is_begun && run->end <= d->problem.now_min)) {
        return 0;
    }
    if (run->setup_end > run->setup_start) {
        const char *clean = WORDS(a, f->v->lang, "day.clean", NULL);
        const char *change = WORDS(a, f->v->lang, "day.change", NULL);
        bool cleans = run->clean_end > run->setup_start, changes = run->setup_end > run->clean_end;
        const char *what = arena_printf(a, "%s%s%s", cleans ? clean : "",
                                        cleans && changes ? ", " : "", changes ? change : "");
        out[count++] =
            (struct day_row){run->setup_start, run->setup_end, stage, run->machine, what, "", ""};
    }
    const struct dayline_job *of = &d->jobs[job];
    const char *item = arena_printf(a, "%s %s", of->item, mass_text(a, of->mg, 1000000));
    out[count++] = (struct day_row){
        run->start, run->end, stage, run->machine, of->chamber, item, takes_text(f, d, job)};
    return count;
}

static void put_day_row(struct filling *f, const struct dayline *d, const struct day_row *row)
{
    int64_t from_ms = dayline_ms(d, row->from);
    bool in_shift =
        f->shift == NULL || (from_ms >= f->shift->start_ms && from_ms < f->shift->end_ms);
    if (!in_shift || f->sheet.row_count == ROWS_MAX) {
        return;
    }
    const char *place = row->machine >= 0 ? d->places[row->stage][row->machine] : NULL;
    const char **cell = row_add(f);
    cell[0] = clock_text(f->v->arena, from_ms);
    cell[1] = clock_text(f->v->arena, dayline_ms(d, row->to));
    cell[2] = view_dayline_stage(f->v, d->problem.stages[row->stage].code);
    cell[3] = place != NULL ? place : "";
    cell[4] = row->what;
    cell[5] = row->item;
    cell[6] = row->takes;
}

/* How each truck stands, above the table. */
static void put_truck_lines(struct filling *f, const struct dayline *d)
{
    size_t trucks = (size_t)d->problem.truck_count;
    const char **lines = ARENA_ARRAY(f->v->arena, const char *, trucks + 1);
    lines[0] = f->sheet.lines[0];
    for (size_t i = 0; i < trucks; i++) {
        lines[i + 1] = view_dayline_truck(f->v, d, (int)i);
    }
    f->sheet.lines = lines;
    f->sheet.line_count = trucks + 1;
}

static struct result fill_day(struct filling *f)
{
    struct dayline d;
    TRY(dayline_read(f->v, f->day, &d));
    if (d.sequence == NULL) {
        return RESULT_OK;
    }
    int jobs = d.problem.job_count, stages = d.problem.stage_count;
    struct day_row *rows =
        ARENA_ARRAY(f->v->arena, struct day_row, (size_t)(jobs * stages) * 2 + 1);
    size_t count = 0;
    for (int i = 0; i < jobs * stages; i++) {
        count += run_rows(f, &d, d.sequence->order[i / stages], i % stages, &rows[count]);
    }
    if (count > 0) {
        qsort(rows, count, sizeof *rows, by_time);
    }
    for (size_t i = 0; i < count; i++) {
        put_day_row(f, &d, &rows[i]);
    }
    put_truck_lines(f, &d);
    return RESULT_OK;
}

/* ---- doses */

enum { DOSE_VOLUME_L = 100 };

/* Strengths that the profile has surfaces cleaned with, each once, rising; -> their number. */
static size_t strengths(const struct profile *p, int64_t *out, size_t room)
{
    size_t count = 0;
    for (size_t i = 0; i < 2 * p->surface_count; i++) {
        const struct surface *s = &p->surfaces[i / 2];
        int64_t one = i % 2 == 0 ? s->strength_low : s->strength_high;
        size_t at = 0;
        while (at < count && out[at] < one) {
            at++;
        }
        if ((at < count && out[at] == one) || count == room || one <= 0) {
            continue;
        }
        memmove(&out[at + 1], &out[at], (count - at) * sizeof *out);
        out[at] = one;
        count++;
    }
    return count;
}

/* "153.8 g or 131.5 mL"; "" where the record can't say. */
static const char *wanted_text(struct arena *a, const struct dose_record_product *product,
                               const struct dose_record_ask *ask)
{
    struct dose_record dose;
    if (dose_record(product, ask, &dose).code != CODE_OK) {
        return "";
    }
    const char *mass = dose.product_mg > 0 ? mass_text(a, dose.product_mg, 100) : "";
    const char *ml =
        dose.product_ul > 0
            ? arena_printf(a, "%s mL", decimal_text(a, (dose.product_ul + 50) / 100, 1, false))
            : "";
    return mass[0] != '\0' && ml[0] != '\0' ? arena_printf(a, "%s = %s", mass, ml)
           : mass[0] != '\0'                ? mass
                                            : ml;
}

static struct result add_doses(struct filling *f, const struct listed *chemical)
{
    struct arena *a = f->v->arena;
    const char *lang = f->v->lang;
    struct chemical_strength strength;
    int64_t targets[8];
    TRY(chemical_strength(f->v->store, chemical, &strength));
    size_t count = strengths(f->v->profile, targets, sizeof targets / sizeof targets[0]);
    for (size_t i = 0; i < count && strength.known && f->sheet.row_count < ROWS_MAX; i++) {
        bool chlorine = strength.product.of_chlorine;
        const char **cell = row_add(f);
        cell[0] = chemical->code;
        cell[1] = keep(f, listed_text(chemical, "agent"));
        cell[2] = chemical_strength_text(a, &strength.product);
        cell[3] = arena_printf(a, "%s mg/L", decimal_text(a, targets[i], 3, false));
        cell[4] =
            words_of(a, lang, "word.counts.", chlorine ? "available-chlorine" : "substance", "");
        cell[5] = arena_printf(a, "%d L", DOSE_VOLUME_L);
        cell[6] = wanted_text(
            a, &strength.product,
            &(struct dose_record_ask){.target_milli = targets[i],
                                      .counts = chlorine ? DOSE_AVAILABLE_CHLORINE : DOSE_SUBSTANCE,
                                      .volume_ml = DOSE_VOLUME_L * 1000});
    }
    return RESULT_OK;
}

/* What each chemical in use takes, by its certificate or the titration since. */
static struct result fill_doses(struct filling *f)
{
    struct listed *list;
    size_t count;
    struct result r = RESULT_OK;
    TRY(listed_all(f->v->store, f->v->arena, "chemical", &list, &count));
    for (size_t i = 0; i < count && r.code == CODE_OK; i++) {
        if (list[i].until_ms > f->v->now_ms) {
            r = add_doses(f, &list[i]);
        }
    }
    listed_free(list, count);
    return r;
}

/* ---- the paper */

/* The newest signed head, else the tree as it stands. */
static struct result foot_of(struct view *v, const char **out)
{
    struct head head;
    int64_t size;
    TRY(proof_head(v->store, &head));
    size = head.size;
    if (size == 0) {
        TRY(proof_size(v->store, &size));
        TRY(proof_root(v->store, size, &head.root));
    }
    *out = WORDS(v->arena, v->lang, head.size > 0 ? "sheet.foot-signed" : "sheet.foot",
                 arena_printf(v->arena, "%lld", (long long)size),
                 hex_text(v->arena, head.root.b, sizeof head.root.b));
    return RESULT_OK;
}

/* "Early shift, 2 March 2026, 04:00 to 12:00; printed ...", or without the shift. */
static const char *when_text(const struct filling *f)
{
    struct arena *a = f->v->arena;
    const char *lang = f->v->lang, *date = words_date(a, lang, f->day);
    const char *now = words_time(a, lang, f->v->now_ms, civil_offset_min(f->v->now_ms));
    if (f->shift == NULL) {
        return WORDS(a, lang, "sheet.day", date, now);
    }
    return WORDS(a, lang, "sheet.shift", shift_title(a, lang, f->shift->name), date,
                 clock_text(a, f->shift->start_ms), clock_text(a, f->shift->end_ms), now);
}

static void lay_out(struct filling *f, enum sheets_kind kind)
{
    struct arena *a = f->v->arena;
    struct sheet_column *columns = ARENA_ARRAY(a, struct sheet_column, COLUMNS_MAX);
    size_t count = 0;
    while (count < COLUMNS_MAX && layouts[kind].columns[count] != NULL) {
        const char *key = layouts[kind].columns[count];
        columns[count] =
            (struct sheet_column){.title = words_of(a, f->v->lang, "sheet.column.", key, key),
                                  .share = layouts[kind].shares[count]};
        count++;
    }
    const char **lines = ARENA_ARRAY(a, const char *, 1);
    lines[0] = when_text(f);
    const char **notes = ARENA_ARRAY(a, const char *, 6);
    size_t note_count = 1;
    notes[0] = words(a, f->v->lang, "sheet.note", NULL, 0);
    for (size_t i = 0; i < 5 && cautions[kind][i] != NULL; i++) {
        notes[note_count++] = words(a, f->v->lang, cautions[kind][i], NULL, 0);
    }
    f->sheet = (struct sheet){.lang = f->v->lang,
                              .title = words_of(a, f->v->lang, "sheet.title.", names[kind], ""),
                              .lines = lines,
                              .line_count = 1,
                              .columns = columns,
                              .column_count = count,
                              .blank_rows = layouts[kind].blank_rows,
                              .row_min_mm = 9, /* room to write by hand: common practice */
                              .notes = notes,
                              .note_count = note_count,
                              .across = true,
                              .created_ms = f->v->now_ms};
}

struct result sheets_make(struct view *v, enum sheets_kind kind, struct sheets_span span,
                          const uint8_t **out, size_t *out_len)
{
    static struct result (*const fill[SHEETS_COUNT])(struct filling *) = {
        fill_soak, fill_harvest, fill_checks, fill_weights, fill_day, fill_doses};
    struct filling f = {.v = v, .day = span.day, .shift = span.shift};
    CHECK(kind < SHEETS_COUNT);
    lay_out(&f, kind);
    TRY(foot_of(v, &f.sheet.foot));
    TRY(view_runs(v, &f.runs, &f.run_count));
    TRY(fill[kind](&f));
    f.sheet.cells = f.cells;
    return sheet_pdf(v->arena, &f.sheet, out, out_len);
}

const char *sheets_file(struct arena *a, struct sheets_span span, enum sheets_kind kind)
{
    const char *day = day_text(a, span.day);
    return span.shift == NULL
               ? arena_printf(a, "%s-%s", day, sheets_name(kind))
               : arena_printf(a, "%s-%s-%s", day, span.shift->name, sheets_name(kind));
}

struct result sheets_write(struct view *v, const char *folder, struct sheets_span span)
{
    const uint8_t *pdf[SHEETS_COUNT];
    size_t len[SHEETS_COUNT];
    for (int i = 0; i < SHEETS_COUNT; i++) {
        TRY(sheets_make(v, (enum sheets_kind)i, span, &pdf[i], &len[i]));
    }
    TRY(folder_make(folder));
    for (int i = 0; i < SHEETS_COUNT; i++) {
        const char *file = sheets_file(v->arena, span, (enum sheets_kind)i);
        TRY(file_write(arena_printf(v->arena, "%s/%s.pdf", folder, file), pdf[i], len[i], 0644));
    }
    return RESULT_OK;
}

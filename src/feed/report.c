/* The report for machines; sentences only for gaps and cautions, from the catalogue. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/words.h"
#include "feed/feed_inner.h"

const char *feed_mark_text(enum feed_mark mark)
{
    static const char *const names[FEED_MARKS] = {"new",   "changed",   "cancelled", "shipped",
                                                  "known", "duplicate", "gap"};
    CHECK(mark < FEED_MARKS);
    return names[mark];
}

const char *series_gap_text(enum series_gap_reason reason)
{
    static const char *const names[GAP_REASONS] = {"missing", "unreadable", "range", "jump",
                                                   "silence", "conflict",   "lost"};
    CHECK(reason < GAP_REASONS);
    return names[reason];
}

static void set_number(json_t *object, const char *name, size_t value)
{
    CHECK(json_object_set_new(object, name, json_integer((json_int_t)value)) == 0);
}

const char *feed_note_words(struct arena *a, const char *lang, const struct feed_note *note)
{
    const struct series_gap *gap = note->gap;
    if (gap == NULL) {
        return note->what;
    }
    const char *channel =
        gap->channel == 0 ? "" : WORDS(a, lang, "gap.channel", arena_printf(a, "%d", gap->channel));
    const char *times = gap->count < 2 ? "" : arena_printf(a, " ×%zu", gap->count);
    return WORDS(a, lang, "gap.note", words_of(a, lang, "gap.", series_gap_text(gap->reason), ""),
                 channel, note->what, times);
}

static json_t *notes_json(struct arena *a, const char *lang, const struct feed_report *report)
{
    json_t *notes = json_array();
    CHECK(notes != NULL);
    for (size_t i = 0; i < report->note_count; i++) {
        const struct feed_note *note = &report->notes[i];
        json_t *one = json_object();
        CHECK(one != NULL);
        feed_set_text(one, "mark", feed_mark_text(note->mark));
        if (note->line > 0) {
            set_number(one, "line", (size_t)note->line);
        }
        feed_set_text(one, "what", feed_note_words(a, lang, note));
        CHECK(json_array_append_new(notes, one) == 0);
    }
    return notes;
}

static json_t *cautions_json(struct arena *a, const char *lang, const struct feed_report *report)
{
    json_t *cautions = json_array();
    CHECK(cautions != NULL);
    for (size_t i = 0; i < report->caution_count; i++) {
        const char *sentence = result_sentence_in(a, lang, &report->cautions[i]);
        CHECK(json_array_append_new(cautions, json_string(sentence)) == 0);
    }
    return cautions;
}

json_t *feed_report_json(struct arena *a, const char *lang, const struct feed_report *report)
{
    static const char *const encodings[] = {"ascii", "utf-8", "windows-1252"};
    json_t *o = json_object();
    CHECK(o != NULL);
    feed_set_text(o, "for", feed_kind_text(report->kind));
    feed_set_text(o, "source", report->source);
    feed_set_text(o, "file", report->file);
    feed_set_text(o, "sha256", hex_text(a, report->sha256.b, sizeof report->sha256.b));
    feed_set_text(o, "encoding", encodings[report->encoding]);
    feed_set_text(o, "delimiter", (const char[]){report->delimiter, '\0'});
    set_number(o, "rows", report->rows);
    for (int mark = 0; mark < FEED_MARKS; mark++) {
        set_number(o, feed_mark_text((enum feed_mark)mark), report->count[mark]);
    }
    if (report->kind == FEED_ORDERS) {
        CHECK(json_object_set_new(o, "whole_book", json_boolean(report->whole_book)) == 0);
        feed_set_text(o, "from", day_text(a, report->from_day));
        feed_set_text(o, "to", day_text(a, report->to_day));
    }
    if (report->kind == FEED_LOGGER || report->kind == FEED_CHECKWEIGHER) {
        set_number(o, "pieces", report->pieces);
        feed_set_text(o, "from", civil_text(a, report->from_ms, civil_offset_min(report->from_ms)));
        feed_set_text(o, "to", civil_text(a, report->to_ms, civil_offset_min(report->to_ms)));
    }
    CHECK(json_object_set_new(o, "notes", notes_json(a, lang, report)) == 0);
    CHECK(json_object_set_new(o, "cautions", cautions_json(a, lang, report)) == 0);
    return o;
}

/* Any bytes as a logger's or checkweigher's file: refused with a line, or samples in order, whose
 * pieces read back the same and after which the same file brings nothing new. First byte: the
 * mapping. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "feed/feed.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const struct {
    const char *kind, *data;
} mappings[] = {
    {"logger", "{\"series\":\"s\",\"unit\":\"Cel\",\"zone\":\"Europe/"
               "Vienna\",\"interval_s\":\"60\",\"jump\":\"5\","
               "\"columns\":{\"time\":\"T\",\"channel-1\":\"A\",\"channel-2\":\"B\"}}"},
    {"logger", "{\"series\":\"s\",\"unit\":\"Cel\",\"zone\":\"Australia/"
               "Lord_Howe\",\"interval_s\":\"900\",\"dates\":\"day-first\","
               "\"decimal\":\",\",\"preamble\":{\"D\":\"1\"},\"columns\":{\"date\":\"D\",\"clock\":"
               "\"C\",\"channel-1\":\"A\"}}"},
    {"logger", "{\"series\":\"s\",\"unit\":\"%\",\"scale\":0,\"zone\":\"UTC\",\"interval_s\":\"1\","
               "\"trailer\":\"end\",\"device\":\"d\","
               "\"range\":{\"low\":\"0\",\"high\":\"100\"},"
               "\"columns\":{\"time\":\"T\",\"n\":\"N\",\"device\":\"V\",\"channel-1\":\"A\"}}"},
    {"checkweigher", "{\"series\":\"s\",\"unit\":\"g\",\"zone\":\"Europe/"
                     "Vienna\",\"columns\":{\"time\":\"T\",\"n\":\"N\","
                     "\"weight\":\"A\",\"verdict\":\"V\"},\"codes\":{\"verdict\":{\"o\":"
                     "\"accepted\",\"x\":\"rejected\"}}}"},
};

static void check_samples(const struct feed_content *content)
{
    const struct series *s = &content->series;
    for (size_t i = 0; i < s->count; i++) {
        CHECK(content->lines[i] >= 2 && s->n[i] >= 0);
        CHECK(i == 0 || s->ms[i] >= s->ms[i - 1]);
    }
    for (size_t i = 0; i < content->gap_count; i++) {
        const struct series_gap *g = &content->gaps[i];
        CHECK(g->line >= 2 && g->sample <= s->count && g->channel >= 0 &&
              g->channel <= s->channels);
        CHECK(g->from_ms <= g->to_ms);
    }
}

static size_t pieces_of(struct arena *a, const json_t *commands, struct series_piece **out)
{
    size_t count = json_array_size(commands);
    *out = ARENA_ARRAY(a, struct series_piece, count + 1);
    for (size_t i = 0; i < count; i++) {
        const char *text =
            json_string_value(json_object_get(json_array_get(commands, i), "bytes_b64"));
        uint8_t *bytes;
        CHECK(base64_read(a, text, "bytes_b64", &bytes, &(*out)[i].len).code == CODE_OK);
        (*out)[i].bytes = bytes;
    }
    return count;
}

static void check_pieces(struct arena *a, const struct mapping *m,
                         const struct feed_content *content)
{
    struct feed_known known = {0};
    struct feed_report report;
    json_t *commands = NULL;
    struct series_piece *pieces;
    struct series back;
    const struct series *s = &content->series;
    CHECK(feed_plan(a, m, content, &known, &report, &commands).code == CODE_OK);
    known.piece_count = pieces_of(a, commands, &pieces);
    known.pieces = pieces;
    json_decref(commands);
    CHECK(series_range(a, pieces, known.piece_count, SERIES_MS_MIN, SERIES_MS_MAX, &back).code ==
          CODE_OK);
    CHECK(back.count == s->count && memcmp(back.ms, s->ms, s->count * sizeof *s->ms) == 0);
    CHECK(memcmp(back.value, s->value, s->count * (size_t)s->channels * sizeof *s->value) == 0);
    CHECK(memcmp(back.missing, s->missing, s->count * sizeof *s->missing) == 0);
    CHECK(feed_plan(a, m, content, &known, &report, &commands).code == CODE_OK);
    CHECK(json_array_size(commands) == 0);
    json_decref(commands);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0) {
        return 0;
    }
    struct arena a;
    struct mapping m;
    struct feed_content content;
    json_t *object = NULL;
    size_t which = data[0] % (sizeof mappings / sizeof mappings[0]);
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    CHECK(json_read(mappings[which].data, strlen(mappings[which].data), 1 << 16, &object).code ==
          CODE_OK);
    CHECK(mapping_read(&a, "s", mappings[which].kind, object, &m).code == CODE_OK);
    json_decref(object);
    struct feed_file file = {.name = "fuzz", .bytes = data + 1, .len = size - 1};
    struct result r = feed_read(&a, &m, &file, &content);
    if (r.code == CODE_OK) {
        check_samples(&content);
        check_pieces(&a, &m, &content);
    } else {
        CHECK(r.line >= 1 || r.code == CODE_FEED_EMPTY);
    }
    CHECK(strcmp(civil_zone(), "UTC") == 0);
    feed_release(&content);
    arena_release(&a);
    return 0;
}

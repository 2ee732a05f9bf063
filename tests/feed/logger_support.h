/* Shared by the tests of loggers: a heat treater's log, samples and gaps as text. */
#ifndef TESTS_FEED_LOGGER_SUPPORT_H
#define TESTS_FEED_LOGGER_SUPPORT_H

#include "support.h"

/* A heat treater's log with four probes, as its device writes it. */
#define TREATER                                                                                   \
    "'series':'treater-1','unit':'Cel','zone':'Europe/Vienna','delimiter':';','interval_s':'10'," \
    "'columns':{'time':'Time','channel-1':'T1','channel-2':'T2'}"
#define HEADER "Time;T1;T2\n"

static inline void map_treater(const char *more)
{
    map_ok("logger", arena_printf(&fx.arena, "{" TREATER "%s}", more));
}

static inline int64_t at(const char *text)
{
    int64_t ms;
    struct result r = civil_read(text, "at", &ms);
    assert_int_equal(r.code, CODE_OK);
    return ms;
}

/* "85000,84900 85100,-": the samples' values, - where missing. */
static inline const char *values(void)
{
    const struct series *s = &fx.content.series;
    const char *text = "";
    for (size_t i = 0; i < s->count; i++) {
        for (int c = 0; c < s->channels; c++) {
            bool missing = s->missing[i] >> c & 1;
            const char *one = missing ? "-"
                                      : arena_printf(&fx.arena, "%d",
                                                     s->value[i * (size_t)s->channels + (size_t)c]);
            text = arena_printf(&fx.arena, "%s%s%s", text, c > 0 ? "," : i > 0 ? " " : "", one);
        }
    }
    return text;
}

/* "jump/1@4x1 ...": reason, channel, line, count. */
static inline const char *gaps(void)
{
    const char *text = "";
    for (size_t i = 0; i < fx.content.gap_count; i++) {
        const struct series_gap *g = &fx.content.gaps[i];
        text = arena_printf(&fx.arena, "%s%s%s/%d@%lldx%zu", text, i > 0 ? " " : "",
                            series_gap_text(g->reason), g->channel, (long long)g->line, g->count);
    }
    return text;
}

#endif

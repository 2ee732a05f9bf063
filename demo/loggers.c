#include "base/civil.h"
#include "demo/story.h"

/* The logger of chamber C-01, every fifteen minutes since yesterday evening; now and then a reading
 * is lost. */
static struct result chamber_file(struct story *st)
{
    struct play *p = st->p;
    struct sheet file = {0};
    int64_t end_ms = at(p, 19, 45);
    size_t batch = st->chamber_batch[1];
    int age_days = batch != 0 ? (int)(p->day - st->batches[batch - 1].grow_day) : 0;
    sheet_add(&file, "time,core,air\n");
    int i = 0; /* 92 or 100 readings where the clocks change */
    for (int64_t ms = at_day(p->day - 1, 20, 0); ms <= end_ms; ms += 15 * MINUTE, i++) {
        struct civil c = civil_from_ms(ms, civil_offset_min(ms));
        /* the bed warms itself as it grows, and each watering takes it down again */
        double core =
            18.6 + 0.25 * age_days + 0.6 * (i % 12) / 12.0 + 0.1 * random_unit(&p->random);
        sheet_add(&file, "%04d-%02d-%02dT%02d:%02d:%02d,", c.year, c.month, c.day, c.hour, c.minute,
                  c.second);
        if (random_below(&p->random, 200) == 0) {
            sheet_add(&file, "---,%.2f\n", 18.0 + 0.2 * random_unit(&p->random));
        } else {
            sheet_add(&file, "%.2f,%.2f\n", core, 18.0 + 0.2 * random_unit(&p->random));
        }
    }
    const char *name = arena_printf(&p->scratch, "chamber-1-%s.csv", day_text(&p->scratch, p->day));
    struct result r =
        file_in(p, at(p, 20, 40), DEMO_GROWER, "logger", "chambers", name, file.at, file.len, NULL);
    sheet_release(&file);
    return r;
}

/* The weigher behind the pack line: a weight every two seconds while it ran, its own running
 * number. */
static struct result weigher_file(struct story *st)
{
    enum { PACKS = 600 };
    struct play *p = st->p;
    if (st->lots_today == 0) {
        return RESULT_OK;
    }
    struct sheet file = {0};
    double net_g = demo_items[st->stocks[st->stock_count - 1].item].net_kg * 1000;
    int64_t start_ms = at(p, 7, 25);
    sheet_add(&file, "time,no,weight,verdict\n");
    for (int i = 0; i < PACKS; i++) {
        int64_t ms = start_ms + i * 2000LL;
        struct civil c = civil_from_ms(ms, civil_offset_min(ms));
        double g = vary(p, net_g * 1.009, 0.006);
        sheet_add(&file, "%04d-%02d-%02dT%02d:%02d:%02d,%lld,%.1f,%s\n", c.year, c.month, c.day,
                  c.hour, c.minute, c.second, (long long)++st->weigher_no, g,
                  g < net_g * 0.97 ? "out" : "ok");
    }
    const char *name = arena_printf(&p->scratch, "weigher-%s.csv", day_text(&p->scratch, p->day));
    struct result r = file_in(p, at(p, 20, 45), DEMO_LINE, "checkweigher", "weigher", name, file.at,
                              file.len, NULL);
    sheet_release(&file);
    return r;
}

struct result story_loggers(struct story *st)
{
    TRY(chamber_file(st));
    return weigher_file(st);
}

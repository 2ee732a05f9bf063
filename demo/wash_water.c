/* The disinfectant of the wash water, as a meter shows it. */
#include "demo/story.h"

struct result wash_read_one(struct story *st, int64_t at_ms, const char *place,
                            double chlorine_mg_l)
{
    struct play *p = st->p;
    return say(p, at_ms, DEMO_LINE, false,
               json_pack("{s:s,s:s,s:s,s:s}", "kind", "water-reading", "place", place, "chlorine",
                         arena_printf(&p->scratch, "%.1f mg/L", chlorine_mg_l), "instrument",
                         "CL-1"));
}

struct result wash_read(struct story *st, int64_t at_ms)
{
    static const char *const lines[] = {"W-1", "W-2"};
    st->read_ms = at_ms;
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        TRY(wash_read_one(st, at_ms, lines[i], 30 + 20 * random_unit(&st->hygiene)));
    }
    return RESULT_OK;
}

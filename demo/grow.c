#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "demo/story.h"

const char *chamber_code(struct story *st, int chamber)
{
    return arena_printf(&st->p->scratch, "C-%02d", chamber);
}

struct result clean_place(struct story *st, int64_t end_ms, const char *place)
{
    struct play *p = st->p;
    return say(p, end_ms, DEMO_HYGIENE, true,
               json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:s,s:b,s:s,s:s}", "kind", "clean", "place",
                         place, "start", when_text(p, end_ms - 20 * MINUTE), "end",
                         when_text(p, end_ms), "agent", "chlorine sanitiser", "strength",
                         "150 mg/L", "contact", "120 s", "rinsed", 1, "inspected", "pass",
                         "chemical", arena_printf(&p->scratch, "CHEM-%d", st->chemical)));
}

/* The treater's logger writes a file a load: come-up, hold, cooling every two seconds, three
 * probes, decimal comma. */
static struct result treater_file(struct story *st, int64_t start_ms, int hold_s, const char *name)
{
    struct play *p = st->p;
    struct sheet file = {0};
    sheet_add(&file, "Datum;Zeit;T1;T2;T3\r\n");
    int up_s = 60, down_s = 60;
    for (int s = 0; s <= up_s + hold_s + down_s; s += 2) {
        double t = s < up_s             ? 25 + 61.2 * s / up_s
                   : s <= up_s + hold_s ? 86.2
                                        : 86.2 - 60.0 * (s - up_s - hold_s) / down_s;
        int64_t ms = start_ms + s * 1000LL;
        struct civil c = civil_from_ms(ms, civil_offset_min(ms));
        sheet_add(&file, "%02d.%02d.%04d;%02d:%02d:%02d", c.day, c.month, c.year, c.hour, c.minute,
                  c.second);
        for (int k = 0; k < 3; k++) {
            double reading = t + 0.1 * k + 0.05 * (random_unit(&p->random) - 0.5);
            int whole = (int)(reading * 10 + 0.5);
            sheet_add(&file, ";%d,%d", whole / 10, whole % 10);
        }
        sheet_add(&file, "\r\n");
    }
    struct result r = file_in(p, start_ms + 5 * MINUTE, DEMO_GROWER, "logger", "treater", name,
                              file.at, file.len, NULL);
    sheet_release(&file);
    return r;
}

static struct result treat_load(struct story *st, struct batch *b, const struct seed_lot *seed,
                                int64_t start_ms, int hold_s)
{
    struct play *p = st->p;
    const char *recipe = seed->item[0] == 'S' ? "hot-water-80" : "hot-water-85";
    const char *name =
        arena_printf(&p->scratch, "treater-%s-%s.csv", day_text(&p->scratch, p->day), b->load);
    TRY(clean_place(st, start_ms - 5 * MINUTE, "TR-1"));
    TRY(treater_file(st, start_ms, hold_s, name));
    int64_t end_ms = start_ms + (60 + hold_s + 60) * 1000LL;
    return say(
        p, end_ms + 4 * MINUTE, DEMO_GROWER, true,
        json_pack("{s:s,s:[{s:s,s:s}],s:s,s:s,s:s,s:s,s:s,s:{s:s,s:s,s:s},s:[s,s,s],s:s,s:[s]}",
                  "kind", "heat-treat", "inputs", "lot", seed->code, "mass", mass_of(p, b->seed_kg),
                  "place", "TR-1", "recipe", recipe, "load", b->load, "start",
                  when_text(p, start_ms), "end", when_text(p, end_ms), "series", "name",
                  "treater-1", "from", when_text(p, start_ms), "to", when_text(p, end_ms), "probes",
                  "TH-1", "TH-2", "TH-3", "cool_start",
                  when_text(p, start_ms + (60 + hold_s) * 1000LL), "papers", st->validation));
}

static struct result soak_load(struct story *st, struct batch *b, int tank, int64_t start_ms)
{
    struct play *p = st->p;
    const char *place = arena_printf(&p->scratch, "ST-%d", tank);
    TRY(clean_place(st, start_ms - 15 * MINUTE, place));
    b->wet_ms = start_ms;
    return say(p, start_ms + 10 * MINUTE, DEMO_GROWER, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "soak", "lot", b->load, "place", place,
                         "start", when_text(p, start_ms), "end",
                         when_text(p, start_ms + 10 * MINUTE)));
}

static struct seed_lot *seed_for(struct story *st, const char *item, double kg)
{
    for (size_t i = 0; i < st->seed_count; i++) {
        struct seed_lot *s = &st->seeds[i];
        if (s->usable && s->left_kg >= kg && strcmp(s->item, item) == 0) {
            return s;
        }
    }
    return NULL;
}

/* The item whose share of the batches so far lags most. */
static int next_item(const struct story *st)
{
    int count[DEMO_ITEMS] = {0}, best = 0;
    double worst = -1;
    for (size_t i = 0; i < st->batch_count; i++) {
        count[st->batches[i].item]++;
    }
    for (int i = 0; i < DEMO_ITEMS; i++) {
        double lag = demo_items[i].weekly_share * ((double)st->batch_count + 1) - count[i];
        if (lag > worst) {
            worst = lag;
            best = i;
        }
    }
    return best;
}

static int free_chambers(const struct story *st)
{
    int n = 0;
    for (int c = 1; c <= st->p->s->chambers; c++) {
        n += st->chamber_batch[c] == 0 && st->chamber_clean[c] ? 1 : 0;
    }
    return n;
}

/* A load whose hold was too short is not used: it goes to feed and the seed is treated again. */
static struct result failed_load(struct story *st, const struct batch *b, struct seed_lot *seed,
                                 int64_t start_ms)
{
    struct play *p = st->p;
    struct batch bad = *b;
    bad.load = keep_text(st, "%s-X", b->load);
    TRY(treat_load(st, &bad, seed, start_ms, 22));
    seed->left_kg -= b->seed_kg;
    p->made->failed_load = bad.load;
    return say(p, start_ms + 30 * MINUTE, DEMO_QUALITY, false,
               json_pack("{s:s,s:s,s:s,s:s}", "kind", "destroy", "lot", bad.load, "to", "feed",
                         "reason", "the hold was too short"));
}

struct result story_treat(struct story *st)
{
    struct play *p = st->p;
    int today = (p->s->chambers + 9) / 10, tank = 0;
    today = today < free_chambers(st) ? today : free_chambers(st);
    if (p->day == p->first_day) {
        today = today < 3 ? today : 3;
    }
    int64_t late_ms =
        0; /* a load treated again puts the others off: the treater is cleaned between */
    for (int n = 0; n < today && n < 9; n++) {
        int item = next_item(st);
        double kg = demo_items[item].crop[0] == 'S' ? 118 : 108;
        struct seed_lot *seed = seed_for(st, demo_items[item].seed, kg * 1.05);
        if (seed == NULL) {
            continue;
        }
        struct batch *b = &st->batches[st->batch_count];
        *b = (struct batch){.item = item,
                            .seed_kg = (int)vary(p, kg, 0.01),
                            .seed = (size_t)(seed - st->seeds),
                            .load = keep_text(st, "L%05d-%d", (int)p->day, n + 1),
                            .grow_day = p->day + 1};
        int64_t start_ms = at(p, 13, 0) + n * 45 * MINUTE + late_ms;
        if (st->fail_day > 0 && p->day >= st->fail_day && p->made->failed_load == NULL &&
            seed->left_kg > 2.2 * kg) {
            TRY(failed_load(st, b, seed, start_ms));
            late_ms = 45 * MINUTE;
            start_ms += late_ms;
        }
        int hold_s = demo_items[item].crop[0] == 'S' ? 112 : 48;
        TRY(treat_load(st, b, seed, start_ms, hold_s));
        seed->left_kg -= b->seed_kg;
        TRY(soak_load(st, b, tank % 3 + 1,
                      at(p, 20, 0) + tank / 3 * 60 * MINUTE + tank * 2 * MINUTE));
        tank++;
        st->batch_count++;
        p->made->batches++;
    }
    return RESULT_OK;
}

static struct result start_batch(struct story *st, struct batch *b, int chamber, int64_t at_ms)
{
    struct play *p = st->p;
    b->chamber = chamber;
    b->lot = keep_text(st, "%s-%05d-C%02d", demo_items[b->item].crop, (int)p->day, chamber);
    b->harvest_day = p->day + GROW_DAYS;
    b->state = BATCH_GROWING;
    st->chamber_batch[chamber] = (size_t)(b - st->batches) + 1;
    st->chamber_clean[chamber] = false;
    return say(p, at_ms, DEMO_GROWER, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s,s:[{s:s}]}", "kind", "grow", "chamber",
                         chamber_code(st, chamber), "item", demo_items[b->item].crop, "lot", b->lot,
                         "first_wet", when_text(p, b->wet_ms), "inputs", "lot", b->load));
}

struct result story_start(struct story *st)
{
    struct play *p = st->p;
    int chamber = 1, n = 0;
    for (size_t i = 0; i < st->batch_count; i++) {
        struct batch *b = &st->batches[i];
        if (b->state != BATCH_TREATED || b->grow_day > p->day || !st->seeds[b->seed].usable) {
            continue;
        }
        while (chamber <= p->s->chambers &&
               (st->chamber_batch[chamber] != 0 || !st->chamber_clean[chamber])) {
            chamber++;
        }
        if (chamber > p->s->chambers) {
            break;
        }
        TRY(start_batch(st, b, chamber, at(p, 5, 30) + n++ * 5 * MINUTE));
    }
    return RESULT_OK;
}

static struct result draw_samples(struct story *st, struct batch *b)
{
    struct play *p = st->p;
    b->samples = demo_items[b->item].crop[0] == 'S' ? 5 : 2;
    for (int n = 0; n < b->samples; n++) {
        TRY(say(p, at(p, 9, 0) + n * MINUTE, DEMO_QUALITY, false,
                json_pack("{s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "sample", "lot", b->lot, "location",
                          n % 2 == 0 ? "drain" : "drain-2", "what", "spent-water", "volume",
                          "1000 mL", "code", arena_printf(&p->scratch, "%s-S%d", b->lot, n + 1))));
    }
    b->sampled = true;
    /* on the last day the cool box is warm, and nobody has asked the laboratory yet */
    return say(p, at(p, 9, 40), DEMO_QUALITY, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "custody", "sample",
                         arena_printf(&p->scratch, "%s-S1", b->lot), "to",
                         "the laboratory's driver", "temp",
                         p->day == p->s->last_day ? "9.5 C" : "3.5 C", "seal", "whole"));
}

struct result story_care(struct story *st, int hour)
{
    struct play *p = st->p;
    for (int c = 1; c <= p->s->chambers; c++) {
        if (st->chamber_batch[c] == 0) {
            continue;
        }
        struct batch *b = &st->batches[st->chamber_batch[c] - 1];
        const char *source = c > p->s->chambers - 2 ? "WS-2" : "WS-1";
        TRY(say(p, at(p, hour, 0) + c * 15000LL, DEMO_GROWER, false,
                json_pack(
                    "{s:s,s:s,s:s,s:s}", "kind", "water", "lot", b->lot, "source", source, "litres",
                    arena_printf(&p->scratch, "%d L", 1100 + (int)random_below(&p->random, 200)))));
        if (hour < 12 && !b->sampled && p->day >= b->grow_day + SAMPLE_AGE_DAYS) {
            TRY(draw_samples(st, b));
        }
    }
    bool warm = st->warm_day == p->day && hour > 12;
    return say(p, at(p, hour, 30), DEMO_LINE, false,
               json_pack("{s:s,s:s,s:s,s:s}", "kind", "cold-check", "place", "CR-1", "temp",
                         warm ? "9.2 C" : "2.8 C", "instrument", "TH-9"));
}

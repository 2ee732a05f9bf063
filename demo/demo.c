#include "demo/demo.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/file.h"
#include "demo/story.h"
#include "service/house.h"

const char *keep_text(struct story *st, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *text = arena_vprintf(st->p->arena, format, args);
    va_end(args);
    return text;
}

static struct result play_day(struct story *st)
{
    struct play *p = st->p;
    TRY(story_standing(st));
    TRY(story_hygiene(st));
    TRY(story_ship(st));
    TRY(story_orders(st));
    TRY(story_start(st));
    TRY(story_care(st, 8));
    TRY(story_lines(st));
    TRY(story_seed(st));
    TRY(story_lab(st));
    TRY(story_swabs(st));
    TRY(story_treat(st));
    TRY(story_care(st, 19));
    TRY(story_loggers(st));
    TRY(story_aftercare(st));
    TRY(story_release(st));
    json_t *answer = NULL;
    json_t *request = json_pack("{s:s,s:s}", "do", "sign", "why", "shift");
    CHECK(request != NULL);
    struct result r = door_ask(p->door, request, &answer);
    json_decref(request);
    json_decref(answer);
    return r;
}

/* Each trouble on a day of its own, the same for the same weeks. */
static void plan_troubles(struct story *st)
{
    const struct play *p = st->p;
    int weeks = p->s->weeks;
    if (weeks < 3) {
        return;
    }
    st->fail_day = p->first_day + 9;
    st->told_late_day = p->first_day + 12;
    st->part_day = p->s->last_day - GROW_DAYS + 1;
    if (weeks < 4) {
        return;
    }
    st->again_day = p->first_day + 13;
    st->sick_day = p->first_day + 16;
    st->low_day = p->first_day + 19;
    st->stuck_day = p->first_day + 18;
    st->contact_day = p->first_day + 21;
    st->dose_day = p->first_day + 14;
    st->scale_day = p->first_day + 20;
    st->complaint_day = p->first_day + 22;
    st->warm_day = p->first_day + 15;
    st->wrong_day = p->first_day + 17;
    st->late_day = p->first_day + 11;
    st->short_day = p->first_day + 7 * (weeks - 1) + 2;
    if (weeks >= 6) {
        st->niche_day = p->first_day + 16;
        st->positive_day = p->first_day + 7 * weeks / 2;
    }
}

static struct result play_all(struct story *st)
{
    struct play *p = st->p;
    p->day = p->first_day;
    TRY(house_papers(p, &st->validation));
    for (; p->day <= p->s->last_day; p->day++) {
        if (p->s->progress != NULL) {
            p->s->progress(p->s->self, p->day - p->first_day, p->s->last_day - p->first_day + 1);
        }
        TRY(play_day(st));
        arena_clear(&p->scratch);
    }
    return RESULT_OK;
}

static struct result make_house(struct play *p)
{
    struct sheet house = {0};
    struct house_made made;
    const char *files = arena_printf(p->arena, "%s/files", p->s->folder);
    const char *path = arena_printf(p->arena, "%s/files/house.jsonl", p->s->folder),
               *profile = arena_printf(p->arena, "%s/files/profile.json", p->s->folder);
    TRY(civil_zone_use("Europe/Vienna"));
    p->clock.now_ms = at_day(p->first_day, 2, 30);
    TRY(folder_make(files));
    TRY(house_profile(p, profile));
    house_lines(&house, p->s->chambers, when_text(p, at_day(p->s->last_day + 365, 12, 0)));
    struct result r = file_write(path, house.at, house.len, 0644);
    sheet_release(&house);
    TRY(r);
    struct house_start start = {.profile = profile,
                                .house = path,
                                .zone = "Europe/Vienna",
                                .manager = DEMO_MANAGER,
                                .name = "Hilum 1",
                                .password = DEMO_PASSWORD};
    return house_start(p->s->folder, p->world, &start, p->arena, &made);
}

struct result demo_make(const struct demo_settings *s, struct arena *a, struct demo_made *out)
{
    if (s->chambers < 4 || s->chambers > 400 || s->weeks < 2 || s->weeks > 120) {
        return FAIL2(FIELD_RANGE, "chambers", "the size asked for",
                     "4 to 400 chambers and 2 to 120 weeks");
    }
    struct play p = {.s = s,
                     .arena = a,
                     .made = out,
                     .first_day = s->last_day - 7 * s->weeks + 1,
                     .clock = {.state = s->seed}};
    struct story st = {.p = &p, .suspended = -1};
    size_t batches = (size_t)(s->weeks * 7 + 8) * (size_t)(s->chambers / 10 + 2);
    *out = (struct demo_made){0};
    arena_init(&p.scratch, ARENA_LIMIT_DEFAULT);
    random_seed(&p.random, s->seed);
    random_seed(&st.hygiene, s->seed + 7);
    p.world = world_fixed(&p.clock);
    st.seeds = ARENA_ARRAY(a, struct seed_lot, (size_t)s->weeks * 21 + 64);
    st.batches = ARENA_ARRAY(a, struct batch, batches);
    st.stocks = ARENA_ARRAY(a, struct stock, batches);
    st.chamber_batch = ARENA_ARRAY(a, size_t, (size_t)s->chambers + 1);
    st.chamber_clean = ARENA_ARRAY(a, bool, (size_t)s->chambers + 1);
    plan_troubles(&st);
    struct result r = make_house(&p);
    if (r.code == CODE_OK) {
        r = door_open(s->folder, p.world, &p.door);
    }
    if (r.code == CODE_OK) {
        p.script = fopen(arena_printf(a, "%s/files/commands.jsonl", s->folder), "w");
        r = play_all(&st);
    }
    for (size_t i = 0; i < st.stock_count; i++) {
        json_decref(st.stocks[i].pack);
    }
    if (p.script != NULL && fclose(p.script) != 0 && r.code == CODE_OK) {
        r = FAIL2(FILE_WRITE, "", "commands.jsonl", "the disk");
    }
    if (p.door != NULL) {
        out->entries = door_plant(p.door)->ledger->next_seq - 1;
    }
    door_close(p.door);
    arena_release(&p.scratch);
    return r;
}

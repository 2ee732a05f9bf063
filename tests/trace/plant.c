#include "plant.h"

#include <string.h>

#include "base/check.h"

enum { MINUTES = 240, LINES = 3, TANKS = 2, INTERVALS_MAX = 128, CARRY_UNKNOWN = -1, NONE = -1 };

struct interval {
    int lot;        /* index */
    int from, to;   /* minutes, both inside */
    int64_t mg_min; /* fed each minute */
};

struct line {
    int carry_min; /* CARRY_UNKNOWN */
    int clean_at;  /* first minute after the last empty-and-clean */
    struct interval input[INTERVALS_MAX];
    int input_count;
    bool feeding; /* the last input goes on */
    int output;   /* lot now filled, or NONE */
    int output_from;
    /* for the naive walk: what was fed in each minute */
    int fed[MINUTES];
    int64_t fed_mg[MINUTES];
    uint64_t seen[PLANT_SET_WORDS]; /* lots that can be in the open output by themselves */
    double weight[PLANT_LOTS_MAX];  /* and with what mass */
};

struct play {
    struct plant *plant;
    struct random *random;
    struct line line[LINES];
    int tank[TANKS];           /* lot index or NONE */
    bool open[PLANT_LOTS_MAX]; /* an output that is still being filled can't be used */
    int64_t entry;
};

static size_t below(struct play *p, size_t n)
{
    return (size_t)random_below(p->random, n);
}

static bool chance(struct play *p, unsigned percent)
{
    return random_below(p->random, 100) < percent;
}

static int new_lot(struct play *p)
{
    struct plant *plant = p->plant;
    if (plant->lot_count == PLANT_LOTS_MAX) {
        return NONE;
    }
    size_t index = plant->lot_count++;
    struct plant_lot *lot = &plant->lot[index];
    *lot = (struct plant_lot){.id = (index > 0 ? lot[-1].id : 4096) + 1 + (int64_t)below(p, 9000)};
    lot->holds[index / 64] = lot->holds_sure[index / 64] = UINT64_C(1) << (index % 64);
    return (int)index;
}

static int any_lot(struct play *p)
{
    size_t count = p->plant->lot_count;
    for (int tries = 0; count > 0 && tries < 20; tries++) {
        size_t recent = count > 12 && chance(p, 70) ? count - 12 : 0;
        int lot = (int)(recent + below(p, count - recent));
        if (!p->open[lot]) {
            return lot;
        }
    }
    return NONE;
}

static void write_edge(struct play *p, int parent, int child, int64_t mg, enum basis basis)
{
    struct plant *plant = p->plant;
    CHECK(plant->edge_count < PLANT_EDGES_MAX);
    plant->edge[plant->edge_count++] =
        (struct graph_edge){plant->lot[parent].id, plant->lot[child].id, p->entry, mg, basis};
}

static void pour(struct plant *plant, int from, int into, bool sure)
{
    for (int w = 0; w < PLANT_SET_WORDS; w++) {
        plant->lot[into].holds[w] |= plant->lot[from].holds[w];
        if (sure) {
            plant->lot[into].holds_sure[w] |= plant->lot[from].holds_sure[w];
        }
    }
}

static void become_root(struct plant *plant, int lot)
{
    plant->lot[lot].is_root = true;
    plant->lot[lot].part[lot] = 1;
}

static void blend(struct plant *plant, int from, int into, double part)
{
    for (size_t root = 0; root < plant->lot_count; root++) {
        plant->lot[into].part[root] += part * plant->lot[from].part[root];
    }
}

static void receive(struct play *p)
{
    int lot = new_lot(p);
    if (lot != NONE) {
        become_root(p->plant, lot);
    }
}

/* Some lots in, all mixed, some lots out: wash, blend, rework. */
static void batch(struct play *p)
{
    int input[3], inputs = 0;
    int64_t mg[3], all = 0;
    for (size_t tries = 1 + below(p, 3); tries > 0; tries--) {
        int lot = any_lot(p);
        bool known = lot == NONE;
        for (int i = 0; i < inputs; i++) {
            known |= input[i] == lot;
        }
        if (!known) {
            mg[inputs] = chance(p, 10) ? 0 : 1 + (int64_t)below(p, 900000);
            all += mg[inputs];
            input[inputs++] = lot;
        }
    }
    p->entry++;
    for (size_t outputs = 1 + below(p, 2); outputs > 0 && inputs > 0; outputs--) {
        int out = new_lot(p);
        for (int i = 0; i < inputs && out != NONE; i++) {
            write_edge(p, input[i], out, mg[i], BASIS_MEASURED);
            pour(p->plant, input[i], out, true);
            blend(p->plant, input[i], out, all > 0 ? (double)mg[i] / (double)all : 1.0 / inputs);
        }
    }
}

/* A tank that is topped up holds a new lot; one that was empty too. */
static void top_up(struct play *p)
{
    int *tank = &p->tank[below(p, TANKS)];
    int added = any_lot(p), before = *tank;
    if (chance(p, 15)) {
        *tank = NONE; /* emptied and cleaned */
        return;
    }
    if (added == NONE || added == before) {
        return;
    }
    int now = new_lot(p);
    if (now == NONE) {
        return;
    }
    p->entry++;
    int64_t added_mg = 1 + (int64_t)below(p, 500000), left_mg = 1 + (int64_t)below(p, 500000);
    double all = (double)(added_mg + (before != NONE ? left_mg : 0));
    write_edge(p, added, now, added_mg, BASIS_MEASURED);
    pour(p->plant, added, now, true);
    blend(p->plant, added, now, (double)added_mg / all);
    if (before != NONE) {
        write_edge(p, before, now, left_mg, BASIS_MEASURED);
        pour(p->plant, before, now, true);
        blend(p->plant, before, now, (double)left_mg / all);
    }
    *tank = now;
}

static int max_of(int a, int b)
{
    return a > b ? a : b;
}

static int min_of(int a, int b)
{
    return a < b ? a : b;
}

/* Minute pairs: fed at u, left at t, with the carry-over between; for an unknown one only u = t. */
static int64_t pairs(const struct line *l, const struct interval *in, int out_from, int out_to)
{
    int64_t sum = 0;
    int carry = l->carry_min == CARRY_UNKNOWN ? 0 : l->carry_min;
    for (int t = out_from; t <= out_to; t++) {
        int first = max_of(max_of(t - carry, l->clean_at), in->from), last = min_of(t, in->to);
        sum += last >= first ? last - first + 1 : 0;
    }
    return sum;
}

/* The record keeper's rule: an output of the minutes [from, to] can hold input of
 * [from - carry-over, to]; unknown reaches back to the last empty-and-clean. */
static void write_output_edges(struct play *p, const struct line *l, int out, int from, int to)
{
    int64_t mg[PLANT_LOTS_MAX] = {0};
    int best[PLANT_LOTS_MAX];
    memset(best, 0x7f, sizeof best);
    int reach_from =
        l->carry_min == CARRY_UNKNOWN ? l->clean_at : max_of(from - l->carry_min, l->clean_at);
    for (int i = 0; i < l->input_count; i++) {
        const struct interval *in = &l->input[i];
        if (in->from > to || in->to < reach_from) {
            continue;
        }
        int basis = in->to >= from                  ? BASIS_MEASURED
                    : l->carry_min == CARRY_UNKNOWN ? BASIS_UNKNOWN
                                                    : BASIS_POSSIBLE;
        best[in->lot] = min_of(best[in->lot], basis);
        mg[in->lot] += in->mg_min * pairs(l, in, from, to);
    }
    p->entry++;
    for (int lot = 0; lot < (int)p->plant->lot_count; lot++) {
        if (best[lot] <= BASIS_UNKNOWN) {
            write_edge(p, lot, out, mg[lot], (enum basis)best[lot]);
        }
    }
}

/* The naive walk of one minute of an open output. */
static void flow(struct play *p, struct line *l, int minute)
{
    int first =
        l->carry_min == CARRY_UNKNOWN ? l->clean_at : max_of(minute - l->carry_min, l->clean_at);
    for (int u = first; u <= minute; u++) {
        int lot = l->fed[u];
        if (lot == NONE) {
            continue;
        }
        bool inside = u >= l->output_from;
        pour(p->plant, lot, l->output, inside || l->carry_min != CARRY_UNKNOWN);
        l->seen[lot / 64] |= UINT64_C(1) << (lot % 64);
        l->weight[lot] += u == minute || l->carry_min != CARRY_UNKNOWN ? (double)l->fed_mg[u] : 0;
    }
}

static void settle_parts(struct play *p, struct line *l, int out)
{
    double all = 0;
    int count = 0;
    for (int lot = 0; lot < PLANT_LOTS_MAX; lot++) {
        all += l->weight[lot];
        count += plant_set_has(l->seen, (size_t)lot);
    }
    if (count == 0) {
        become_root(p->plant, out); /* nothing known went in */
    }
    for (int lot = 0; lot < PLANT_LOTS_MAX; lot++) {
        if (plant_set_has(l->seen, (size_t)lot)) {
            blend(p->plant, lot, out, all > 0 ? l->weight[lot] / all : 1.0 / count);
        }
    }
}

static void close_output(struct play *p, struct line *l, int minute)
{
    write_output_edges(p, l, l->output, l->output_from, minute);
    settle_parts(p, l, l->output);
    p->open[l->output] = false;
    l->output = NONE;
}

static void clean(struct line *l, int minute)
{
    l->clean_at = minute;
    l->input_count = 0;
    l->feeding = false;
}

static void start_feeding(struct play *p, struct line *l, int minute)
{
    int lot = any_lot(p);
    if (lot != NONE && l->input_count < INTERVALS_MAX) {
        l->input[l->input_count++] =
            (struct interval){lot, minute, minute, 1000 + (int64_t)below(p, 9000)};
        l->feeding = true;
    }
}

static void start_output(struct play *p, struct line *l, int minute)
{
    l->output = new_lot(p);
    if (l->output != NONE) {
        p->open[l->output] = true;
        l->output_from = minute;
        memset(l->seen, 0, sizeof l->seen);
        memset(l->weight, 0, sizeof l->weight);
    }
}

static void play_line(struct play *p, struct line *l, int minute)
{
    if (l->output == NONE && chance(p, 4)) {
        clean(l, minute);
    }
    if (l->feeding && chance(p, 12)) {
        l->feeding = false;
    }
    if (!l->feeding && chance(p, 30)) {
        start_feeding(p, l, minute);
    }
    if (l->output == NONE && chance(p, 25)) {
        start_output(p, l, minute);
    }
    struct interval *in = l->feeding ? &l->input[l->input_count - 1] : NULL;
    l->fed[minute] = in != NULL ? in->lot : NONE;
    l->fed_mg[minute] = in != NULL ? in->mg_min : 0;
    if (in != NULL) {
        in->to = minute;
    }
    if (l->output != NONE) {
        flow(p, l, minute);
        if (chance(p, 15) || minute == MINUTES - 1) {
            close_output(p, l, minute);
        }
    }
}

void plant_play(struct plant *plant, struct random *r)
{
    *plant = (struct plant){.lot_count = 0};
    struct play p = {.plant = plant, .random = r, .entry = 100};
    for (int i = 0; i < LINES; i++) {
        p.line[i].output = NONE;
        p.line[i].carry_min = chance(&p, 30) ? CARRY_UNKNOWN : (int)below(&p, 15);
    }
    for (int i = 0; i < TANKS; i++) {
        p.tank[i] = NONE;
    }
    unsigned busy = 1 + (unsigned)below(&p, 12);
    for (int minute = 0; minute < MINUTES; minute++) {
        if (plant->lot_count < 3 || chance(&p, 4)) {
            receive(&p);
        }
        if (chance(&p, busy)) {
            batch(&p);
        }
        if (chance(&p, busy)) {
            top_up(&p);
        }
        for (int i = 0; i < LINES; i++) {
            play_line(&p, &p.line[i], minute);
        }
    }
}

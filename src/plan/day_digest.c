#include "plan/day_digest.h"

#include <stdlib.h>

#include "base/check.h"

struct numbers {
    int32_t *list;
    size_t count, room;
};

static void put(struct numbers *n, int number)
{
    if (n->count == n->room) {
        n->room = n->room * 2 + 256;
        n->list = realloc(n->list, n->room * sizeof *n->list);
        CHECK(n->list != NULL);
    }
    n->list[n->count++] = number;
}

static void put_stage(struct numbers *n, const struct day_problem *p, const struct day_stage *s)
{
    put(n, s->machine_count);
    for (int m = 0; m < s->machine_count; m++) {
        put(n, s->machines[m].family);
        put(n, s->machines[m].free_from);
    }
    put(n, s->is_staffed);
    put(n, s->overlap_min);
    put(n, s->wait_min);
    put(n, s->wait_max);
    put(n, s->changes != NULL);
    for (int i = 0; s->changes != NULL && i < p->family_count * p->family_count; i++) {
        put(n, s->changes[i].clean_min);
        put(n, s->changes[i].change_min);
    }
}

static void put_job(struct numbers *n, const struct day_problem *p, const struct day_job *j)
{
    put(n, j->family);
    put(n, j->earliest);
    for (int k = 0; k < p->stage_count; k++) {
        put(n, j->minutes[k]);
        put(n, j->begun[k].start);
        put(n, j->begun[k].end);
        put(n, j->begun[k].machine);
    }
}

static void put_around(struct numbers *n, const struct day_problem *p)
{
    for (int i = 0; i < p->truck_count; i++) {
        put(n, p->trucks[i].cut_off);
        put(n, p->trucks[i].load_min);
        put(n, p->trucks[i].weight);
    }
    for (int i = 0; i < p->need_count; i++) {
        put(n, p->needs[i].job);
        put(n, p->needs[i].truck);
    }
    for (int i = 0; i < p->pause_count; i++) {
        put(n, p->pauses[i].from);
        put(n, p->pauses[i].to);
    }
    put(n, p->blocks != NULL);
    for (int i = 0; p->blocks != NULL && i < p->family_count; i++) {
        put(n, p->blocks[i]);
    }
}

struct hash day_digest(const struct day_problem *p)
{
    struct numbers n = {0};
    const int counts[] = {p->now_min,    p->stage_count, p->job_count,   p->truck_count,
                          p->need_count, p->pause_count, p->family_count};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        put(&n, counts[i]);
    }
    for (int k = 0; k < p->stage_count; k++) {
        put_stage(&n, p, &p->stages[k]);
    }
    for (int j = 0; j < p->job_count; j++) {
        put_job(&n, p, &p->jobs[j]);
    }
    put_around(&n, p);
    struct hash h = digest_sha256(n.list, n.count * sizeof *n.list);
    free(n.list);
    return h;
}

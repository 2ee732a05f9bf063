#include "plan/day_search.h"

#include <limits.h>
#include <string.h>

#include "base/random.h"

/* Jobs walked through in all: what a second is enough for. */
enum { WORK_MAX = 4000000, TAKEN_OUT = 4, THOROUGH_EACH = 10, SEED = 1983 };

struct search {
    const struct day_problem *p;
    struct arena *a;
    struct day_sequence *now, *best; /* now: the order under work */
    int *block;                      /* by job */
    int *due, *length;               /* by job */
    int *spare;
    int64_t work;
    struct random random;
};

static int total_minutes(const struct day_problem *p, int j)
{
    int sum = 0;
    for (int k = 0; k < p->stage_count; k++) {
        sum += p->jobs[j].minutes[k];
    }
    return sum;
}

bool day_in_blocks(const struct day_problem *p, const int *order, int count)
{
    for (int i = 1; i < count; i++) {
        if (day_block(p, order[i]) < day_block(p, order[i - 1])) {
            return false;
        }
    }
    return true;
}

static struct day_score walk(struct search *s, int count)
{
    s->work += count;
    day_walk(s->now, count);
    return s->now->score;
}

/* ---- where a job may stand */

static void insert(int *order, int count, int at, int job)
{
    memmove(order + at + 1, order + at, (size_t)(count - at) * sizeof *order);
    order[at] = job;
}

static int take_out(int *order, int count, int at)
{
    int job = order[at];
    memmove(order + at, order + at + 1, (size_t)(count - at - 1) * sizeof *order);
    return job;
}

static bool fits(const struct search *s, const int *order, int count, int at, int job)
{
    return (at == 0 || s->block[order[at - 1]] <= s->block[job]) &&
           (at == count || s->block[job] <= s->block[order[at]]);
}

/* Puts a job into the first count of the order where it does least harm. */
static struct day_score insert_best(struct search *s, int count, int job)
{
    int *order = s->now->order, best_at = -1;
    struct day_score best = {.late = INT64_MAX};
    for (int at = 0; at <= count; at++) {
        if (!fits(s, order, count, at, job)) {
            continue;
        }
        insert(order, count, at, job);
        struct day_score score = walk(s, count + 1);
        if (best_at < 0 || day_compare(&score, &best) < 0) {
            best = score;
            best_at = at;
        }
        take_out(order, count + 1, at);
    }
    insert(order, count, best_at, job);
    return best;
}

/* ---- beginnings */

static bool comes_before(const struct search *s, int a, int b)
{
    if (s->block[a] != s->block[b]) return s->block[a] < s->block[b];
    if (s->due[a] != s->due[b]) return s->due[a] < s->due[b];
    if (s->length[a] != s->length[b]) return s->length[a] > s->length[b];
    return a < b;
}

static void sort_jobs(const struct search *s, int *order)
{
    for (int i = 0; i < s->p->job_count; i++) {
        int at = i;
        while (at > 0 && comes_before(s, i, order[at - 1])) {
            at--;
        }
        insert(order, i, at, i);
    }
}

static struct search begin(struct arena *a, const struct day_problem *p)
{
    size_t jobs = (size_t)p->job_count + 1;
    struct search s = {.p = p,
                       .a = a,
                       .now = day_sequence_new(a, p),
                       .best = day_sequence_new(a, p),
                       .block = ARENA_ARRAY(a, int, jobs),
                       .due = ARENA_ARRAY(a, int, jobs),
                       .length = ARENA_ARRAY(a, int, jobs),
                       .spare = ARENA_ARRAY(a, int, jobs)};
    for (int j = 0; j < p->job_count; j++) {
        s.block[j] = day_block(p, j);
        s.due[j] = INT_MAX;
        s.length[j] = total_minutes(p, j);
    }
    for (int i = 0; i < p->need_count; i++) {
        const struct day_truck *t = &p->trucks[p->needs[i].truck];
        int due = t->cut_off - t->load_min;
        s.due[p->needs[i].job] = due < s.due[p->needs[i].job] ? due : s.due[p->needs[i].job];
    }
    random_seed(&s.random, SEED);
    sort_jobs(&s, s.now->order);
    return s;
}

static void insert_all(struct search *s)
{
    size_t bytes = (size_t)s->p->job_count * sizeof(int);
    memcpy(s->spare, s->now->order, bytes);
    for (int i = 0; i < s->p->job_count; i++) {
        insert_best(s, i, s->spare[i]);
    }
    walk(s, s->p->job_count);
}

/* One as good is taken too: from there another way may lead on. */
static void keep_if_good(struct search *s)
{
    if (day_compare(&s->now->score, &s->best->score) <= 0) {
        memcpy(s->best->order, s->now->order, (size_t)s->p->job_count * sizeof(int));
        s->best->score = s->now->score;
    }
}

/* ---- betterment */

static bool insert_elsewhere(struct search *s, struct day_score *score)
{
    bool any = false;
    int n = s->p->job_count;
    for (int i = 0; i < n && s->work < WORK_MAX; i++) {
        int job = take_out(s->now->order, n, i);
        struct day_score found = insert_best(s, n - 1, job);
        any = any || day_compare(&found, score) < 0;
        *score = found; /* its old place was among those tried */
    }
    return any;
}

static bool change_two(struct search *s, struct day_score *score)
{
    bool any = false;
    int n = s->p->job_count, *order = s->now->order;
    for (int i = 0; i + 1 < n; i++) {
        for (int k = i + 1; k < n && s->work < WORK_MAX; k++) {
            int x = order[i], y = order[k];
            if (s->block[x] != s->block[y]) {
                continue;
            }
            order[i] = y;
            order[k] = x;
            struct day_score found = walk(s, n);
            if (day_compare(&found, score) < 0) {
                *score = found;
                any = true;
            } else {
                order[i] = x;
                order[k] = y;
            }
        }
    }
    return any;
}

static void better(struct search *s, bool thoroughly)
{
    struct day_score score = s->now->score;
    while (s->work < WORK_MAX &&
           (insert_elsewhere(s, &score) || (thoroughly && change_two(s, &score)))) {
    }
    walk(s, s->p->job_count);
    keep_if_good(s);
}

/* A few out and in again, from the best found so far. */
static void shake(struct search *s)
{
    int n = s->p->job_count, out = n / 2 < TAKEN_OUT ? n / 2 : TAKEN_OUT;
    int job[TAKEN_OUT];
    for (int i = 0; i < out; i++) {
        job[i] = take_out(s->now->order, n - i, (int)random_below(&s->random, (uint64_t)(n - i)));
    }
    for (int i = 0; i < out; i++) {
        insert_best(s, n - out + i, job[i]);
    }
    walk(s, n);
}

static void start_from_best(struct search *s)
{
    memcpy(s->now->order, s->best->order, (size_t)s->p->job_count * sizeof(int));
}

struct day_sequence *day_insert(struct arena *a, const struct day_problem *p)
{
    struct search s = begin(a, p);
    insert_all(&s);
    return s.now;
}

struct day_sequence *day_search(struct arena *a, const struct day_problem *p, int rounds)
{
    struct search s = begin(a, p);
    walk(&s, p->job_count);
    memcpy(s.best->order, s.now->order, (size_t)p->job_count * sizeof(int));
    s.best->score = s.now->score;
    insert_all(&s);
    better(&s, true);
    for (int i = 0; i < rounds && s.work < WORK_MAX && p->job_count > 2; i++) {
        start_from_best(&s);
        shake(&s);
        better(&s, i % THOROUGH_EACH == 0);
    }
    start_from_best(&s);
    walk(&s, p->job_count);
    return s.now;
}

/* ---- the bound */

/* The least minutes from the beginning of a job at stage from, or the first behind it that it does
 * not pass by, until it is through all stages before to. What has begun counts nothing. */
static int least_way(const struct day_problem *p, int j, int from, int to)
{
    int start = 0, end = 0;
    bool any = false;
    for (int k = from; k < to; k++) {
        const struct day_stage *stage = &p->stages[k];
        int own = p->jobs[j].minutes[k];
        if (own == 0 || p->jobs[j].begun[k].start != DAY_NOT_BEGUN) {
            continue;
        }
        bool flows = stage->overlap_min != DAY_APART;
        int least_end = any && flows ? end + stage->overlap_min : 0;
        start = !any ? 0 : flows ? start + stage->overlap_min : end + stage->wait_min;
        end = start + own > least_end ? start + own : least_end;
        any = true;
    }
    return end;
}

static int earliest_of(const struct day_problem *p, int j)
{
    return p->jobs[j].earliest > p->now_min ? p->jobs[j].earliest : p->now_min;
}

/* Overlapping stages let a job begin before it has ended at the one before: nothing is counted for
 * the way to such a stage nor from it. */
static bool overlaps(const struct day_problem *p)
{
    for (int k = 0; k < p->stage_count; k++) {
        if (p->stages[k].overlap_min != DAY_APART) {
            return true;
        }
    }
    return false;
}

static int stage_bound(const struct day_problem *p, int k, bool is_apart)
{
    int head = INT_MAX, tail = INT_MAX;
    int64_t work = 0;
    for (int j = 0; j < p->job_count; j++) {
        if (p->jobs[j].minutes[k] == 0 || p->jobs[j].begun[k].start != DAY_NOT_BEGUN) {
            continue;
        }
        int to = earliest_of(p, j) + (is_apart ? least_way(p, j, 0, k) : 0);
        int after = is_apart ? least_way(p, j, k + 1, p->stage_count) : 0;
        head = to < head ? to : head;
        tail = after < tail ? after : tail;
        work += p->jobs[j].minutes[k];
    }
    int machines = p->stages[k].machine_count;
    if (work == 0 || machines == 0) {
        return 0;
    }
    return head + (int)((work + machines - 1) / machines) + tail;
}

int day_end_bound(const struct day_problem *p)
{
    int bound = 0;
    bool is_apart = !overlaps(p);
    for (int k = 0; k < p->stage_count; k++) {
        int here = stage_bound(p, k, is_apart);
        bound = here > bound ? here : bound;
    }
    for (int j = 0; j < p->job_count; j++) {
        int way = least_way(p, j, 0, p->stage_count);
        int here = way > 0 ? earliest_of(p, j) + way : 0;
        bound = here > bound ? here : bound;
    }
    return bound;
}

#include "plan/differ.h"

#include <stdlib.h>
#include <string.h>

struct sides {
    const struct differ_start *before, *after;
    int before_count, after_count;
    int *partner; /* of each before: its after, -1 */
    bool *is_met; /* of each after */
};

/* How far apart two starts are: 0 the same place and day; an even number the same chamber. */
static int distance(const struct differ_start *x, const struct differ_start *y)
{
    int days = abs(x->day - y->day);
    return 2 * days + (strcmp(x->chamber, y->chamber) != 0);
}

static void pair_at(struct sides *s, int apart)
{
    for (int i = 0; i < s->before_count; i++) {
        for (int k = 0; k < s->after_count && s->partner[i] < 0; k++) {
            if (s->is_met[k] || strcmp(s->before[i].item, s->after[k].item) != 0 ||
                distance(&s->before[i], &s->after[k]) != apart)
                continue;
            s->partner[i] = k;
            s->is_met[k] = true;
        }
    }
}

static enum differ_kind kind_of(const struct differ_start *x, const struct differ_start *y)
{
    if (distance(x, y) != 0 || x->harvest_day != y->harvest_day) return DIFFER_MOVED;
    bool same = x->seed_g == y->seed_g && strcmp(x->seed_lot, y->seed_lot) == 0;
    return same ? DIFFER_KEPT : DIFFER_FILLED;
}

struct dated {
    int32_t day;
    struct differ_change change;
};

static int by_day(const void *x, const void *y)
{
    const struct dated *a = x, *b = y;
    if (a->day != b->day) return a->day < b->day ? -1 : 1;
    if (a->change.after != b->change.after) return a->change.after < b->change.after ? -1 : 1;
    return (a->change.before > b->change.before) - (a->change.before < b->change.before);
}

int differ_starts(struct arena *a, const struct differ_start *before, int before_count,
                  const struct differ_start *after, int after_count, struct differ_change **out)
{
    struct sides s = {before,
                      after,
                      before_count,
                      after_count,
                      ARENA_ARRAY(a, int, (size_t)before_count + 1),
                      ARENA_ARRAY(a, bool, (size_t)after_count + 1)};
    for (int i = 0; i < before_count; i++)
        s.partner[i] = -1;
    for (int apart = 0; apart <= 2 * DIFFER_MOVE_DAYS + 1; apart++)
        pair_at(&s, apart);
    int most = before_count + after_count, count = 0;
    struct dated *list = ARENA_ARRAY(a, struct dated, (size_t)most + 1);
    for (int i = 0; i < before_count; i++) {
        int k = s.partner[i];
        enum differ_kind kind = k < 0 ? DIFFER_GONE : kind_of(&before[i], &after[k]);
        list[count++] = (struct dated){k < 0 ? before[i].day : after[k].day, {kind, i, k}};
    }
    for (int k = 0; k < after_count; k++)
        if (!s.is_met[k]) list[count++] = (struct dated){after[k].day, {DIFFER_ADDED, -1, k}};
    qsort(list, (size_t)count, sizeof *list, by_day);
    *out = ARENA_ARRAY(a, struct differ_change, (size_t)count + 1);
    for (int i = 0; i < count; i++)
        (*out)[i] = list[i].change;
    return count;
}

const char *differ_kind_id(enum differ_kind kind)
{
    static const char *const ids[] = {"kept", "filled", "moved", "gone", "added"};
    return ids[kind];
}

static bool same_line(const struct differ_line *x, const struct differ_line *y)
{
    if (x->key[0] != '\0' || y->key[0] != '\0') return strcmp(x->key, y->key) == 0;
    return x->day == y->day && strcmp(x->item, y->item) == 0 && strcmp(x->group, y->group) == 0;
}

int differ_lines(struct arena *a, const struct differ_line *before, int before_count,
                 const struct differ_line *after, int after_count, struct differ_met **out)
{
    int count = 0;
    bool *seen = ARENA_ARRAY(a, bool, (size_t)before_count + 1);
    *out = ARENA_ARRAY(a, struct differ_met, (size_t)(before_count + after_count) + 1);
    for (int k = 0; k < after_count; k++) {
        int i = 0;
        while (i < before_count && (seen[i] || !same_line(&before[i], &after[k])))
            i++;
        if (i == before_count) {
            (*out)[count++] = (struct differ_met){-1, k};
            continue;
        }
        seen[i] = true;
        if (before[i].met != after[k].met || before[i].pieces != after[k].pieces)
            (*out)[count++] = (struct differ_met){i, k};
    }
    for (int i = 0; i < before_count; i++)
        if (!seen[i]) (*out)[count++] = (struct differ_met){i, -1};
    return count;
}

#include "service/order_instead.h"

#include <string.h>

#include "service/view_inner.h"

struct result order_instead_read(struct view *v, int32_t from_day, struct order_instead *out)
{
    return promised_instead_all(v->store, v->arena, from_day, &out->list, &out->count);
}

int64_t order_instead_next(const struct order_instead *s, const char *order, size_t *inout_at,
                           int64_t most, const char **out_item)
{
    while (*inout_at < s->count && strcmp(s->list[*inout_at].order, order) != 0) {
        ++*inout_at;
    }
    if (*inout_at == s->count) {
        return 0;
    }
    const struct promised_instead *x = &s->list[(*inout_at)++];
    *out_item = x->item;
    return x->pieces < most ? x->pieces : most;
}

/* "one, two" */
static const char *and_also(const struct view *v, const char *before, const char *more)
{
    return before == NULL ? more : arena_printf(v->arena, "%s, %s", before, more);
}

void order_notes_given(const struct view *v, struct order_notes *n, int64_t pieces,
                       const char *given, const char *ordered)
{
    n->given =
        and_also(v, n->given, SAY(v, "say.instead.one", view_number(v, pieces), given, ordered));
}

void order_notes_standing(const struct view *v, struct order_notes *n, const char *code,
                          int64_t pieces)
{
    n->standing = and_also(v, n->standing, code);
    n->standing_pieces += pieces;
}

const char *order_notes_text(const struct view *v, const struct order_notes *n)
{
    const char *given = n->given != NULL ? SAY(v, "say.instead", n->given) : "",
               *standing = n->standing != NULL
                               ? SAY(v, "say.standing-unordered",
                                     view_number(v, n->standing_pieces), n->standing)
                               : "";
    return arena_printf(v->arena, "%s%s%s%s", given[0] != '\0' ? " " : "", given,
                        standing[0] != '\0' ? " " : "", standing);
}

#include "ledger/markets.h"

#include <string.h>

enum { MARKETS_MAX = 50 };

/* Into a sorted list, once. -> its new length */
static size_t insert(const char **list, size_t count, const char *market)
{
    size_t at = count;
    while (at > 0 && strcmp(list[at - 1], market) >= 0) {
        at--;
    }
    if (at < count && strcmp(list[at], market) == 0) {
        return count;
    }
    memmove(&list[at + 1], &list[at], (count - at) * sizeof *list);
    list[at] = market;
    return count + 1;
}

static const char *joined(struct arena *a, const char *const *list, size_t count)
{
    const char *text = "";
    for (size_t i = 0; i < count; i++) {
        text = i == 0 ? list[i] : arena_printf(a, "%s,%s", text, list[i]);
    }
    return text;
}

struct result markets_read(struct draft *d, enum json_need need, const char **out)
{
    const char *list[MARKETS_MAX + 1];
    size_t count = 0;
    json_t *given = NULL;
    *out = "";
    if (d->profile == NULL) {
        return FAIL0(PROFILE_MISSING, "");
    }
    TRY(json_get_array(d->cmd->body, "markets", "markets", need, &given));
    for (size_t i = 0; i < json_array_size(given); i++) {
        const char *market = json_string_value(json_array_get(given, i));
        if (market == NULL || profile_market(d->profile, market) == NULL) {
            return FAIL2(FIELD_CHOICE, "markets", market != NULL ? market : "",
                         "the profile's markets");
        }
        if (count == MARKETS_MAX) {
            return FAIL2(FIELD_RANGE, "markets", "too long", "at most 50 markets");
        }
        count = insert(list, count, market);
    }
    if (count == 0 && need == JSON_NEEDED) {
        return FAIL1(FIELD_MISSING, "markets", "Name the markets this lot may go to.");
    }
    *out = joined(d->arena, list, count);
    return RESULT_OK;
}

const char *markets_common(struct arena *a, const char *one, const char *other)
{
    if (one[0] == '\0' || other[0] == '\0') {
        return one[0] == '\0' ? other : one;
    }
    const char *text = "", *at = one;
    char market[64];
    while (list_next(&at, market, sizeof market)) {
        if (list_has(other, market)) {
            text = arena_printf(a, "%s%s%s", text, text[0] != '\0' ? "," : "", market);
        }
    }
    return text;
}

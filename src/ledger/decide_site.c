/* Where swabs are drawn, by zone: 1 touches product, 2 stands beside it, 3 is the same room, 4 is
 * outside it (published (seen): zone wording of practice texts on environmental monitoring). */
#include <string.h>

#include "base/check.h"
#include "ledger/listed.h"
#include "ledger/view.h"

struct result decide_site(struct draft *d)
{
    static const char *const names[] = {"code", "place", "zone", "surface", "active", NULL};
    const json_t *o = d->cmd->body;
    const char *code, *surface;
    struct place place;
    int64_t zone;
    bool active = true;
    TRY(draft_only(d, "a swab site", names));
    TRY(listed_code(o, "code", JSON_NEEDED, &code));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(json_get_int(o, "zone", "zone", JSON_NEEDED, 1, 4, &zone));
    TRY(listed_words(o, "surface", 120, JSON_NEEDED, &surface));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    listed_add(d, "site", code, place.code, NULL, 0, active,
               json_pack("{s:I,s:s}", "zone", (json_int_t)zone, "surface", surface));
    json_object_set_new(d->answer, "site", json_string(code));
    return RESULT_OK;
}

#include "service/reading.h"

struct result profile_of(struct store *s, int64_t now_ms, struct profile **out)
{
    struct statement *q = store_prepare(s, Q_PROFILE_IN_FORCE);
    store_bind_int(q, 1, now_ms);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL0(PROFILE_MISSING, "");
    }
    size_t len;
    const void *text = store_bytes(q, 1, &len);
    struct result r = text != NULL ? profile_read(text, len, out)
                                   : FAIL1(STORE_DAMAGED, "", "the profile's text is missing");
    while (row) {
        TRY(store_step(q, &row));
    }
    return r;
}

struct result profile_now(struct plant *plant, struct profile **out)
{
    return profile_of(plant->store, plant->world.now_ms(plant->world.self), out);
}

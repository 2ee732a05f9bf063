#include "service/station.h"

#include <ctype.h>
#include <string.h>

#include "ledger/view.h"
#include "service/may.h"

enum { CODE_LEN_MAX = 24 };

static struct result run(struct statement *q, bool *out_any)
{
    bool row = true;
    *out_any = false;
    while (row) {
        TRY(store_step(q, &row));
        *out_any = *out_any || row;
    }
    return RESULT_OK;
}

struct result station_by_token(struct store *s, struct arena *a, const char *token,
                               const char **out_code)
{
    struct hash hash = digest_sha256(token, strlen(token));
    struct statement *q = store_prepare(s, Q_STATION_BY_TOKEN);
    bool row;
    *out_code = NULL;
    store_bind_bytes(q, 1, hash.b, sizeof hash.b);
    TRY(store_step(q, &row));
    if (row) {
        *out_code = arena_copy(a, store_text(q, 0));
        return run(q, &row);
    }
    return RESULT_OK;
}

struct result station_knows(struct store *s, const char *station, int64_t person, bool *out)
{
    struct statement *q = store_prepare(s, Q_STATION_PERSON_GET);
    store_bind_text(q, 1, station);
    store_bind_int(q, 2, person);
    return run(q, out);
}

static struct result check_by(struct plant *plant, const json_t *request, struct arena *a,
                              int64_t *out_by)
{
    const char *role;
    bool active, found;
    TRY(json_get_int(request, "by", "by", JSON_NEEDED, 1, INT32_MAX, out_by));
    TRY(person_role(plant->store, a, *out_by, &role, &active, &found));
    if (!found || !active || !list_has(may_stations, role)) {
        return FAIL3(ROLE_MISSING, "by", arena_printf(a, "%lld", (long long)*out_by),
                     found ? role : "unknown", may_stations);
    }
    return RESULT_OK;
}

/* A code is the device of an entry: letters, digits and -. */
static struct result read_code(const json_t *request, const char **out)
{
    TRY(json_get_text(request, "code", "code", JSON_NEEDED, out));
    size_t len = strlen(*out);
    bool good = len >= 1 && len <= CODE_LEN_MAX;
    for (size_t i = 0; i < len && good; i++) {
        good = isalnum((unsigned char)(*out)[i]) || (*out)[i] == '-';
    }
    return good ? RESULT_OK
                : FAIL2(FIELD_RANGE, "code", len <= CODE_LEN_MAX ? *out : "too long",
                        "1 to 24 letters, digits or -");
}

static struct result do_enrol(struct plant *plant, const json_t *request, struct arena *a)
{
    const char *code = NULL, *place = NULL, *hex = NULL;
    int64_t by;
    struct hash token;
    struct place there;
    bool found, any;
    TRY(check_by(plant, request, a, &by));
    TRY(read_code(request, &code));
    TRY(json_get_text(request, "place", "place", JSON_OPTIONAL, &place));
    TRY(json_get_text(request, "token_sha256", "token_sha256", JSON_NEEDED, &hex));
    TRY(hex_read(hex, "token_sha256", token.b, sizeof token.b));
    if (place != NULL) {
        TRY(place_by_code(plant->store, a, place, &there, &found));
        if (!found) {
            return FAIL1(PLACE_UNKNOWN, "place", place);
        }
    }
    struct statement *q = store_prepare(plant->store, Q_STATION_PUT);
    store_bind_text(q, 1, code);
    store_bind_bytes(q, 2, token.b, sizeof token.b);
    store_bind_text(q, 3, place);
    store_bind_int(q, 4, plant->world.now_ms(plant->world.self));
    store_bind_int(q, 5, by);
    TRY(run(q, &any));
    q = store_prepare(plant->store, Q_STATION_PERSON_DROP); /* another browser, other people */
    store_bind_text(q, 1, code);
    return run(q, &any);
}

static struct result do_revoke(struct plant *plant, const json_t *request, struct arena *a)
{
    const char *code = NULL;
    int64_t by;
    bool row, any;
    TRY(check_by(plant, request, a, &by));
    TRY(read_code(request, &code));
    struct statement *q = store_prepare(plant->store, Q_STATION_GET);
    store_bind_text(q, 1, code);
    TRY(store_step(q, &row));
    bool there = row && store_is_null(q, 0);
    TRY(row ? run(q, &any) : RESULT_OK);
    if (!there) {
        return FAIL1(STATION_UNKNOWN, "code", code);
    }
    q = store_prepare(plant->store, Q_STATION_REVOKE);
    store_bind_text(q, 1, code);
    store_bind_int(q, 2, plant->world.now_ms(plant->world.self));
    return run(q, &any);
}

struct result station_do(struct plant *plant, const char *what, const json_t *request,
                         struct arena *a, json_t **out_answer, bool *out_is)
{
    bool enrol = strcmp(what, "station-enrol") == 0;
    *out_is = enrol || strcmp(what, "station-revoke") == 0;
    if (*out_is) {
        TRY(enrol ? do_enrol(plant, request, a) : do_revoke(plant, request, a));
        *out_answer = json_object();
    }
    return RESULT_OK;
}

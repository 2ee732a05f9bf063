/* Files in: read by the program in a process of its own, first as a trial, then booked. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/digest.h"
#include "ledger/evidence.h"
#include "service/import_run.h"
#include "service/view_files.h"
#include "service/view_orders.h"
#include "web/web_inner.h"

/* As the command line knows them (ledger/mapping.h). */
static const char kinds[] = "orders,seed,results,logger,checkweigher";

struct result hand_file_in(struct call *c)
{
    static const char *const names[] = {"source", "name", "bytes_b64", "try", "reason", NULL};
    const char *bytes = NULL;
    bool only_try = false;
    struct import_run_ask ask = {.program = c->web->program,
                                 .folder = serving_folder(c->web->serving),
                                 .lang = c->lang,
                                 .person = c->seat.person,
                                 .kind = c->part[0],
                                 .asker = c->socket};
    uint8_t *file;
    if (!list_has(kinds, ask.kind)) {
        return FAIL2(FIELD_CHOICE, "kind", ask.kind, kinds);
    }
    TRY(json_only(c->json, "", "a file", names));
    TRY(call_text(c, "source", JSON_NEEDED, &ask.source));
    TRY(call_text(c, "name", JSON_NEEDED, &ask.name));
    TRY(call_text(c, "bytes_b64", JSON_NEEDED, &bytes));
    TRY(call_text(c, "reason", JSON_OPTIONAL, &ask.reason));
    TRY(json_get_bool(c->json, "try", "try", JSON_NEEDED, &only_try));
    TRY(base64_read(c->arena, bytes, "bytes_b64", &file, &ask.len));
    ask.bytes = file;
    ask.only_try = only_try;
    return import_run(c->arena, &ask, &c->out);
}

struct result hand_mappings(struct call *c)
{
    return view_mappings(c->view, &c->out);
}

/* As it was taken in: its SHA-256 is the digest that releases name. */
struct result hand_profile(struct call *c)
{
    const char *name;
    TRY(view_profile_text(c->view, &c->bytes, &c->bytes_len, &name));
    c->content_type = "application/json";
    call_header(c, "Content-Disposition",
                arena_printf(c->arena, "attachment; filename=\"%s.json\"", name));
    return RESULT_OK;
}

/* ---- the order book */

static struct result day_given(struct call *c, const char *name, int32_t otherwise, int32_t *out)
{
    const char *text = target_query(&c->target, name);
    *out = otherwise;
    return text != NULL ? day_read(text, name, out) : RESULT_OK;
}

struct result hand_orders(struct call *c)
{
    int32_t from, to,
        today = day_of_house(c->view->now_ms, civil_offset_min(c->view->now_ms),
                             c->view->profile != NULL ? c->view->profile->day_starts_min : 0);
    TRY(day_given(c, "from", today, &from));
    TRY(day_given(c, "to", from + 13, &to));
    return view_orders(c->view, from, to, &c->out);
}

struct result hand_order(struct call *c)
{
    const char *key = target_query(&c->target, "key");
    if (key == NULL || key[0] == '\0') {
        return FAIL1(FIELD_MISSING, "key", "Say which line of the order book.");
    }
    return view_order(c->view, key, &c->out);
}

/* Papers kept by their SHA-256: laboratory reports, certificates, validation documents, photos,
 * imported files as they came. */
#include <string.h>

#include "ledger/file_type.h"
#include "ledger/view.h"

enum { ATTACH_MAX = 16 << 20 };

static struct result read_about(struct draft *d, int64_t *out_lot, const char **out_partner)
{
    const json_t *o = d->cmd->body;
    *out_lot = 0;
    *out_partner = NULL;
    if (json_object_get(o, "lot") != NULL) {
        struct lot lot;
        TRY(lot_named(d, o, "lot", "lot", &lot));
        *out_lot = lot.id;
    }
    TRY(json_get_text(o, "partner", "partner", JSON_OPTIONAL, out_partner));
    if (*out_partner != NULL) {
        struct partner partner;
        bool found;
        TRY(partner_by_code(d->store, d->arena, *out_partner, &partner, &found));
        if (!found) {
            return FAIL2(PARTNER_UNKNOWN, "partner", *out_partner, "customer or supplier");
        }
    }
    return RESULT_OK;
}

struct result decide_attach(struct draft *d)
{
    static const char *const names[] = {"name", "paper_kind", "bytes_b64", "lot", "partner", NULL};
    static const char kinds[] = "report,certificate,validation,supplier,photo,file";
    const json_t *o = d->cmd->body;
    const char *name = NULL, *kind = NULL, *base64 = NULL, *partner;
    uint8_t *bytes;
    size_t len;
    int64_t lot;
    TRY(draft_only(d, "an attachment", names));
    TRY(json_get_text(o, "name", "name", JSON_NEEDED, &name));
    TRY(json_get_text(o, "paper_kind", "paper_kind", JSON_NEEDED, &kind));
    if (!list_has(kinds, kind)) {
        return FAIL2(FIELD_CHOICE, "paper_kind", kind, kinds);
    }
    TRY(json_get_text(o, "bytes_b64", "bytes_b64", JSON_NEEDED, &base64));
    if (name[0] == '\0' || strlen(name) > 200 || strpbrk(name, "/\\") != NULL) {
        return FAIL2(FIELD_RANGE, "name", name,
                     "a file name of at most 200 bytes, without a folder");
    }
    if (strlen(base64) / 4 * 3 > ATTACH_MAX) {
        return FAIL1(INPUT_LARGE, "bytes_b64", arena_printf(d->arena, "%d", ATTACH_MAX));
    }
    TRY(base64_read(d->arena, base64, "bytes_b64", &bytes, &len));
    TRY(read_about(d, &lot, &partner));
    const char *type = file_type(bytes, len, name);
    if (type == NULL) {
        return FAIL1(ATTACH_TYPE, "bytes_b64", name);
    }
    struct hash sha256 = draft_blob(d, type, name, bytes, len);
    draft_add(d, EFFECT_PAPER, "btot", &sha256, kind, lot, partner);
    json_object_set_new(d->answer, "sha256",
                        json_string(hex_text(d->arena, sha256.b, sizeof sha256.b)));
    json_object_set_new(d->answer, "type", json_string(type));
    json_object_set_new(d->answer, "size", json_integer((json_int_t)len));
    return RESULT_OK;
}

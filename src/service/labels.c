#include "service/labels.h"

#include <string.h>

#include "ledger/view.h"
#include "paper/gs1.h"
#include "service/reading.h"

static struct result packed_lot(struct store *s, const char *code, struct arena *a, struct lot *lot,
                                struct item *item)
{
    bool found;
    TRY(lot_by_code(s, a, code, lot, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", code);
    }
    if (strcmp(lot->kind, "packed") != 0) {
        return FAIL3(LOT_KIND, "lot", code, lot->kind, "packed");
    }
    TRY(item_by_code(s, a, lot->item, item, &found));
    return found ? RESULT_OK : FAIL1(ITEM_UNKNOWN, "item", lot->item);
}

/* A case is a trade item of its own: indicator 1 before the piece's twelve digits, with a check
 * digit of its own (GS1 General Specifications, GTIN-14 - published (seen)). */
static struct result case_gtin(struct arena *a, const char *piece, const char **out)
{
    *out = NULL;
    if (piece == NULL) {
        return RESULT_OK;
    }
    char digits[15] = "1";
    memcpy(digits + 1, piece + 1, 12);
    digits[13] = gs1_check_digit(digits, 13);
    *out = arena_copy_n(a, digits, 14);
    return RESULT_OK;
}

static size_t allergens_of(struct arena *a, const char *list, const char ***out)
{
    const char **words = ARENA_ARRAY(a, const char *, 32);
    size_t count = 0;
    char word[64];
    for (const char *at = list; count < 32 && list_next(&at, word, sizeof word);) {
        words[count++] = arena_copy(a, word);
    }
    *out = words;
    return count;
}

static struct result fill(struct store *s, const struct lot *lot, const struct item *item,
                          const char *storage, int64_t first, int64_t last, struct arena *a,
                          struct case_label *labels, size_t *out_count)
{
    const char **allergens, *gtin;
    size_t allergen_count = allergens_of(a, item->allergens, &allergens);
    bool has_gtin = item->gtin != NULL && strlen(item->gtin) == 14;
    TRY(case_gtin(a, has_gtin ? item->gtin : NULL, &gtin));
    struct statement *q = store_prepare(s, Q_UNITS_OF_LOT);
    store_bind_int(q, 1, lot->id);
    int64_t n = 0;
    size_t count = 0;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        n++;
        bool wanted = last > 0 ? n >= first && n <= last : strcmp(store_text(q, 3), "here") == 0;
        if (!wanted || count++ >= CASE_LABELS_MAX) {
            continue;
        }
        labels[count - 1] = (struct case_label){.item_name = item->name,
                                                .lot_code = lot->code,
                                                .pack_day = lot->day,
                                                .best_before_day = lot->best_before,
                                                .date = LABEL_USE_BY,
                                                .net_mg = item->net_mg,
                                                .pieces = store_int(q, 7),
                                                .allergens = allergens,
                                                .allergen_count = allergen_count,
                                                .storage = storage,
                                                .case_number = arena_copy(a, store_text(q, 1)),
                                                .gtin = gtin};
    }
    *out_count = count;
    return count <= CASE_LABELS_MAX
               ? RESULT_OK
               : FAIL3(LABELS_MANY, "cases", lot->code, arena_printf(a, "%zu", count),
                       arena_printf(a, "%d", CASE_LABELS_MAX));
}

static struct result storage_of(struct plant *plant, const char *item, struct arena *a,
                                const char **out, const char **out_lang)
{
    struct profile *profile;
    TRY(profile_now(plant, &profile));
    const struct label_storage *row = profile_label_storage(profile, item);
    *out = row != NULL ? arena_copy(a, row->text) : NULL;
    *out_lang = row != NULL ? arena_copy(a, row->language) : NULL;
    profile_free(profile);
    return *out != NULL ? RESULT_OK : FAIL1(LABEL_STORAGE, "label_storage", item);
}

struct result labels_of_lot(struct plant *plant, const char *code, int64_t first, int64_t last,
                            int64_t now_ms, struct arena *a, const uint8_t **out_pdf,
                            size_t *out_len, size_t *out_pages)
{
    const char *storage, *lang;
    struct lot lot;
    struct item item;
    TRY(packed_lot(plant->store, code, a, &lot, &item));
    TRY(storage_of(plant, lot.item, a, &storage, &lang));
    struct case_label *labels = ARENA_ARRAY(a, struct case_label, CASE_LABELS_MAX);
    TRY(fill(plant->store, &lot, &item, storage, first, last, a, labels, out_pages));
    if (*out_pages == 0) {
        return FAIL1(CASES_NONE, "lot", code);
    }
    struct label_paper paper = {.lang = lang, .created_ms = now_ms};
    struct result r = case_label_pdf(a, labels, *out_pages, &paper, out_pdf, out_len);
    if (r.code == CODE_SYMBOL_WIDE) { /* longer codes take a label twice the size, A5 upright */
        paper.width_mm = 148;
        paper.height_mm = 210;
        r = case_label_pdf(a, labels, *out_pages, &paper, out_pdf, out_len);
    }
    return r;
}

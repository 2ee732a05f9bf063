/* Case labels: one page a case, at the label's true size; print without scaling.
 *
 * Item, lot and date are large enough to read at arm's length; below them what the case holds,
 * and the bars. With a GTIN the label carries GS1-128 symbols with (01), (15) or (17), (310n) for
 * a weighed case, (10) and (21), in as few symbols as the label is wide for; without one, a plain
 * Code 128 of the case number. */
#ifndef PAPER_CASE_LABEL_H
#define PAPER_CASE_LABEL_H

#include "base/result.h"

enum label_date { LABEL_BEST_BEFORE, LABEL_USE_BY };

enum { CASE_LABELS_MAX = 5000 };

/* Texts are UTF-8; NULL counts as missing.
 *
 * item_name        up to three lines
 * lot_code         with a GTIN at most 20 characters of GS1 set 82
 * pack_day, best_before_day  house days, best_before_day not before pack_day
 * net_mg, pieces   declared net mass of a piece, 1 mg .. 1000 kg; pieces in the case, 1 .. 100000.
 *                  A weighed case (weighed_net_mg above 0) leaves both zero
 * weighed_net_mg   net mass of this one case, with weighed_decimals decimals of a kilogram (0..5).
 *                  Its GTIN begins with 9, and only such a GTIN needs it (GS1, Variable measure
 *                  trade items fact sheet; published, seen)
 * allergens        names of the record, said by "allergen.NAME" of the catalogue; none: the label
 * says that none is declared storage          "Keep at 1 to 4 °C" case_number      with a GTIN at
 * most 20 characters of set 82, else 40 of printable ASCII market_lines     what the market of sale
 * wants said, one line each gtin             8, 12, 13 or 14 digits, or NULL */
struct case_label {
    const char *item_name;
    const char *lot_code;
    int32_t pack_day;
    int32_t best_before_day;
    enum label_date date;
    int64_t net_mg;
    int64_t pieces;
    int64_t weighed_net_mg;
    int weighed_decimals;
    const char *const *allergens;
    size_t allergen_count;
    const char *storage;
    const char *case_number;
    const char *const *market_lines;
    size_t market_line_count;
    const char *gtin;
};

/* lang: of the market of sale (base/words.h), which the label's own words are in; NULL: English.
 * width_mm 90..300, height_mm 120..420; both 0: A6 upright (105 x 148). printer_dpi 100..2400, 0:
 * 300. Bars are whole printer dots wide. */
struct label_paper {
    const char *lang;
    double width_mm, height_mm;
    int printer_dpi;
    int64_t created_ms;
};

/* FIELD_MISSING, FIELD_RANGE, LABEL_DATES, LABEL_MEASURE, LABEL_ROOM, the errors of gs1.h,
 * barcode.h and page.h. One bad label refuses all. */
MUST_USE struct result case_label_pdf(struct arena *a, const struct case_label *labels,
                                      size_t count, const struct label_paper *paper,
                                      const uint8_t **out, size_t *out_len);

#endif

#include "paper/case_label.h"

#include <stdio.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/words.h"
#include "paper/gs1.h"
#include "paper/label_draw.h"

enum { PIECES_MAX = 100000, DPI_DEFAULT = 300 };
#define NET_MAX_MG INT64_C(1000000000)
#define A6_WIDTH_MM 105.0
#define A6_HEIGHT_MM 148.0

static const char *field_of(struct arena *a, const char *name, const char *field)
{
    return arena_printf(a, "%s%s", name, field);
}

static struct result text_needed(const char *text, const char *field, const char *what)
{
    return text == NULL || text[0] == '\0' ? FAIL1(FIELD_MISSING, field, what) : RESULT_OK;
}

static struct result range_check(struct arena *a, int64_t value, int64_t low, int64_t high,
                                 const char *field)
{
    if (value < low || value > high) {
        return FAIL2(FIELD_RANGE, field, arena_printf(a, "%lld", (long long)value),
                     arena_printf(a, "%lld to %lld", (long long)low, (long long)high));
    }
    return RESULT_OK;
}

static struct result texts_check(struct arena *a, const struct case_label *l, const char *name)
{
    TRY(text_needed(l->item_name, field_of(a, name, "item_name"), "Say what is in the case."));
    TRY(text_needed(l->lot_code, field_of(a, name, "lot_code"), "A label needs its lot code."));
    TRY(text_needed(l->storage, field_of(a, name, "storage"), "Say how to keep the case."));
    TRY(text_needed(l->case_number, field_of(a, name, "case_number"),
                    "Every case has a number of its own."));
    for (size_t i = 0; i < l->allergen_count; i++) {
        TRY(text_needed(l->allergens[i], field_of(a, name, "allergens"),
                        "Take the empty one out."));
    }
    for (size_t i = 0; i < l->market_line_count; i++) {
        TRY(text_needed(l->market_lines[i], field_of(a, name, "market_lines"),
                        "Take the empty one out."));
    }
    return RESULT_OK;
}

static struct result measure_check(struct arena *a, const struct case_label *l, const char *name,
                                   const char *gtin14)
{
    if (l->weighed_net_mg != 0) {
        if (l->net_mg != 0 || l->pieces != 0) {
            return FAIL0(LABEL_MEASURE, field_of(a, name, "weighed_net_mg"));
        }
        TRY(range_check(a, l->weighed_net_mg, 1, NET_MAX_MG, field_of(a, name, "weighed_net_mg")));
        TRY(range_check(a, l->weighed_decimals, 0, 5, field_of(a, name, "weighed_decimals")));
    } else {
        TRY(range_check(a, l->net_mg, 1, NET_MAX_MG, field_of(a, name, "net_mg")));
        TRY(range_check(a, l->pieces, 1, PIECES_MAX, field_of(a, name, "pieces")));
    }
    if (gtin14 != NULL && (gtin14[0] == '9') != (l->weighed_net_mg != 0)) {
        return FAIL1(LABEL_GTIN_MEASURE, field_of(a, name, "gtin"), gtin14);
    }
    return RESULT_OK;
}

static struct result dates_check(struct arena *a, const struct case_label *l, const char *name)
{
    const char *unused;
    TRY(gs1_date(a, l->pack_day, field_of(a, name, "pack_day"), &unused));
    TRY(gs1_date(a, l->best_before_day, field_of(a, name, "best_before_day"), &unused));
    if (l->best_before_day < l->pack_day) {
        return FAIL2(LABEL_DATES, field_of(a, name, "best_before_day"),
                     words_date(a, "en", l->best_before_day), words_date(a, "en", l->pack_day));
    }
    return RESULT_OK;
}

/* In the order in which symbols hold them: fixed lengths first, so that fewest separators. */
static struct result elements_of(struct arena *a, const struct label_page *page,
                                 struct gs1_element *elements, size_t *out_count)
{
    const struct case_label *l = page->label;
    size_t n = 0;
    const char *date;
    const char *date_field = field_of(a, page->name, "best_before_day");
    TRY(gs1_date(a, l->best_before_day, date_field, &date));
    elements[n++] = (struct gs1_element){"01", page->gtin14, field_of(a, page->name, "gtin")};
    elements[n++] = (struct gs1_element){l->date == LABEL_USE_BY ? "17" : "15", date, date_field};
    if (l->weighed_net_mg != 0) {
        TRY(gs1_net_weight(a, l->weighed_net_mg, l->weighed_decimals,
                           field_of(a, page->name, "weighed_net_mg"), &elements[n++]));
    }
    elements[n++] = (struct gs1_element){"10", l->lot_code, field_of(a, page->name, "lot_code")};
    elements[n++] =
        (struct gs1_element){"21", l->case_number, field_of(a, page->name, "case_number")};
    CHECK(n <= LABEL_SYMBOLS_MAX);
    *out_count = n;
    return gs1_elements_check(elements, n);
}

/* As few symbols as hold all elements in their order: each takes as many as fit. */
static struct result symbols_of(struct arena *a, struct label_page *page)
{
    struct gs1_element elements[LABEL_SYMBOLS_MAX];
    struct label_symbols *s = &page->symbols;
    double width_mm = page->paper->width_mm;
    size_t count;
    TRY(elements_of(a, page, elements, &count));
    for (size_t at = 0; at < count;) {
        size_t take = count - at;
        struct result r = RESULT_OK;
        for (; take > 0; take--) {
            struct barcode symbol;
            r = barcode_gs1_128(a, elements + at, take, &symbol);
            if (r.code == CODE_OK) {
                r = barcode_module_dots(&symbol, width_mm, page->paper->printer_dpi,
                                        elements[at].field, &s->dots[s->count]);
            }
            if (r.code == CODE_OK) {
                s->symbol[s->count++] = symbol;
                break;
            }
        }
        if (take == 0) {
            return r; /* of the element that does not fit even alone */
        }
        at += take;
    }
    return RESULT_OK;
}

static struct result prepare(struct arena *a, struct label_page *page)
{
    const struct case_label *l = page->label;
    TRY(texts_check(a, l, page->name));
    TRY(dates_check(a, l, page->name));
    if (l->gtin != NULL) {
        TRY(gs1_gtin14(a, l->gtin, field_of(a, page->name, "gtin"), &page->gtin14));
    }
    TRY(measure_check(a, l, page->name, page->gtin14));
    if (page->gtin14 != NULL) {
        return symbols_of(a, page);
    }
    const char *field = field_of(a, page->name, "case_number");
    TRY(barcode_code_128(a, l->case_number, field, &page->symbols.symbol[0]));
    page->symbols.count = 1;
    return barcode_module_dots(&page->symbols.symbol[0], page->paper->width_mm,
                               page->paper->printer_dpi, field, &page->symbols.dots[0]);
}

static struct result paper_of(struct arena *a, const struct label_paper *wanted,
                              struct label_paper *out)
{
    *out = *wanted;
    out->lang = words_language(wanted->lang);
    if (out->width_mm == 0 && out->height_mm == 0) {
        out->width_mm = A6_WIDTH_MM;
        out->height_mm = A6_HEIGHT_MM;
    }
    if (out->printer_dpi == 0) {
        out->printer_dpi = DPI_DEFAULT;
    }
    if (!(out->width_mm >= 90 && out->width_mm <= 300)) {
        return FAIL2(FIELD_RANGE, "width_mm", arena_printf(a, "%g", out->width_mm), "90 to 300");
    }
    if (!(out->height_mm >= 120 && out->height_mm <= 420)) {
        return FAIL2(FIELD_RANGE, "height_mm", arena_printf(a, "%g", out->height_mm), "120 to 420");
    }
    return range_check(a, out->printer_dpi, 100, 2400, "printer_dpi");
}

struct result case_label_pdf(struct arena *a, const struct case_label *labels, size_t count,
                             const struct label_paper *paper, const uint8_t **out, size_t *out_len)
{
    struct label_paper sized;
    TRY(paper_of(a, paper, &sized));
    TRY(range_check(a, (int64_t)count, 1, CASE_LABELS_MAX, "labels"));
    struct label_page *pages = ARENA_ARRAY(a, struct label_page, count);
    for (size_t i = 0; i < count; i++) {
        pages[i] = (struct label_page){.label = &labels[i], .paper = &sized, .name = ""};
        if (count > 1) {
            pages[i].name = arena_printf(a, "labels[%zu].", i);
        }
        TRY(prepare(a, &pages[i]));
    }
    struct page_document *doc;
    TRY(page_open(
        &(struct page_setup){.width_mm = sized.width_mm,
                             .height_mm = sized.height_mm,
                             .title = WORDS(a, sized.lang, "label.title", labels[0].lot_code),
                             .created_ms = sized.created_ms},
        &doc));
    for (size_t i = 0; i < count; i++) {
        if (i > 0) {
            page_next(doc);
        }
        label_draw(a, doc, &pages[i]);
    }
    return page_close(doc, a, out, out_len);
}

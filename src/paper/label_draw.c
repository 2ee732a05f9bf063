#include "paper/label_draw.h"

#include <math.h>

#include "base/decimal.h"
#include "paper/words.h"

/* Space kept free of ink at the label's edge, and between things. */
#define MARGIN_MM 4.0
#define GAP_MM 1.6
#define CAPTION_PT 7.5
#define READABLE_PT 9.5
#define MM_PER_INCH 25.4

struct pen {
    struct arena *arena;
    struct page_document *doc;
    const struct label_page *page;
    double width_mm; /* between the margins */
    double y_mm;
};

struct fit {
    enum page_font font;
    double largest_pt, smallest_pt;
    int lines_max;
};

static const char *field_of(const struct pen *p, const char *field)
{
    return arena_printf(p->arena, "%s%s", p->page->name, field);
}

/* The largest size in half points at which the text fits without cutting a word; when there is
 * none the label is refused, since a cut name or code is a wrong one. Returns the height. */
static double text_fitted(struct pen *p, const struct fit *fit, double x_mm, double y_mm,
                          double width_mm, const char *text, const char *field)
{
    for (double size = fit->largest_pt; size >= fit->smallest_pt; size -= 0.5) {
        struct page_style style = {.font = fit->font, .size_pt = size};
        struct page_block *block =
            page_block_new(p->doc, &style, width_mm, text, field_of(p, field));
        int lines = page_block_lines(block);
        bool fits = lines <= fit->lines_max && !page_block_cuts_words(block) &&
                    page_block_width_mm(block) <= width_mm;
        double height_mm = page_block_height_mm(block, 0, lines);
        if (fits) {
            page_block_draw(p->doc, block, x_mm, y_mm, 0, lines);
        }
        page_block_free(block);
        if (fits) {
            return height_mm;
        }
    }
    page_fail(p->doc, FAIL1(LABEL_TEXT_LONG, field_of(p, field), text));
    return 0;
}

static double caption(struct pen *p, double x_mm, double y_mm, const char *text)
{
    struct page_style style = {.font = PAGE_SANS, .size_pt = CAPTION_PT, .grey = 0.25};
    return page_text(p->doc, &style, x_mm, y_mm, 0, text, "caption");
}

static void rule(struct pen *p)
{
    page_rectangle(p->doc, MARGIN_MM, p->y_mm, p->width_mm, 0.3, 0);
    p->y_mm += 0.3 + GAP_MM / 2;
}

/* A caption with its value below it. */
static double captioned(struct pen *p, const struct fit *fit, double x_mm, double width_mm,
                        const char *name, const char *text, const char *field)
{
    double height_mm = caption(p, x_mm, p->y_mm, name);
    return height_mm + text_fitted(p, fit, x_mm, p->y_mm + height_mm - 0.4, width_mm, text, field) -
           0.4;
}

static const char *net_text(const struct pen *p)
{
    const struct case_label *l = p->page->label;
    if (l->weighed_net_mg != 0) {
        int64_t division_mg = 1000000;
        for (int i = 0; i < l->weighed_decimals; i++) {
            division_mg /= 10;
        }
        return mass_text(p->arena, l->weighed_net_mg, division_mg);
    }
    const char *piece = mass_text(p->arena, l->net_mg, 0);
    if (l->pieces == 1) {
        return piece;
    }
    return arena_printf(p->arena, "%lld × %s = %s", (long long)l->pieces, piece,
                        mass_text(p->arena, l->net_mg * l->pieces, 0));
}

static const char *allergen_text(const struct pen *p)
{
    const struct case_label *l = p->page->label;
    if (l->allergen_count == 0) {
        return "No allergens declared";
    }
    const char *text = arena_printf(p->arena, "Contains %s", l->allergens[0]);
    for (size_t i = 1; i < l->allergen_count; i++) {
        text = arena_printf(p->arena, "%s, %s", text, l->allergens[i]);
    }
    return text;
}

static void draw_large(struct pen *p)
{
    const struct case_label *l = p->page->label;
    static const struct fit name_fit = {PAGE_SANS_BOLD, 27, 13, 3};
    static const struct fit lot_fit = {PAGE_MONO_BOLD, 34, 14, 1};
    static const struct fit date_fit = {PAGE_SANS_BOLD, 25, 16, 1};
    p->y_mm +=
        text_fitted(p, &name_fit, MARGIN_MM, p->y_mm, p->width_mm, l->item_name, "item_name") +
        GAP_MM / 2;
    rule(p);
    p->y_mm += captioned(p, &lot_fit, MARGIN_MM, p->width_mm, "LOT", l->lot_code, "lot_code");
    p->y_mm += captioned(p, &date_fit, MARGIN_MM, p->width_mm,
                         l->date == LABEL_USE_BY ? "USE BY" : "BEST BEFORE",
                         words_date(p->arena, l->best_before_day), "best_before_day") +
               GAP_MM / 2;
    rule(p);
}

/* Two captioned values side by side. */
static void draw_pair(struct pen *p, const char *const names[2], const char *const texts[2],
                      const char *const fields[2])
{
    static const struct fit fit = {PAGE_SANS_BOLD, 13, 7.5, 2};
    double half_mm = (p->width_mm - 2 * GAP_MM) / 2;
    double left_mm = captioned(p, &fit, MARGIN_MM, half_mm, names[0], texts[0], fields[0]);
    double right_mm = captioned(p, &fit, MARGIN_MM + half_mm + 2 * GAP_MM, half_mm, names[1],
                                texts[1], fields[1]);
    p->y_mm += fmax(left_mm, right_mm) + GAP_MM / 2;
}

static void draw_allergens(struct pen *p)
{
    static const struct fit fit = {PAGE_SANS_BOLD, 12, 7.5, 3};
    double pad_mm = 1.2;
    double height_mm = text_fitted(p, &fit, MARGIN_MM + 2 * pad_mm, p->y_mm + pad_mm,
                                   p->width_mm - 4 * pad_mm, allergen_text(p), "allergens") +
                       2 * pad_mm;
    page_frame(p->doc, MARGIN_MM, p->y_mm, p->width_mm, height_mm, 0.4);
    p->y_mm += height_mm + GAP_MM;
}

static void draw_small(struct pen *p)
{
    const struct case_label *l = p->page->label;
    draw_pair(p, (const char *const[]){"PACKED", "CASE"},
              (const char *const[]){words_date(p->arena, l->pack_day), l->case_number},
              (const char *const[]){"pack_day", "case_number"});
    draw_pair(p, (const char *const[]){"NET", "STORAGE"},
              (const char *const[]){net_text(p), l->storage},
              (const char *const[]){"net_mg", "storage"});
    draw_allergens(p);
    static const struct fit line_fit = {PAGE_SANS, 8.5, 6.5, 2};
    for (size_t i = 0; i < l->market_line_count; i++) {
        p->y_mm += text_fitted(p, &line_fit, MARGIN_MM, p->y_mm, p->width_mm, l->market_lines[i],
                               "market_lines");
    }
    if (p->page->gtin14 != NULL) {
        p->y_mm += text_fitted(p, &line_fit, MARGIN_MM, p->y_mm, p->width_mm,
                               arena_printf(p->arena, "GTIN %s", p->page->gtin14), "gtin");
    }
    p->y_mm += GAP_MM;
}

/* Bars stand on the printer's dots, centred. */
static void draw_bars(struct pen *p, const struct barcode *symbol, int dots, double y_mm,
                      double height_mm)
{
    const struct label_paper *paper = p->page->paper;
    double dot_mm = MM_PER_INCH / paper->printer_dpi;
    double at = floor((paper->width_mm / dot_mm - symbol->modules * dots) / 2);
    for (size_t i = 0; i < symbol->width_count; i++) {
        int width = symbol->widths[i] * dots;
        if (i % 2 == 0) {
            page_rectangle(p->doc, at * dot_mm, y_mm, width * dot_mm, height_mm, 0);
        }
        at += width;
    }
}

static void draw_symbols(struct pen *p)
{
    const struct label_symbols *s = &p->page->symbols;
    const struct label_paper *paper = p->page->paper;
    struct page_style style = {.font = PAGE_SANS, .size_pt = READABLE_PT, .align = PAGE_CENTRE};
    double line_mm = READABLE_PT * 1.25 * MM_PER_INCH / 72;
    double room_mm = (paper->height_mm - MARGIN_MM - p->y_mm) / (double)s->count;
    double height_mm = fmin(GS1_128_HEIGHT_MM, room_mm - line_mm - GAP_MM);
    if (height_mm < GS1_128_HEIGHT_MIN_MM) {
        page_fail(p->doc, FAIL0(LABEL_ROOM, field_of(p, "item_name")));
        return;
    }
    double y_mm =
        paper->height_mm - MARGIN_MM - (double)s->count * (height_mm + line_mm + GAP_MM) + GAP_MM;
    for (size_t i = 0; i < s->count; i++) {
        draw_bars(p, &s->symbol[i], s->dots[i], y_mm, height_mm);
        page_text(p->doc, &style, MARGIN_MM, y_mm + height_mm + 0.4, p->width_mm,
                  s->symbol[i].readable, "bar code");
        y_mm += height_mm + line_mm + GAP_MM;
    }
}

void label_draw(struct arena *a, struct page_document *doc, const struct label_page *page)
{
    struct pen p = {
        .arena = a,
        .doc = doc,
        .page = page,
        .width_mm = page->paper->width_mm - 2 * MARGIN_MM,
        .y_mm = MARGIN_MM - 1,
    };
    draw_large(&p);
    draw_small(&p);
    draw_symbols(&p);
}

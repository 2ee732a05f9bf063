#include "paper/label_draw.h"

#include <math.h>

#include "base/decimal.h"
#include "base/words.h"

/* Space kept free of ink at the label's edge, and between things. */
#define MARGIN_MM 4.0
#define GAP_MM 1.6
#define CAPTION_PT 7.5
#define READABLE_PT 9.5
#define RULE_MM 0.3
#define PAD_MM 1.2
#define MM_PER_INCH 25.4
#define SCALE_MIN 0.8

struct pen {
    struct arena *arena;
    struct page_document *doc;
    const struct label_page *page;
    double width_mm; /* between the margins */
    double y_mm;
    double scale;      /* of the large type */
    bool measure_only; /* nothing is drawn: how far down does it reach? */
};

/* Sizes to try, from the largest down. At large_pt and above no more than large_lines are taken,
 * so that a long name becomes smaller before it becomes tall. */
struct fit {
    enum page_font font;
    double largest_pt, smallest_pt;
    int lines_max;
    double large_pt;
    int large_lines;
};

struct box {
    double x_mm, y_mm, width_mm;
};

static const char *lang_of(const struct pen *p)
{
    return p->page->paper->lang;
}

#define SAY(p, key, ...) WORDS((p)->arena, lang_of(p), key, __VA_ARGS__)

static const char *field_of(const struct pen *p, const char *field)
{
    return arena_printf(p->arena, "%s%s", p->page->name, field);
}

/* The height the text takes at one size, or 0 when it does not fit without cutting a word. */
static double text_at(struct pen *p, const struct fit *fit, double size_pt, struct box box,
                      const char *text, const char *field)
{
    struct page_style style = {.font = fit->font, .size_pt = size_pt};
    struct page_block *block = page_block_new(p->doc, &style, box.width_mm, text, field);
    int lines = page_block_lines(block);
    int lines_max =
        fit->large_lines > 0 && size_pt >= fit->large_pt ? fit->large_lines : fit->lines_max;
    double height_mm = 0;
    if (lines <= lines_max && !page_block_cuts_words(block) &&
        page_block_width_mm(block) <= box.width_mm) {
        height_mm = page_block_height_mm(block, 0, lines);
        if (!p->measure_only) {
            page_block_draw(p->doc, block, box.x_mm, box.y_mm, 0, lines);
        }
    }
    page_block_free(block);
    return height_mm;
}

/* When no size fits the label is refused, since a cut name or code is a wrong one. */
static double text_fitted(struct pen *p, const struct fit *fit, struct box box, const char *text,
                          const char *field)
{
    for (double size_pt = fit->largest_pt; size_pt >= fit->smallest_pt; size_pt -= 0.5) {
        double height_mm = text_at(p, fit, size_pt, box, text, field_of(p, field));
        if (height_mm > 0) {
            return height_mm;
        }
    }
    page_fail(p->doc, FAIL1(LABEL_TEXT_LONG, field_of(p, field), text));
    return 0;
}

static double caption(struct pen *p, double x_mm, double y_mm, const char *text)
{
    struct page_style style = {.font = PAGE_SANS, .size_pt = CAPTION_PT, .grey = 0.25};
    struct page_block *block = page_block_new(p->doc, &style, 0, text, "caption");
    double height_mm = page_block_height_mm(block, 0, 1);
    if (!p->measure_only) {
        page_block_draw(p->doc, block, x_mm, y_mm, 0, 1);
    }
    page_block_free(block);
    return height_mm;
}

static void rule(struct pen *p)
{
    if (!p->measure_only) {
        page_rectangle(p->doc, MARGIN_MM, p->y_mm, p->width_mm, RULE_MM, 0);
    }
    p->y_mm += RULE_MM + GAP_MM / 2;
}

static struct box full_width(const struct pen *p)
{
    return (struct box){MARGIN_MM, p->y_mm, p->width_mm};
}

/* A caption with its value below it; returns the height of both. */
static double captioned(struct pen *p, const struct fit *fit, struct box box, const char *name,
                        const char *text, const char *field)
{
    double caption_mm = caption(p, box.x_mm, box.y_mm, name) - 0.4;
    box.y_mm += caption_mm;
    return caption_mm + text_fitted(p, fit, box, text, field);
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
        return SAY(p, "label.no-allergens", NULL);
    }
    const char *text = "";
    for (size_t i = 0; i < l->allergen_count; i++) {
        text = arena_printf(p->arena, "%s%s%s", text, i > 0 ? ", " : "",
                            words_name(p->arena, lang_of(p), "allergen.", l->allergens[i]));
    }
    return SAY(p, "label.contains", text);
}

/* What is read from a step away: item, lot, date. */
static void draw_large(struct pen *p)
{
    const struct case_label *l = p->page->label;
    const struct fit name_fit = {PAGE_SANS_BOLD, 27 * p->scale, 12, 3, 18 * p->scale, 2};
    const struct fit lot_fit = {PAGE_MONO_BOLD, 32 * p->scale, 13, 1, 0, 0};
    const struct fit date_fit = {PAGE_SANS_BOLD, 25 * p->scale, 13, 1, 0, 0};
    p->y_mm += text_fitted(p, &name_fit, full_width(p), l->item_name, "item_name") + GAP_MM / 2;
    rule(p);
    p->y_mm +=
        captioned(p, &lot_fit, full_width(p), SAY(p, "label.lot", NULL), l->lot_code, "lot_code");
    p->y_mm += captioned(p, &date_fit, full_width(p),
                         l->date == LABEL_USE_BY ? SAY(p, "label.use-by", NULL)
                                                 : SAY(p, "label.best-before", NULL),
                         words_date(p->arena, lang_of(p), l->best_before_day), "best_before_day") +
               GAP_MM / 2;
    rule(p);
}

/* Two captioned values side by side. */
static void draw_pair(struct pen *p, const char *const names[2], const char *const texts[2],
                      const char *const fields[2])
{
    const struct fit fit = {PAGE_SANS_BOLD, 13, 7.5, 2, 11, 1};
    double half_mm = (p->width_mm - 2 * GAP_MM) / 2;
    struct box left = {MARGIN_MM, p->y_mm, half_mm};
    struct box right = {MARGIN_MM + half_mm + 2 * GAP_MM, p->y_mm, half_mm};
    double left_mm = captioned(p, &fit, left, names[0], texts[0], fields[0]);
    double right_mm = captioned(p, &fit, right, names[1], texts[1], fields[1]);
    p->y_mm += fmax(left_mm, right_mm) + GAP_MM / 2;
}

static void draw_allergens(struct pen *p)
{
    const struct fit fit = {PAGE_SANS_BOLD, 12, 7.5, 3, 0, 0};
    struct box inside = {MARGIN_MM + 2 * PAD_MM, p->y_mm + PAD_MM, p->width_mm - 4 * PAD_MM};
    double height_mm = text_fitted(p, &fit, inside, allergen_text(p), "allergens") + 2 * PAD_MM;
    if (!p->measure_only) {
        page_frame(p->doc, MARGIN_MM, p->y_mm, p->width_mm, height_mm, 0.4);
    }
    p->y_mm += height_mm + GAP_MM / 2;
}

static void draw_small(struct pen *p)
{
    const struct case_label *l = p->page->label;
    draw_pair(p, (const char *const[]){SAY(p, "label.packed", NULL), SAY(p, "label.case", NULL)},
              (const char *const[]){words_date(p->arena, lang_of(p), l->pack_day), l->case_number},
              (const char *const[]){"pack_day", "case_number"});
    draw_pair(p,
              (const char *const[]){l->weighed_net_mg != 0 ? SAY(p, "label.net-weighed", NULL)
                                                           : SAY(p, "label.net", NULL),
                                    SAY(p, "label.storage", NULL)},
              (const char *const[]){net_text(p), l->storage},
              (const char *const[]){"net_mg", "storage"});
    draw_allergens(p);
    const struct fit fit = {PAGE_SANS, 8.5, 6.5, 2, 0, 0};
    for (size_t i = 0; i < l->market_line_count; i++) {
        p->y_mm += text_fitted(p, &fit, full_width(p), l->market_lines[i], "market_lines");
    }
    if (p->page->gtin14 != NULL) {
        p->y_mm += text_fitted(p, &fit, full_width(p),
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

static double readable_line_mm(void)
{
    return READABLE_PT * 1.25 * MM_PER_INCH / 72;
}

/* What is left for the bars of each symbol below y_mm. */
static double bars_height_mm(const struct pen *p)
{
    double count = (double)p->page->symbols.count;
    double room_mm = p->page->paper->height_mm - MARGIN_MM - p->y_mm + GAP_MM;
    return fmin(GS1_128_HEIGHT_MM, room_mm / count - readable_line_mm() - GAP_MM);
}

static void draw_symbols(struct pen *p)
{
    const struct label_symbols *s = &p->page->symbols;
    double height_mm = bars_height_mm(p);
    if (height_mm < GS1_128_HEIGHT_MIN_MM) {
        page_fail(p->doc, FAIL0(LABEL_ROOM, field_of(p, "item_name")));
        return;
    }
    struct page_style style = {.font = PAGE_SANS, .size_pt = READABLE_PT, .align = PAGE_CENTRE};
    double step_mm = height_mm + readable_line_mm() + GAP_MM;
    double y_mm = p->page->paper->height_mm - MARGIN_MM - (double)s->count * step_mm + GAP_MM;
    for (size_t i = 0; i < s->count; i++) {
        draw_bars(p, &s->symbol[i], s->dots[i], y_mm, height_mm);
        page_text(p->doc, &style, MARGIN_MM, y_mm + height_mm + 0.4, p->width_mm,
                  s->symbol[i].readable, "bar code");
        y_mm += step_mm;
    }
}

static struct pen pen_at_top(struct arena *a, struct page_document *doc,
                             const struct label_page *page, double scale, bool measure_only)
{
    return (struct pen){
        .arena = a,
        .doc = doc,
        .page = page,
        .width_mm = page->paper->width_mm - 2 * MARGIN_MM,
        .y_mm = MARGIN_MM - 1,
        .scale = scale,
        .measure_only = measure_only,
    };
}

/* The largest type that leaves the bars a good height; the smallest where none does. */
static double scale_of(struct arena *a, struct page_document *doc, const struct label_page *page)
{
    double wanted_mm = fmax(GS1_128_HEIGHT_MM / (double)page->symbols.count, 12);
    double scale = 1.4;
    for (; scale > SCALE_MIN + 0.01; scale -= 0.1) {
        struct pen p = pen_at_top(a, doc, page, scale, true);
        draw_large(&p);
        draw_small(&p);
        if (bars_height_mm(&p) >= wanted_mm) {
            break;
        }
    }
    return scale;
}

void label_draw(struct arena *a, struct page_document *doc, const struct label_page *page)
{
    struct pen p = pen_at_top(a, doc, page, scale_of(a, doc, page), false);
    draw_large(&p);
    draw_small(&p);
    draw_symbols(&p);
}

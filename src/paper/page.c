#include "paper/page.h"

#include <cairo-pdf.h>
#include <fontconfig/fontconfig.h>
#include <pango/pangocairo.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"

enum { PAGE_MAGIC = 0x50414745 };
#define PT_PER_MM (72.0 / 25.4)

struct bytes {
    uint8_t *data;
    size_t len, size;
};

struct page_document {
    uint32_t magic;
    struct bytes bytes;
    cairo_surface_t *surface;
    cairo_t *cairo;
    PangoFontMap *fonts;
    PangoContext *context;
    struct result failure;
};

/* In units of the layout, y from its top. */
struct line {
    PangoLayoutLine *pango; /* the layout's own */
    int x, top, bottom, baseline;
};

struct page_block {
    PangoLayout *layout;
    double grey;
    struct line *lines;
    int line_count;
};

static const char *const font_names[] = {
    [PAGE_SANS] = "DejaVu Sans",
    [PAGE_SANS_BOLD] = "DejaVu Sans Bold",
    [PAGE_MONO] = "DejaVu Sans Mono",
    [PAGE_MONO_BOLD] = "DejaVu Sans Mono Bold",
};

/* Only the system's fonts and none of anybody's settings: a page must not look different for
 * another user of the machine. One for the whole process. */
static const char font_settings[] = "<fontconfig>"
                                    "<dir>/usr/share/fonts</dir>"
                                    "<dir>/usr/local/share/fonts</dir>"
                                    "<cachedir>/var/cache/fontconfig</cachedir>"
                                    "<cachedir prefix=\"xdg\">fontconfig</cachedir>"
                                    "</fontconfig>";
static pthread_once_t font_config_once = PTHREAD_ONCE_INIT;

#if defined(__SANITIZE_ADDRESS__)
/* Fontconfig's patterns point to their parts by distance, which a search for pointers misses, and
 * Pango's own thread may still hold one when the program ends. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
    return "leak:libfontconfig";
}
#endif

static void font_config_load(void)
{
    FcConfig *font_config = FcConfigCreate();
    CHECK(font_config != NULL);
    CHECK(FcConfigParseAndLoadFromMemory(font_config, (const FcChar8 *)font_settings, FcTrue));
    CHECK(FcConfigSetCurrent(font_config)); /* builds its list of fonts */
    FcConfigDestroy(font_config);           /* the library holds on to it */
}

static cairo_status_t take_bytes(void *self, const unsigned char *data, unsigned int len)
{
    struct bytes *b = self;
    if (b->len + len > PAGE_BYTES_MAX) {
        return CAIRO_STATUS_WRITE_ERROR;
    }
    if (b->len + len > b->size) {
        size_t size = b->size == 0 ? 64 * 1024 : b->size;
        while (size < b->len + len) {
            size *= 2;
        }
        uint8_t *grown = realloc(b->data, size);
        if (grown == NULL) {
            return CAIRO_STATUS_NO_MEMORY;
        }
        b->data = grown;
        b->size = size;
    }
    memcpy(b->data + b->len, data, len);
    b->len += len;
    return CAIRO_STATUS_SUCCESS;
}

void page_fail(struct page_document *doc, struct result failure)
{
    CHECK(doc->magic == PAGE_MAGIC);
    if (doc->failure.code == CODE_OK) {
        doc->failure = failure;
    }
}

/* The font library hands out a stand-in for a font it lacks; a label in a stand-in looks right only
 * here. */
static struct result fonts_check(PangoFontMap *fonts, PangoContext *context)
{
    static const char *const families[] = {"DejaVu Sans", "DejaVu Sans Mono"};
    for (size_t i = 0; i < 2; i++) {
        PangoFontDescription *wanted = pango_font_description_from_string(families[i]);
        PangoFont *font = pango_font_map_load_font(fonts, context, wanted);
        pango_font_description_free(wanted);
        PangoFontDescription *found = font == NULL ? NULL : pango_font_describe(font);
        bool same =
            found != NULL && strcmp(pango_font_description_get_family(found), families[i]) == 0;
        if (found != NULL) {
            pango_font_description_free(found);
        }
        if (font != NULL) {
            g_object_unref(font);
        }
        if (!same) {
            return FAIL1(PAPER_FONT, "font", families[i]);
        }
    }
    return RESULT_OK;
}

static void describe(cairo_surface_t *surface, const struct page_setup *setup)
{
    struct civil c = civil_from_ms(setup->created_ms, 0);
    char created[64];
    snprintf(created, sizeof created, "%04d-%02d-%02dT%02d:%02d:%02dZ", c.year, c.month, c.day,
             c.hour, c.minute, c.second);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, setup->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "plumule");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, created);
}

/* Positions of letters must not depend on a screen's pixels. */
static PangoContext *context_new(PangoFontMap *fonts)
{
    PangoContext *context = pango_font_map_create_context(fonts);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context, FALSE);
    return context;
}

struct result page_open(const struct page_setup *setup, struct page_document **out)
{
    CHECK(setup->width_mm >= 20 && setup->width_mm <= 2000 && setup->height_mm >= 20 &&
          setup->height_mm <= 2000);
    if (!g_utf8_validate(setup->title, -1, NULL)) {
        return FAIL0(PAPER_TEXT, "title");
    }
    /* before Pango's own thread can load the machine's settings */
    CHECK(pthread_once(&font_config_once, font_config_load) == 0);
    struct page_document *doc = calloc(1, sizeof *doc);
    CHECK(doc != NULL);
    doc->magic = PAGE_MAGIC;
    doc->surface = cairo_pdf_surface_create_for_stream(
        take_bytes, &doc->bytes, setup->width_mm * PT_PER_MM, setup->height_mm * PT_PER_MM);
    describe(doc->surface, setup);
    doc->cairo = cairo_create(doc->surface);
    doc->fonts = pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT);
    CHECK(doc->fonts != NULL);
    doc->context = context_new(doc->fonts);
    struct result r = fonts_check(doc->fonts, doc->context);
    if (r.code != CODE_OK) {
        page_drop(doc);
        return r;
    }
    *out = doc;
    return RESULT_OK;
}

void page_next(struct page_document *doc)
{
    CHECK(doc->magic == PAGE_MAGIC);
    cairo_show_page(doc->cairo);
}

void page_drop(struct page_document *doc)
{
    CHECK(doc->magic == PAGE_MAGIC);
    cairo_destroy(doc->cairo);
    cairo_surface_destroy(doc->surface);
    g_object_unref(doc->context);
    g_object_unref(doc->fonts);
    free(doc->bytes.data);
    doc->magic = 0;
    free(doc);
}

struct result page_close(struct page_document *doc, struct arena *a, const uint8_t **out,
                         size_t *out_len)
{
    CHECK(doc->magic == PAGE_MAGIC);
    cairo_show_page(doc->cairo);
    cairo_status_t status = cairo_status(doc->cairo);
    cairo_surface_finish(doc->surface);
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_status(doc->surface);
    }
    if (status != CAIRO_STATUS_SUCCESS) {
        page_fail(doc, FAIL1(PAPER_FAILED, "", cairo_status_to_string(status)));
    }
    struct result r = doc->failure;
    if (r.code == CODE_OK) {
        *out = (const uint8_t *)arena_copy_n(a, (const char *)doc->bytes.data, doc->bytes.len);
        *out_len = doc->bytes.len;
    }
    page_drop(doc);
    return r;
}

/* 1-based position of the first character that no page can show, or 0. */
static size_t bad_character(const char *text)
{
    if (!g_utf8_validate(text, -1, NULL)) {
        return 1;
    }
    size_t position = 1;
    for (const char *at = text; *at != '\0'; at = g_utf8_next_char(at), position++) {
        gunichar c = g_utf8_get_char(at);
        if (c != '\n' && g_unichar_iscntrl(c)) {
            return position;
        }
    }
    return 0;
}

static void attributes_set(PangoLayout *layout)
{
    /* A lot code broken between two lines must not gain a hyphen that is not in it. */
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
}

static void glyphs_check(struct page_document *doc, PangoLayout *layout, const char *text,
                         const char *field)
{
    if (pango_layout_get_unknown_glyphs_count(layout) > 0) {
        page_fail(doc, FAIL1(PAPER_GLYPH, field, text));
    }
}

static void lines_take(struct page_block *block)
{
    block->line_count = pango_layout_get_line_count(block->layout);
    block->lines = calloc((size_t)block->line_count, sizeof *block->lines);
    CHECK(block->lines != NULL);
    PangoLayoutIter *iter = pango_layout_get_iter(block->layout);
    for (int i = 0; i < block->line_count; i++) {
        PangoRectangle logical;
        pango_layout_iter_get_line_extents(iter, NULL, &logical);
        block->lines[i] = (struct line){
            .pango = pango_layout_iter_get_line_readonly(iter),
            .x = logical.x,
            .top = logical.y,
            .bottom = logical.y + logical.height,
            .baseline = pango_layout_iter_get_baseline(iter),
        };
        pango_layout_iter_next_line(iter);
    }
    pango_layout_iter_free(iter);
}

struct page_block *page_block_new(struct page_document *doc, const struct page_style *style,
                                  double width_mm, const char *text, const char *field)
{
    CHECK(doc->magic == PAGE_MAGIC);
    size_t bad = bad_character(text);
    if (bad != 0) {
        page_fail(doc, result_at(FAIL0(PAPER_TEXT, field), 0, (int64_t)bad));
        text = "";
    }
    struct page_block *block = calloc(1, sizeof *block);
    CHECK(block != NULL);
    PangoLayout *layout = pango_layout_new(doc->context);
    PangoFontDescription *font = pango_font_description_from_string(font_names[style->font]);
    pango_font_description_set_absolute_size(font, style->size_pt * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    static const PangoAlignment alignments[] = {PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER,
                                                PANGO_ALIGN_RIGHT};
    pango_layout_set_alignment(layout, alignments[style->align]);
    pango_layout_set_width(layout, width_mm > 0 ? (int)(width_mm * PT_PER_MM * PANGO_SCALE) : -1);
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    attributes_set(layout);
    pango_layout_set_text(layout, text, -1);
    glyphs_check(doc, layout, text, field);
    *block = (struct page_block){.layout = layout, .grey = style->grey};
    lines_take(block);
    return block;
}

void page_block_free(struct page_block *block)
{
    g_object_unref(block->layout);
    free(block->lines);
    free(block);
}

int page_block_lines(const struct page_block *block)
{
    return block->line_count;
}

static double mm_of(int units)
{
    return units / (double)PANGO_SCALE / PT_PER_MM;
}

double page_block_width_mm(const struct page_block *block)
{
    PangoRectangle logical;
    pango_layout_get_extents(block->layout, NULL, &logical);
    return mm_of(logical.width);
}

double page_block_height_mm(const struct page_block *block, int first_line, int line_count)
{
    CHECK(first_line >= 0 && line_count >= 0 && first_line + line_count <= block->line_count);
    if (line_count == 0) {
        return 0;
    }
    return mm_of(block->lines[first_line + line_count - 1].bottom - block->lines[first_line].top);
}

bool page_block_cuts_words(const struct page_block *block)
{
    const char *text = pango_layout_get_text(block->layout);
    for (int i = 1; i < block->line_count; i++) {
        const char *start = text + block->lines[i].pango->start_index;
        if (g_ascii_isalnum(start[-1]) && g_ascii_isalnum(start[0])) {
            return true;
        }
    }
    return false;
}

void page_block_draw(struct page_document *doc, const struct page_block *block, double x_mm,
                     double y_mm, int first_line, int line_count)
{
    CHECK(first_line >= 0 && line_count >= 0 && first_line + line_count <= block->line_count);
    cairo_set_source_rgb(doc->cairo, block->grey, block->grey, block->grey);
    for (int i = first_line; i < first_line + line_count; i++) {
        const struct line *line = &block->lines[i];
        int down = line->baseline - block->lines[first_line].top;
        cairo_move_to(doc->cairo, x_mm * PT_PER_MM + line->x / (double)PANGO_SCALE,
                      y_mm * PT_PER_MM + down / (double)PANGO_SCALE);
        pango_cairo_show_layout_line(doc->cairo, line->pango);
    }
}

double page_text(struct page_document *doc, const struct page_style *style, double x_mm,
                 double y_mm, double width_mm, const char *text, const char *field)
{
    struct page_block *block = page_block_new(doc, style, width_mm, text, field);
    int lines = page_block_lines(block);
    double height_mm = page_block_height_mm(block, 0, lines);
    page_block_draw(doc, block, x_mm, y_mm, 0, lines);
    page_block_free(block);
    return height_mm;
}

void page_rectangle(struct page_document *doc, double x_mm, double y_mm, double width_mm,
                    double height_mm, double grey)
{
    CHECK(doc->magic == PAGE_MAGIC);
    cairo_set_source_rgb(doc->cairo, grey, grey, grey);
    cairo_rectangle(doc->cairo, x_mm * PT_PER_MM, y_mm * PT_PER_MM, width_mm * PT_PER_MM,
                    height_mm * PT_PER_MM);
    cairo_fill(doc->cairo);
}

void page_frame(struct page_document *doc, double x_mm, double y_mm, double width_mm,
                double height_mm, double line_mm)
{
    CHECK(doc->magic == PAGE_MAGIC);
    cairo_set_source_rgb(doc->cairo, 0, 0, 0);
    cairo_set_line_width(doc->cairo, line_mm * PT_PER_MM);
    cairo_rectangle(doc->cairo, (x_mm + line_mm / 2) * PT_PER_MM, (y_mm + line_mm / 2) * PT_PER_MM,
                    (width_mm - line_mm) * PT_PER_MM, (height_mm - line_mm) * PT_PER_MM);
    cairo_stroke(doc->cairo);
}

#include "paper/flow.h"

#include <math.h>

#include "base/check.h"
#include "base/words.h"
#include "paper/flow_page.h"

#define A4_SHORT_MM 210.0
#define A4_LONG_MM 297.0
#define EDGE_MM 15.0
#define HEAD_MM 12.0
#define FOOT_MM 14.0
#define TEXT_PT 9.0

static const struct page_style running_style = {.font = PAGE_SANS, .size_pt = 7.5, .grey = 0.3};

static void running_head(struct flow *f)
{
    if (f->page > 1) { /* the first page has it in large letters */
        page_text(f->doc, &running_style, f->left_mm, HEAD_MM - 5, f->width_mm, f->setup->title,
                  "title");
    }
    struct page_style right = running_style;
    right.align = PAGE_RIGHT;
    double foot_y_mm = f->bottom_mm + 3;
    page_rectangle(f->doc, f->left_mm, foot_y_mm - 1, f->width_mm, 0.15, 0.5);
    page_text(f->doc, &running_style, f->left_mm, foot_y_mm, f->width_mm - 30, f->setup->foot,
              "foot");
    page_text(f->doc, &right, f->left_mm, foot_y_mm, f->width_mm,
              WORDS(f->arena, f->lang, "paper.page", arena_printf(f->arena, "%d", f->page),
                    arena_printf(f->arena, "%d", f->page_count)),
              "page");
}

void flow_break(struct flow *f)
{
    if (f->page >= FLOW_PAGES_MAX) {
        page_fail(f->doc, FAIL1(PAPER_LONG, "", f->setup->title));
        f->y_mm = f->top_mm;
        return;
    }
    page_next(f->doc);
    f->page++;
    f->y_mm = f->top_mm;
    running_head(f);
}

void flow_need(struct flow *f, double mm)
{
    if (f->y_mm + mm > f->bottom_mm && f->y_mm > f->top_mm) {
        flow_break(f);
    }
}

struct arena *flow_arena(struct flow *f)
{
    return f->arena;
}

const char *flow_say(struct flow *f, const char *key)
{
    return words(f->arena, f->lang, key, NULL, 0);
}

void flow_gap(struct flow *f, double mm)
{
    f->y_mm = fmin(f->y_mm + mm, f->bottom_mm);
}

/* Lines one by one, so that a long text goes on over the page's end. */
static void put_lines(struct flow *f, const struct page_style *style, const char *text,
                      const char *field)
{
    struct page_block *block = page_block_new(f->doc, style, f->width_mm, text, field);
    for (int i = 0; i < page_block_lines(block); i++) {
        double height_mm = page_block_height_mm(block, i, 1);
        flow_need(f, height_mm);
        page_block_draw(f->doc, block, f->left_mm, f->y_mm, i, 1);
        f->y_mm += height_mm;
    }
    page_block_free(block);
}

void flow_title(struct flow *f, const char *text, const char *field)
{
    put_lines(f, &(struct page_style){.font = PAGE_SANS_BOLD, .size_pt = 18}, text, field);
    flow_gap(f, 2);
}

void flow_heading(struct flow *f, const char *text)
{
    flow_gap(f, 4);
    flow_need(f, 25); /* a heading does not stand alone at the page's end */
    put_lines(f, &(struct page_style){.font = PAGE_SANS_BOLD, .size_pt = 12}, text, "heading");
    flow_gap(f, 1.5);
}

void flow_paragraph(struct flow *f, enum page_font font, const char *text, const char *field)
{
    put_lines(f, &(struct page_style){.font = font, .size_pt = TEXT_PT}, text, field);
    flow_gap(f, 1.5);
}

/* One pass over the paper. */
static struct result pass(struct arena *a, const struct flow_setup *setup, int page_count,
                          struct flow *out)
{
    double width_mm = setup->across ? A4_LONG_MM : A4_SHORT_MM;
    double height_mm = setup->across ? A4_SHORT_MM : A4_LONG_MM;
    *out = (struct flow){
        .arena = a,
        .setup = setup,
        .lang = words_language(setup->lang),
        .page = 1,
        .page_count = page_count,
        .left_mm = EDGE_MM,
        .width_mm = width_mm - 2 * EDGE_MM,
        .top_mm = EDGE_MM,
        .bottom_mm = height_mm - FOOT_MM,
        .y_mm = EDGE_MM,
    };
    TRY(page_open(&(struct page_setup){.width_mm = width_mm,
                                       .height_mm = height_mm,
                                       .title = setup->title,
                                       .created_ms = setup->created_ms},
                  &out->doc));
    running_head(out);
    return RESULT_OK;
}

struct result flow_pdf(struct arena *a, const struct flow_setup *setup,
                       void (*body)(struct flow *f, const void *subject), const void *subject,
                       const uint8_t **out, size_t *out_len)
{
    struct flow f;
    TRY(pass(a, setup, 0, &f));
    body(&f, subject);
    int page_count = f.page;
    page_drop(f.doc);
    TRY(pass(a, setup, page_count, &f));
    body(&f, subject);
    struct result r = page_close(f.doc, a, out, out_len);
    CHECK(f.page == page_count);
    return r;
}

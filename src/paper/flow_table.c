#include <math.h>
#include <string.h>

#include "base/check.h"
#include "paper/flow_page.h"

#define CELL_PT 8.5
#define PAD_X_MM 1.2
#define PAD_Y_MM 0.8
#define LINE_MM 0.15
#define LINE_GREY 0.55

/* The row being drawn: its cells as laid out, and the line of each that comes next. */
struct row {
    struct page_block *cell[FLOW_COLUMNS_MAX];
    int next[FLOW_COLUMNS_MAX];
};

static double column_width_mm(const struct flow *f, const struct flow_table *t, size_t column)
{
    double sum = 0;
    for (size_t i = 0; i < t->column_count; i++) {
        sum += t->columns[i].share;
    }
    return f->width_mm * t->columns[column].share / sum;
}

static enum page_font bold_of(enum page_font font)
{
    return font == PAGE_MONO || font == PAGE_MONO_BOLD ? PAGE_MONO_BOLD : PAGE_SANS_BOLD;
}

static struct row row_new(struct flow *f, const struct flow_table *t, const char *const *texts,
                          bool bold)
{
    struct row row = {0};
    for (size_t i = 0; i < t->column_count; i++) {
        const struct flow_column *column = &t->columns[i];
        struct page_style style = {.font = bold ? bold_of(column->font) : column->font,
                                   .size_pt = CELL_PT,
                                   .align = column->align};
        const char *text = texts[i] == NULL ? "" : texts[i];
        row.cell[i] =
            page_block_new(f->doc, &style, column_width_mm(f, t, i) - 2 * PAD_X_MM, text, t->field);
    }
    return row;
}

static void row_free(struct row *row, const struct flow_table *t)
{
    for (size_t i = 0; i < t->column_count; i++) {
        page_block_free(row->cell[i]);
    }
}

/* How many of the lines left of a cell fit into room_mm. */
static int lines_fitting(const struct page_block *cell, int next, double room_mm)
{
    int left = page_block_lines(cell) - next;
    int count = 0;
    while (count < left && page_block_height_mm(cell, next, count + 1) <= room_mm) {
        count++;
    }
    return count;
}

static double height_left_mm(const struct row *row, const struct flow_table *t)
{
    double height_mm = 0;
    for (size_t i = 0; i < t->column_count; i++) {
        int count = page_block_lines(row->cell[i]) - row->next[i];
        height_mm = fmax(height_mm, page_block_height_mm(row->cell[i], row->next[i], count));
    }
    return height_mm;
}

static void draw_lines(struct flow *f, const struct flow_table *t, double height_mm)
{
    page_rectangle(f->doc, f->left_mm, f->y_mm + height_mm - LINE_MM, f->width_mm, LINE_MM,
                   LINE_GREY);
    if (t->row_min_mm <= 0) {
        return;
    }
    double x_mm = f->left_mm;
    for (size_t i = 0; i <= t->column_count; i++) {
        page_rectangle(f->doc, fmin(x_mm, f->left_mm + f->width_mm - LINE_MM), f->y_mm, LINE_MM,
                       height_mm, LINE_GREY);
        x_mm += i < t->column_count ? column_width_mm(f, t, i) : 0;
    }
}

/* Draws what fits of the row below the pen; true when nothing of it is left. */
static bool row_draw(struct flow *f, const struct flow_table *t, struct row *row, bool head)
{
    double room_mm = f->bottom_mm - f->y_mm - 2 * PAD_Y_MM;
    int take[FLOW_COLUMNS_MAX];
    double height_mm = 0;
    bool done = true;
    for (size_t i = 0; i < t->column_count; i++) {
        take[i] = lines_fitting(row->cell[i], row->next[i], room_mm);
        height_mm = fmax(height_mm, page_block_height_mm(row->cell[i], row->next[i], take[i]));
        done = done && row->next[i] + take[i] == page_block_lines(row->cell[i]);
    }
    double lines_mm = height_mm;
    height_mm = fmax(height_mm + 2 * PAD_Y_MM, head ? 0 : fmin(t->row_min_mm, room_mm));
    if (head) {
        page_rectangle(f->doc, f->left_mm, f->y_mm, f->width_mm, height_mm, 0.9);
    }
    double x_mm = f->left_mm;
    for (size_t i = 0; i < t->column_count; i++) {
        page_block_draw(f->doc, row->cell[i], x_mm + PAD_X_MM, f->y_mm + (height_mm - lines_mm) / 2,
                        row->next[i], take[i]);
        row->next[i] += take[i];
        x_mm += column_width_mm(f, t, i);
    }
    if (t->lines) {
        draw_lines(f, t, height_mm);
    }
    f->y_mm += height_mm;
    return done;
}

static void head_draw(struct flow *f, const struct flow_table *t)
{
    if (!t->head) {
        return;
    }
    const char *titles[FLOW_COLUMNS_MAX];
    for (size_t i = 0; i < t->column_count; i++) {
        titles[i] = t->columns[i].title;
    }
    struct row row = row_new(f, t, titles, true);
    CHECK(row_draw(f, t, &row, true));
    row_free(&row, t);
}

static void table_break(struct flow *f, const struct flow_table *t)
{
    flow_break(f);
    head_draw(f, t);
}

void flow_table(struct flow *f, const struct flow_table *t)
{
    CHECK(t->column_count >= 1 && t->column_count <= FLOW_COLUMNS_MAX);
    flow_need(f, 20 + t->row_min_mm);
    head_draw(f, t);
    for (size_t i = 0; i < t->row_count; i++) {
        bool bold = t->bold != NULL && t->bold[i];
        struct row row = row_new(f, t, t->cells + i * t->column_count, bold);
        double height_mm = fmax(height_left_mm(&row, t) + 2 * PAD_Y_MM, t->row_min_mm);
        bool fits_a_page = height_mm <= f->bottom_mm - f->top_mm - 20;
        double wanted_mm = fits_a_page ? height_mm : 20;
        if (f->y_mm + wanted_mm > f->bottom_mm) {
            table_break(f, t);
        }
        while (!row_draw(f, t, &row, false)) {
            table_break(f, t);
        }
        row_free(&row, t);
    }
    flow_gap(f, 2);
}

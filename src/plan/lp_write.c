#include "plan/lp_write.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"

/* Long lines are legal but hard on other readers of LP text. */
enum { TERMS_A_LINE = 8 };

static void *grown(struct arena *a, void *old, int *room, int used, size_t size)
{
    if (used < *room) return old;
    int more = *room ? *room * 2 : 1024;
    void *fresh = arena_array(a, (size_t)more, size);
    if (used > 0) memcpy(fresh, old, (size_t)used * size);
    *room = more;
    return fresh;
}

struct lp *lp_new(struct arena *a)
{
    struct lp *lp = ARENA_NEW(a, struct lp);
    lp->arena = a;
    return lp;
}

int lp_column(struct lp *lp, char letter, double objective, double lower, double upper,
              bool is_integer)
{
    CHECK(lower <= upper);
    lp->columns =
        grown(lp->arena, lp->columns, &lp->column_room, lp->column_count, sizeof *lp->columns);
    lp->columns[lp->column_count] = (struct lp_column){objective, lower, upper, letter, is_integer};
    return lp->column_count++;
}

void lp_row_begin(struct lp *lp)
{
    lp->rows = grown(lp->arena, lp->rows, &lp->row_room, lp->row_count, sizeof *lp->rows);
    lp->rows[lp->row_count] = (struct lp_row){.first_term = lp->term_count};
}

void lp_term(struct lp *lp, int column, double value)
{
    CHECK(isfinite(value) && column >= 0 && column < lp->column_count);
    lp->terms = grown(lp->arena, lp->terms, &lp->term_room, lp->term_count, sizeof *lp->terms);
    lp->terms[lp->term_count++] = (struct lp_term){column, value};
}

void lp_row_end(struct lp *lp, char sense, double right)
{
    CHECK(isfinite(right));
    struct lp_row *row = &lp->rows[lp->row_count];
    row->term_count = lp->term_count - row->first_term;
    row->sense = sense;
    row->right = right;
    if (row->term_count > 0)
        lp->row_count++;
    else
        CHECK(sense == '<' ? right >= 0 : sense == '>' ? right <= 0 : right == 0);
}

static void write_name(FILE *out, const struct lp *lp, int column)
{
    fprintf(out, "%c%d", lp->columns[column].letter, column);
}

static void write_term(FILE *out, const struct lp *lp, int column, double value, int nth)
{
    if (nth > 0 && nth % TERMS_A_LINE == 0) fprintf(out, "\n  ");
    fprintf(out, " %c %.12g ", signbit(value) ? '-' : '+', fabs(value));
    write_name(out, lp, column);
}

static void write_columns(FILE *out, const struct lp *lp)
{
    fprintf(out, "Bounds\n");
    for (int c = 0; c < lp->column_count; c++) {
        const struct lp_column *x = &lp->columns[c];
        if (x->lower == 0 && isinf(x->upper)) continue;
        fprintf(out, " %.12g <= ", x->lower);
        write_name(out, lp, c);
        if (isfinite(x->upper)) fprintf(out, " <= %.12g", x->upper);
        fprintf(out, "\n");
    }
    bool any = false;
    for (int c = 0; c < lp->column_count; c++) {
        if (!lp->columns[c].is_integer) continue;
        if (!any) fprintf(out, "Generals\n");
        any = true;
        fprintf(out, " ");
        write_name(out, lp, c);
        fprintf(out, "\n");
    }
    fprintf(out, "End\n");
}

const char *lp_text(struct arena *a, const struct lp *lp)
{
    char *text = NULL;
    size_t len = 0;
    FILE *out = open_memstream(&text, &len);
    CHECK(out != NULL);
    fprintf(out, "Minimize\n cost:");
    for (int c = 0, n = 0; c < lp->column_count; c++)
        if (lp->columns[c].objective != 0) write_term(out, lp, c, lp->columns[c].objective, n++);
    fprintf(out, "\nSubject To\n");
    for (int r = 0; r < lp->row_count; r++) {
        const struct lp_row *row = &lp->rows[r];
        fprintf(out, " r%d:", r);
        for (int t = 0; t < row->term_count; t++)
            write_term(out, lp, lp->terms[row->first_term + t].column,
                       lp->terms[row->first_term + t].value, t);
        fprintf(out, " %s %.12g\n",
                row->sense == '<'   ? "<="
                : row->sense == '>' ? ">="
                                    : "=",
                row->right);
    }
    write_columns(out, lp);
    CHECK(fclose(out) == 0);
    const char *copy = arena_copy_n(a, text, len);
    free(text);
    return copy;
}

double lp_objective(const struct lp *lp, const double *values)
{
    double sum = 0;
    for (int c = 0; c < lp->column_count; c++)
        sum += lp->columns[c].objective * values[c];
    return sum;
}

static double row_breach(const struct lp *lp, const struct lp_row *row, const double *values)
{
    double sum = 0, scale = fmax(1, fabs(row->right));
    for (int t = 0; t < row->term_count; t++) {
        const struct lp_term *term = &lp->terms[row->first_term + t];
        double part = term->value * values[term->column];
        sum += part;
        scale = fmax(scale, fabs(part));
    }
    double over = sum - row->right;
    if (row->sense == '<') over = fmax(0, over);
    if (row->sense == '>') over = fmax(0, -over);
    return fabs(over) / scale;
}

double lp_breach(const struct lp *lp, const double *values)
{
    double worst = 0;
    for (int c = 0; c < lp->column_count; c++) {
        const struct lp_column *x = &lp->columns[c];
        double scale = fmax(1, fabs(values[c]));
        worst = fmax(worst, (x->lower - values[c]) / scale);
        if (isfinite(x->upper)) worst = fmax(worst, (values[c] - x->upper) / scale);
        if (x->is_integer) worst = fmax(worst, fabs(values[c] - round(values[c])));
    }
    for (int r = 0; r < lp->row_count; r++)
        worst = fmax(worst, row_breach(lp, &lp->rows[r], values));
    return worst;
}

/* What the rows' run functions use: fields of a checked input, and results into an answer. */
#ifndef CALC_ANSWER_H
#define CALC_ANSWER_H

#include "calc/registry.h"

bool calc_has(const json_t *in, const char *name);
/* The field must be there and of its type (CHECK): calc_input_check has seen to it. */
double calc_number(const json_t *in, const char *name);
int64_t calc_integer(const json_t *in, const char *name);
const char *calc_text(const json_t *in, const char *name);
/* A field with the choices yes|no. */
bool calc_yes(const json_t *in, const char *name);
/* The numbers of a list; of a table, row after row. */
double *calc_numbers(const json_t *in, const char *name, struct arena *a, size_t *out_count);
/* Numbers in each row of a table, 0 in an empty one. */
size_t calc_row_length(const json_t *in, const char *name);

/* Which of words the text of a field with choices is (CHECK that it is one of them). */
size_t calc_choice(const json_t *in, const char *name, const char *const *words, size_t count);
/* A table of so many columns, row after row; one without rows has none. FIELD_RANGE on name
 * where it has others; of_what says what they are. */
MUST_USE struct result calc_table(const json_t *in, const char *name, struct arena *a,
                                  size_t columns, const char *of_what, const double **out,
                                  size_t *out_rows);
/* A number of a list or table that must be whole and within 1e9 of 0: FIELD_TYPE on
 * name[row][column], of a list (column SIZE_MAX) on name[row]. */
MUST_USE struct result calc_whole(struct arena *a, const char *name, size_t row, size_t column,
                                  double value, int64_t *out);
/* The two columns of a table. FIELD_RANGE on name where it has other than two. */
MUST_USE struct result calc_pairs(const json_t *in, const char *name, struct arena *a,
                                  double **out_x, double **out_y, size_t *out_n);

/* The value must be finite (CHECK): a calculation refuses what it cannot work out. */
void calc_put_number(struct calc_answer *out, const char *name, double value);
/* A number, or "not determined" where it has no end. */
void calc_put_end(struct calc_answer *out, const char *name, double value);
void calc_put_integer(struct calc_answer *out, const char *name, int64_t value);
void calc_put_text(struct calc_answer *out, const char *name, const char *text);
void calc_put_numbers(struct calc_answer *out, const char *name, const double *values,
                      size_t count);
void calc_caution(struct calc_answer *out, const char *text);
/* Also used: a constant by its name in calc/constants.h (CHECK that there is one). */
void calc_used(struct calc_answer *out, const char *constant_name);

/* value * scale as a whole number, to the side named. What a decimal loses in binary is put right
 * first, so that 85.2 C is 85200 either way. |value * scale| < 9e15 (CHECK). */
int64_t calc_scaled_down(double value, double scale);
int64_t calc_scaled_up(double value, double scale);
int64_t calc_scaled_near(double value, double scale);

#endif

#include "lp_read.h"
#include "plan/lp_write.h"
#include "support.h"

static struct lp *small(struct arena *a)
{
    struct lp *lp = lp_new(a);
    int n = lp_column(lp, 'n', 2.5, 0, 3, true);
    int x = lp_column(lp, 'x', -1e-7, 0, INFINITY, false);
    int y = lp_column(lp, 'y', 0, 1.5, 1.5, false);
    lp_row_begin(lp);
    lp_term(lp, n, 1);
    lp_term(lp, x, -0.1);
    lp_row_end(lp, '<', 4);
    lp_row_begin(lp);
    lp_term(lp, x, 12345.678901234);
    lp_term(lp, y, 1);
    lp_row_end(lp, '=', 7.25);
    return lp;
}

static void the_text_is_the_program(void **state)
{
    assert_string_equal(lp_text(*state, small(*state)),
                        "Minimize\n cost: + 2.5 n0 - 1e-07 x1\nSubject To\n"
                        " r0: + 1 n0 - 0.1 x1 <= 4\n"
                        " r1: + 12345.6789012 x1 + 1 y2 = 7.25\n"
                        "Bounds\n 0 <= n0 <= 3\n 1.5 <= y2 <= 1.5\nGenerals\n n0\nEnd\n");
}

/* Written, then read by the program that solves it: each number is back to twelve digits. */
static void the_solvers_reader_takes_it_back(void **state)
{
    const struct lp *lp = small(*state);
    struct lp_problem p;
    struct lp_fault fault;
    assert_true(lp_read(lp_text(*state, lp), &p, &fault));
    assert_int_equal(p.column_count, 3);
    assert_int_equal(p.row_count, 2);
    assert_int_equal(p.entry_count, 4);
    for (int c = 0; c < 3; c++) {
        assert_close(p.objective[c], lp->columns[c].objective, 1e-11);
        assert_close(p.lower[c], lp->columns[c].lower, 1e-11);
        assert_int_equal(isinf(p.upper[c]), isinf(lp->columns[c].upper));
        assert_int_equal(p.is_integer[c], lp->columns[c].is_integer);
    }
    assert_close(p.values[p.starts[1] + 1], 12345.678901234, 1e-11);
    assert_close(p.row_upper[0], 4, 0);
    assert_true(isinf(p.row_lower[0]));
    assert_close(p.row_lower[1], 7.25, 0);
    lp_release(&p);
}

static void lines_stay_short(void **state)
{
    struct lp *lp = lp_new(*state);
    lp_row_begin(lp);
    for (int c = 0; c < 500; c++)
        lp_term(lp, lp_column(lp, 'x', 1.0 / 3, 0, INFINITY, false), 1.0 / 7);
    lp_row_end(lp, '>', 1);
    size_t longest = 0;
    for (const char *line = lp_text(*state, lp); *line; line += strcspn(line, "\n") + 1)
        if (strcspn(line, "\n") > longest) longest = strcspn(line, "\n");
    assert_true(longest < 250);
}

static void empty_rows_are_dropped(void **state)
{
    struct lp *lp = lp_new(*state);
    lp_row_begin(lp);
    lp_row_end(lp, '<', 0);
    assert_int_equal(lp->row_count, 0);
}

static void breaches_are_measured(void **state)
{
    const struct lp *lp = small(*state);
    double good[3] = {1, (7.25 - 1.5) / 12345.678901234, 1.5};
    assert_close(lp_breach(lp, good), 0, 1e-12);
    double over[3] = {4, good[1], 1.5};
    assert_close(lp_breach(lp, over), 0.25, 1e-3);
    double half[3] = {0.5, good[1], 1.5};
    assert_close(lp_breach(lp, half), 0.5, 1e-12);
    double off[3] = {1, good[1] * 1.01, 1.5};
    assert_close(lp_breach(lp, off), 0.0575 / 7.25, 1e-6);
    double low[3] = {1, good[1], 1.4};
    assert_true(lp_breach(lp, low) > 0.06);
    assert_close(lp_objective(lp, good), 2.5, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(the_text_is_the_program), EACH(the_solvers_reader_takes_it_back),
        EACH(lines_stay_short),        EACH(empty_rows_are_dropped),
        EACH(breaches_are_measured),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_lp_write", tests, NULL, NULL);
}

#include "../../support.h"

#include "../near.h"
#include "calc/microbe/mpn_table.h"

static const struct mpn_table_row *find(int64_t tubes, const int64_t positive[3], double first,
                                        double *scale)
{
    struct mpn_level levels[3];
    for (size_t i = 0; i < 3; i++) {
        levels[i] = (struct mpn_level){first / pow(10, (double)i), tubes, positive[i]};
    }
    return mpn_table_find(levels, 3, scale);
}

/* The numbers of the tables are the ones that the score gives, within what printing them in two
 * figures takes away. */
static void every_number_is_the_computed_one(void **state)
{
    (void)state;
    const struct mpn_settings set = {2, 0.05};
    size_t rows = 0;
    for (int64_t tubes = 3; tubes <= 5; tubes += 2) {
        int64_t side = tubes + 1;
        for (int64_t i = 0; i < side * side * side; i++) {
            double scale;
            int64_t positive[3] = {i / side / side, i / side % side, i % side};
            const struct mpn_table_row *row = find(tubes, positive, 0.1, &scale);
            if (row == NULL) {
                continue;
            }
            struct mpn_report r;
            struct mpn_level levels[3] = {
                {0.1, tubes, positive[0]}, {0.01, tubes, positive[1]}, {0.001, tubes, positive[2]}};
            assert_ok(mpn(levels, 3, &set, &r));
            assert_near(scale, 1, 1e-12);
            assert_int_equal(row->sign == MPN_TABLE_BELOW, r.state == MPN_NONE_POSITIVE);
            assert_int_equal(row->sign == MPN_TABLE_ABOVE, r.state == MPN_ALL_POSITIVE);
            assert_near(row->mpn, r.state == MPN_MEASURED ? r.mpn : r.bound, 0.05);
            assert_true(row->low < row->mpn && (row->high <= 0 || row->high > row->mpn));
            rows++;
        }
    }
    assert_int_equal(rows, 40 + 52);
}

static void other_series_have_no_table(void **state)
{
    (void)state;
    double scale;
    assert_non_null(find(3, (int64_t[]){2, 2, 0}, 10, &scale));
    assert_near(scale, 0.01, 1e-12);
    assert_null(find(4, (int64_t[]){2, 2, 0}, 0.1, &scale));
    assert_null(find(3, (int64_t[]){0, 0, 3}, 0.1, &scale));
    struct mpn_level levels[] = {{0.1, 3, 2}, {0.02, 3, 2}, {0.001, 3, 0}};
    assert_null(mpn_table_find(levels, 3, &scale));
    levels[1] = (struct mpn_level){0.01, 5, 2};
    assert_null(mpn_table_find(levels, 3, &scale));
    assert_null(mpn_table_find(levels, 2, &scale));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_number_is_the_computed_one),
        cmocka_unit_test(other_series_have_no_table),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

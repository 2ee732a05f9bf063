/* A curve says at each point what the calculation itself says there. */
#include "../support.h"

#include "calc/registry.h"
#include "calc/sweep.h"

static struct arena arena;

static const json_t *curve(const json_t *sweep, const char *name)
{
    size_t i;
    json_t *one;
    json_array_foreach(json_object_get(sweep, "curves"), i, one)
    {
        if (strcmp(json_string_value(json_object_get(one, "name")), name) == 0) {
            return json_object_get(one, "y");
        }
    }
    return NULL;
}

/* The first number or integer field that the example gives; NULL: it has none. */
static const struct calc_field *number_of(const struct calc_row *row, const json_t *example)
{
    for (size_t i = 0; i < row->in_count; i++) {
        bool number = row->in[i].type == CALC_NUMBER || row->in[i].type == CALC_INTEGER;
        if (number && json_is_number(json_object_get(example, row->in[i].name))) {
            return &row->in[i];
        }
    }
    return NULL;
}

static void points_are_those_of_row(const struct calc_row *row)
{
    json_t *example = json_loads(row->example, 0, NULL), *out;
    const struct calc_field *f = number_of(row, example);
    if (f != NULL) {
        assert_ok(calc_sweep(row->name, example, f->name, 0, 0, &arena, &out));
        const json_t *x = json_object_get(out, "x");
        size_t n = json_array_size(x), seen = 0;
        assert_true(n > 1 && n <= SWEEP_POINTS);
        for (size_t i = 0; i < n; i += 10) {
            json_t *answer;
            const char *name;
            json_t *value;
            json_object_set(example, f->name, json_array_get(x, i));
            if (registry_call(row->name, example, &arena, &answer).code != CODE_OK) {
                continue;
            }
            json_object_foreach(json_object_get(answer, "results"), name, value)
            {
                const json_t *y = curve(out, name);
                const json_t *rough = json_object_get(json_object_get(answer, "unrounded"), name);
                if (json_is_number(value) && y != NULL) {
                    double want = json_number_value(json_is_number(rough) ? rough : value);
                    assert_true(json_number_value(json_array_get(y, i)) == want);
                    seen++;
                }
            }
            json_decref(answer);
        }
        assert_true(seen > 0);
        json_decref(out);
    }
    json_decref(example);
}

static void every_row_with_a_number_has_its_curve(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    for (size_t i = 0; i < registry_count(); i++) {
        points_are_those_of_row(registry_at(i));
    }
    arena_release(&arena);
}

static void a_range_is_kept_within_what_the_field_may_be(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    const struct calc_row *row = registry_find("mass-chain");
    json_t *in = json_loads(row->example, 0, NULL), *out;
    const struct calc_field *f = number_of(row, in);
    assert_non_null(f);
    assert_ok(calc_sweep("mass-chain", in, f->name, f->low - 5, f->high + 5, &arena, &out));
    const json_t *x = json_object_get(out, "x");
    assert_true(json_number_value(json_array_get(x, 0)) == f->low);
    assert_true(json_number_value(json_array_get(x, json_array_size(x) - 1)) == f->high);
    assert_string_equal(json_string_value(json_object_get(out, "over")), f->name);
    json_decref(out);
    assert_code(calc_sweep("mass-chain", in, f->name, 3, 2, &arena, &out), FIELD_RANGE);
    assert_code(calc_sweep("mass-chain", in, "colour", 0, 0, &arena, &out), FIELD_UNKNOWN);
    assert_code(calc_sweep("mood", in, f->name, 0, 0, &arena, &out), CALC_UNKNOWN);
    json_decref(in);
    arena_release(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_with_a_number_has_its_curve),
        cmocka_unit_test(a_range_is_kept_within_what_the_field_may_be),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

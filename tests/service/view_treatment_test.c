/* The curve of a load, what it is worth, and what decided. */
#include "view_support.h"

#include "service/view_lots.h"
#include "service/view_treatment.h"

static json_t *treatment(struct house *h, const char *lot)
{
    struct view v = view_as(h, 2, "quality");
    json_t *out;
    assert_ok(view_treatment(&v, lot, &out));
    return out;
}

/* The one load of the house. */
static const char *load_of(struct house *h)
{
    struct view v = view_as(h, 2, "quality");
    struct view_lots_asked asked = {.kind = "load", .state = "all", .limit = 10};
    json_t *out;
    assert_ok(view_lots(&v, &asked, &out));
    assert_int_equal(json_array_size(at_key(out, "lots")), 1);
    const json_t *one = json_array_get(at_key(out, "lots"), 0);
    const char *code = arena_copy(&h->arena, text_at(one, "lot"));
    json_decref(out);
    return code;
}

static void a_curve_is_summed_up_as_it_went(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_grow(&h, "C1", "100 kg");
    json_t *o = treatment(&h, load_of(&h));
    assert_string_equal(text_at(o, "way"), "recipe");
    assert_true(json_is_true(at_key(o, "met")));
    assert_string_equal(text_at(o, "reason"), "met");
    assert_true(strlen(text_at(o, "recipe_source")) > 0);
    assert_true(strlen(text_at(o, "stand_in")) > 0); /* so it decides nothing */
    const json_t *curve = at_key(o, "curve"), *points = at_key(curve, "points");
    size_t count = json_array_size(points), probes = json_array_size(at_key(curve, "probes"));
    assert_true(count >= 2 && count <= 121);
    int64_t last_best = 0, last_safe = 0;
    for (size_t i = 0; i < count; i++) {
        const json_t *p = json_array_get(points, i);
        int64_t best = number_at(p, "f_best_ms"), safe = number_at(p, "f_conservative_ms");
        assert_int_equal(json_array_size(at_key(p, "temps_mc")), probes);
        assert_true(safe <= best);
        assert_true(best >= last_best && safe >= last_safe);
        last_best = best;
        last_safe = safe;
    }
    assert_int_equal(last_best, number_at(curve, "f_best_ms"));
    assert_int_equal(last_safe, number_at(curve, "f_conservative_ms"));
    assert_true(last_best > 0);
    int64_t shares = number_at(curve, "share_come_up_ppm") + number_at(curve, "share_hold_ppm") +
                     number_at(curve, "share_cooling_ppm");
    assert_in_range(shares, 999997, 1000000); /* each rounded down */
    assert_true(json_array_size(at_key(o, "cautions")) >= 3);
    const json_t *constant = json_array_get(at_key(o, "constants"), 0);
    assert_true(strlen(text_at(constant, "source")) > 0);
    assert_true(strlen(text_at(constant, "word")) > 0);
    assert_int_equal(json_array_size(at_key(o, "papers")), 1);
    assert_string_equal(text_at(json_array_get(at_key(o, "papers"), 0), "kind"), "validation");
    json_decref(o);
    house_close(&h);
}

static void what_was_not_treated_has_no_curve(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *growing = house_grow(&h, "C1", "100 kg");
    struct view v = view_as(&h, 2, "quality");
    json_t *out;
    assert_code(view_treatment(&v, growing, &out), LOT_UNKNOWN);
    assert_code(view_treatment(&v, "NOWHERE", &out), LOT_UNKNOWN);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_curve_is_summed_up_as_it_went),
        cmocka_unit_test(what_was_not_treated_has_no_curve),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* How strong a lot of a chemical is: by its certificate, or by the newest titration. */
#include "head.h"

#include "ledger/chemical.h"

#define CHEMICAL \
    "{'kind':'chemical','code':'CH-1','agent':'chlorine','best_before':'%s',%s'person':7}"

static struct chemical_strength strength(void)
{
    struct listed l;
    struct chemical_strength s;
    bool found;
    assert_ok(listed_one(h.store, &h.arena, "chemical", "CH-1", &l, &found));
    assert_true(found);
    assert_ok(chemical_strength(h.store, &l, &s));
    listed_free(&l, 1);
    return s;
}

static void titrate(const char *found)
{
    house_take(&h,
               "{'kind':'titration','chemical':'CH-1','strength':'%s','low':'1 %%','high':"
               "'90 %%','person':7}",
               found);
}

static void the_certificate_says_it_until_a_titration_does(void **state)
{
    house_take(&h, CHEMICAL, house_time(&h, 90000),
               "'form':'mass-percent','substance':'sodium-hypochlorite','strength':'12 %',"
               "'strength_of':'available-chlorine','density':'1.17 kg/L',");
    struct chemical_strength s = strength();
    assert_true(s.known && !s.titrated && s.product.of_chlorine);
    assert_int_equal(s.product.form, DOSE_LIQUID_PCT_MASS);
    assert_int_equal(s.product.substance, DOSE_SODIUM_HYPOCHLORITE);
    assert_int_equal(s.product.strength_milli, 12000);
    assert_int_equal(s.product.density_milli, 1170);
    assert_string_equal(chemical_strength_text(&h.arena, &s.product), "12 %");
    house_wait(&h, "1 d");
    titrate("11.3 %");
    s = strength();
    assert_true(s.titrated);
    assert_int_equal(s.product.strength_milli, 11300);
}

static void a_titration_of_grams_in_a_litre(void **state)
{
    house_take(&h, CHEMICAL, house_time(&h, 90000),
               "'form':'grams-litre','substance':'other','strength':'150 g/L','strength_of':"
               "'substance',");
    struct chemical_strength s = strength();
    assert_string_equal(chemical_strength_text(&h.arena, &s.product), "150 g/L");
    titrate("14.5 %"); /* of volume: 145 g/L */
    assert_int_equal(strength().product.strength_milli, 145000);
}

static void without_a_certificate_it_is_not_known(void **state)
{
    house_take(&h, CHEMICAL, house_time(&h, 90000), "");
    titrate("12 %"); /* of what, nothing says */
    assert_false(strength().known);
}

static void what_its_form_takes(void **state)
{
    const char *at = house_time(&h, 90000);
    house_refused(&h, FIELD_MISSING, house_text(&h, CHEMICAL, at, "'strength':'12 %',"));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, CHEMICAL, at,
                             "'form':'mass-percent','substance':'other','strength':'12 %',"
                             "'strength_of':'substance',"));
    house_refused(&h, UNIT_BAD,
                  house_text(&h, CHEMICAL, at,
                             "'form':'solid','substance':'other','strength':'12 g/L',"
                             "'strength_of':'substance',"));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, CHEMICAL, at,
                             "'form':'solid','substance':'other','strength':'101 %',"
                             "'strength_of':'substance',"));
    house_refused(&h, FIELD_CHOICE, house_text(&h, CHEMICAL, at, "'form':'tablet',"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(the_certificate_says_it_until_a_titration_does),
        T(a_titration_of_grams_in_a_litre),
        T(without_a_certificate_it_is_not_known),
        T(what_its_form_takes),
    };
    RUN(tests);
}

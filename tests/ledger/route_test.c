/* The whole way from the sacks to a customer in one piece: where every kilogram is, wet and dry, is
 * known to the milligram at each step. */
#include "evidence.h"
#include "stock.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

enum { KG = 1000000 };

static int64_t at_account(const char *name)
{
    return house_account(&h, name, "mg");
}

/* The 100 kg of seed of house_batch become 800 kg of sprouts: 713.5 kg of water taken up, 13.5 kg
 * breathed out (the profile's mass-chain). Of these 750 kg are washed and 50 kg are hulls; of 203
 * kg sorted 200.8 kg are good and 2 kg culls, 0.2 kg nobody can explain; all of the good is packed
 * as 800 pieces of 251 g. */
static void every_kilogram_is_somewhere(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    assert_int_equal(at_account("supplier"), -100 * KG);
    assert_int_equal(at_account("air"), 13500000);
    assert_int_equal(at_account("water"), -713500000);
    assert_int_equal(at_account("unexplained"), 200000);
    assert_int_equal(at_account("waste"), 0);
    assert_int_equal(house_balance(&h, b.seed, UNIT_MG), 0);
    assert_int_equal(house_balance(&h, b.growing, UNIT_MG), 0);
    assert_int_equal(house_balance(&h, b.packed, UNIT_MG), 200800000);
    assert_true(house_closed(&h, b.seed) && house_closed(&h, b.growing));
    house_sums(&h);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    house_take(&h, "{'kind':'move','lot':'%s','place':'COLD'}", b.packed);
    house_take(&h, "{'kind':'ship','customer':'COTYLEDON','units':['%s-0001..%s-0019']}", b.packed,
               b.packed);
    house_take(&h, "{'kind':'destroy','lot':'%s','to':'compost','reason':'fell'}", b.packed);
    assert_int_equal(at_account("customer"), 190760000);
    assert_int_equal(at_account("compost"), 10040000);
    assert_int_equal(house_balance(&h, b.packed, UNIT_MG), 0);
    assert_int_equal(house_balance(&h, b.packed, UNIT_PIECES), 0);
    assert_true(house_closed(&h, b.packed));
    assert_int_equal(house_account(&h, "made", "pc"), -800);
    assert_int_equal(house_account(&h, "customer", "pc"), 760);
    assert_int_equal(house_account(&h, "compost", "pc"), 40);
    house_sums(&h);
}

/* Dry matter: 90 kg in the seed, 13.5 kg breathed out; 76.5 kg are left, which at 90.4375 %
 * moisture is exactly 800 kg of sprouts (computed here: 76.5 / 800 = 9.5625 %). The rule only
 * speaks above what the seed held, 90 kg: 88.75 %. */
static void dry_matter_goes_down_and_never_up(void **state)
{
    static const struct {
        const char *moisture;
        size_t deviations;
    } rows[] = {{"90.4375 %", 0}, {"88.75 %", 0}, {"88.7499 %", 1}};
    for (size_t i = 0; i < 3; i++) {
        const char *chamber = house_text(&h, "C%zu", i + 1);
        const char *growing = house_grow(&h, chamber, "100 kg");
        house_take(&h,
                   "{'kind':'harvest','lot':'%s','mass':'800 kg','place':'WASH','moisture':'%s'}",
                   growing, rows[i].moisture);
        assert_int_equal(house_deviations(&h), rows[i].deviations);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(every_kilogram_is_somewhere),
        T(dry_matter_goes_down_and_never_up),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

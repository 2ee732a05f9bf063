/* What a detection of Listeria asks for, by the zone of its site. */
#include "head.h"

static void site(const char *code, const char *place, int zone)
{
    house_take(&h,
               "{'kind':'site','code':'%s','place':'%s','zone':%d,'surface':'steel','person':7}",
               code, place, zone);
}

static int64_t swabbed(const char *place, const char *location, const char *organism,
                       const char *state)
{
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'sample','what':'swab','place':'%s','location':'%s','person':7}", place,
               location);
    house_result(&h, house_answer(&h, "sample"), organism, state);
    return house_number(&h, "entry");
}

static bool holds(void)
{
    return json_is_true(json_object_get(house_caused(&h, "environment"), "product_hold"));
}

static void the_zone_says_whether_product_is_held(void **state)
{
    site("Z1", "PACK", 1);
    site("Z2", "PACK", 2);
    site("Z3", "PACK", 3);
    swabbed("PACK", "Z1", "Listeria spp.", "confirmed-positive");
    assert_true(holds());
    swabbed("PACK", "Z2", "Listeria spp.", "confirmed-positive");
    assert_false(holds());
    swabbed("PACK", "Z2", "Listeria monocytogenes", "confirmed-positive");
    assert_true(holds());
    swabbed("PACK", "Z3", "Listeria spp.", "confirmed-positive");
    assert_false(holds());
    swabbed("PACK", "somewhere", "Listeria spp.", "confirmed-positive");
    assert_true(holds()); /* a surface of a pack line, for all that is known */
    swabbed("COLD", "somewhere", "Listeria spp.", "confirmed-positive");
    assert_false(holds());
}

static void a_repeat_in_zone_1_reaches_back_to_the_last_negative(void **state)
{
    site("Z1", "PACK", 1);
    swabbed("PACK", "Z1", "Listeria spp.", "negative");
    int64_t negative_ms = h.fixed.now_ms;
    swabbed("PACK", "Z1", "Listeria spp.", "confirmed-positive");
    int64_t first_ms = h.fixed.now_ms;
    int64_t entry = house_number(&h, "entry");
    assert_int_equal(house_in_entry(&h, entry + 1, "listeria-niche"), 0);
    assert_int_equal(
        house_in_entry(&h, entry + 1, house_text(&h, "\\\"from_ms\\\":%lld", (long long)first_ms)),
        1);
    house_wait(&h, "30 d");
    entry = swabbed("PACK", "Z1", "Listeria spp.", "confirmed-positive");
    assert_int_equal(house_in_entry(&h, entry + 1, "listeria-niche"), 1);
    assert_int_equal(house_in_entry(&h, entry + 1,
                                    house_text(&h, "\\\"from_ms\\\":%lld", (long long)negative_ms)),
                     1);
    house_wait(&h, "91 d");
    entry = swabbed("PACK", "Z1", "Listeria spp.", "confirmed-positive");
    assert_int_equal(house_in_entry(&h, entry + 1, "listeria-niche"), 0);
}

/* Three in a row at the site, and the last around it negative too. */
static void a_site_is_clear_with_all_around_it(void **state)
{
    site("Z1", "PACK", 1);
    site("Z2", "PACK", 2);
    swabbed("PACK", "Z1", "Listeria spp.", "confirmed-positive");
    int64_t id =
        json_integer_value(json_object_get(house_caused(&h, "environment"), "environment"));
    const char *close = house_text(
        &h, "{'kind':'environment','close':%lld,'person':7,'reason':'clean'}", (long long)id);
    swabbed("PACK", "Z2", "Listeria spp.", "presumptive");
    swabbed("PACK", "Z2", "Listeria spp.", "negative");
    swabbed("PACK", "Z2", "Listeria spp.", "negative");
    swabbed("PACK", "Z1", "Listeria spp.", "negative");
    swabbed("PACK", "Z1", "Listeria spp.", "negative");
    house_refused(&h, ENVIRONMENT_SWABS, close);
    swabbed("PACK", "Z2", "Listeria spp.", "pending");
    swabbed("PACK", "Z1", "Listeria spp.", "negative");
    house_refused(&h, ENVIRONMENT_SWABS, close); /* one around it stands open */
    swabbed("PACK", "Z2", "Listeria spp.", "negative");
    house_take(&h, "%s", close);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(the_zone_says_whether_product_is_held),
        T(a_repeat_in_zone_1_reaches_back_to_the_last_negative),
        T(a_site_is_clear_with_all_around_it),
    };
    RUN(tests);
}

/* What a profile says of a house that receives fruit, and what it may not say. */
#include "../support.h"

#include "base/file.h"
#include "ledger/profile.h"

struct hall_profile {
    struct arena arena;
    char *text;
    size_t len;
};

static int read_file(void **state)
{
    static struct hall_profile h;
    arena_init(&h.arena, 1 << 26);
    assert_ok(file_read(&h.arena, HALL_FILE, 1 << 22, &h.text, &h.len));
    *state = &h;
    return 0;
}

static int drop_file(void **state)
{
    struct hall_profile *h = *state;
    arena_release(&h->arena);
    return 0;
}

static void the_hall_receives(void **state)
{
    struct hall_profile *h = *state;
    struct profile *p;
    assert_ok(profile_propose(h->text, h->len, &p));
    const struct received *r = &p->planning.received;
    assert_true(r->given);
    assert_int_equal(p->planning.horizon_days, 14);
    assert_int_equal(p->crop_count, 0);
    assert_int_equal(r->store_count, 3);
    assert_true(r->stores[1].tanks && r->stores[1].in_litres && r->stores[1].cleaned_next_day);
    assert_string_equal(r->stores[0].place_kinds, "cold-room");
    assert_string_equal(r->goods[0].item, "LIME");
    assert_string_equal(r->goods[0].supplier, "HESPERIDIUM-1");
    assert_int_equal(r->goods[0].keep_days, 10);
    assert_null(r->goods[1].supplier);
    assert_int_equal(r->goods[5].store, -1);
    assert_int_equal(r->goods[5].out_per_kg, -20);
    assert_int_equal(r->goods[8].density_milli, 1200);
    assert_int_equal(r->goods[8].end_mg, 500000000);
    assert_int_equal(r->goods[10].room_milli, 1100);
    assert_int_equal(r->machines[0].day_ms, 14 * INT64_C(3600000));
    assert_int_equal(r->machines[0].weekdays, 63);
    const struct received_use *sort = &r->uses[0], *dry = &r->uses[10];
    assert_int_equal(sort->good, 0);
    assert_int_equal(sort->part_count, 4);
    assert_int_equal(sort->parts[0].good, 2);
    assert_int_equal(sort->parts[0].share_ppm, 440000);
    assert_true(sort->keeps_age);
    assert_int_equal(sort->machine, 0);
    assert_int_equal(sort->hour_mg, 1200000000);
    assert_int_equal(dry->added_ppm, 710000);
    assert_int_equal(dry->parts[0].share_ppm, 1172000);
    assert_int_equal(r->offers[0].lead_days, 2);
    assert_int_equal(r->offers[0].all_mg, INT64_C(15000000000));
    assert_int_equal(r->offers[1].all_mg, 0);
    assert_int_equal(r->deliveries[0].weekdays, 1 + 4 + 16);
    assert_true(r->deliveries[0].booked);
    assert_false(r->deliveries[1].booked);
    /* every constant has its source */
    for (size_t i = 0; i < r->good_count; i++) {
        assert_non_null(r->goods[i].source);
    }
    for (size_t i = 0; i < r->use_count; i++) {
        assert_non_null(r->uses[i].source);
    }
    profile_free(p);
}

/* The first occurrence of a text replaced. */
static void refused(struct hall_profile *h, const char *from, const char *to, const char *field)
{
    const char *at = strstr(h->text, from);
    struct profile *p = NULL;
    assert_non_null(at);
    const char *text =
        arena_printf(&h->arena, "%.*s%s%s", (int)(at - h->text), h->text, to, at + strlen(from));
    struct result r = profile_read(text, strlen(text), &p);
    assert_int_equal(r.code, CODE_PROFILE_BAD);
    assert_null(p);
    if (strstr(r.field, field) == NULL) {
        fail_msg("%s is no %s", r.field, field);
    }
}

/* "horizon_days" stands first in the hall's planning part. */
static void a_share_of_what_is_wanted_may_be_kept(void **state)
{
    struct hall_profile *h = *state;
    static const char plain[] = "\"horizon_days\": 14,";
    const char *at = strstr(h->text, plain);
    struct profile *p;
    assert_non_null(at);
    assert_ok(profile_read(h->text, h->len, &p));
    assert_int_equal(p->planning.service_ppm, 0); /* whatever costs least */
    profile_free(p);
    const char *text = arena_printf(&h->arena, "%.*s%s\"service\": \"98.5 %%\", %s",
                                    (int)(at - h->text), h->text, "", at);
    assert_ok(profile_read(text, strlen(text), &p));
    assert_int_equal(p->planning.service_ppm, 985000);
    profile_free(p);
    static const char *const bad[] = {"\"0 %\"", "\"-1 %\"", "\"100.1 %\""};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        refused(h, plain, arena_printf(&h->arena, "\"service\": %s, %s", bad[i], plain),
                "planning.service");
    }
}

static void what_cannot_be_is_refused(void **state)
{
    struct hall_profile *h = *state;
    refused(h, "\"good\": \"firsts\", \"item\"", "\"good\": \"limes\", \"item\"", "goods[2].good");
    refused(h, "\"item\": \"LIME-1\", \"store\": \"cold rooms\"",
            "\"item\": \"LIME-1\", \"store\": \"cellar\"", "goods[2].store");
    refused(h, "\"keep\": \"42 d\"", "\"keep\": \"42 h\"", "goods[2].keep");
    refused(h, ", \"density\": \"1.03\"", "", "goods[6].density");
    refused(h, "\"density\": \"1.2\"", "\"density\": \"12\"", "goods[8].density");
    refused(h, "\"room\": \"1.1\"", "\"room\": \"0\"", "goods[10].room");
    refused(h, "\"hold_per_kg_day\": \"0.002\"", "\"hold_per_kg_day\": \"-0.002\"",
            "goods[0].hold_per_kg_day");
    refused(h, "\"a_day\": \"14 h\"", "\"a_day\": \"300 h\"", "machines[0].a_day");
    /* shares of more than there is */
    refused(h, "\"share\": \"44 %\"", "\"share\": \"54 %\"", "uses[0].gives");
    refused(h, "\"share\": \"44 %\"", "\"share\": \"0 %\"", "gives[0].share");
    refused(h, "\"added\": \"71 %\"", "\"added\": \"7 %\"", "uses[10].gives");
    refused(h, "\"machine\": \"press\", \"an_hour\"", "\"machine\": \"mill\", \"an_hour\"",
            "uses[5].machine");
    refused(h, "\"an_hour\": \"700 kg\"", "\"an_hour\": \"0 kg\"", "uses[2].an_hour");
    refused(h, "\"lead\": \"2 d\"", "\"lead\": \"800 d\"", "offers[0].lead");
    refused(h, "\"value_per_kg\": \"2\",",
            "\"value_per_kg\": \"2\", \"late\": [{\"group\": \"x\", \"days\": 1, "
            "\"cost_per_kg_day\": \"1\"}],",
            "planning.late");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_hall_receives, read_file, drop_file),
        cmocka_unit_test_setup_teardown(a_share_of_what_is_wanted_may_be_kept, read_file,
                                        drop_file),
        cmocka_unit_test_setup_teardown(what_cannot_be_is_refused, read_file, drop_file),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

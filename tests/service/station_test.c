#include "fixture.h"

#include "service/station.h"

static void a_station_is_known_by_its_token_until_it_is_withdrawn(void **state)
{
    (void)state;
    struct site s;
    struct door *door;
    const char *code;
    bool known;
    site_open(&s);
    site_house(&s, NULL);
    assert_ok(door_open(PLANT, s.world, &door));
    struct store *store = door_plant(door)->store;
    struct hash hash = digest_sha256("token", 5);
    const char *hex = hex_text(&s.arena, hash.b, 32);
    static const char enrol[] = "{'do':'station-enrol','code':'%s','token_sha256':'%s','by':%d%s}";
    assert_code(post(door, json_of(&s, enrol, "HALL 1", hex, 1, "")), FIELD_RANGE);
    assert_code(post(door, json_of(&s, enrol, "HALL-1", "zz", 1, "")), FIELD_TYPE);
    assert_code(post(door, json_of(&s, enrol, "HALL-1", hex, 2, "")), ROLE_MISSING);
    assert_code(post(door, json_of(&s, enrol, "HALL-1", hex, 1, ",'place':'NOWHERE'")),
                PLACE_UNKNOWN);
    assert_ok(station_by_token(store, &s.arena, "token", &code));
    assert_null(code);
    assert_ok(post(door, json_of(&s, enrol, "HALL-1", hex, 1, "")));
    assert_ok(station_by_token(store, &s.arena, "token", &code));
    assert_string_equal(code, "HALL-1");
    assert_ok(station_by_token(store, &s.arena, "other", &code));
    assert_null(code);
    assert_ok(station_knows(store, "HALL-1", 1, &known));
    assert_false(known);
    assert_ok(post(door, json_of(&s, "{'do':'attempt-good','number':1,'how':'password','station':"
                                     "'HALL-1'}")));
    assert_ok(station_knows(store, "HALL-1", 1, &known));
    assert_true(known);
    assert_ok(post(door, json_of(&s, "{'do':'station-revoke','code':'HALL-1','by':1}")));
    assert_ok(station_by_token(store, &s.arena, "token", &code));
    assert_null(code);
    assert_code(post(door, json_of(&s, "{'do':'station-revoke','code':'HALL-1','by':1}")),
                STATION_UNKNOWN);
    assert_ok(post(door, json_of(&s, enrol, "HALL-1", hex, 1, ""))); /* anew: nobody is known */
    assert_ok(station_knows(store, "HALL-1", 1, &known));
    assert_false(known);
    door_close(door);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_station_is_known_by_its_token_until_it_is_withdrawn,
                                        folder_enter, folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "fixture.h"

#include "service/people.h"

static struct site site;
static struct door *door;

static int begin(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    site_open(&site);
    site_house(&site, NULL);
    assert_ok(door_open(PLANT, site.world, &door));
    return 0;
}

static int end(void **state)
{
    door_close(door);
    site_close(&site);
    return folder_leave(state);
}

static struct access access_of(int64_t number)
{
    struct access access;
    bool found;
    assert_ok(access_read(door_plant(door)->store, &site.arena, number, &access, &found));
    assert_true(found);
    return access;
}

static struct result attempt(const char *what, const char *how)
{
    return post(door, json_of(&site, "{'do':'%s','number':1,'how':'%s'}", what, how));
}

static void easy_pins_are_no_pins(void **state)
{
    (void)state;
    static const char *const good[] = {"2580", "1357", "112233", "908172635445"};
    static const char *const easy[] = {"258",           "0000",       "1234", "4321", "12 4",
                                       "1234567890123", "0123456789", "abcd", ""};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        assert_ok(pin_check(good[i]));
    }
    for (size_t i = 0; i < sizeof easy / sizeof easy[0]; i++) {
        assert_code(pin_check(easy[i]), FIELD_RANGE);
    }
    assert_code(password_check("seven77"), FIELD_RANGE);
    assert_ok(password_check("eight888"));
}

static void tries_are_counted_before_they_are_judged(void **state)
{
    (void)state;
    for (int i = 0; i < PEOPLE_TRIES; i++) {
        assert_ok(attempt("attempt", "password"));
    }
    struct result r = attempt("attempt", "password");
    assert_code(r, TRIES_LOCKED);
    assert_string_equal(r.value[0], "900");
    site.fixed.now_ms += PEOPLE_LOCKED_MS;
    assert_ok(attempt("attempt", "password"));
    assert_ok(attempt("attempt-good", "password"));
    assert_int_equal(access_of(1).password_failed, 0);
    for (int i = 0; i < PEOPLE_TRIES; i++) {
        assert_ok(attempt("attempt", "pin"));
    }
    assert_code(attempt("attempt", "pin"), PIN_LOCKED);
    assert_ok(attempt("attempt-good", "badge")); /* says nothing of the PIN */
    assert_code(attempt("attempt", "pin"), PIN_LOCKED);
    assert_ok(attempt("attempt-good", "password"));
    assert_ok(attempt("attempt", "pin"));
    assert_code(attempt("attempt", "moult"), FIELD_CHOICE);
    assert_code(post(door, json_of(&site, "{'do':'attempt','number':9,'how':'pin'}")),
                PERSON_UNKNOWN);
}

static void secrets_change_by_the_own_password(void **state)
{
    (void)state;
    static const char pin[] = "{'do':'pin','number':1,'stored_pin':'x','by':%d%s}";
    assert_code(post(door, json_of(&site, pin, 1, "")), PASSWORD_NEEDED);
    assert_code(post(door, json_of(&site, pin, 1, ",'by_password':'wrong'")), PASSWORD_WRONG);
    assert_null(access_of(1).pin);
    assert_ok(post(door, json_of(&site, pin, 1, ",'by_password':'" PASSWORD "'")));
    assert_string_equal(access_of(1).pin, "x");
    int64_t owner;
    assert_ok(post(door, json_of(&site, "{'do':'badge','number':1,'badge':'BADGE-0001','by':1}")));
    assert_ok(badge_owner(door_plant(door)->store, "BADGE-0001", &owner));
    assert_int_equal(owner, 1);
    assert_ok(badge_owner(door_plant(door)->store, "BADGE-0002", &owner));
    assert_int_equal(owner, 0);
    assert_code(post(door, json_of(&site, "{'do':'badge','number':1,'badge':'short','by':1}")),
                FIELD_RANGE);
    assert_ok(post(door, json_of(&site, "{'do':'language','number':1,'language':'es','by':1}")));
    assert_string_equal(access_of(1).language, "es");
    assert_code(post(door, json_of(&site, "{'do':'language','number':1,'language':'xx','by':1}")),
                FIELD_CHOICE);
}

static void what_is_erased_opens_nothing_any_more(void **state)
{
    (void)state;
    struct access access;
    bool found;
    int64_t owner;
    assert_ok(post(door, json_of(&site, "{'do':'badge','number':1,'badge':'BADGE-0001','by':1,"
                                        "'by_password':'" PASSWORD "'}")));
    assert_ok(post(door, json_of(&site, "{'do':'erase-person','number':1,'by':1}")));
    assert_ok(access_read(door_plant(door)->store, &site.arena, 1, &access, &found));
    assert_false(found);
    assert_ok(badge_owner(door_plant(door)->store, "BADGE-0001", &owner));
    assert_int_equal(owner, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(easy_pins_are_no_pins),
        cmocka_unit_test_setup_teardown(tries_are_counted_before_they_are_judged, begin, end),
        cmocka_unit_test_setup_teardown(secrets_change_by_the_own_password, begin, end),
        cmocka_unit_test_setup_teardown(what_is_erased_opens_nothing_any_more, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

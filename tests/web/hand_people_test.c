#include "client.h"

#include "web/limits.h"

static struct client client;

static int begin(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    client_open(&client);
    return 0;
}

static int end(void **state)
{
    client_close(&client);
    return folder_leave(state);
}

static void enrol(const char *code)
{
    sign_in(&client, 1);
    struct reply r = post_to(&client, "/api/v1/stations",
                             arena_printf(&client.site.arena, "{'code':'%s'}", code));
    assert_status(r, 200);
    assert_non_null(client.station);
}

static void give_pin(int64_t person, const char *pin)
{
    sign_in(&client, person);
    struct reply r = post_to(
        &client, arena_printf(&client.site.arena, "/api/v1/people/%lld/pin", (long long)person),
        arena_printf(&client.site.arena, "{'pin':'%s','password':'%s'}", pin, PASSWORD));
    assert_status(r, 200);
}

static struct reply step_up(int64_t person, const char *pin)
{
    return post_to(
        &client, "/api/v1/step-up",
        arena_printf(&client.site.arena, "{'person':%lld,'pin':'%s'}", (long long)person, pin));
}

static void one_steps_up_at_a_station_alone(void **state)
{
    (void)state;
    give_pin(6, "2580");
    client.session = NULL;
    assert_problem(step_up(6, "2580"), 403, "station-needed");
    enrol("HALL-1");
    const char *managers = client.session;
    struct reply r = step_up(6, "2580");
    assert_status(r, 200);
    assert_string_not_equal(client.session, managers); /* and that one has ended */
    assert_string_equal(text_in(r.json, "how"), "pin");
    assert_string_equal(text_in(r.json, "station"), "HALL-1");
    assert_int_equal(number_in(r.json, "idle_s"), WEB_IDLE_STATION_S);
    const char *station = client.station;
    client.station = NULL; /* the session carried to another browser */
    assert_problem(get(&client, "/api/v1/lots"), 401, "sign-in-needed");
    client.station = station;
    assert_status(step_up(6, "2580"), 200);
    client.site.fixed.now_ms += INT64_C(1000) * WEB_IDLE_STATION_S + 1;
    assert_problem(get(&client, "/api/v1/lots"), 401, "sign-in-needed");
}

static void tell(const char *what)
{
    client.site.sent++;
    assert_status(post_to(&client, "/api/v1/entries",
                          arena_printf(&client.site.arena,
                                       "{'uuid':'00000000-0000-4000-8000-%012llx','person':1,%s}",
                                       (unsigned long long)client.site.sent + 8192, what)),
                  200);
}

/* To a screen of the house what is stopped, without who said so; to anybody else nothing. */
static void an_idle_station_shows_what_is_stopped(void **state)
{
    (void)state;
    enrol("HALL-1");
    tell("'kind':'place','code':'SITE-9','place_kind':'site'");
    tell("'kind':'place','code':'W-9','place_kind':'wash-line','parent':'SITE-9'");
    tell("'kind':'water-reading','place':'W-9','chlorine':'1 mg/L'");
    client.session = NULL;
    struct reply r = get(&client, "/api/v1/me");
    assert_true(json_is_null(json_object_get(r.json, "person")));
    assert_string_equal(text_in(r.json, "station"), "HALL-1");
    const json_t *stops = json_object_get(r.json, "stops");
    assert_int_equal(json_array_size(stops), 1);
    assert_string_equal(text_in(json_array_get(stops, 0), "place"), "W-9");
    assert_string_equal(text_in(json_array_get(stops, 0), "of"), "water");
    assert_null(strstr(r.body, "Hilum"));
    client.station = NULL;
    r = get(&client, "/api/v1/me");
    assert_int_equal(json_array_size(json_object_get(r.json, "stops")), 0);
    assert_null(strstr(r.body, "W-9"));
}

static void after_five_wrong_pins_only_the_password_helps(void **state)
{
    (void)state;
    give_pin(6, "2580");
    enrol("HALL-1");
    for (int i = 0; i < 5; i++) {
        assert_problem(step_up(6, "9999"), 401, "pin-wrong");
    }
    assert_problem(step_up(6, "2580"), 403, "pin-locked");
    client.site.fixed.now_ms += INT64_C(86400000);
    assert_problem(step_up(6, "2580"), 403, "pin-locked");
    sign_in(&client, 6);
    assert_status(step_up(6, "2580"), 200);
    for (int i = 0; i < 5; i++) {
        step_up(6, "9999");
    }
    sign_in(&client, 1);
    struct reply r = get(&client, "/api/v1/people");
    size_t i;
    json_t *person;
    json_array_foreach(json_object_get(r.json, "people"), i, person)
    {
        assert_int_equal(json_is_true(json_object_get(person, "locked")),
                         number_in(person, "number") == 6);
    }
    r = post_to(&client, "/api/v1/people/6/unlock", "{'password':'" PASSWORD "'}");
    assert_status(r, 200);
    assert_status(step_up(6, "2580"), 200);
}

static void a_pin_is_ones_own_and_not_easy(void **state)
{
    (void)state;
    static const char *const easy[] = {"123", "1111", "1234", "9876", "12a4", "1234567890123", ""};
    sign_in(&client, 6);
    for (size_t i = 0; i < sizeof easy / sizeof easy[0]; i++) {
        struct reply r = post_to(
            &client, "/api/v1/people/6/pin",
            arena_printf(&client.site.arena, "{'pin':'%s','password':'%s'}", easy[i], PASSWORD));
        assert_problem(r, 422, "field-range");
    }
    assert_problem(post_to(&client, "/api/v1/people/6/pin", "{'pin':'2580','password':'wrong'}"),
                   401, "password-wrong");
    assert_problem(
        post_to(&client, "/api/v1/people/2/pin", "{'pin':'2580','password':'" PASSWORD "'}"), 403,
        "person-other");
}

static void a_badge_is_one_persons(void **state)
{
    (void)state;
    sign_in(&client, 1);
    static const char body[] = "{'badge':'BADGE-000017','password':'" PASSWORD "'}";
    assert_status(post_to(&client, "/api/v1/people/6/badge", body), 200);
    assert_problem(post_to(&client, "/api/v1/people/2/badge", body), 409, "badge-taken");
    enrol("HALL-1");
    struct reply r = post_to(&client, "/api/v1/step-up", "{'badge':'BADGE-000017'}");
    assert_status(r, 200);
    assert_int_equal(number_in(r.json, "person"), 6);
    assert_string_equal(text_in(r.json, "how"), "badge");
    assert_problem(post_to(&client, "/api/v1/step-up", "{'badge':'BADGE-000018'}"), 401,
                   "pin-wrong");
    size_t len;
    char *file = bytes_of(&client.site, "p/plant.db-wal", &len);
    assert_null(memmem(file, len, "BADGE-000017", 12)); /* nor anywhere as it is */
}

static void a_station_that_is_withdrawn_knows_nobody(void **state)
{
    (void)state;
    give_pin(6, "2580");
    enrol("HALL-1");
    assert_status(step_up(6, "2580"), 200);
    const char *station = client.station, *at_station = client.session;
    assert_problem(send_to(&client, "DELETE", "/api/v1/stations/HALL-1", NULL, NULL), 403,
                   "role-missing");
    client.station = NULL;
    sign_in(&client, 1);
    struct reply r = get(&client, "/api/v1/stations");
    assert_int_equal(json_array_size(json_object_get(r.json, "stations")), 1);
    assert_status(send_to(&client, "DELETE", "/api/v1/stations/HALL-1", NULL, NULL), 200);
    assert_problem(send_to(&client, "DELETE", "/api/v1/stations/HALL-1", NULL, NULL), 404,
                   "station-unknown");
    client.station = station;
    client.session = at_station;
    assert_problem(get(&client, "/api/v1/lots"), 401, "sign-in-needed");
    assert_problem(step_up(6, "2580"), 403, "station-needed");
}

static void a_manager_adds_people_by_the_own_password(void **state)
{
    (void)state;
    static const char body[] = "{'number':9,'role':'grower','name':'Radicle 9','password':"
                               "'testa-and-hilum','by_password':'" PASSWORD "'}";
    sign_in(&client, 6);
    assert_problem(post_to(&client, "/api/v1/people", body), 403, "role-missing");
    sign_in(&client, 1);
    assert_problem(post_to(&client, "/api/v1/people",
                           "{'number':9,'role':'grower','name':'R','by_password':'wrong'}"),
                   401, "password-wrong");
    assert_status(post_to(&client, "/api/v1/people", body), 200);
    struct reply r =
        post_to(&client, "/api/v1/session", "{'person':9,'password':'testa-and-hilum'}");
    assert_status(r, 200);
    assert_status(post_to(&client, "/api/v1/people/9/language", "{'language':'es'}"), 200);
    r = get(&client, "/api/v1/me");
    assert_string_equal(text_in(r.json, "language"), "es");
    assert_problem(post_to(&client, "/api/v1/people/6/language", "{'language':'es'}"), 403,
                   "role-missing");
    assert_status(post_to(&client, "/api/v1/people/9/erase", "{'password':'testa-and-hilum'}"),
                  200);
    assert_problem(get(&client, "/api/v1/lots"), 401, "sign-in-needed");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(one_steps_up_at_a_station_alone, begin, end),
        cmocka_unit_test_setup_teardown(an_idle_station_shows_what_is_stopped, begin, end),
        cmocka_unit_test_setup_teardown(after_five_wrong_pins_only_the_password_helps, begin, end),
        cmocka_unit_test_setup_teardown(a_pin_is_ones_own_and_not_easy, begin, end),
        cmocka_unit_test_setup_teardown(a_badge_is_one_persons, begin, end),
        cmocka_unit_test_setup_teardown(a_station_that_is_withdrawn_knows_nobody, begin, end),
        cmocka_unit_test_setup_teardown(a_manager_adds_people_by_the_own_password, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

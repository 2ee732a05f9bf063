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

static struct reply try_password(int64_t person, const char *password)
{
    return post_to(&client, "/api/v1/session",
                   arena_printf(&client.site.arena, "{'person':%lld,'password':'%s'}",
                                (long long)person, password));
}

static void a_password_opens_a_session_of_its_own(void **state)
{
    (void)state;
    struct reply r = get(&client, "/api/v1/me");
    assert_true(json_is_null(json_object_get(r.json, "person")));
    assert_int_equal(json_array_size(json_object_get(r.json, "may")), 0);
    client.session = "planted-by-somebody-else-0000000000000000000";
    const char *planted = client.session;
    r = try_password(1, PASSWORD);
    assert_status(r, 200);
    assert_string_not_equal(client.session, planted); /* no fixation */
    const char *cookie = header_in(&client, &r, "Set-Cookie");
    assert_non_null(strstr(cookie, "; HttpOnly"));
    assert_non_null(strstr(cookie, "; SameSite=Strict"));
    assert_null(strstr(cookie, "Domain"));
    assert_int_equal(number_in(r.json, "person"), 1);
    assert_string_equal(text_in(r.json, "role"), "manager");
    assert_string_equal(text_in(r.json, "how"), "password");
    assert_string_equal(text_in(r.json, "name"), "Hilum 1");
    assert_true(json_is_false(json_object_get(r.json, "receives"))); /* it has chambers */
    const char *first = client.session;
    assert_status(try_password(1, PASSWORD), 200);
    assert_string_not_equal(client.session, first);
    client.session = first; /* the one before ended with the new one */
    r = get(&client, "/api/v1/me");
    assert_true(json_is_null(json_object_get(r.json, "person")));
}

/* At 04:00 UTC of a house day that begins at 04:00. */
static void it_says_which_shift_is_on(void **state)
{
    (void)state;
    struct reply r = get(&client, "/api/v1/me");
    const json_t *shift = json_object_get(r.json, "shift");
    int64_t now_ms = client.site.fixed.now_ms;
    assert_string_equal(text_in(shift, "name"), "early");
    assert_string_equal(text_in(shift, "day"), text_in(r.json, "plant_day"));
    assert_true(number_in(shift, "start_ms") <= now_ms && now_ms < number_in(shift, "end_ms"));
    assert_int_equal(number_in(shift, "end_ms") - number_in(shift, "start_ms"), 8 * 3600000);
    client.site.fixed.now_ms = number_in(shift, "end_ms");
    r = get(&client, "/api/v1/me");
    assert_string_equal(text_in(json_object_get(r.json, "shift"), "name"), "late");
}

static void signing_out_ends_it_here_and_there(void **state)
{
    (void)state;
    sign_in(&client, 1);
    const char *token = client.session;
    assert_status(send_to(&client, "DELETE", "/api/v1/session", NULL, NULL), 200);
    assert_null(client.session);
    client.session = token;
    assert_problem(get(&client, "/api/v1/lots"), 401, "sign-in-needed");
}

static void it_ends_when_nobody_uses_it(void **state)
{
    (void)state;
    sign_in(&client, 1);
    client.site.fixed.now_ms += INT64_C(1000) * WEB_IDLE_PASSWORD_S;
    assert_status(get(&client, "/api/v1/lots"), 200);
    client.site.fixed.now_ms += INT64_C(1000) * WEB_IDLE_PASSWORD_S + 1;
    assert_problem(get(&client, "/api/v1/lots"), 401, "sign-in-needed");
}

static void after_five_wrong_ones_a_person_waits_a_quarter_of_an_hour(void **state)
{
    (void)state;
    for (int i = 0; i < 5; i++) {
        assert_problem(try_password(6, "wrong"), 401, "password-wrong");
    }
    struct reply r = try_password(6, PASSWORD);
    assert_problem(r, 429, "tries-locked");
    assert_string_equal(header_in(&client, &r, "Retry-After"), "900");
    assert_status(try_password(1, PASSWORD), 200); /* others go on */
    client.site.fixed.now_ms += 899 * 1000;
    r = try_password(6, PASSWORD);
    assert_string_equal(header_in(&client, &r, "Retry-After"), "1");
    client.site.fixed.now_ms += 1000;
    assert_status(try_password(6, PASSWORD), 200);
}

static void a_right_one_takes_the_count_back(void **state)
{
    (void)state;
    for (int round = 0; round < 2; round++) {
        for (int i = 0; i < 4; i++) {
            assert_problem(try_password(6, "wrong"), 401, "password-wrong");
        }
        assert_status(try_password(6, PASSWORD), 200);
    }
}

static void who_is_not_there_is_not_told_apart(void **state)
{
    (void)state;
    struct reply there = try_password(6, "wrong"), nobody = try_password(77, "wrong");
    assert_problem(there, 401, "password-wrong");
    assert_problem(nobody, 401, "password-wrong");
    for (int i = 2; i < WEB_TRIES_PER_ADDRESS; i++) {
        assert_problem(try_password(100 + i, "wrong"), 401, "password-wrong");
    }
    assert_problem(try_password(77, "wrong"), 429, "tries-locked");
    assert_problem(try_password(1, PASSWORD), 429, "tries-locked");
}

static void who_has_left_the_house_is_nobody(void **state)
{
    (void)state;
    sign_in(&client, 6);
    const char *grower = client.session;
    sign_in(&client, 1);
    struct reply r = post_to(&client, "/api/v1/entries",
                             "{'command':{'kind':'person','uuid':'00000000-0000-4000-8000-"
                             "0000000000b1','person':1,'number':6,'role':'grower','active':false},"
                             "'password':'" PASSWORD "'}");
    assert_status(r, 200);
    client.session = grower;
    assert_problem(get(&client, "/api/v1/lots"), 401, "sign-in-needed");
    assert_problem(try_password(6, PASSWORD), 401, "password-wrong");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_password_opens_a_session_of_its_own, begin, end),
        cmocka_unit_test_setup_teardown(it_says_which_shift_is_on, begin, end),
        cmocka_unit_test_setup_teardown(signing_out_ends_it_here_and_there, begin, end),
        cmocka_unit_test_setup_teardown(it_ends_when_nobody_uses_it, begin, end),
        cmocka_unit_test_setup_teardown(after_five_wrong_ones_a_person_waits_a_quarter_of_an_hour,
                                        begin, end),
        cmocka_unit_test_setup_teardown(a_right_one_takes_the_count_back, begin, end),
        cmocka_unit_test_setup_teardown(who_is_not_there_is_not_told_apart, begin, end),
        cmocka_unit_test_setup_teardown(who_has_left_the_house_is_nobody, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

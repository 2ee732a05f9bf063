#include "client.h"

static void a_house_for_this_machine_alone_has_nothing_to_trust(void **state)
{
    (void)state;
    struct client c;
    client_open(&c);
    assert_null(web_outside(c.web).fingerprint);
    assert_problem(get(&c, "/trust"), 404, "route-unknown");
    assert_problem(get(&c, "/trust/house.crt"), 404, "route-unknown");
    client_close(&c);
}

static void others_are_told_how_to_trust_it(void **state)
{
    (void)state;
    struct client c;
    static const char *const names[] = {"Plant.Example"};
    client_open_with(&c,
                     &(struct web_options){.bind = "127.0.0.1", .names = names, .name_count = 1});
    struct web_outside out = web_outside(c.web);
    assert_non_null(out.fingerprint);
    assert_true(out.is_new);
    assert_int_equal(out.address_count, 1);
    assert_int_equal(strncmp(out.addresses[0], "https://plant.example:", 22), 0);
    struct reply r = get(&c, "/trust");
    assert_status(r, 200);
    assert_non_null(strstr(r.body, out.fingerprint));
    assert_non_null(strstr(r.body, out.addresses[0]));
    assert_null(strchr(r.body, '{'));
    r = get(&c, "/trust?lang=es");
    assert_non_null(strstr(r.body, "Confiar"));
    assert_non_null(strstr(r.body, out.fingerprint));
    r = get(&c, "/trust/house.crt");
    assert_status(r, 200);
    assert_string_equal(header_in(&c, &r, "Content-Type"), "application/x-x509-ca-cert");
    r = send_to(&c, "GET", "/", NULL, "Host: plant.example\r\n");
    assert_status(r, 200);
    r = send_to(&c, "GET", "/", NULL, "Host: other.example\r\n");
    assert_problem(r, 421, "host-wrong");
    int port = 0; /* plain HTTP there is no way in */
    assert_int_equal(sscanf(out.addresses[0], "https://plant.example:%d/", &port), 1);
    c.port = port;
    assert_status(get(&c, "/"), 0);
    client_close(&c);
}

static void names_and_addresses_are_checked(void **state)
{
    (void)state;
    struct client c;
    struct web *web;
    static const char *const names[] = {"not a name"};
    client_open(&c);
    assert_code(web_start(c.serving, &(struct web_options){.names = names, .name_count = 1}, &web),
                FIELD_RANGE);
    assert_code(web_start(c.serving, &(struct web_options){.bind = "nowhere"}, &web), FIELD_RANGE);
    assert_code(web_start(c.serving, &(struct web_options){.port = c.port}, &web), FILE_OPEN);
    client_close(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_house_for_this_machine_alone_has_nothing_to_trust,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(others_are_told_how_to_trust_it, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(names_and_addresses_are_checked, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

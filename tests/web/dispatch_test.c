#include "client.h"

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

static void assert_header(const struct reply *r, const char *name, const char *wanted)
{
    const char *is = header_in(&client, r, name);
    if (is == NULL || strcmp(is, wanted) != 0) {
        print_error("%s is %s, not %s\n", name, is != NULL ? is : "not there", wanted);
        fail();
    }
}

/* Against framing, sniffing, leaking and foreign scripts, on whatever is answered. */
static void every_answer_carries_what_keeps_a_browser_safe(void **state)
{
    (void)state;
    const struct reply answers[] = {
        get(&client, "/"),
        get(&client, "/api/v1/me"),
        get(&client, "/api/v1/moult"),
        get(&client, "/none.js"),
        post_to(&client, "/api/v1/session", "{'person':1,'password':'x'}"),
        send_to(&client, "GET", "/", NULL, "Host: evil.example\r\n")};
    for (size_t i = 0; i < sizeof answers / sizeof answers[0]; i++) {
        const struct reply *r = &answers[i];
        const char *policy = header_in(&client, r, "Content-Security-Policy");
        assert_non_null(policy);
        static const char *const parts[] = {"default-src 'none'", "script-src 'self';",
                                            "style-src 'self';",  "frame-ancestors 'none'",
                                            "base-uri 'none'",    "form-action 'self'"};
        for (size_t k = 0; k < sizeof parts / sizeof parts[0]; k++) {
            assert_non_null(strstr(policy, parts[k]));
        }
        assert_null(strstr(policy, "unsafe"));
        assert_header(r, "X-Content-Type-Options", "nosniff");
        assert_header(r, "X-Frame-Options", "DENY");
        assert_header(r, "Referrer-Policy", "no-referrer");
        assert_header(r, "Cross-Origin-Opener-Policy", "same-origin");
        assert_header(r, "Cross-Origin-Resource-Policy", "same-origin");
        assert_non_null(header_in(&client, r, "Permissions-Policy"));
        assert_null(header_in(&client, r, "Strict-Transport-Security"));
        assert_null(header_in(&client, r, "Access-Control-Allow-Origin"));
    }
}

static void what_is_not_there_and_what_is_asked_wrongly(void **state)
{
    (void)state;
    struct reply r = get(&client, "/api/v1/moult");
    assert_problem(r, 404, "route-unknown");
    assert_header(&r, "Content-Type", "application/problem+json");
    r = send_to(&client, "POST", "/api/v1/me", "{}", NULL);
    assert_problem(r, 405, "method-wrong");
    assert_header(&r, "Allow", "GET, HEAD");
    r = send_to(&client, "DELETE", "/", NULL, NULL);
    assert_problem(r, 405, "method-wrong");
    r = send_to(&client, "OPTIONS", "/api/v1/session", NULL, NULL);
    assert_problem(r, 405, "method-wrong");
    assert_header(&r, "Allow", "POST, DELETE");
    r = get(&client, "/api/v1/me?moult=1");
    assert_problem(r, 422, "field-unknown");
    r = get(&client, "/api/v1/me?lang=de");
    assert_problem(r, 422, "field-choice");
    r = get(&client, "/api/v1/lots");
    assert_problem(r, 401, "sign-in-needed");
    assert_null(header_in(&client, &r, "ETag"));
    assert_header(&r, "Cache-Control", "no-store");
}

static void no_address_leads_to_a_file(void **state)
{
    (void)state;
    static const char *const ways[] = {"/../p/plant.key",     "/%2e%2e/p/plant.key",
                                       "/..%2fp%2fplant.key", "/p/plant.db",
                                       "//etc/passwd",        "/words/../../p/plant.key"};
    for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
        struct reply r = get(&client, ways[i]);
        assert_true(r.status == 400 || r.status == 404);
    }
}

static void other_sites_cannot_tell_anything(void **state)
{
    (void)state;
    static const char in[] = "{'person':1,'password':'" PASSWORD "'}";
    struct reply r = send_to(&client, "POST", "/api/v1/session", in, "X-Plumule: 0\r\n");
    assert_problem(r, 403, "header-missing");
    r = send_to(&client, "POST", "/api/v1/session", in, "Origin: http://evil.example\r\n");
    assert_problem(r, 403, "origin-wrong");
    r = send_to(&client, "POST", "/api/v1/session", in, "Content-Type: text/plain\r\n");
    assert_problem(r, 415, "media-type-wrong");
    r = send_to(&client, "POST", "/api/v1/session", in, "Host: evil.example\r\n");
    assert_problem(r, 421, "host-wrong");
    assert_null(client.session);
    r = send_to(&client, "POST", "/api/v1/session", in,
                arena_printf(&client.site.arena, "Origin: http://127.0.0.1:%d\r\n", client.port));
    assert_status(r, 200);
}

static void the_same_state_is_not_sent_twice(void **state)
{
    (void)state;
    sign_in(&client, 1);
    struct reply r = get(&client, "/api/v1/lots");
    assert_status(r, 200);
    const char *tag = header_in(&client, &r, "ETag");
    assert_non_null(tag);
    assert_header(&r, "Cache-Control", "private, no-cache");
    const char *known = arena_printf(&client.site.arena, "If-None-Match: %s\r\n", tag);
    r = send_to(&client, "GET", "/api/v1/lots", NULL, known);
    assert_status(r, 304);
    assert_int_equal(r.body_len, 0);
    assert_header(&r, "ETag", tag);
    assert_status(send_to(&client, "GET", "/api/v1/lots?lang=es", NULL, known), 200);
    assert_status(send_to(&client, "GET", "/api/v1/chambers", NULL, known), 200);
    r = post_to(&client, "/api/v1/entries",
                "{'kind':'place','uuid':'00000000-0000-4000-8000-0000000000a1','person':1,'code':"
                "'ROOM','place_kind':'store'}");
    assert_status(r, 200);
    assert_status(send_to(&client, "GET", "/api/v1/lots", NULL, known), 200);
    sign_in(&client, 6); /* another person, another answer */
    r = get(&client, "/api/v1/lots");
    assert_string_not_equal(header_in(&client, &r, "ETag"), tag);
}

static void an_answer_is_given_again_only_to_whom_it_was_given(void **state)
{
    (void)state;
    sign_in(&client, 6);
    const char *grower = client.session;
    client.session = NULL; /* another browser */
    sign_in(&client, 1);
    const char *manager = client.session;
    struct reply first = get(&client, "/api/v1/daybook?limit=1"),
                 again = get(&client, "/api/v1/daybook?limit=1");
    assert_status(again, 200);
    assert_string_equal(again.body, first.body);
    static const char *const names[] = {"ETag", "Link", "Content-Type", "Cache-Control", "Vary"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        assert_non_null(header_in(&client, &first, names[i]));
        assert_header(&again, names[i], header_in(&client, &first, names[i]));
    }
    assert_string_not_equal(get(&client, "/api/v1/daybook?limit=2").body, first.body);
    assert_status(get(&client, "/api/v1/forms"), 200);
    struct reply squeezed =
        send_to(&client, "GET", "/api/v1/forms", NULL, "Accept-Encoding: gzip\r\n");
    assert_header(&squeezed, "Content-Encoding", "gzip");
    squeezed = send_to(&client, "GET", "/api/v1/forms", NULL, "Accept-Encoding: gzip\r\n");
    assert_header(&squeezed, "Content-Encoding", "gzip");
    struct reply plain = get(&client, "/api/v1/forms");
    assert_null(header_in(&client, &plain, "Content-Encoding"));
    assert_status(get(&client, "/api/v1/stations"), 200);
    assert_status(get(&client, "/api/v1/stations"), 200);
    client.session = grower;
    assert_problem(get(&client, "/api/v1/stations"), 403, "role-missing");
    assert_status(get(&client, "/api/v1/house"), 200);
    client.session = manager;
    assert_status(post_to(&client, "/api/v1/people",
                          "{'number':6,'role':'grower','name':'Radicle','contact':'','password':"
                          "null,'active':false,'by_password':'" PASSWORD "'}"),
                  200);
    client.session = grower;
    assert_problem(get(&client, "/api/v1/house"), 401, "sign-in-needed");
    client.session = NULL;
    assert_problem(get(&client, "/api/v1/daybook?limit=1"), 401, "sign-in-needed");
}

static void an_answer_is_not_given_again_once_something_is_told(void **state)
{
    (void)state;
    sign_in(&client, 1);
    struct reply before = get(&client, "/api/v1/house");
    assert_string_equal(get(&client, "/api/v1/house").body, before.body);
    struct reply r = post_to(&client, "/api/v1/entries",
                             "{'kind':'place','uuid':'00000000-0000-4000-8000-0000000000a2',"
                             "'person':1,'code':'ROOM-2','place_kind':'store'}");
    assert_status(r, 200);
    struct reply after = get(&client, "/api/v1/house");
    assert_null(strstr(before.body, "ROOM-2"));
    assert_non_null(strstr(after.body, "ROOM-2"));
    assert_string_not_equal(header_in(&client, &after, "ETag"),
                            header_in(&client, &before, "ETag"));
}

static void long_answers_are_squeezed_for_who_takes_it(void **state)
{
    (void)state;
    struct reply r = get(&client, "/api/v1/openapi.json");
    assert_status(r, 200);
    assert_null(header_in(&client, &r, "Content-Encoding"));
    size_t plain = r.body_len;
    r = send_to(&client, "GET", "/api/v1/openapi.json", NULL, "Accept-Encoding: gzip\r\n");
    assert_header(&r, "Content-Encoding", "gzip");
    assert_true(r.body_len < plain / 2);
    assert_non_null(strstr(header_in(&client, &r, "Vary"), "Accept-Encoding"));
}

static void sentences_come_in_the_language_asked_for(void **state)
{
    (void)state;
    struct reply r = get(&client, "/api/v1/lots?lang=es");
    assert_string_equal(text_in(r.json, "detail"), "Primero hay que entrar.");
    r = send_to(&client, "GET", "/api/v1/lots", NULL, "Accept-Language: es-MX\r\n");
    assert_string_equal(text_in(r.json, "detail"), "Primero hay que entrar.");
    r = get(&client, "/api/v1/lots");
    assert_string_equal(text_in(r.json, "detail"), "Sign in first.");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_answer_carries_what_keeps_a_browser_safe, begin, end),
        cmocka_unit_test_setup_teardown(what_is_not_there_and_what_is_asked_wrongly, begin, end),
        cmocka_unit_test_setup_teardown(no_address_leads_to_a_file, begin, end),
        cmocka_unit_test_setup_teardown(other_sites_cannot_tell_anything, begin, end),
        cmocka_unit_test_setup_teardown(the_same_state_is_not_sent_twice, begin, end),
        cmocka_unit_test_setup_teardown(an_answer_is_given_again_only_to_whom_it_was_given, begin,
                                        end),
        cmocka_unit_test_setup_teardown(an_answer_is_not_given_again_once_something_is_told, begin,
                                        end),
        cmocka_unit_test_setup_teardown(long_answers_are_squeezed_for_who_takes_it, begin, end),
        cmocka_unit_test_setup_teardown(sentences_come_in_the_language_asked_for, begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "client.h"
#include "shape.h"

#include "web/openapi.h"

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

static const char *place_of(const char *code, int64_t person)
{
    client.site.sent++;
    return arena_printf(&client.site.arena,
                        "{'kind':'place','uuid':'00000000-0000-4000-8000-%012llx','person':%lld,"
                        "'code':'%s','place_kind':'store'}",
                        (unsigned long long)client.site.sent + 4096, (long long)person, code);
}

static struct reply tell(const char *body)
{
    return post_to(&client, "/api/v1/entries", body);
}

static int64_t places(const char *code)
{
    return places_named(&client.site, PLANT, code);
}

static void a_command_is_taken_once_however_often_it_comes(void **state)
{
    (void)state;
    sign_in(&client, 1);
    const char *body = place_of("A", 1);
    struct reply first = tell(body), again = tell(body);
    assert_status(first, 200);
    assert_status(again, 200);
    const json_t *a = json_array_get(json_object_get(first.json, "answers"), 0);
    const json_t *b = json_array_get(json_object_get(again.json, "answers"), 0);
    assert_int_equal(number_in(a, "entry"), number_in(b, "entry"));
    assert_true(json_is_true(json_object_get(b, "repeated")));
    assert_int_equal(places("A"), 1);
    struct reply r = get(&client, "/api/v1/me");
    assert_int_equal(number_in(r.json, "size"), number_in(a, "entry"));
}

static void several_stand_or_fall_together(void **state)
{
    (void)state;
    sign_in(&client, 1);
    int64_t before = entries_of(&client.site, PLANT);
    struct reply r = tell(arena_printf(&client.site.arena, "{'commands':[%s,%s]}", place_of("A", 1),
                                       place_of("B", 1)));
    assert_status(r, 200);
    assert_int_equal(json_array_size(json_object_get(r.json, "answers")), 2);
    r = tell(arena_printf(&client.site.arena,
                          "{'commands':[%s,{'kind':'moult','uuid':'00000000-"
                          "0000-4000-8000-0000000000ff','person':1}]}",
                          place_of("C", 1)));
    assert_problem(r, 422, "kind-unknown");
    assert_int_equal(places("C"), 0);
    assert_int_equal(entries_of(&client.site, PLANT), before + 2);
    assert_problem(tell("{'commands':[]}"), 422, "field-missing");
    assert_problem(tell("{'commands':[1]}"), 422, "field-type");
    assert_problem(tell("{'commands':{}}"), 422, "field-type");
    assert_problem(tell("[]"), 422, "field-type");
    assert_problem(tell("{"), 400, "json-bad");
    assert_problem(tell("{'a':1,'a':2}"), 400, "json-duplicate");
}

static void a_dry_one_says_what_would_be_and_keeps_nothing(void **state)
{
    (void)state;
    sign_in(&client, 1);
    int64_t before = entries_of(&client.site, PLANT);
    const char *body = place_of("A", 1);
    struct reply dry = post_to(&client, "/api/v1/entries/dry", body);
    assert_status(dry, 200);
    assert_int_equal(entries_of(&client.site, PLANT), before);
    assert_int_equal(places("A"), 0);
    struct reply real = tell(body);
    assert_status(real, 200);
    /* to the number of the entry */
    assert_true(
        json_equal(json_object_get(dry.json, "answers"), json_object_get(real.json, "answers")));
    const json_t *read = json_array_get(json_object_get(dry.json, "read"), 0);
    assert_non_null(strstr(text_in(read, "sentence"), "A"));
    dry = post_to(&client, "/api/v1/entries/dry",
                  arena_printf(&client.site.arena, "{'commands':[%s,%s]}", place_of("B", 1),
                               place_of("C", 1)));
    assert_int_equal(json_array_size(json_object_get(dry.json, "answers")), 2);
    assert_problem(post_to(&client, "/api/v1/entries/dry",
                           "{'kind':'moult','uuid':'00000000-0000-"
                           "4000-8000-0000000000ff','person':1}"),
                   422, "kind-unknown");
    assert_int_equal(places("B"), 0);
    assert_status(tell(place_of("D", 1)), 200); /* the tree goes on where it was */
}

static void nobody_speaks_for_somebody_else(void **state)
{
    (void)state;
    assert_problem(tell(place_of("A", 1)), 401, "sign-in-needed");
    sign_in(&client, 2);
    assert_problem(tell(place_of("A", 1)), 403, "person-other");
    struct reply r = tell(arena_printf(&client.site.arena, "{'commands':[%s,%s]}", place_of("A", 2),
                                       place_of("B", 1)));
    assert_problem(r, 403, "person-other");
    assert_int_equal(places("A"), 0);
    sign_in(&client, 6);
    assert_problem(tell(place_of("A", 6)), 403, "role-missing");
    assert_problem(post_to(&client, "/api/v1/entries/dry", place_of("A", 6)), 403, "role-missing");
}

static const char *limit_of(const char *uuid, const char *password)
{
    return arena_printf(&client.site.arena,
                        "{'command':{'kind':'person','uuid':'00000000-0000-4000-8000-0000000000%s',"
                        "'person':1,'number':12,'role':'line'}%s%s%s}",
                        uuid, password[0] != '\0' ? ",'password':'" : "", password,
                        password[0] != '\0' ? "'" : "");
}

static void each_signature_takes_the_password_anew(void **state)
{
    (void)state;
    sign_in(&client, 1);
    assert_problem(tell(limit_of("d1", "")), 401, "password-needed");
    assert_problem(tell(limit_of("d1", "wrong")), 401, "password-wrong");
    assert_status(tell(limit_of("d1", PASSWORD)), 200);
    assert_problem(tell(limit_of("d2", "")), 401, "password-needed");
    for (int i = 0; i < 5; i++) {
        tell(limit_of("d2", "wrong"));
    }
    assert_problem(tell(limit_of("d2", PASSWORD)), 429, "tries-locked");
}

static void what_a_tablet_kept_is_taken_from_it(void **state)
{
    (void)state;
    static const char later[] = "X-Plumule-Queue: 1\r\n";
    sign_in(&client, 1);
    assert_problem(send_to(&client, "POST", "/api/v1/entries", place_of("A", 1), later), 403,
                   "station-needed");
    assert_status(post_to(&client, "/api/v1/stations", "{'code':'HALL-1'}"), 200);
    assert_problem(send_to(&client, "POST", "/api/v1/entries", place_of("A", 1), later), 403,
                   "station-needed"); /* nobody has stepped up there yet */
    sign_in(&client, 1);
    sign_in(&client, 6);
    client.session = NULL; /* sent later, whoever stands in front of it */
    struct reply r = send_to(&client, "POST", "/api/v1/entries", place_of("A", 1), later);
    assert_status(r, 200);
    const char *entry = arena_printf(
        &client.site.arena, "/api/v1/daybook/%lld",
        (long long)number_in(json_array_get(json_object_get(r.json, "answers"), 0), "entry"));
    assert_problem(send_to(&client, "POST", "/api/v1/entries", place_of("B", 2), later), 403,
                   "station-needed");
    assert_problem(send_to(&client, "POST", "/api/v1/entries", limit_of("e1", PASSWORD), later),
                   403, "sign-in-person");
    sign_in(&client, 1);
    r = get(&client, entry);
    assert_status(r, 200);
    assert_string_equal(text_in(r.json, "device"), "HALL-1");
    assert_int_equal(number_in(r.json, "by"), 1);
}

/* What a device set aside comes like any command, reads in its shape, and goes with the recording
 * when that is sent again: both or neither. */
static void what_was_refused_is_set_aside_and_goes_with_its_recording(void **state)
{
    (void)state;
    static const char refused[] =
        "{'kind':'place','uuid':'11111111-2222-4333-8444-555555555555','person':1,'code':'S-9',"
        "'place_kind':'%s'}";
    sign_in(&client, 1);
    assert_problem(tell(arena_printf(&client.site.arena, refused, "barn")), 422, "field-choice");
    struct reply r =
        tell("{'kind':'set-aside','uuid':'11111111-2222-8333-8444-555555555555','person':1,"
             "'number':3,'code':'field-choice','field':'place_kind','values':['barn'],'told':'{"
             "\\\"kind\\\":\\\"place\\\",\\\"uuid\\\":"
             "\\\"11111111-2222-4333-8444-555555555555\\\"}'}");
    assert_status(r, 200);
    long long aside = number_in(json_array_get(json_object_get(r.json, "answers"), 0), "entry");
    const char *path = arena_printf(&client.site.arena, "/api/v1/daybook/%lld", aside);
    r = get(&client, path);
    assert_status(r, 200);
    json_t *document = openapi_document();
    const json_t *schemas = json_object_get(json_object_get(document, "components"), "schemas");
    assert_true(has_shape(schemas, "Entry", r.json));
    json_decref(document);
    assert_true(json_is_true(json_object_get(json_object_get(r.json, "aside"), "may_settle")));
    const char *settle =
        arena_printf(&client.site.arena,
                     "{'kind':'settle','uuid':'11111111-2222-4333-8444-666666666666','person':1,"
                     "'aside':%lld,'outcome':'told-again','reason':'sent again'}",
                     aside);
    r = tell(arena_printf(&client.site.arena, "{'commands':[%s,%s]}",
                          arena_printf(&client.site.arena, refused, "shed"), settle));
    assert_problem(r, 422, "field-choice");
    r = get(&client, path);
    assert_true(json_is_null(json_object_get(json_object_get(r.json, "aside"), "settled_by")));
    r = tell(arena_printf(&client.site.arena, "{'commands':[%s,%s]}",
                          arena_printf(&client.site.arena, refused, "store"), settle));
    assert_status(r, 200);
    const json_t *answers = json_object_get(r.json, "answers");
    assert_int_equal(number_in(json_array_get(answers, 1), "now_in"),
                     number_in(json_array_get(answers, 0), "entry"));
    r = get(&client, path);
    assert_int_equal(number_in(json_object_get(r.json, "aside"), "settled_by"),
                     number_in(json_array_get(answers, 1), "entry"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_command_is_taken_once_however_often_it_comes, begin, end),
        cmocka_unit_test_setup_teardown(several_stand_or_fall_together, begin, end),
        cmocka_unit_test_setup_teardown(a_dry_one_says_what_would_be_and_keeps_nothing, begin, end),
        cmocka_unit_test_setup_teardown(nobody_speaks_for_somebody_else, begin, end),
        cmocka_unit_test_setup_teardown(each_signature_takes_the_password_anew, begin, end),
        cmocka_unit_test_setup_teardown(what_a_tablet_kept_is_taken_from_it, begin, end),
        cmocka_unit_test_setup_teardown(what_was_refused_is_set_aside_and_goes_with_its_recording,
                                        begin, end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

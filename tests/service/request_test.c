#include "fixture.h"

#include "base/file.h"
#include "service/request.h"

/* Who may sign is asked of any store, here of the writer's own. */
static struct result check(struct plant *plant, struct session *session, json_t *request)
{
    struct arena a;
    arena_init(&a, 1 << 24);
    struct result r = request_check(plant->store, session, request, &a);
    json_decref(request);
    arena_release(&a);
    return r;
}

static json_t *with_password(json_t *request, const char *password)
{
    json_object_set_new(request, "password", json_string(password));
    return request;
}

static struct door *open_house(struct site *s)
{
    struct door *door;
    site_open(s);
    site_house(s, "{'kind':'person','number':2,'role':'quality'}\n");
    assert_ok(door_open(PLANT, s->world, &door));
    return door;
}

static json_t *hold_limit(struct site *s)
{
    return take_of(s,
                   "{'kind':'limit','limit':'cold-room','high':'4','low':'1','source':'the house',"
                   "'reason':'keeps longer'}");
}

static void signing_takes_ones_own_password_once_a_session(void **state)
{
    (void)state;
    struct site s;
    struct door *door = open_house(&s);
    struct plant *plant = door_plant(door);
    struct session first = {.count = 0}, other = {.count = 0};
    struct result r = check(plant, &first, hold_limit(&s));
    assert_code(r, PASSWORD_NEEDED);
    assert_string_equal(r.value[0], "1");
    assert_code(check(plant, &first, with_password(hold_limit(&s), "Hypocotyl-and-hook")),
                PASSWORD_WRONG);
    assert_code(check(plant, &first, with_password(hold_limit(&s), "")), PASSWORD_WRONG);
    assert_code(check(plant, &first, hold_limit(&s)),
                PASSWORD_NEEDED); /* a wrong one is no proof */
    assert_ok(check(plant, &first, with_password(hold_limit(&s), PASSWORD)));
    assert_ok(check(plant, &first, hold_limit(&s)));
    assert_code(check(plant, &other, hold_limit(&s)), PASSWORD_NEEDED);
    door_close(door);
    site_close(&s);
}

static void every_signed_kind_asks_and_no_other(void **state)
{
    (void)state;
    static const char *const signs[] = {"release",        "review",        "strike",  "limit",
                                        "lift",           "approve",       "profile", "person",
                                        "second-reading", "heat-constants"};
    static const char *const free_kinds[] = {"place", "ship",     "harvest",
                                             "hold",  "restored", "order"};
    struct site s;
    struct door *door = open_house(&s);
    struct session session = {.count = 0};
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        json_t *request = take_of(&s, "{'kind':'%s'}", signs[i]);
        assert_code(check(door_plant(door), &session, request), PASSWORD_NEEDED);
        json_t *all =
            json_of(&s, "{'do':'take-all','commands':[{'kind':'place'},{'kind':'%s'}]}", signs[i]);
        assert_code(check(door_plant(door), &session, all), FIELD_CHOICE); /* one by one */
    }
    for (size_t i = 0; i < sizeof free_kinds / sizeof free_kinds[0]; i++) {
        json_t *request = take_of(&s, "{'kind':'%s'}", free_kinds[i]);
        assert_ok(check(door_plant(door), &session, request));
    }
    door_close(door);
    site_close(&s);
}

static void proving_one_person_proves_no_other(void **state)
{
    (void)state;
    struct site s;
    struct door *door = open_house(&s);
    struct plant *plant = door_plant(door);
    struct session session = {.count = 0};
    assert_ok(check(plant, &session, with_password(hold_limit(&s), PASSWORD)));
    json_t *second = take_of(&s, "{'kind':'limit','limit':'cold-room','person':2}");
    assert_code(check(plant, &session, with_password(second, PASSWORD)), PASSWORD_WRONG);
    json_t *secret = json_of(&s, "{'do':'person','number':2,'name':'Testa 2','by':1,"
                                 "'password':'epicotyl-and-node'}");
    assert_ok(post(door, with_password(hold_limit(&s), PASSWORD)));
    assert_ok(post(door, secret)); /* the manager stands proved in this door's session */
    second = take_of(&s, "{'kind':'limit','limit':'cold-room','person':2}");
    assert_code(check(plant, &session, with_password(second, PASSWORD)), PASSWORD_WRONG);
    second = take_of(&s, "{'kind':'limit','limit':'cold-room','person':2}");
    assert_ok(check(plant, &session, with_password(second, "epicotyl-and-node")));
    door_close(door);
    site_close(&s);
}

static void names_are_put_by_oneself_or_a_manager(void **state)
{
    (void)state;
    struct site s;
    struct door *door = open_house(&s);
    json_t *by_nobody = json_of(&s, "{'do':'person','number':2,'name':'Testa 2'}");
    assert_code(post(door, by_nobody), FIELD_MISSING);
    json_t *unproved = json_of(&s, "{'do':'person','number':2,'name':'Testa 2','by':1}");
    assert_code(post(door, unproved), PASSWORD_NEEDED);
    json_t *unknown = json_of(&s,
                              "{'do':'person','number':2,'name':'Testa 2','by':7,"
                              "'by_password':'%s'}",
                              PASSWORD);
    assert_code(post(door, unknown), PASSWORD_WRONG);
    json_t *short_one = json_of(&s,
                                "{'do':'person','number':2,'name':'Testa 2','by':1,"
                                "'by_password':'%s','password':'hilum'}",
                                PASSWORD);
    assert_code(post(door, short_one), FIELD_RANGE);
    json_t *good = json_of(&s, "{'do':'person','number':2,'name':'Testa 2','by':1,"
                               "'password':'epicotyl-and-node'}");
    assert_ok(post(door, good));
    json_t *other = json_of(&s, "{'do':'person','number':1,'name':'Radicle','by':2,"
                                "'by_password':'epicotyl-and-node'}");
    assert_code(post(door, other), ROLE_MISSING);
    json_t *erase = json_of(&s, "{'do':'erase-person','number':1,'by':2}");
    assert_code(post(door, erase), ROLE_MISSING);
    json_t *self = json_of(&s, "{'do':'person','number':2,'name':'Radicle 2','by':2}");
    assert_ok(post(door, self));
    door_close(door);
    site_close(&s);
}

/* A wish to be forgotten: the name goes out of the file and its log, the number stays. */
static void what_is_erased_stands_nowhere_any_more(void **state)
{
    (void)state;
    struct site s;
    struct door *door = open_house(&s);
    json_t *put = json_of(&s,
                          "{'do':'person','number':2,'name':'Nyctinasty Cataphyll','by':1,"
                          "'by_password':'%s','contact':'cataphyll@seedcoat.example',"
                          "'password':'epicotyl-and-node'}",
                          PASSWORD);
    assert_ok(post(door, put));
    door_close(door);
    assert_true(stands_in(&s, "p/plant.db", "Nyctinasty Cataphyll"));
    assert_true(stands_in(&s, "p/plant.db", "cataphyll@seedcoat.example"));
    assert_ok(door_open(PLANT, s.world, &door));
    json_t *erase =
        json_of(&s, "{'do':'erase-person','number':2,'by':1,'by_password':'%s'}", PASSWORD);
    assert_ok(post(door, erase));
    json_t *signed_by_2 = take_of(&s, "{'kind':'limit','limit':'cold-room','person':2}");
    assert_code(post(door, with_password(signed_by_2, "epicotyl-and-node")), PASSWORD_WRONG);
    json_t *told = take_of(&s, "{'kind':'place','code':'LAB','place_kind':'lab','person':2}");
    assert_ok(post(door, told)); /* still a person of this house */
    door_close(door);
    static const char *const files[] = {"p/plant.db", "p/plant.db-wal"};
    for (size_t i = 0; i < 2; i++) {
        assert_false(stands_in(&s, files[i], "Nyctinasty Cataphyll"));
        assert_false(stands_in(&s, files[i], "cataphyll@seedcoat.example"));
    }
    site_close(&s);
}

static void a_partners_names_stand_beside_the_record(void **state)
{
    (void)state;
    struct site s;
    struct door *door;
    site_open(&s);
    site_bare(&s);
    assert_ok(door_open(PLANT, s.world, &door));
    json_t *nameless = json_of(&s, "{'do':'contact','code':'NODE-1'}");
    assert_code(post(door, nameless), FIELD_MISSING);
    json_t *contact = json_of(&s, "{'do':'contact','code':'NODE-1','name':'Node shop',"
                                  "'contact':'node@shop.example'}");
    assert_ok(post(door, contact));
    struct statement *q = store_prepare(door_plant(door)->store, Q_PARTNER_CONTACT_GET);
    store_bind_text(q, 1, "NODE-1");
    bool row;
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_string_equal(store_text(q, 0), "Node shop");
    assert_string_equal(store_text(q, 1), "node@shop.example");
    assert_ok(store_step(q, &row));
    door_close(door);
    assert_int_equal(entries_of(&s, PLANT), 1); /* no entry carries it */
    site_close(&s);
}

static void an_envelope_brings_the_refusal_back(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 20);
    struct result sent =
        result_at(FAIL3(LOT_KIND, "inputs[0].lot", "L1", "seed", "growing"), 12, 7);
    json_t *envelope = request_envelope(&a, &sent, json_object()), *answer = (json_t *)&a;
    struct result got = request_unwrap(envelope, &answer);
    assert_code(got, LOT_KIND);
    assert_string_equal(got.field, "inputs[0].lot");
    assert_string_equal(got.value[0], "L1");
    assert_string_equal(got.value[1], "seed");
    assert_string_equal(got.value[2], "growing");
    assert_int_equal(got.line, 12);
    assert_int_equal(got.column, 7);
    assert_null(answer);
    const json_t *error = json_object_get(envelope, "error");
    assert_string_equal(text_in(error, "sentence"), result_sentence(&a, &sent));
    json_decref(envelope);
    struct result ok = RESULT_OK;
    envelope = request_envelope(&a, &ok, json_pack("{s:i}", "entry", 4));
    assert_ok(request_unwrap(envelope, &answer));
    assert_int_equal(number_in(answer, "entry"), 4);
    json_decref(answer);
    json_decref(envelope);
    arena_release(&a);
}

static void an_envelope_of_another_make_is_not_believed(void **state)
{
    (void)state;
    static const char *const odd[] = {"{}",
                                      "[]",
                                      "7",
                                      "{\"ok\":\"yes\"}",
                                      "{\"ok\":false}",
                                      "{\"ok\":false,\"error\":{\"code\":\"moult\"}}",
                                      "{\"ok\":false,\"error\":{\"code\":3}}",
                                      "{\"ok\":false,\"error\":{\"code\":\"ok\"}}"};
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        json_t *envelope = json_loads(odd[i], JSON_DECODE_ANY, NULL), *answer;
        assert_non_null(envelope);
        assert_code(request_unwrap(envelope, &answer), SOCKET_BAD);
        assert_null(answer);
        json_decref(envelope);
    }
}

/* In one group with commands that are taken: those stand, what was only asked does not. */
static void what_is_asked_dry_leaves_the_others_alone(void **state)
{
    (void)state;
    struct site s;
    struct door *door = open_house(&s);
    struct plant *plant = door_plant(door);
    int64_t next = plant->ledger->next_seq;
    struct merkle_edge edge = plant->ledger->tree;
    json_t *take_b = take_of(&s, "{'kind':'place','code':'B','place_kind':'store'}");
    json_t *take_d = take_of(&s, "{'kind':'moult'}");
    json_t *requests[] = {
        take_of(&s, "{'kind':'place','code':'A','place_kind':'store'}"),
        json_pack("{s:s,s:O}", "do", "dry", "command", json_object_get(take_b, "command")),
        take_of(&s, "{'kind':'place','code':'C','place_kind':'store'}"),
        json_pack("{s:s,s:[O,O]}", "do", "dry", "commands", json_object_get(take_b, "command"),
                  json_object_get(take_d, "command")),
        json_pack("{s:s}", "do", "dry"),
    };
    struct result r[5];
    json_t *answers[5];
    group_take(plant, (const json_t *const *)requests, 5, r, answers);
    assert_ok(r[0]);
    assert_ok(r[1]);
    assert_ok(r[2]);
    assert_code(r[3], KIND_UNKNOWN);
    assert_code(r[4], FIELD_MISSING);
    assert_int_equal(number_in(json_array_get(answers[1], 0), "entry"), next + 1);
    assert_int_equal(number_in(answers[2], "entry"), next + 1);
    assert_int_equal(plant->ledger->next_seq, next + 2);
    assert_int_equal(plant->ledger->tree.size, edge.size + 2);
    for (size_t i = 0; i < 5; i++) {
        json_decref(requests[i]);
        json_decref(answers[i]);
    }
    json_decref(take_b);
    json_decref(take_d);
    door_close(door);
    assert_int_equal(places_named(&s, PLANT, "A") + places_named(&s, PLANT, "C"), 2);
    assert_int_equal(places_named(&s, PLANT, "B"), 0);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(signing_takes_ones_own_password_once_a_session,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(every_signed_kind_asks_and_no_other, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(proving_one_person_proves_no_other, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(names_are_put_by_oneself_or_a_manager, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(what_is_erased_stands_nowhere_any_more, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_partners_names_stand_beside_the_record, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(what_is_asked_dry_leaves_the_others_alone, folder_enter,
                                        folder_leave),
        cmocka_unit_test(an_envelope_brings_the_refusal_back),
        cmocka_unit_test(an_envelope_of_another_make_is_not_believed),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

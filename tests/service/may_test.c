/* Every role against everything that can be sent: what the list says is what the ledger does. What
 * somebody must be trained for is offered from the day they are until the training ends. */
#include "fixture.h"

#include "ledger/view.h"
#include "service/may.h"

static const char *const roles[] = {"manager", "quality", "planner",  "grower",      "line",
                                    "intake",  "hygiene", "dispatch", "maintenance", "auditor"};
enum { ROLES = sizeof roles / sizeof roles[0] };

static json_t *list_of(struct plant *plant, const struct profile *p, const char *role,
                       int64_t person, int64_t at_ms)
{
    json_t *list = NULL;
    const struct may_asking who = {.store = plant != NULL ? plant->store : NULL,
                                   .profile = p,
                                   .role = role,
                                   .person = person,
                                   .at_ms = at_ms};
    assert_ok(may_list(&who, &list));
    return list;
}

static bool lists(const json_t *list, const char *prefix, const char *name)
{
    char wanted[128];
    size_t i;
    json_t *item;
    snprintf(wanted, sizeof wanted, "%s%s", prefix, name);
    json_array_foreach(list, i, item)
    {
        if (strcmp(json_string_value(item), wanted) == 0) {
            return true;
        }
    }
    return false;
}

/* Whether the ledger turns a command of this kind away for who sends it. */
static bool is_turned_away(struct site *s, struct plant *plant, const char *kind, int64_t person)
{
    json_t *request = take_of(s, "{'kind':'%s','person':%lld}", kind, (long long)person);
    const json_t *one = request;
    json_t *answer = NULL;
    struct result r;
    group_take(plant, &one, 1, &r, &answer);
    json_decref(answer);
    json_decref(request);
    return r.code == CODE_ROLE_MISSING;
}

static void take(struct site *s, struct plant *plant, json_t *request)
{
    const json_t *one = request;
    json_t *answer = NULL;
    struct result r;
    group_take(plant, &one, 1, &r, &answer);
    assert_ok(r);
    json_decref(answer);
    json_decref(request);
}

static void train(struct site *s, struct plant *plant, const char *training, int64_t person)
{
    take(s, plant,
         take_of(s, "{'kind':'training','about':%lld,'training':'%s','passed':true,'person':%d}",
                 (long long)person, training, person == 1 ? 2 : 1));
}

/* Everybody is trained for everything. */
static void train_all(struct site *s, struct plant *plant)
{
    const struct profile *p = plant->ledger->profile;
    for (size_t i = 0; i < p->training_count; i++) {
        for (int64_t person = 1; person <= ROLES; person++) {
            train(s, plant, p->trainings[i].name, person);
        }
    }
}

static void check(struct site *s, struct plant *plant, const char *kind, size_t role,
                  const json_t *list)
{
    bool may = lists(list, "record:", kind);
    if (is_turned_away(s, plant, kind, (int64_t)role + 1) == may) {
        print_error("%s and %s: the list says %d\n", roles[role], kind, may);
        fail();
    }
}

static void the_list_says_what_the_ledger_does(void **state)
{
    (void)state;
    struct site s;
    struct door *door;
    struct plant *plant;
    static const char *const kinds[] = {
#define ACT(name, function, who) who != NULL ? name : NULL,
#include "ledger/acts.def"
#undef ACT
    };
    static const char *const actions[][2] = {
        {"release", "release"}, {"lift", "lift"},      {"hold", "hold"},
        {"review", "review"},   {"strike", "strike"},  {"limit", "limit"},
        {"people", "person"},   {"plan", "plan-take"}, {"attach", "attach"},
    };
    site_open(&s);
    site_house(&s, NULL);
    assert_ok(door_open(PLANT, s.world, &door));
    for (size_t i = 1; i < ROLES; i++) {
        json_t *command =
            take_of(&s, "{'kind':'person','number':%zu,'role':'%s'}", i + 1, roles[i]);
        json_object_set_new(command, "password", json_string(PASSWORD));
        assert_ok(post(door, command));
    }
    door_close(door);
    assert_ok(plant_open_write(PLANT, s.world, &plant));
    train_all(&s, plant);
    const struct profile *p = plant->ledger->profile;
    for (size_t role = 0; role < ROLES; role++) {
        json_t *list = list_of(plant, p, roles[role], (int64_t)role + 1, s.fixed.now_ms);
        for (size_t i = 0; i < p->step_count; i++) {
            check(&s, plant, p->steps[i].name, role, list);
        }
        for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
            if (kinds[i] != NULL) {
                check(&s, plant, kinds[i], role, list);
            }
        }
        for (size_t i = 0; i < sizeof actions / sizeof actions[0]; i++) {
            assert_int_equal(lists(list, "", actions[i][0]), lists(list, "record:", actions[i][1]));
        }
        json_decref(list);
    }
    plant_close(plant);
    site_close(&s);
}

static bool may_clean(struct site *s, struct plant *plant, int64_t at_ms)
{
    json_t *list = list_of(plant, plant->ledger->profile, "hygiene", 2, at_ms);
    bool may = lists(list, "record:", "clean");
    assert_true(lists(list, "record:", "titration")); /* asks for no training */
    json_decref(list);
    return may;
}

static void the_untrained_are_not_offered_it(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant;
    site_open(&s);
    site_house(&s, "{'kind':'person','number':2,'role':'hygiene'}\n");
    assert_ok(plant_open_write(PLANT, s.world, &plant));
    int64_t now_ms = s.fixed.now_ms, year_ms = INT64_C(365) * 86400000;
    assert_false(may_clean(&s, plant, now_ms));
    train(&s, plant, "sampling", 2);
    assert_false(may_clean(&s, plant, now_ms));
    train(&s, plant, "cleaning", 2);
    assert_true(may_clean(&s, plant, now_ms));
    assert_true(may_clean(&s, plant, now_ms + year_ms - 1));
    assert_false(may_clean(&s, plant, now_ms + year_ms));
    plant_close(plant);
    site_close(&s);
}

static void nobody_may_nothing_and_the_auditor_only_reads(void **state)
{
    (void)state;
    json_t *list = list_of(NULL, NULL, NULL, 0, 0);
    assert_int_equal(json_array_size(list), 0);
    json_decref(list);
    list = list_of(NULL, NULL, "auditor", 13, 0);
    assert_int_equal(json_array_size(list), 0);
    json_decref(list);
    list = list_of(NULL, NULL, "manager", 1, 0);
    assert_true(lists(list, "", "stations"));
    json_decref(list);
    list = list_of(NULL, NULL, "quality", 2, 0);
    assert_false(lists(list, "", "stations"));
    json_decref(list);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_list_says_what_the_ledger_does, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(the_untrained_are_not_offered_it, folder_enter,
                                        folder_leave),
        cmocka_unit_test(nobody_may_nothing_and_the_auditor_only_reads),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

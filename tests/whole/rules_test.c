/* What may be asked and what may only be told, at the command line. rules_test PLUMULE */
#include "plants.h"

#define AS(plant, person) \
    "--plant", (plant), "--json", "--password-file", "password", "--as", (person)

static const char *lot_of(struct launch *r, const char *plant, const char *kind, const char *item)
{
    RUN_OK(r, "--plant", plant, "--json", "lots", "--kind", kind);
    return listed(r, "lot", item != NULL ? "item" : NULL, item);
}

static const char *word(struct launch *r, const char *name, const char *value)
{
    return arena_printf(&r->arena, "%s=%s", name, value);
}

/* Refused with that code, and nothing is written. */
static void assert_refused(struct launch *r, const char *plant, int64_t before, const char *code)
{
    assert_string_equal(refusal_of(r), code);
    assert_int_equal(plant_entries(plant), before);
}

static void a_lot_number_that_exists_is_not_given_twice(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("a");
    int64_t before = plant_entries("a");
    static const char *const modes[] = {"--ask", "--tell"};
    for (size_t i = 0; i < 2; i++) {
        RUN_CODE(r, 4, AS("a", "9"), "record", "receive", "supplier=TESTA-1", "item=MUNGSEED",
                 "mass=100 kg", "place=DS-1", "lot=MUNGSEED-1", modes[i]);
        assert_refused(r, "a", before, "lot-exists");
    }
}

static void a_held_lot_may_not_be_asked_to_leave(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("b");
    const char *lot = lot_of(r, "b", "packed", NULL);
    RUN_OK(r, AS("b", "2"), "hold", "place", "hold_kind=quality", word(r, "lot", lot),
           "stops=use,release,load", "needs=decision", "reason=smell");
    int64_t before = plant_entries("b");
    RUN_CODE(r, 4, AS("b", "11"), "record", "ship", "customer=RADICLE-1", word(r, "lot", lot));
    assert_refused(r, "b", before, "held");
    RUN_SAYS(r, "is held");
}

/* Telling is never unheard: it is booked with its deviation, and whom to tell is worked out. */
static void a_held_lot_that_left_opens_its_scope(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("c");
    const char *lot = lot_of(r, "c", "packed", NULL);
    RUN_OK(r, AS("c", "2"), "hold", "place", "hold_kind=quality", word(r, "lot", lot),
           "stops=use,release,load", "needs=decision", "reason=smell");
    int64_t before = plant_entries("c");
    RUN_OK(r, AS("c", "11"), "record", "ship", "customer=RADICLE-1", word(r, "lot", lot), "--tell");
    assert_true(deviates(r, "held"));
    json_t *scope = consequence_of(r, "scope");
    assert_non_null(scope);
    char *text = json_dumps(scope, 0);
    assert_non_null(strstr(text, lot));
    assert_non_null(strstr(text, "RADICLE-1"));
    free(text);
    json_decref(scope);
    assert_true(plant_entries("c") >= before + 2); /* the shipment, and what follows from it */
    RUN_OK(r, "--plant", "c", "recall", lot);
    RUN_SAYS(r, "RADICLE-1");
    RUN_OK(r, "--plant", "c", "verify");
}

static void a_harvest_that_cannot_be_is_told_with_its_deviation(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("d");
    const char *lot = lot_of(r, "d", "growing", "MUNG");
    int64_t before = plant_entries("d");
    RUN_CODE(r, 4, AS("d", "6"), "record", "harvest", word(r, "lot", lot), "share=rest",
             "mass=3000 kg", "place=W-1", "--ask");
    assert_refused(r, "d", before, "expansion-out");
    RUN_OK(r, AS("d", "6"), "record", "harvest", word(r, "lot", lot), "share=rest", "mass=3000 kg",
           "place=W-1", "--tell");
    assert_true(deviates(r, "expansion-out"));
    assert_int_equal(plant_entries("d"), before + 1);
}

/* 106 to 108 kg of seed at 10 % moisture hold at most 97.2 kg of dry matter; 840 kg of sprouts at
 * 80 % would hold 168 kg (computed here). */
static void dry_matter_above_the_seeds_is_told_with_its_deviation(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("e");
    const char *lot = lot_of(r, "e", "growing", "MUNG");
    int64_t before = plant_entries("e");
    RUN_CODE(r, 4, AS("e", "6"), "record", "harvest", word(r, "lot", lot), "share=rest",
             "mass=840 kg", "moisture=80 %", "place=W-1", "--ask");
    assert_refused(r, "e", before, "dry-matter-over");
    RUN_OK(r, AS("e", "6"), "record", "harvest", word(r, "lot", lot), "share=rest", "mass=840 kg",
           "moisture=80 %", "place=W-1", "--tell");
    assert_true(deviates(r, "dry-matter-over"));
    assert_false(deviates(r, "expansion-out"));
    RUN_OK(r, "--plant", "e", "verify");
}

static void a_command_under_its_uuid_again_is_the_same_entry(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("f");
    static const char line[] = "{\"kind\":\"cold-check\",\"place\":\"CR-1\",\"temp\":\"3 C\","
                               "\"uuid\":\"5f0f0b0e-0000-4000-8000-000000000001\"}\n"
                               "{\"kind\":\"cold-check\",\"place\":\"CR-1\",\"temp\":\"3 C\","
                               "\"uuid\":\"5f0f0b0e-0000-4000-8000-000000000001\"}\n"
                               "{\"kind\":\"cold-check\",\"place\":\"CR-1\",\"temp\":\"4 C\","
                               "\"uuid\":\"5f0f0b0e-0000-4000-8000-000000000001\"}\n";
    int64_t before = plant_entries("f");
    r->input = line;
    RUN_CODE(r, 4, AS("f", "6"), "record", "-");
    json_t *first = run_json(r, 0), *second = run_json(r, 1), *third = run_json(r, 2);
    json_t *one = json_object_get(first, "answer"), *two = json_object_get(second, "answer");
    assert_null(json_object_get(one, "repeated"));
    assert_true(json_is_true(json_object_get(two, "repeated")));
    json_object_del(two, "repeated");
    assert_true(json_equal(one, two));
    const json_t *error = json_object_get(third, "error");
    assert_string_equal(json_string_value(json_object_get(error, "code")), "uuid-reused");
    assert_int_equal(plant_entries("f"), before + 1);
    json_decref(first);
    json_decref(second);
    json_decref(third);
}

/* An empty list of a misspelt kind would read as if nothing were left. */
static void a_kind_that_is_not_here_is_no_empty_list(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    plant_copy("k");
    RUN_CODE(r, 3, "--plant", "k", "lots", "--kind", "nosuch");
    RUN_SAYS(r, "kind is \"nosuch\"; it must be one of ");
    RUN_SAYS(r, "growing");
    RUN_OK(r, "--plant", "k", "lots", "--kind", "reworked"); /* none, and there can be */
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_lot_number_that_exists_is_not_given_twice),
        cmocka_unit_test(a_held_lot_may_not_be_asked_to_leave),
        cmocka_unit_test(a_held_lot_that_left_opens_its_scope),
        cmocka_unit_test(a_harvest_that_cannot_be_is_told_with_its_deviation),
        cmocka_unit_test(dry_matter_above_the_seeds_is_told_with_its_deviation),
        cmocka_unit_test(a_command_under_its_uuid_again_is_the_same_entry),
        cmocka_unit_test(a_kind_that_is_not_here_is_no_empty_list),
    };
    if (argc < 2) {
        return 2;
    }
    plants_program(program_path(argv[1]));
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, plants_open, plants_close);
}

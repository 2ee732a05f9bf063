/* What a device told and the record refused: kept, listed as open, settled by words. */
#include "stock.h"

#include "evidence.h"
#include "ledger/verify.h"

#define REFUSED_UUID "11111111-2222-4333-8444-555555555555"
#define TOLD                                                                         \
    "{\"chamber\":\"C2\",\"device\":\"page-2\",\"kind\":\"harvest\",\"mass\":\"790 " \
    "kg\",\"person\":4,"                                                             \
    "\"uuid\":\"" REFUSED_UUID "\"}"

static struct house h;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    struct verify_report report;
    assert_ok(ledger_verify(h.store, NULL, &h.arena, &report)); /* a replay gives the same tables */
    assert_int_equal(report.found, 0);
    house_close(&h);
    return 0;
}

static json_t *aside_of(const char *command)
{
    return json_pack("{s:s,s:s,s:i,s:i,s:s,s:s,s:[s],s:s}", "kind", "set-aside", "told", command,
                     "person", 4, "number", 3, "code", "chamber-empty", "field", "chamber",
                     "values", "C2", "device", "page-2");
}

static int64_t set_aside(const char *command)
{
    assert_ok(house_send_json(&h, aside_of(command)));
    return house_number(&h, "entry");
}

static struct result settle(int64_t entry, int person, const char *more)
{
    return house_send(&h, "{'kind':'settle','aside':%lld,'person':%d%s}", (long long)entry, person,
                      more);
}

static int open_tasks(void)
{
    struct statement *q = store_prepare(h.store, Q_TODAY_TASKS);
    int count = 0;
    bool row;
    for (;;) {
        assert_ok(store_step(q, &row));
        if (!row) {
            return count;
        }
        count++;
    }
}

static void what_was_refused_is_kept_as_it_was_told(void **state)
{
    (void)state;
    int64_t entry = set_aside(TOLD);
    assert_string_equal(house_answer(&h, "refused"), "harvest");
    assert_string_equal(house_answer(&h, "refused_uuid"), REFUSED_UUID);
    assert_string_equal(house_answer(&h, "place"), "C2");
    struct entry e = house_entry(&h, "set-aside");
    assert_int_equal(e.seq, entry);
    assert_string_equal(e.device, "page-2");
    assert_int_equal(e.person, 4);
    json_t *body;
    assert_ok(json_read_stored(e.body, &body));
    const json_t *did = json_object_get(body, "did");
    assert_string_equal(json_string_value(json_object_get(did, "told")), TOLD);
    assert_int_equal(json_integer_value(json_object_get(did, "number")), 3);
    json_decref(body);
    assert_string_equal(house_effect_text(&h, "task", 0, 2), "set-aside");
    assert_string_equal(house_effect_text(&h, "task", 0, 3), "harvest");
    assert_string_equal(house_effect_text(&h, "task", 0, 5), "C2");
    assert_int_equal(house_in_entry(&h, entry, "movement"), 0); /* no stock is moved */
    assert_int_equal(open_tasks(), 1);
}

/* A page that is loaded anew sends it again under the same number: one entry. */
static void sent_twice_it_is_kept_once(void **state)
{
    (void)state;
    int64_t first = 0;
    for (int i = 0; i < 2; i++) {
        json_t *command = aside_of(TOLD);
        json_object_set_new(command, "uuid", json_string("11111111-2222-8333-8444-555555555555"));
        assert_ok(house_send_json(&h, command));
        first = i == 0 ? house_number(&h, "entry") : first;
        assert_int_equal(house_number(&h, "entry"), first);
    }
    assert_int_equal(open_tasks(), 1);
}

static void lot_and_place_are_found_where_they_stand(void **state)
{
    (void)state;
    const char *lot = house_grow(&h, "C1", "100 kg");
    int64_t id = house_lot(&h, lot);
    static const char *const forms[] = {
        "{\"kind\":\"wash\",\"uuid\":\"" REFUSED_UUID "\",\"inputs\":[{\"lot\":\"%s\"}]}",
        "{\"kind\":\"soak\",\"uuid\":\"" REFUSED_UUID "\",\"lots\":[\"%s\"],\"place\":\"C1\"}",
        "{\"kind\":\"harvest\",\"uuid\":\"" REFUSED_UUID "\",\"lot\":\"%s\",\"share\":0.5}",
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        set_aside(arena_printf(&h.arena, forms[i], lot));
        assert_string_equal(house_answer(&h, "lot"), lot);
        assert_int_equal(house_effect(&h, "task", 0, 4), id);
    }
    /* what the house does not know is kept all the same, in words alone */
    set_aside("{\"kind\":\"harvest\",\"uuid\":\"" REFUSED_UUID
              "\",\"lot\":\"NONE-1\",\"chamber\":\"C99\"}");
    assert_string_equal(house_answer(&h, "lot"), "NONE-1");
    assert_string_equal(house_answer(&h, "place"), "C99");
    assert_int_equal(house_effect(&h, "task", 0, 4), 0);
    assert_string_equal(house_effect_text(&h, "task", 0, 5), "");
}

static void refused_with(enum code code, const char *key, json_t *value)
{
    json_t *command = aside_of(TOLD);
    json_object_set_new(command, key, value);
    assert_int_equal(house_send_json(&h, command).code, code);
}

static void what_cannot_be_read_is_refused(void **state)
{
    (void)state;
    refused_with(CODE_JSON_BAD, "told", json_string("{\"kind\":"));
    refused_with(CODE_FIELD_TYPE, "told", json_string("[1]"));
    refused_with(CODE_FIELD_MISSING, "told", json_string("{\"kind\":\"harvest\"}"));
    refused_with(CODE_UUID_BAD, "told", json_string("{\"kind\":\"harvest\",\"uuid\":\"x\"}"));
    refused_with(CODE_FIELD_RANGE, "told",
                 json_string("{\"kind\":\"set-aside\",\"uuid\":\"" REFUSED_UUID "\"}"));
    char *large = arena_alloc(&h.arena, 8194);
    memset(large, ' ', 8193);
    memcpy(large, TOLD, strlen(TOLD));
    large[8193] = '\0';
    refused_with(CODE_INPUT_LARGE, "told", json_string(large));
    large[8192] = '\0';
    set_aside(large); /* the most that is taken */
    refused_with(CODE_FIELD_RANGE, "code", json_string(""));
    refused_with(CODE_FIELD_RANGE, "number", json_integer(0));
    refused_with(CODE_FIELD_RANGE, "values", json_pack("[s,s,s,s]", "a", "b", "c", "d"));
    refused_with(CODE_FIELD_TYPE, "values", json_pack("[i]", 1));
    refused_with(CODE_FIELD_UNKNOWN, "colour", json_string("green"));
    refused_with(CODE_ROLE_MISSING, "person", json_integer(11)); /* an auditor only reads */
}

static void it_is_settled_once_with_words(void **state)
{
    (void)state;
    int64_t entry = set_aside(TOLD);
    const char *how = ",'outcome':'not-so','reason':'C-1 was meant'";
    assert_code(settle(entry, 2, ",'outcome':'not-so'"), FIELD_MISSING);
    assert_code(settle(entry, 2, ",'outcome':'forgotten','reason':'x'"), FIELD_CHOICE);
    assert_code(settle(entry, 2, ",'reason':'x'"), FIELD_MISSING);
    assert_code(settle(3, 2, how), ASIDE_UNKNOWN);
    house_refused(
        &h, STRIKE_KIND, /* nothing goes without a word of what became of it */
        house_text(&h, "{'kind':'strike','entry':%lld,'reason':'x','person':2}", (long long)entry));
    assert_code(settle(entry, 7, how), ROLE_MISSING); /* neither quality nor who told it */
    assert_code(settle(entry, 2, ",'outcome':'otherwise','now_in':9999,'reason':'x'"),
                ENTRY_UNKNOWN);
    assert_ok(settle(entry, 2, how));
    assert_int_equal(open_tasks(), 0);
    assert_code(settle(entry, 2, how), ASIDE_UNKNOWN);
    /* settled by mistake: struck, it is open again, and who told it may settle it */
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'it was so','person':2}",
               (long long)house_number(&h, "entry"));
    assert_int_equal(open_tasks(), 1);
    assert_ok(settle(entry, 4, ",'outcome':'otherwise','now_in':5,'reason':'told in entry 5'"));
    assert_int_equal(house_number(&h, "now_in"), 5);
    assert_int_equal(open_tasks(), 0);
}

/* Sent again and taken, it is found by its own number. */
static void told_again_it_names_the_entry(void **state)
{
    (void)state;
    int64_t entry = set_aside(TOLD);
    int64_t booked = house_take(
        &h, "{'kind':'handover','text':'C2 was harvested','uuid':'" REFUSED_UUID "','person':4}");
    assert_ok(settle(entry, 4, ",'outcome':'told-again','reason':'sent again'"));
    assert_int_equal(house_number(&h, "now_in"), booked);
}

static void a_task_of_it_is_not_done_without_words(void **state)
{
    (void)state;
    int64_t entry = set_aside(TOLD);
    int64_t task = house_effect(&h, "task", 0, 1);
    house_refused(&h, TASK_ASIDE,
                  house_text(&h, "{'kind':'task-done','task':%lld}", (long long)task));
    assert_ok(settle(entry, 1, ",'outcome':'not-so','reason':'pressed by mistake'"));
    house_refused(&h, TASK_UNKNOWN,
                  house_text(&h, "{'kind':'task-done','task':%lld}", (long long)task));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(what_was_refused_is_kept_as_it_was_told),
        T(sent_twice_it_is_kept_once),
        T(lot_and_place_are_found_where_they_stand),
        T(what_cannot_be_read_is_refused),
        T(it_is_settled_once_with_words),
        T(told_again_it_names_the_entry),
        T(a_task_of_it_is_not_done_without_words),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

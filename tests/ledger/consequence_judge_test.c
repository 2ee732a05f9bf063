/* Releases judged again: the three lists, what they hold and revoke, and what brings a lot back. */
#include "fixture/evidence.h"

#include "base/file.h"
#include "ledger/hold.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* Released, two cases gone. */
static struct house_batch released(const char *chamber)
{
    struct house_batch b = house_batch(&h, chamber, true);
    house_take(&h, "{'kind':'release','person':2,'lot':'%s','markets':['US']}", b.packed);
    house_take(&h, "{'kind':'ship','person':8,'customer':'COTYLEDON','units':['%s-0001..%s-0002']}",
               b.packed, b.packed);
    return b;
}

static bool in_force(const char *lot)
{
    return house_count(&h, Q_SCOPE_RELEASES, house_lot(&h, lot), NULL) != 0;
}

/* The record's own entry of that kind in the last answer. */
static const json_t *concluded(const char *kind)
{
    const json_t *list = json_object_get(h.answer, "consequences");
    for (size_t i = 0; i < json_array_size(list); i++) {
        const json_t *one = json_array_get(list, i);
        if (strcmp(json_string_value(json_object_get(one, "kind")), kind) == 0) {
            return one;
        }
    }
    return NULL;
}

/* Where a lot stands in the three lists: u, h, r or several of them. */
static const char *stands(const char *lot)
{
    static const char *const lists[] = {"unchanged", "held", "recall"};
    const json_t *judged = concluded("judged-again");
    const char *found = "";
    for (int i = 0; i < 3; i++) {
        const json_t *list = json_object_get(judged, lists[i]);
        for (size_t k = 0; k < json_array_size(list); k++) {
            if (strcmp(json_string_value(json_object_get(json_array_get(list, k), "lot")), lot) ==
                0) {
                found = arena_printf(&h.arena, "%s%c", found, lists[i][0]);
            }
        }
    }
    return found;
}

static const char *text_at(const json_t *o, const char *list, const char *key)
{
    const char *text =
        json_string_value(json_object_get(json_array_get(json_object_get(o, list), 0), key));
    assert_non_null(text);
    return text;
}

static int64_t clean_of(const char *place)
{
    struct entry e;
    bool found;
    for (int64_t seq = h.lg->next_seq - 1; seq > 0; seq--) {
        assert_ok(entry_by_seq(h.store, &h.arena, seq, &e, &found));
        if (strcmp(e.kind, "clean") == 0 &&
            strstr(e.body, arena_printf(&h.arena, "\"place\":\"%s\"", place)) != NULL) {
            return seq;
        }
    }
    fail();
    return 0;
}

static void a_struck_clean_takes_its_release_with_it(void **state)
{
    struct house_batch b = released("C1");
    int64_t clean = clean_of("PACK");
    assert_code(house_send(&h, "{'kind':'strike','person':1,'entry':%lld,'reason':'it was WASH'}",
                           (long long)clean),
                STRIKE_LATE);
    assert_code(house_send(&h, "{'kind':'strike','person':2,'entry':%lld,'reason':'it was WASH'}",
                           (long long)clean),
                STRIKE_SECOND);
    house_take(&h, "{'kind':'strike','person':2,'second':3,'entry':%lld,'reason':'it was WASH'}",
               (long long)clean);
    assert_string_equal(stands(b.packed), "hr"); /* some is here, some has gone */
    const json_t *judged = concluded("judged-again");
    const json_t *open = json_array_get(
        json_object_get(json_array_get(json_object_get(judged, "held"), 0), "open"), 0);
    assert_string_equal(json_string_value(json_object_get(open, "clause")), "clean");
    const json_t *recall = json_array_get(json_object_get(judged, "recall"), 0);
    assert_string_equal(text_at(recall, "customers", "customer"), "COTYLEDON");
    assert_int_equal(json_integer_value(json_object_get(
                         json_array_get(json_object_get(recall, "customers"), 0), "pieces")),
                     80);
    assert_false(in_force(b.packed));
    assert_code(house_send(&h,
                           "{'kind':'ship','person':8,'customer':'COTYLEDON','units':['%s-0003']}",
                           b.packed),
                HELD);
}

static void sorted_late(const char *lot, const char *start, const char *end)
{
    house_take(&h,
               "{'kind':'sort','mode':'tell','inputs':[{'lot':'%s','mass':'100 kg'}],'place':"
               "'SORT','at':'%s','start':'%s','end':'%s','outputs':[{'role':'main','mass':'99 kg'}"
               ",{'role':'culls','mass':'1 kg'}]}",
               lot, end, start, end);
}

/* A clean counts for nothing when product was on the place meanwhile, however late that is told. */
static void product_on_a_place_while_it_was_cleaned_reopens(void **state)
{
    const char *other = house_grow(&h, "C2", "100 kg");
    struct house_batch b = released("C1");
    struct entry clean;
    bool found;
    assert_ok(entry_by_seq(h.store, &h.arena, clean_of("SORT"), &clean, &found));
    const char *start = house_in_body(&h, &clean, "\"did\"", "start"),
               *end = house_in_body(&h, &clean, "\"did\"", "end");
    sorted_late(other, end, end); /* as it ended */
    assert_string_equal(stands(b.packed), "");
    sorted_late(other, start, end);
    assert_string_equal(stands(b.packed), "hr");
    const json_t *held = json_array_get(json_object_get(concluded("judged-again"), "held"), 0);
    const json_t *open = json_array_get(json_object_get(held, "open"), 0);
    assert_string_equal(json_string_value(json_object_get(open, "clause")), "clean");
    assert_string_equal(json_string_value(json_object_get(open, "place")), "SORT");
    assert_false(in_force(b.packed));
}

static void what_does_not_rest_on_it_stays(void **state)
{
    struct house_batch one = released("C1"), two = released("C2");
    int64_t clean = clean_of("C2");
    house_take(&h, "{'kind':'strike','person':2,'second':1,'entry':%lld,'reason':'not done'}",
               (long long)clean);
    assert_string_equal(stands(two.packed), "hr");
    assert_string_equal(stands(one.packed), "");
    assert_true(in_force(one.packed));
}

static void a_replacement_brings_it_back_once_reviewed(void **state)
{
    struct house_batch b = released("C1");
    struct entry e;
    bool found;
    assert_ok(entry_by_seq(h.store, &h.arena, clean_of("PACK"), &e, &found));
    const char *start = house_in_body(&h, &e, "\"did\"", "start"),
               *end = house_in_body(&h, &e, "\"did\"", "end");
    house_take(&h,
               "{'kind':'strike','person':2,'second':3,'entry':%lld,'reason':'150 was "
               "160','replace':{'kind':'clean','place':'PACK',"
               "'start':'%s','end':'%s','agent':'chlorine','strength':'160 mg/L','contact':'120 "
               "s','rinsed':true,"
               "'inspected':'pass'}}",
               (long long)e.seq, start, end);
    /* told anew, it has not been reviewed */
    assert_string_equal(stands(b.packed), "hr");
    const json_t *judged = concluded("judged-again");
    const char *hold = text_at(judged, "held", "hold");
    int64_t clean = json_integer_value(
        json_object_get(json_array_get(json_object_get(h.answer, "consequences"), 0), "entry"));
    const char *copy = arena_copy(&h.arena, hold);
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", copy,
                           (long long)clean),
                HOLD_EVIDENCE_OLD);
    int64_t review =
        house_take(&h, "{'kind':'review','person':3,'entries':[%lld]}", (long long)clean);
    house_take(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", copy,
               (long long)review);
    house_take(&h, "{'kind':'release','person':2,'lot':'%s','markets':['US']}", b.packed);
    house_take(&h, "{'kind':'ship','person':8,'customer':'COTYLEDON','units':['%s-0003']}",
               b.packed);
}

static void a_late_presumptive_reopens_a_release(void **state)
{
    struct house_batch b = released("C1");
    house_result(&h, b.sample, "Salmonella spp.", "presumptive");
    assert_string_equal(stands(b.packed), "hr");
    assert_false(in_force(b.packed));
}

static void a_further_negative_reopens_nothing(void **state)
{
    struct house_batch b = released("C1");
    house_result(&h, house_sample(&h, b.growing), "Salmonella spp.", "negative");
    assert_null(concluded("judged-again"));
    assert_true(in_force(b.packed));
}

static void a_probe_found_wrong_voids_the_treatment_it_measured(void **state)
{
    struct house_batch b = released("C1");
    house_take(&h, "{'kind':'calibrate','person':10,'instrument':'PROBE-1','as_found_error':900,'"
                   "uncertainty':50,"
                   "'due':'2027-03-01T00:00:00Z','ok':false}");
    assert_string_equal(stands(b.packed), "hr");
    const char *hold = arena_copy(&h.arena, text_at(concluded("judged-again"), "held", "hold"));
    int64_t paper = house_take(&h,
                               "{'kind':'attach','name':'error.txt','paper_kind':'report','bytes_"
                               "b64':'bm90ZQ==','lot':'%s'}",
                               b.packed);
    house_take(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
               (long long)paper);
}

static void a_good_calibration_reopens_nothing(void **state)
{
    struct house_batch b = released("C1");
    house_take(&h, "{'kind':'calibrate','person':10,'instrument':'PROBE-1','as_found_error':20,'"
                   "uncertainty':50,"
                   "'due':'2027-03-01T00:00:00Z','ok':true}");
    assert_null(concluded("judged-again"));
    /* and what was found after it speaks only of the time since */
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'calibrate','person':10,'instrument':'PROBE-1','as_found_error':900,'"
                   "uncertainty':50,"
                   "'due':'2027-03-01T00:00:00Z','ok':false}");
    assert_null(concluded("judged-again"));
    assert_true(in_force(b.packed));
}

static void a_scale_found_wrong_lists_what_it_weighed(void **state)
{
    struct house_batch b = released("C1");
    house_take(&h, "{'kind':'calibrate','person':10,'instrument':'SCALE','as_found_error':5000000,'"
                   "uncertainty':50000,"
                   "'due':'2027-03-01T00:00:00Z','ok':false}");
    assert_string_equal(stands(b.packed), "u");
    assert_true(in_force(b.packed));
}

static void a_seed_lot_blocked_reopens_what_grew_from_it(void **state)
{
    struct house_batch b = released("C1");
    house_take(&h, "{'kind':'approve','person':2,'lot':'%s','state':'blocked'}", b.seed);
    assert_string_equal(stands(b.packed), "hr");
}

static void an_action_on_the_environment_reopens(void **state)
{
    struct house_batch b = released("C1");
    house_take(&h, "{'kind':'environment','person':2,'place':'PACK','product_hold':true,'from':'"
                   "2026-03-02T04:00:00Z'}");
    assert_string_equal(stands(b.packed), "hr");
}

static void what_is_told_of_a_time_before_a_release_judges_it_again(void **state)
{
    struct house_batch b = released("C1");
    int64_t packed_ms = house_entry(&h, "pack").happened_ms;
    house_wait(&h, "1 h");
    /* the metal detector missed a piece after the pack run, told only now */
    house_take(&h,
               "{'kind':'metal-check','place':'METAL','fe':'missed','non_fe':'rejected','steel':'"
               "rejected','at':'%s'}",
               civil_text(&h.arena, packed_ms + 6 * 60000, 0));
    assert_true(stands(b.packed)[0] != '\0');
}

static void a_changed_limit_judges_what_is_in_trade(void **state)
{
    struct house_batch b = released("C1");
    house_take(&h, "{'kind':'limit','person':2,'limit':'purity','low':'98.5','source':'house','"
                   "reason':'tighter'}");
    assert_string_equal(stands(b.packed), "u");
    house_wait(&h, "30 d"); /* all sold or past its date: nothing here, nothing in trade */
    house_take(&h, "{'kind':'destroy','lot':'%s','to':'waste','reason':'r'}", b.packed);
    house_take(&h, "{'kind':'limit','person':2,'limit':'purity','low':'98.6','source':'house','"
                   "reason':'tighter'}");
    assert_null(concluded("judged-again"));
}

static void a_changed_profile_judges_by_the_new_one(void **state)
{
    struct house_batch b = released("C1");
    char *text;
    size_t len;
    assert_ok(file_read(&h.arena, PROFILE_FILE, 1 << 22, &text, &len));
    char *within = strstr(text, "\"within\": \"31 d\"");
    assert_non_null(within);
    memcpy(within, "\"within\": \"1 s\" ", 16);
    assert_ok(house_send_json(
        &h, json_pack("{s:s,s:s,s:i}", "kind", "profile", "text", text, "person", 2)));
    assert_string_equal(stands(b.packed), "hr");
}

static void a_replaced_log_reopens_what_was_treated_by_it(void **state)
{
    h.by_series = true;
    struct house_batch b = released("C1");
    int64_t start_ms = house_entry(&h, "heat-treat").happened_ms - 600000;
    house_take(&h, "{'kind':'seal','series':'treater-1','bytes_b64':'%s','replaces':'%s'}",
               house_piece(&h, start_ms, 84000), h.piece);
    assert_string_equal(stands(b.packed), "hr");
    assert_string_equal(
        text_at(json_array_get(json_object_get(concluded("judged-again"), "held"), 0), "open",
                "code"),
        "log-replaced");
}

static void a_told_shipment_without_release_opens_its_scope(void **state)
{
    struct house_batch b = house_batch(&h, "C1", false);
    house_take(&h,
               "{'kind':'ship','mode':'tell','person':8,'customer':'PLUMULA','units':['%s-0001..%s-"
               "0003']}",
               b.packed, b.packed);
    const json_t *scope = concluded("scope");
    assert_non_null(scope);
    assert_string_equal(text_at(scope, "recall", "lot"), b.packed);
    const json_t *line = json_array_get(json_object_get(scope, "recall"), 0);
    assert_string_equal(text_at(line, "customers", "customer"), "PLUMULA");
}

static void a_positive_is_struck_by_two_with_all_that_followed(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h, "{'kind':'release','person':2,'lot':'%s','markets':['US']}", b.packed);
    house_result(&h, b.sample, "Salmonella spp.", "presumptive");
    house_result(&h, b.sample, "Salmonella spp.", "confirmed-positive");
    int64_t positive = house_number(&h, "entry");
    assert_code(house_send(&h,
                           "{'kind':'strike','person':2,'entry':%lld,'reason':'another sample'}",
                           (long long)positive),
                STRIKE_SECOND);
    house_take(&h, "{'kind':'strike','person':2,'second':1,'entry':%lld,'reason':'another sample'}",
               (long long)positive);
    struct hold *holds;
    size_t count, positives = 0;
    assert_ok(holds_on(h.store, &h.arena, house_lot(&h, b.packed), 0, "", &holds, &count));
    for (size_t i = 0; i < count; i++) {
        positives += strcmp(holds[i].kind, "positive") == 0;
    }
    assert_int_equal(positives, 0);
    /* the presumptive still stands, and what that took away is not given back */
    assert_false(in_force(b.packed));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_struck_clean_takes_its_release_with_it),
        TEST(product_on_a_place_while_it_was_cleaned_reopens),
        TEST(what_does_not_rest_on_it_stays),
        TEST(a_replacement_brings_it_back_once_reviewed),
        TEST(a_late_presumptive_reopens_a_release),
        TEST(a_further_negative_reopens_nothing),
        TEST(a_probe_found_wrong_voids_the_treatment_it_measured),
        TEST(a_good_calibration_reopens_nothing),
        TEST(a_scale_found_wrong_lists_what_it_weighed),
        TEST(a_seed_lot_blocked_reopens_what_grew_from_it),
        TEST(an_action_on_the_environment_reopens),
        TEST(what_is_told_of_a_time_before_a_release_judges_it_again),
        TEST(a_changed_limit_judges_what_is_in_trade),
        TEST(a_changed_profile_judges_by_the_new_one),
        TEST(a_replaced_log_reopens_what_was_treated_by_it),
        TEST(a_told_shipment_without_release_opens_its_scope),
        TEST(a_positive_is_struck_by_two_with_all_that_followed),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

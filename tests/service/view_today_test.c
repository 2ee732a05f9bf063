/* The list of what needs somebody now: what stands first, for whom, in which words. */
#include "view_support.h"

#include "service/view_today.h"

static json_t *today_of(struct house *h, const char *role, const char *lang)
{
    struct view v = view_as(h, 1, role);
    json_t *out;
    v.lang = lang;
    assert_ok(view_today(&v, (int32_t)house_day(h), NULL, &out));
    return out;
}

static const json_t *lines_of(const json_t *today)
{
    return at_key(today, "lines");
}

static const char *first_what(const json_t *today)
{
    assert_true(json_array_size(lines_of(today)) > 0);
    return text_at(json_array_get(lines_of(today), 0), "what");
}

/* The three chambers of the house were never cleaned. */
static void a_new_house_cleans_its_chambers(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *today = today_of(&h, "hygiene", "en");
    assert_int_equal(json_array_size(lines_of(today)), 3);
    const json_t *line = json_array_get(lines_of(today), 0);
    assert_string_equal(text_at(line, "key"), "clean:C1");
    assert_string_equal(text_at(line, "sentence"),
                        "Chamber C1 has no clean on record. Clean it before its first use.");
    assert_string_equal(text_at(line, "verb"), "Clean");
    assert_string_equal(text_at(line, "tone"), "due");
    assert_string_equal(text_at(line, "place"), "C1");
    const json_t *go = at_key(line, "go");
    assert_string_equal(text_at(go, "page"), "record");
    assert_string_equal(text_at(go, "form"), "clean");
    assert_string_equal(text_at(at_key(go, "with"), "place"), "C1");
    json_decref(today);
    today = today_of(&h, "dispatch", "en");
    assert_int_equal(json_array_size(lines_of(today)), 0); /* no business of theirs */
    assert_true(json_is_null(at_key(today, "handover")));
    assert_int_equal(json_array_size(at_key(today, "owed")), 0);
    json_decref(today);
    house_close(&h);
}

/* 1950 C h at 19.5 C over a base of 10 C take 205.26 h after ten without heat (computed here). */
static void a_chamber_past_its_day_comes_first(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_grow(&h, "C2", "100 kg");
    house_wait(&h, "215 h");
    json_t *today = today_of(&h, "grower", "en");
    assert_non_null(first_what(today)); /* the sample is due */
    /* ready past the hour of harvest: the plan has it tomorrow */
    assert_null(with_text(lines_of(today), "what", "harvest"));
    json_decref(today);
    struct view v = view_as(&h, 9, "grower");
    assert_ok(view_today(&v, (int32_t)house_day(&h) + 1, NULL, &today));
    const json_t *soon = with_text(lines_of(today), "what", "harvest");
    assert_non_null(soon);
    assert_string_equal(text_at(soon, "tone"), "waiting");
    assert_string_equal(text_at(soon, "sentence"),
                        "Chamber C2 will be ready at 12:25: 736 kg to 864 kg.");
    json_decref(today);
    house_wait(&h, "1 h");
    today = today_of(&h, "grower", "en");
    assert_string_equal(first_what(today), "harvest");
    const json_t *line = json_array_get(lines_of(today), 0);
    assert_string_equal(text_at(line, "tone"), "due");
    /* 8-fold of 100 kg, 8 per cent either way without batches of its own */
    assert_string_equal(text_at(line, "sentence"),
                        "Chamber C2 is ready since 12:25: harvest it, 736 kg to 864 kg.");
    json_decref(today);
    today = today_of(&h, "grower", "es");
    assert_string_equal(text_at(json_array_get(lines_of(today), 0), "sentence"),
                        "La cámara C2 está lista desde 12:25: cosecharla, 736 kg a 864 kg.");
    assert_string_equal(text_at(json_array_get(lines_of(today), 0), "verb"), "Cosechar");
    json_decref(today);
    house_close(&h);
}

/* On the day the plan has it cut, which is the one before its own. */
static void a_chamber_is_harvested_on_the_day_of_the_plan(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "1 h");
    house_take(&h,
               "{'kind':'plan-take','starts':[],'harvests':[{'lot':'%s','day':'%s',"
               "'off_days':-1}]}",
               lot, day_text(&h.arena, (int32_t)house_day(&h) + 9));
    house_wait(&h, "207 h"); /* its own day is the tenth: past the hour of harvest on the ninth */
    json_t *today = today_of(&h, "grower", "en");
    const json_t *line = with_text(lines_of(today), "what", "harvest");
    assert_non_null(line);
    assert_string_equal(text_at(line, "sentence"),
                        "The plan has chamber C2 harvested one day early: 736 kg to 864 kg.");
    assert_string_equal(text_at(line, "tone"), "waiting");
    json_decref(today);
    today = today_of(&h, "grower", "es");
    assert_string_equal(text_at(with_text(lines_of(today), "what", "harvest"), "sentence"),
                        "El plan prevé cosechar la cámara C2 un día antes: 736 kg a 864 kg.");
    json_decref(today);
    house_close(&h);
}

static void a_positive_with_product_left_outranks_everything(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *growing = house_grow(&h, "C2", "100 kg");
    house_grow(&h, "C1", "100 kg");
    house_wait(&h, "220 h");
    const char *sample = house_sample(&h, growing);
    house_result(&h, sample, "Salmonella spp.", "presumptive");
    json_t *today = today_of(&h, "grower", "en");
    assert_string_equal(first_what(today), "presumptive");
    json_decref(today);
    house_result(&h, sample, "Salmonella spp.", "confirmed-positive");
    today = today_of(&h, "grower", "en");
    const json_t *first = json_array_get(lines_of(today), 0);
    assert_string_equal(text_at(first, "what"), "positive");
    assert_string_equal(text_at(first, "tone"), "stopped");
    assert_string_equal(text_at(first, "lot"), growing);
    assert_non_null(strstr(text_at(first, "sentence"), "Salmonella spp. was confirmed in sample"));
    assert_string_equal(text_at(at_key(first, "go"), "page"), "trace");
    assert_non_null(with_text(lines_of(today), "what", "harvest"));
    json_decref(today);
    house_close(&h);
}

/* What quality sees of a packed lot on its way: first the clause it lacks, then the release. */
static void a_lot_with_every_clause_met_is_offered_for_release(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", false);
    struct view v = view_as(&h, 3, "quality");
    json_t *today;
    assert_ok(view_today(&v, (int32_t)house_day(&h), NULL, &today));
    assert_null(with_text(lines_of(today), "what", "release"));
    assert_true(number_at(today, "review_count") > 5);
    assert_non_null(with_text(lines_of(today), "what", "review"));
    json_decref(today);
    house_review_all(&h);
    assert_ok(view_today(&v, (int32_t)house_day(&h), NULL, &today));
    assert_int_equal(number_at(today, "review_count"), 0);
    assert_null(with_text(lines_of(today), "what", "review"));
    assert_null(with_text(lines_of(today), "what", "clause"));
    const json_t *line = with_text(lines_of(today), "what", "release");
    assert_non_null(line);
    assert_string_equal(text_at(line, "lot"), b.packed);
    assert_string_equal(text_at(at_key(line, "go"), "page"), "lot");
    json_decref(today);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    assert_ok(view_today(&v, (int32_t)house_day(&h), NULL, &today));
    assert_null(with_text(lines_of(today), "what", "release"));
    json_decref(today);
    house_close(&h);
}

static void a_lot_that_lacks_one_clause_is_told_with_it(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    struct view v = view_as(&h, 3, "quality");
    json_t *today;
    struct entry last_check = house_entry(&h, "metal-check");
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'wrong line','person':2,'second':3}",
               (long long)last_check.seq);
    assert_ok(view_today(&v, (int32_t)house_day(&h), NULL, &today));
    const json_t *line = with_text(lines_of(today), "what", "clause");
    assert_non_null(line);
    assert_string_equal(
        text_at(line, "sentence"),
        arena_printf(&h.arena, "Lot %s lacks one clause only: Metal checks.", b.packed));
    assert_string_equal(text_at(line, "tone"), "waiting");
    assert_null(with_text(lines_of(today), "what", "release"));
    json_decref(today);
    house_close(&h);
}

static void order(struct house *h, const char *key, int days, int pieces)
{
    const char *day = day_text(&h->arena, (int32_t)house_day(h) + days);
    house_take(h,
               "{'kind':'order','source':'shop','lines':[{'key':'%s','customer':'COTYLEDON',"
               "'item':'MUNG250','day':'%s','pieces':%d}]}",
               key, day, pieces);
}

static void orders_are_shipped_and_shortages_told(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", false);
    int64_t pieces = house_balance(&h, b.packed, UNIT_PIECES);
    order(&h, "O-1", 0, 100);
    order(&h, "O-2", 1, (int)pieces);
    json_t *today = today_of(&h, "dispatch", "en");
    const json_t *ship = with_text(lines_of(today), "what", "ship");
    assert_non_null(ship);
    assert_non_null(strstr(text_at(ship, "sentence"), "Ship 100 pieces to COTYLEDON"));
    assert_string_equal(text_at(at_key(at_key(ship, "go"), "with"), "customer"), "COTYLEDON");
    json_decref(today);
    today = today_of(&h, "planner", "en");
    const json_t *missing =
        with_text(lines_of(today), "what", "short"); /* today's hundred go first */
    assert_non_null(missing);
    assert_non_null(strstr(text_at(missing, "sentence"), "100 pieces of MUNG250 are missing"));
    json_decref(today);
    house_close(&h);
}

static void standing_orders_without_an_order_and_packs_given_instead_are_told(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_batch(&h, "C1", false);
    const char *now = day_text(&h.arena, (int32_t)house_day(&h));
    house_take(&h, "{'kind':'item','code':'MUNG500','item_kind':'packed','net':'500 g',"
                   "'pieces_per_case':10,'life_days':8,'source_item':'MUNG'}");
    house_take(&h,
               "{'kind':'standing-order','code':'S-1','customer':'COTYLEDON','item':'MUNG500',"
               "'weekdays':['mon','tue','wed','thu','fri','sat','sun'],'pieces':30,'from':'%s',"
               "'to':'%s','person':9}",
               now, now);
    order(&h, "O-1", 0, 100);
    house_take(&h,
               "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':'O-1','day':'%s',"
               "'pieces':100,'instead':[{'item':'MUNG500','pieces':25}]}]}",
               now);
    json_t *today = today_of(&h, "dispatch", "en");
    const char *ship = text_at(with_text(lines_of(today), "what", "ship"), "sentence");
    assert_non_null(strstr(ship, "Ship 130 pieces to COTYLEDON"));
    assert_non_null(strstr(ship, "In place of what was ordered: 25 of MUNG500 (MUNG250 ordered)."));
    assert_non_null(strstr(ship, "30 of them by standing orders, no order yet: S-1."));
    json_decref(today);
    today = today_of(&h, "planner", "en"); /* packs of 250 g are there */
    const char *lacks = text_at(with_text(lines_of(today), "what", "short"), "sentence");
    assert_non_null(strstr(lacks, "55 pieces of MUNG500 are missing"));
    json_decref(today);
    house_close(&h);
}

static void closed_days_are_told_and_what_leaves_before_them(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int32_t now = (int32_t)house_day(&h);
    struct closing shut = {now + 1, now + 1, 127, CLOSES_DISPATCH | CLOSES_SOAK, "inventory"};
    struct profile with = *h.lg->profile;
    with.planning.closings = &shut;
    with.planning.closing_count = 1;
    order(&h, "O-1", 0, 100);
    order(&h, "O-2", 1, 40);
    struct view v = view_as(&h, 1, "dispatch");
    json_t *today;
    v.profile = &with;
    assert_ok(view_today(&v, now, NULL, &today));
    const json_t *closed = with_text(lines_of(today), "what", "closed");
    const json_t *ship = with_text(lines_of(today), "what", "ship");
    assert_non_null(closed);
    assert_non_null(
        strstr(text_at(closed, "sentence"), "closed for soaking, dispatch (inventory)"));
    assert_non_null(strstr(text_at(ship, "sentence"), "Ship 140 pieces to COTYLEDON"));
    assert_non_null(strstr(text_at(ship, "sentence"), "40 of them are wanted for a later day"));
    json_decref(today);
    house_close(&h);
}

/* As the order book judges: goods that end too soon for who ordered stand there for nothing. */
static void goods_too_old_for_a_customer_do_not_meet_its_order(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", false);
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, b.packed, &lot, &found));
    house_take(
        &h,
        "{'kind':'partner','code':'COTYLEDON','role':'customer','market':'US','group':'near',"
        "'life_days':%lld}",
        (long long)(lot.best_before - house_day(&h)));
    order(&h, "O-1", 0, 60); /* just enough life left */
    order(&h, "O-2", 1, 40); /* a day less */
    json_t *today = today_of(&h, "planner", "en");
    const json_t *missing = with_text(lines_of(today), "what", "short");
    assert_non_null(missing);
    assert_non_null(strstr(text_at(missing, "sentence"), "40 pieces of MUNG250 are missing"));
    assert_non_null(strstr(text_at(missing, "sentence"), "There are 40, but they end too soon"));
    json_decref(today);
    house_close(&h);
}

static void more_than_five_of_a_kind_are_one_line(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    for (int i = 4; i <= 9; i++) {
        house_take(&h, "{'kind':'place','code':'C%d','place_kind':'chamber'}", i);
    }
    json_t *today = today_of(&h, "manager", "en");
    assert_int_equal(json_array_size(lines_of(today)), 1);
    const json_t *line = json_array_get(lines_of(today), 0);
    assert_string_equal(text_at(line, "key"), "clean:many");
    assert_string_equal(text_at(line, "sentence"), "Chambers to clean: 9, the first C1, C2, C3.");
    json_decref(today);
    house_close(&h);
}

static void an_old_copy_is_told(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 1, "manager");
    json_t *today, *health = json_pack("{s:{s:I,s:b}}", "backup", "at_ms",
                                       (json_int_t)(v.now_ms - 30 * HOUR_MS), "checked", 1);
    assert_ok(view_today(&v, (int32_t)house_day(&h), health, &today));
    const json_t *line = with_text(lines_of(today), "what", "backup");
    assert_non_null(line);
    assert_non_null(strstr(text_at(line, "sentence"), "30 h old"));
    assert_true(json_equal(at_key(today, "health"), health));
    json_decref(today);
    json_object_set_new(json_object_get(health, "backup"), "at_ms",
                        json_integer(v.now_ms - 25 * HOUR_MS));
    assert_ok(view_today(&v, (int32_t)house_day(&h), health, &today));
    assert_null(with_text(lines_of(today), "what", "backup"));
    json_decref(today);
    json_decref(health);
    house_close(&h);
}

static void a_later_day_tells_what_has_a_date(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_grow(&h, "C2", "100 kg");
    struct view v = view_as(&h, 1, "manager");
    json_t *then;
    int32_t day = (int32_t)house_day(&h) + 9; /* ready 215 h on, past the hour of harvest */
    assert_ok(view_today(&v, day, NULL, &then));
    assert_int_equal(json_array_size(lines_of(then)), 0);
    json_decref(then);
    assert_ok(view_today(&v, day + 1, NULL, &then));
    assert_int_equal(json_array_size(lines_of(then)), 1);
    assert_string_equal(first_what(then), "harvest");
    json_decref(then);
    assert_ok(view_today(&v, (int32_t)house_day(&h) - 1, NULL, &then));
    assert_int_equal(json_array_size(lines_of(then)), 0);
    json_decref(then);
    house_close(&h);
}

static void what_a_shift_hands_over_stands_there(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'handover','text':'C1 first','person':4}");
    house_wait(&h, "1 h");
    int64_t entry =
        house_take(&h, "{'kind':'handover','text':'C2 runs warm','shift':'night','person':5}");
    house_wait(&h, "12 h");
    json_t *today = today_of(&h, "grower", "en");
    const json_t *note = at_key(today, "handover");
    assert_string_equal(text_at(note, "text"), "C2 runs warm");
    assert_string_equal(text_at(note, "shift"), "night");
    assert_int_equal(number_at(note, "by"), 5);
    assert_int_equal(number_at(note, "entry"), entry);
    json_decref(today);
    house_wait(&h, "2 d"); /* too old to matter */
    today = today_of(&h, "grower", "en");
    assert_true(json_is_null(at_key(today, "handover")));
    json_decref(today);
    house_close(&h);
}

static void a_task_stands_until_it_is_done(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'health-check','about':5,'passed':false,'person':7}");
    json_t *today = today_of(&h, "hygiene", "en");
    const json_t *line = with_text(lines_of(today), "what", "task");
    assert_non_null(line);
    assert_string_equal(text_at(line, "sentence"), "Keep the person away from open product: 5.");
    assert_string_equal(text_at(at_key(line, "go"), "form"), "task-done");
    int64_t task = number_at(at_key(at_key(line, "go"), "with"), "task");
    json_decref(today);
    house_take(&h, "{'kind':'task-done','task':%lld,'person':7}", (long long)task);
    today = today_of(&h, "hygiene", "en");
    assert_null(with_text(lines_of(today), "what", "task"));
    json_decref(today);
    house_close(&h);
}

static int64_t set_aside(struct house *h, int n, const char *chamber)
{
    const char *command = arena_printf(
        &h->arena,
        "{\"at\":\"2026-03-02T07:00:00Z\",\"chamber\":\"%s\",\"kind\":\"harvest\",\"mass\":\"790 "
        "kg\",\"place\":\"WASH\",\"uuid\":\"11111111-2222-4333-8444-%012d\"}",
        chamber, n);
    assert_ok(house_send_json(h, json_pack("{s:s,s:s,s:i,s:s,s:s,s:[s]}", "kind", "set-aside",
                                           "told", command, "person", 4, "code", "chamber-empty",
                                           "field", "chamber", "values", chamber)));
    return house_number(h, "entry");
}

static size_t count_of(const json_t *lines, const char *what)
{
    size_t i, count = 0;
    json_t *one;
    json_array_foreach(lines, i, one)
    {
        count += strcmp(text_at(one, "what"), what) == 0;
    }
    return count;
}

/* Everybody sees it, whoever it concerns; the button leads to where it is settled. */
static void what_was_told_and_not_booked_stands_for_everybody(void **state)
{
    (void)state;
    static const char *const roles[] = {"grower", "dispatch", "auditor", "quality"};
    struct house h;
    house_open(&h);
    int64_t entry = set_aside(&h, 1, "C2");
    int64_t told_ms;
    assert_ok(civil_read("2026-03-02T07:00:00Z", "", &told_ms));
    h.fixed.now_ms = told_ms + 95 * INT64_C(60000);
    for (size_t i = 0; i < sizeof roles / sizeof roles[0]; i++) {
        json_t *today = today_of(&h, roles[i], "en");
        assert_string_equal(first_what(today), "aside");
        const json_t *line = json_array_get(lines_of(today), 0);
        assert_string_equal(text_at(line, "tone"), "stopped");
        assert_string_equal(text_at(line, "place"), "C2");
        assert_string_equal(text_at(line, "verb"), "Settle");
        assert_string_equal(text_at(line, "sentence"),
                            "Person 4 told at 07:00, 95 min ago: Harvest C2: 790 kg at WASH. It is "
                            "not booked: nothing grows in chamber C2.");
        const json_t *go = at_key(line, "go");
        assert_string_equal(text_at(go, "page"), "daybook");
        assert_int_equal(strtoll(text_at(at_key(go, "with"), "entry"), NULL, 10), entry);
        assert_null(with_text(lines_of(today), "what", "task")); /* said once */
        json_decref(today);
    }
    for (int i = 2; i <= 7; i++) {
        set_aside(&h, i, "C1");
    }
    json_t *today = today_of(&h, "manager", "en");
    assert_int_equal(count_of(lines_of(today), "aside"), 7); /* each by itself */
    json_decref(today);
    house_take(&h, "{'kind':'settle','aside':%lld,'outcome':'not-so','reason':'C1 was meant'}",
               (long long)entry);
    today = today_of(&h, "manager", "en");
    assert_int_equal(count_of(lines_of(today), "aside"), 6);
    json_decref(today);
    house_close(&h);
}

/* Both are booked: the later one broke a rule because of what the other device had told. */
static void two_devices_about_one_chamber_are_flagged(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "220 h");
    int64_t first =
        house_take(&h, "{'kind':'harvest','chamber':'C2','mass':'780 kg','place':'WASH',"
                       "'emptied':true,'device':'page-1','person':4}");
    json_t *today = today_of(&h, "dispatch", "en");
    assert_int_equal(count_of(lines_of(today), "twice"), 0);
    json_decref(today);
    const char *again = arena_printf(
        &h.arena, "{'kind':'harvest','lot':'%s','mass':'20 kg','place':'WASH','person':4", lot);
    house_take(&h, "%s,'device':'page-1'}", again); /* the same device knows what it told */
    today = today_of(&h, "dispatch", "en");
    assert_int_equal(count_of(lines_of(today), "twice"), 0);
    json_decref(today);
    int64_t second = house_take(&h, "%s,'device':'page-2'}", again);
    today = today_of(&h, "dispatch", "en");
    assert_int_equal(count_of(lines_of(today), "twice"), 1);
    const json_t *line = with_text(lines_of(today), "what", "twice");
    assert_string_equal(
        text_at(line, "sentence"),
        arena_printf(&h.arena,
                     "Two devices tell of C2: entry %lld changed it, then came entry %lld from "
                     "another. lot: lot %s was closed; nothing can come out of it any more. See "
                     "which is so.",
                     (long long)first + 1, (long long)second, lot));
    assert_string_equal(text_at(line, "place"), "C2");
    json_decref(today);
    house_take(&h, "{'kind':'review','entries':[%lld],'person':2}", (long long)second);
    today = today_of(&h, "dispatch", "en");
    assert_int_equal(count_of(lines_of(today), "twice"), 0); /* quality has looked at it */
    json_decref(today);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_new_house_cleans_its_chambers),
        cmocka_unit_test(a_chamber_past_its_day_comes_first),
        cmocka_unit_test(a_chamber_is_harvested_on_the_day_of_the_plan),
        cmocka_unit_test(a_positive_with_product_left_outranks_everything),
        cmocka_unit_test(a_lot_with_every_clause_met_is_offered_for_release),
        cmocka_unit_test(a_lot_that_lacks_one_clause_is_told_with_it),
        cmocka_unit_test(orders_are_shipped_and_shortages_told),
        cmocka_unit_test(standing_orders_without_an_order_and_packs_given_instead_are_told),
        cmocka_unit_test(closed_days_are_told_and_what_leaves_before_them),
        cmocka_unit_test(goods_too_old_for_a_customer_do_not_meet_its_order),
        cmocka_unit_test(more_than_five_of_a_kind_are_one_line),
        cmocka_unit_test(an_old_copy_is_told),
        cmocka_unit_test(what_a_shift_hands_over_stands_there),
        cmocka_unit_test(a_task_stands_until_it_is_done),
        cmocka_unit_test(what_was_told_and_not_booked_stands_for_everybody),
        cmocka_unit_test(two_devices_about_one_chamber_are_flagged),
        cmocka_unit_test(a_later_day_tells_what_has_a_date),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

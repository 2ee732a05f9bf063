/* Case labels of a lot as it stands in the record, looked at with another program's eyes. */
#include "evidence.h"
#include "program.h"

#include "base/file.h"
#include "service/labels.h"

static struct plant *plant;
static struct arena arena;
static char packed[64], growing[64], joined[64];

/* An order for samples: three lots of 2,000 cases of one piece, joined to one. */
static void join_many(struct house *h)
{
    struct entry wash = house_entry(h, "wash");
    const char *washed = house_in_body(h, &wash, "\"lots\"", "lot"), *lots[3];
    house_take(h, "{'kind':'item','code':'TASTE','item_kind':'packed','family':'mung','net':'10 g',"
                  "'pieces_per_case':1,'life_days':8,'source_item':'MUNG'}");
    for (int i = 0; i < 3; i++) {
        house_take(h,
                   "{'kind':'pack','mode':'tell','inputs':[{'lot':'%s','mass':'20 kg'}],'item':"
                   "'TASTE','pieces':2000,'mean_net':'10 g','cases':2000,'place':'PACK','markets':"
                   "['US']}",
                   washed);
        lots[i] = house_answer(h, "lot");
    }
    house_take(h, "{'kind':'join','mode':'tell','inputs':[{'lot':'%s'},{'lot':'%s'},{'lot':'%s'}]}",
               lots[0], lots[1], lots[2]);
    snprintf(joined, sizeof joined, "%s", house_answer(h, "lot"));
}

/* The house's profile, its labels for a market that reads Spanish. */
static void labels_in_spanish(struct house *h)
{
    static const char key[] = "\"label_storage\": [";
    char *text;
    size_t len;
    assert_ok(file_read(&h->arena, PROFILE_FILE, 1 << 22, &text, &len));
    const char *from = strstr(text, key);
    assert_non_null(from);
    const char *to = strstr(from, "\n  ]");
    assert_non_null(to);
    json_t *command =
        json_pack("{s:s,s:o}", "kind", "profile", "text",
                  json_sprintf("%.*s%s\n{\"text\": \"Conservar a 0-5 °C.\", \"language\": \"es\", "
                               "\"source\": \"uc-davis\"}%s",
                               (int)(from - text), text, key, to));
    assert_non_null(command);
    assert_ok(house_send_json(h, command));
}

/* A lot of 20 cases with the codes that the record gives by itself, an item with a GTIN. */
static int lot_open(void **state)
{
    static const uint8_t seed[32] = {7};
    struct house h;
    int failed = folder_enter(state);
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    assert_ok(folder_make("p"));
    house_open_at(&h, "p/plant.db");
    house_take(&h, "{'kind':'item','code':'MUNG250','name':'Mung bean sprouts 250 g',"
                   "'item_kind':'packed','family':'mung','net':'250 g','pieces_per_case':40,"
                   "'life_days':8,'source_item':'MUNG','gtin':'09520000000018'}");
    struct house_batch batch = house_batch(&h, "C1", false);
    snprintf(packed, sizeof packed, "%s", batch.packed);
    snprintf(growing, sizeof growing, "%s", batch.growing);
    join_many(&h);
    house_take(&h,
               "{'kind':'ship','mode':'tell','customer':'COTYLEDON','units':['%s-0001..%s-0003"
               "']}",
               packed, packed);
    labels_in_spanish(&h);
    house_close(&h);
    assert_ok(file_write("p/plant.key", seed, sizeof seed, 0600));
    assert_ok(plant_zone_set("p", "UTC"));
    assert_ok(plant_open_read("p", &plant));
    return failed;
}

static int lot_close(void **state)
{
    plant_close(plant);
    arena_release(&arena);
    return folder_leave(state);
}

static struct result labels(const char *lot, int64_t first, int64_t last, size_t *out_pages)
{
    const uint8_t *pdf;
    size_t len;
    struct result r =
        labels_of_lot(plant, lot, first, last, HOUSE_START_MS, &arena, &pdf, &len, out_pages);
    if (r.code == CODE_OK) {
        assert_ok(file_write("labels.pdf", pdf, len, 0600));
    }
    return r;
}

static void the_codes_of_the_record_fit_on_a_label(void **state)
{
    (void)state;
    struct launch info;
    size_t pages;
    assert_ok(labels(packed, 5, 6, &pages));
    assert_int_equal(pages, 2);
    run_open(&info, "pdfinfo");
    RUN_OK(&info, "labels.pdf");
    RUN_SAYS(&info, "Pages:           2");
    RUN_SAYS(&info, "419.528 x 595.276 pts"); /* 148 x 210 mm: its codes are too long for A6 */
    info.program = "pdftotext";
    RUN_OK(&info, "labels.pdf", "-");
    RUN_SAYS(&info, packed);
    RUN_SAYS(&info, arena_printf(&info.arena, "%s-0005", packed));
    RUN_SAYS(&info, "sprouts 250 g");
    RUN_SAYS(&info, "FECHA DE CADUCIDAD");
    RUN_SAYS(&info, "Conservar a 0-5 °C.");
    run_close(&info);
}

static void what_has_left_gets_no_label(void **state)
{
    (void)state;
    size_t pages;
    assert_ok(labels(packed, 0, 0, &pages));
    assert_int_equal(pages, 17); /* three of the twenty have left */
    assert_ok(labels(packed, 19, 40, &pages));
    assert_int_equal(pages, 2);
    assert_code(labels(packed, 21, 40, &pages), CASES_NONE);
}

static void more_than_a_file_holds_is_said_and_not_cut(void **state)
{
    (void)state;
    size_t pages;
    struct result r = labels(joined, 0, 0, &pages);
    assert_code(r, LABELS_MANY);
    assert_string_equal(result_sentence(&arena, &r),
                        arena_printf(&arena,
                                     "cases: 6000 labels of lot %s are more than the 5000 that one "
                                     "file holds. Name the cases in parts, such as --cases "
                                     "1..5000.",
                                     joined));
    assert_code(labels(joined, 1000, 6000, &pages), LABELS_MANY); /* one too many */
    assert_ok(labels(joined, 5999, 7000, &pages));                /* the last two */
    assert_int_equal(pages, 2);
}

static void only_packed_lots_have_cases(void **state)
{
    (void)state;
    size_t pages;
    struct result r = labels("NOBODY-1", 0, 0, &pages);
    assert_code(r, LOT_UNKNOWN);
    assert_string_equal(r.value[0], "NOBODY-1");
    assert_code(labels(growing, 0, 0, &pages), LOT_KIND);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_codes_of_the_record_fit_on_a_label),
        cmocka_unit_test(what_has_left_gets_no_label),
        cmocka_unit_test(more_than_a_file_holds_is_said_and_not_cut),
        cmocka_unit_test(only_packed_lots_have_cases),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, lot_open, lot_close);
}

/* Where things stand on a label, as another program finds them in the PDF. */
#include "../support.h"

#include "base/civil.h"
#include "paper/case_label.h"
#include "programs.h"

enum { WORDS_MAX = 200 };

static struct arena arena;

static int enter(void **state)
{
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return folder_enter(state);
}

static int leave(void **state)
{
    arena_release(&arena);
    return folder_leave(state);
}

static const char *const allergens[] = {"soybeans", "wheat",  "sesame",
                                        "mustard",  "celery", "peanuts"};
static const char *const market_lines[] = {
    "Rinse before use. Cook through before eating. Keep away from raw meat, eggs and fish at all "
    "times.",
    "Packed by hall 3, plant.example"};

static struct case_label label_of(const char *item, const char *lot, size_t allergen_count)
{
    return (struct case_label){
        .item_name = item,
        .lot_code = lot,
        .pack_day = day_from_ymd(2026, 9, 17),
        .best_before_day = day_from_ymd(2026, 9, 24),
        .net_mg = 250000,
        .pieces = 20,
        .allergens = allergens,
        .allergen_count = allergen_count,
        .storage = "Keep at 1 to 4 °C, do not freeze",
        .case_number = "C-000123",
        .market_lines = market_lines,
        .market_line_count = 2,
        .gtin = "9520123456788",
    };
}

static size_t boxes_of(const struct case_label *label, struct word_box boxes[WORDS_MAX])
{
    const uint8_t *pdf;
    size_t len;
    assert_ok(case_label_pdf(&arena, label, 1, &(struct label_paper){0}, &pdf, &len));
    return pdf_boxes(pdf, len, boxes, WORDS_MAX);
}

static const struct word_box *box_named(const struct word_box *boxes, size_t count,
                                        const char *text)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(boxes[i].text, text) == 0) {
            return &boxes[i];
        }
    }
    fail_msg("%s is not on the label", text);
    return NULL;
}

static double height_mm(const struct word_box *boxes, size_t count, const char *text)
{
    const struct word_box *box = box_named(boxes, count, text);
    return box->bottom_mm - box->top_mm;
}

/* A line of 7.5 mm is type of 18 points. */
static void item_lot_and_date_are_large(void **state)
{
    (void)state;
    struct word_box boxes[WORDS_MAX];
    struct case_label label = label_of("Soybean sprouts, washed and trimmed", "P26260-1", 1);
    size_t count = boxes_of(&label, boxes);
    assert_true(height_mm(boxes, count, "sprouts,") > 7.5);
    assert_true(height_mm(boxes, count, "P26260-1") > 9);
    assert_true(height_mm(boxes, count, "24") > 7.5);
    assert_true(height_mm(boxes, count, "LOT") < 4);
    assert_true(box_named(boxes, count, "sprouts,")->bottom_mm <
                box_named(boxes, count, "P26260-1")->top_mm);
    assert_true(box_named(boxes, count, "P26260-1")->bottom_mm <
                box_named(boxes, count, "24")->top_mm + 2);
}

/* Lines of text may touch by the room above and below their letters, not more. */
static void nothing_covers_anything(void **state)
{
    (void)state;
    static const char *const items[] = {
        "Mung sprouts", "Soybean sprouts, washed and trimmed",
        "Seasoned soybean sprouts with sesame oil, chilli and soy sauce, ready to eat"};
    static const char *const lots[] = {"P26260-1", "12345678901234567890"};
    for (size_t k = 0; k < 6; k++) {
        struct word_box boxes[WORDS_MAX];
        struct case_label label = label_of(items[k % 3], lots[k % 2], k);
        size_t count = boxes_of(&label, boxes);
        for (size_t i = 0; i < count; i++) {
            const struct word_box *b = &boxes[i];
            assert_true(b->left_mm >= 3.9 && b->right_mm <= 101.1);
            assert_true(b->top_mm >= 2.9 && b->bottom_mm <= 145.1);
            for (size_t j = 0; j < i; j++) {
                const struct word_box *o = &boxes[j];
                bool beside = b->left_mm > o->right_mm - 0.1 || o->left_mm > b->right_mm - 0.1;
                bool apart = b->top_mm > o->bottom_mm - 1.2 || o->top_mm > b->bottom_mm - 1.2;
                if (!beside && !apart) {
                    fail_msg("%s and %s cover each other", b->text, o->text);
                }
            }
        }
    }
}

/* The line under each symbol is nearer to its own bars than to the next. */
static void bars_are_high_enough(void **state)
{
    (void)state;
    struct word_box boxes[WORDS_MAX];
    struct case_label label = label_of("Soybean sprouts, washed and trimmed", "P26260-1", 1);
    size_t count = boxes_of(&label, boxes);
    double first = box_named(boxes, count, "(01)09520123456788(15)260924")->bottom_mm;
    double second = box_named(boxes, count, "(10)P26260-1")->top_mm;
    assert_true(second - first > 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(item_lot_and_date_are_large, enter, leave),
        cmocka_unit_test_setup_teardown(nothing_covers_anything, enter, leave),
        cmocka_unit_test_setup_teardown(bars_are_high_enough, enter, leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

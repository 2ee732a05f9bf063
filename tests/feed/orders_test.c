#include <stdio.h>

#include "orders_support.h"

static void assert_order(size_t at, const char *key, int32_t day, int64_t pieces)
{
    assert_true(at < fx.content.order_count);
    assert_string_equal(fx.content.orders[at].key, key);
    assert_int_equal(fx.content.orders[at].day, day);
    assert_int_equal(fx.content.orders[at].pieces, pieces);
}

static void rows_become_lines(void **state)
{
    map_orders();
    read_ok(HEADER "C1;4711;10;mung-250;2026-03-04;240\nC1;4711;20;mung-500;2026-03-04;60\n");
    assert_int_equal(fx.content.order_count, 2);
    assert_order(0, "C1/4711/10", day_from_ymd(2026, 3, 4), 240);
    assert_order(1, "C1/4711/20", day_from_ymd(2026, 3, 4), 60);
    assert_string_equal(fx.content.orders[1].item, "mung-500");
    assert_string_equal(fx.content.orders[1].customer, "C1");
    assert_string_equal(fx.content.orders[1].source, "source-1");
    assert_int_equal(fx.content.orders[1].line, 3);
    assert_int_equal(fx.content.report.rows, 2);
}

static void without_order_numbers_the_day_is_in_the_key(void **state)
{
    map_ok("orders",
           "{'columns':{'item':'Item','day':'Day','pieces':'Pieces'},'fixed':{'customer':'C/1%'}}");
    read_ok("Item,Day,Pieces\nmung-250,2026-03-04,240\n");
    assert_order(0, "C%2F1%25/mung-250/2026-03-04", day_from_ymd(2026, 3, 4), 240);
}

/* What one export program or another does to the same two lines. */
static void every_form_reads_the_same(void **state)
{
    static const char *const forms[][2] = {
        {"{" COLUMNS "}", "Customer,Order,Line,Item,Day,Pieces\r\nC1,1,1,a,2026-03-04,1200\r\nC1,1,"
                          "2,\"b\",2026-03-05,2\r\n"},
        {"{" COLUMNS "}",
         "\xEF\xBB\xBF"
         "Customer;Order;Line;Item;Day;Pieces\nC1;1;1;a;2026-03-04;1200\nC1;1;2;b;2026-03-05;2"},
        {"{" COLUMNS "}", "sep=;\nCustomer;Order;Line;Item;Day;Pieces\nC1;1;1;a;2026-03-04;"
                          "1200\nC1;1;2;b;2026-03-05;2\n"},
        {"{" COLUMNS "}", "Customer\tOrder\tLine\tItem\tDay\tPieces\nC1\t1\t1\ta\t2026-03-"
                          "04\t1200\nC1\t1\t2\tb\t2026-03-05\t2\n"},
        {"{" COLUMNS ",'dates':'day-first','thousands':'.','decimal':','}",
         "Customer;Order;Line;Item;Day;Pieces\nC1;1;1;a;04.03.2026;1.200\nC1;1;2;b;5.3.26;2,0\n"},
        {"{" COLUMNS ",'dates':'day-first','thousands':' '}",
         "Customer;Order;Line;Item;Day;Pieces\nC1;1;1;a;04/03/2026 00:00:00;1\xC2\xA0"
         "200\nC1;1;2;b;05/03/2026;2\n"},
        {"{" COLUMNS "}", "Pieces;Note;Customer;Order;Line;Item;Day;\n1200;\"x;y\nz\"; C1 "
                          ";1;1;a;2026-03-04;\n\n2;;C1;1;2;b;2026-03-05;;\n"},
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        map_ok("orders", forms[i][0]);
        read_ok(forms[i][1]);
        assert_int_equal(fx.content.order_count, 2);
        assert_order(0, "C1/1/1", day_from_ymd(2026, 3, 4), 1200);
        assert_order(1, "C1/1/2", day_from_ymd(2026, 3, 5), 2);
    }
}

static void windows_1252_becomes_utf_8(void **state)
{
    map_orders();
    read_ok(HEADER "M\xFCller;1;1;a;2026-03-04;1\n");
    assert_string_equal(fx.content.orders[0].customer, "M\xC3\xBCller");
    assert_int_equal(fx.content.report.encoding, CSV_WINDOWS_1252);
}

static void their_words_become_ours(void **state)
{
    map_ok("orders", "{'columns':{'customer':'Customer','item':'Item','day':'Day','pieces':'Pieces'"
                     ",'state':'State'},"
                     "'codes':{'customer':{'0815':'C1'},'state':{'storniert':'cancelled','':'open',"
                     "'ok':'open'}}}");
    read_ok("Customer;Item;Day;Pieces;State\n0815;a;2026-03-04;1;ok\n0815;b;2026-03-04;0;"
            "storniert\n0815;c;2026-03-04;3;\n");
    assert_string_equal(fx.content.orders[0].customer, "C1");
    assert_int_equal(fx.content.orders[0].state, ORDER_OPEN);
    assert_int_equal(fx.content.orders[1].state, ORDER_CANCELLED);
    assert_int_equal(fx.content.orders[2].state, ORDER_OPEN);
    assert_refused("Customer;Item;Day;Pieces;State\n0816;a;2026-03-04;1;ok\n", FEED_CODE, 2, 1);
    assert_refused("Customer;Item;Day;Pieces;State\n0815;a;2026-03-04;1;fertig\n", FEED_CODE, 2,
                   21);
}

static void a_bad_cell_refuses_the_whole_file(void **state)
{
    map_orders();
    assert_refused(HEADER "C1;1;1;a;2026-03-04;240\nC1;1;2;a;2026-03-04;\n", FIELD_MISSING, 3, 21);
    assert_int_equal(fx.content.order_count, 0);
    assert_refused(HEADER "C1;1;1;;2026-03-04;240\n", FIELD_MISSING, 2, 8);
    assert_refused(HEADER "C1;;1;a;2026-03-04;240\n", FIELD_MISSING, 2, 4);
    assert_refused(HEADER "C1;1;1;a;04.03.2026;240\n", FEED_DATE, 2, 10);
    assert_refused(HEADER "C1;1;1;a;2026-02-29;240\n", FEED_DATE, 2, 10);
    assert_refused(HEADER "C1;1;1;a;2026-03-04;many\n", FIELD_RANGE, 2, 21);
    assert_refused(HEADER "C1;1;1;a;2026-03-04;-1\n", FIELD_RANGE, 2, 21);
    assert_refused(HEADER "C1;1;1;a;2026-03-04;0\n", FIELD_RANGE, 2, 21);
    assert_refused(HEADER "C1;1;1;a;2026-03-04;1.5\n", FIELD_RANGE, 2, 21);
    assert_refused(HEADER "C1;1;1;a;2026-03-04;1.200\n", FIELD_RANGE, 2,
                   21); /* no thousands declared */
    assert_refused(HEADER "C1;1;1;a;2026-03-04\n", FEED_WIDTH, 2, 10);
    assert_refused(HEADER "C1;1;1;a;2026-03-04;240;x\n", FEED_WIDTH, 2, 25);
    assert_refused(HEADER "C1;1;1;a;2026-03-04", FEED_TRUNCATED, 2, 10);
    assert_refused(HEADER "C1;1;1;\"a;2026-03-04;240\n", CSV_TRUNCATED, 2, 8);
    assert_refused(HEADER, FEED_EMPTY, 1, 1);
    assert_refused("", FEED_EMPTY, 0, 0);
}

static void exact_duplicates_are_dropped_and_counted(void **state)
{
    map_orders();
    read_ok(HEADER "C1;1;1;a;2026-03-04;240\nC1;1;2;a;2026-03-04;10\nC1;1;1;a;2026-03-04;240\nC1;1;"
                   "1;a;2026-03-04;240\n");
    assert_int_equal(fx.content.order_count, 2);
    assert_int_equal(fx.content.report.count[FEED_MARK_DUPLICATE], 2);
    assert_int_equal(fx.content.report.notes[0].line, 4);
    assert_int_equal(fx.content.report.notes[1].line, 5);
}

static void one_key_with_two_contents_is_refused(void **state)
{
    map_orders();
    struct result r =
        read_file(HEADER "C1;9;1;a;2026-03-04;1\nC1;1;1;a;2026-03-04;240\nC1;9;1;a;2026-03-04;2\n"
                         "C1;1;1;a;2026-03-04;250\n");
    assert_int_equal(r.code, CODE_FEED_TWICE);
    assert_int_equal(r.line, 4);
    assert_string_equal(r.value[0], "C1/9/1");
    assert_string_equal(r.value[1], "2");
}

static const char *lines_text(size_t index)
{
    const char *text = "";
    size_t i;
    json_t *line;
    json_array_foreach(json_object_get(command(index), "lines"), i, line)
    {
        text =
            arena_printf(&fx.arena, "%s%s%s:%lld%s", text, i > 0 ? " " : "", text_of(line, "key"),
                         (long long)json_integer_value(json_object_get(line, "pieces")),
                         strcmp(text_of(line, "state"), "open") == 0 ? "" : " cancelled");
    }
    return text;
}

static void a_dry_run_tells_what_would_happen(void **state)
{
    struct feed_known known = known_lines(4);
    booked[2].shipped_pieces = 100;
    booked[2].pieces = 100;
    map_orders();
    read_ok(HEADER "C1;1;1;a;2026-03-04;100\nC1;1;2;a;2026-03-05;120\nC1;1;3;a;2026-03-06;90\nC1;1;"
                   "5;a;2026-03-07;7\n");
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 1);
    assert_int_equal(fx.report.count[FEED_MARK_CHANGED], 1);
    assert_int_equal(fx.report.count[FEED_MARK_SHIPPED], 1);
    assert_int_equal(fx.report.count[FEED_MARK_NEW], 1);
    assert_int_equal(fx.report.count[FEED_MARK_CANCELLED], 0);
    assert_int_equal(fx.report.note_count, 3);
    assert_int_equal(fx.report.notes[0].mark, FEED_MARK_CHANGED);
    assert_int_equal(fx.report.notes[0].line, 3);
    assert_string_equal(fx.report.notes[0].what, "C1/1/2 a 2026-03-05 100 -> a 2026-03-05 120");
    assert_int_equal(fx.report.notes[1].mark, FEED_MARK_SHIPPED);
    assert_int_equal(fx.report.notes[2].mark, FEED_MARK_NEW);
    assert_int_equal(json_array_size(fx.commands), 1);
    assert_string_equal(text_of(command(0), "kind"), "order");
    assert_string_equal(text_of(command(0), "source"), "source-1");
    assert_string_equal(text_of(command(0), "device"), "import source-1");
    assert_string_equal(lines_text(0), "C1/1/1:100 C1/1/2:120 C1/1/3:90 C1/1/5:7");
    assert_null(json_object_get(command(0), "whole_book_from"));
}

static void a_cancelled_line_that_comes_back_is_changed(void **state)
{
    struct feed_known known = known_lines(1);
    booked[0].state = ORDER_CANCELLED;
    map_orders();
    read_ok(HEADER "C1;1;1;a;2026-03-04;100\n");
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_CHANGED], 1);
    assert_string_equal(fx.report.notes[0].what,
                        "C1/1/1 a 2026-03-04 100 cancelled -> a 2026-03-04 100");
}

static void nothing_new_sends_nothing(void **state)
{
    struct feed_known known = known_lines(2);
    map_orders();
    read_ok(HEADER "C1;1;2;a;2026-03-05;100\nC1;1;1;a;2026-03-04;100\n");
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 2);
    assert_int_equal(json_array_size(fx.commands), 0);
}

static void only_a_whole_book_cancels_what_is_gone(void **state)
{
    struct feed_known known = known_lines(4);
    map_orders();
    read_ok(HEADER "C1;1;1;a;2026-03-04;100\nC1;1;4;a;2026-03-07;100\n");
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_CANCELLED], 0);
    map_ok("orders", "{" COLUMNS ",'whole_book':{'from':{'of':'rows'},'to':{'of':'rows'}}}");
    read_ok(HEADER "C1;1;1;a;2026-03-04;100\nC1;1;3;a;2026-03-06;100\n");
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_CANCELLED],
                     1); /* line 2; line 4 lies behind the book */
    assert_string_equal(fx.report.notes[0].what, "C1/1/2 a 2026-03-05 100");
    assert_int_equal(fx.report.notes[0].line, 0);
    assert_string_equal(text_of(command(0), "whole_book_from"), "2026-03-04");
    assert_string_equal(text_of(command(0), "whole_book_to"), "2026-03-06");
    booked[1].source = "source-2";
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_CANCELLED], 0);
}

static void the_dates_of_a_book_come_from_a_column_a_row_or_the_mapping(void **state)
{
    struct feed_known known = known_lines(4);
    static const char *const forms[][2] = {
        {"{" COLUMNS ",'whole_book':{'from':{'date':'2026-03-03'},'to':{'date':'2026-03-05'}}}",
         HEADER "C1;1;1;a;2026-03-04;100\n"},
        {"{" COLUMNS ",'whole_book':{'from':{'row':'From'},'to':{'row':'To'}},'delimiter':';'}",
         "From;2026-03-03\nTo:;2026-03-05\n" HEADER "C1;1;1;a;2026-03-04;100\n"},
        {"{" COLUMNS ",'whole_book':{'from':{'column':'From'},'to':{'column':'To'}}}",
         "From;To;" HEADER "2026-03-03;2026-03-05;C1;1;1;a;2026-03-04;100\n"},
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        map_ok("orders", forms[i][0]);
        read_ok(forms[i][1]);
        assert_int_equal(fx.content.report.from_day, day_from_ymd(2026, 3, 3));
        assert_int_equal(fx.content.report.to_day, day_from_ymd(2026, 3, 5));
        plan_ok(&known);
        assert_int_equal(fx.report.count[FEED_MARK_CANCELLED], 1);
    }
}

static void a_book_that_contradicts_itself_is_refused(void **state)
{
    map_ok("orders",
           "{" COLUMNS ",'whole_book':{'from':{'date':'2026-03-03'},'to':{'date':'2026-03-05'}}}");
    assert_refused(HEADER "C1;1;1;a;2026-03-04;100\nC1;1;2;a;2026-03-06;100\n", FEED_BOOK_DAY, 3,
                   1);
    map_ok("orders", "{" COLUMNS ",'whole_book':{'from':{'column':'From'},'to':{'of':'rows'}}}");
    assert_refused("From;" HEADER
                   "2026-03-03;C1;1;1;a;2026-03-04;100\n2026-03-02;C1;1;2;a;2026-03-04;1\n",
                   FEED_SAYS, 3, 1);
    assert_refused("From;" HEADER "2026-03-03;C1;1;1;a;2026-03-04;100\n;C1;1;2;a;2026-03-04;1\n",
                   FIELD_MISSING, 3, 1);
    assert_refused("From;" HEADER "2026-03-09;C1;1;1;a;2026-03-04;100\n", FEED_BOOK_DAY, 1, 1);
    assert_refused("From;" HEADER, FEED_EMPTY, 1, 1);
    map_ok("orders", "{" COLUMNS ",'whole_book':{'from':{'row':'From'},'to':{'of':'rows'}}}");
    assert_refused(HEADER "C1;1;1;a;2026-03-04;100\n", FEED_PREAMBLE, 1, 1);
}

/* "12" may be what is left of "120", and behind it a hundred lines that nobody cancelled. */
static void a_whole_book_that_may_be_cut_off_is_refused(void **state)
{
#define BOOK "'whole_book':{'from':{'date':'2026-03-04'},'to':{'date':'2026-03-06'}}"
    struct feed_known known = known_lines(4);
    map_ok("orders", "{" COLUMNS "," BOOK "}");
    assert_refused(HEADER "C1;1;1;a;2026-03-04;100\nC1;1;2;a;2026-03-05;12", FEED_TRUNCATED, 3, 1);
    map_ok("orders", "{" COLUMNS "," BOOK ",'end':'line'}");
    assert_refused(HEADER "C1;1;1;a;2026-03-04;100", FEED_TRUNCATED, 2, 1);
    map_ok("orders", "{" COLUMNS "," BOOK ",'end':'open'}"); /* the house knows its source */
    read_ok(HEADER "C1;1;1;a;2026-03-04;100");
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_CANCELLED], 2);
    map_ok("orders", "{" COLUMNS "," BOOK ",'trailer':'End'}"); /* says itself that it is whole */
    read_ok(HEADER "C1;1;1;a;2026-03-04;100\nEnd;;;;;");
    map_ok("orders", "{" COLUMNS "}"); /* cancels nothing: a caution is enough */
    read_ok(HEADER "C1;1;1;a;2026-03-04;100");
    assert_int_equal(fx.content.report.cautions[0].code, CODE_FEED_OPEN_END);
#undef BOOK
}

static void an_empty_whole_book_cancels_all_its_days(void **state)
{
    struct feed_known known = known_lines(4);
    map_ok("orders",
           "{" COLUMNS ",'whole_book':{'from':{'date':'2026-03-04'},'to':{'date':'2026-03-05'}}}");
    read_ok(HEADER);
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_CANCELLED], 2);
    assert_string_equal(lines_text(0), "");
}

static void a_long_book_goes_in_parts(void **state)
{
    struct feed_known known = known_lines(4);
    size_t rows = 6500;
    size_t room = 60 * rows;
    char *text = arena_alloc(&fx.arena, room);
    size_t len = (size_t)snprintf(text, room, "%s", HEADER);
    for (size_t i = 0; i < rows; i++) {
        len += (size_t)snprintf(text + len, room - len, "C1;2;%zu;a;2026-03-04;5\n", i);
    }
    map_ok("orders",
           "{" COLUMNS ",'whole_book':{'from':{'date':'2026-03-04'},'to':{'date':'2026-03-05'}}}");
    read_ok(text);
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_NEW], rows);
    assert_int_equal(fx.report.count[FEED_MARK_CANCELLED], 2);
    assert_int_equal(fx.report.note_count, FEED_NOTES_MAX);
    assert_int_equal(json_array_size(fx.commands), 3);
    size_t sent = 0;
    for (size_t i = 0; i < 3; i++) {
        size_t lines = json_array_size(json_object_get(command(i), "lines"));
        assert_true(lines <= 3000);
        assert_null(json_object_get(command(i), "whole_book_from")); /* a part is no whole book */
        sent += lines;
    }
    assert_int_equal(sent, rows + 2);
    const json_t *last = json_object_get(command(2), "lines");
    assert_string_equal(text_of(json_array_get(last, json_array_size(last) - 1), "state"),
                        "cancelled");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(rows_become_lines),
        FEED_TEST(without_order_numbers_the_day_is_in_the_key),
        FEED_TEST(every_form_reads_the_same),
        FEED_TEST(windows_1252_becomes_utf_8),
        FEED_TEST(their_words_become_ours),
        FEED_TEST(a_bad_cell_refuses_the_whole_file),
        FEED_TEST(exact_duplicates_are_dropped_and_counted),
        FEED_TEST(one_key_with_two_contents_is_refused),
        FEED_TEST(a_dry_run_tells_what_would_happen),
        FEED_TEST(a_cancelled_line_that_comes_back_is_changed),
        FEED_TEST(nothing_new_sends_nothing),
        FEED_TEST(only_a_whole_book_cancels_what_is_gone),
        FEED_TEST(the_dates_of_a_book_come_from_a_column_a_row_or_the_mapping),
        FEED_TEST(a_book_that_contradicts_itself_is_refused),
        FEED_TEST(a_whole_book_that_may_be_cut_off_is_refused),
        FEED_TEST(an_empty_whole_book_cancels_all_its_days),
        FEED_TEST(a_long_book_goes_in_parts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

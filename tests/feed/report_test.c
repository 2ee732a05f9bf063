#include "orders_support.h"

/* The digest is the one that sha256sum gives for these bytes. */
static void the_report_is_json(void **state)
{
    struct feed_known known = known_lines(4);
    map_orders();
    read_ok(HEADER "C1;1;1;a;2026-03-04;100\nC1;1;2;a;2026-03-05;120\n");
    plan_ok(&known);
    json_t *report = feed_report_json(&fx.arena, "en", &fx.report);
    const char *text = json_canonical(&fx.arena, report);
    json_decref(report);
    assert_string_equal(
        text, "{\"cancelled\":0,\"cautions\":[],\"changed\":1,\"delimiter\":\";\",\"duplicate\":0,"
              "\"encoding\":\"ascii\","
              "\"file\":\"file.csv\",\"for\":\"orders\",\"from\":\"2026-03-04\",\"gap\":0,"
              "\"known\":1,\"new\":0,"
              "\"notes\":[{\"line\":3,\"mark\":\"changed\",\"what\":\"C1/1/2 a 2026-03-05 100 -> a "
              "2026-03-05 120\"}],"
              "\"rows\":2,\"sha256\":"
              "\"a8455db7be5aea2bb10287193b10503c15f7388aeea1e8f520709d70e48bd94f\",\"shipped\":0,"
              "\"source\":\"source-1\",\"to\":\"2026-03-05\",\"whole_book\":false}");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(the_report_is_json),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

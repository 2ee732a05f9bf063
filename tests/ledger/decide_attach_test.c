/* Papers kept by their digest. */
#include "fixture.h"

#include "base/digest.h"

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

static void a_paper_is_kept_by_its_digest(void **state)
{
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':'MUNGSEED','"
                   "mass':'1 kg','place':'STORE',"
                   "'lot':'S1'}");
    house_take(&h, "{'kind':'attach','name':'n.txt','paper_kind':'certificate','bytes_b64':'bm90ZQ="
                   "=','lot':'S1','partner':'RADICLE'}");
    struct hash sha = digest_sha256("note", 4);
    assert_string_equal(house_answer(&h, "sha256"), hex_text(&h.arena, sha.b, 32));
    assert_string_equal(house_answer(&h, "type"), "txt");
    assert_int_equal(house_number(&h, "size"), 4);
    struct entry e = house_entry(&h, "attach");
    assert_null(strstr(e.body, "bm90ZQ")); /* the bytes stand beside the entry, never in it */
    assert_code(
        house_send(&h,
                   "{'kind':'attach','name':'a.zip','paper_kind':'file','bytes_b64':'UEsDBA=='}"),
        ATTACH_TYPE);
    assert_code(
        house_send(&h,
                   "{'kind':'attach','name':'../a','paper_kind':'file','bytes_b64':'bm90ZQ=='}"),
        FIELD_RANGE);
    assert_code(
        house_send(&h, "{'kind':'attach','name':'a','paper_kind':'poem','bytes_b64':'bm90ZQ=='}"),
        FIELD_CHOICE);
    assert_code(house_send(&h, "{'kind':'attach','name':'a','paper_kind':'file','bytes_b64':'*'}"),
                FIELD_TYPE);
    assert_code(house_send(&h, "{'kind':'attach','name':'a','paper_kind':'file','bytes_b64':'"
                               "bm90ZQ==','partner':'X'}"),
                PARTNER_UNKNOWN);
    size_t size = ((16 << 20) / 3 + 2) * 4;
    char *big = malloc(size + 1);
    assert_non_null(big);
    memset(big, 'A', size);
    big[size] = '\0';
    struct result r = house_send_json(&h, json_pack("{s:s,s:s,s:s,s:s}", "kind", "attach", "name",
                                                    "a", "paper_kind", "file", "bytes_b64", big));
    free(big);
    assert_code(r, INPUT_LARGE);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_paper_is_kept_by_its_digest),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

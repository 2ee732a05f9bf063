/* How files are read, and the profile as it was taken in. */
#include "view_support.h"

#include "base/digest.h"
#include "service/view_files.h"

static void the_newest_mapping_of_a_source_counts(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    static const char shop[] =
        "{'kind':'mapping','source':'%s','for':'%s','data':{'columns':{'customer':'Who','item':"
        "'What','day':'Day','pieces':'%s'}}}";
    house_take(&h, shop, "shop-1", "orders", "Packs");
    int64_t entry = house_take(&h, shop, "shop-1", "orders", "Pieces");
    house_take(&h, shop, "shop-2", "orders", "Packs");
    struct view v = view_as(&h, 1, "manager");
    json_t *out;
    assert_ok(view_mappings(&v, &out));
    const json_t *list = at_key(out, "mappings");
    assert_int_equal(json_array_size(list), 2);
    const json_t *one = with_text(list, "source", "shop-1");
    assert_string_equal(text_at(one, "for"), "orders");
    assert_int_equal(number_at(one, "entry"), entry);
    assert_string_equal(text_at(at_key(at_key(one, "data"), "columns"), "pieces"), "Pieces");
    json_decref(out);
    house_close(&h);
}

static void the_profile_is_given_out_as_it_came(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 1, "manager");
    const char *text, *name;
    size_t len;
    assert_ok(view_profile_text(&v, &text, &len, &name));
    assert_string_equal(name, h.lg->profile->name);
    struct hash digest = digest_sha256(text, len);
    assert_memory_equal(digest.b, h.lg->profile->digest.b, sizeof digest.b);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_newest_mapping_of_a_source_counts),
        cmocka_unit_test(the_profile_is_given_out_as_it_came),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What is gone after a restore. */
#include "fixture.h"

#include "ledger/known.h"

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

static struct sign_key house_key(void)
{
    static const uint8_t seed[32] = {7};
    struct sign_key key;
    sign_key_from_seed(seed, &key);
    return key;
}

static struct head signed_head(void)
{
    struct sign_key key = house_key();
    struct head head;
    assert_ok(store_begin(h.store));
    assert_ok(ledger_sign_head(h.lg, &key, "shift", &head));
    assert_ok(store_commit(h.store));
    return head;
}

static struct result restored(const struct head *head, int64_t size, const char *rest)
{
    return house_send(&h,
                      "{'kind':'restored','head':{'size':%lld,'root':'%s','signed_ms':%lld,'public_"
                      "key':'%s','signature':'%s'}%s}",
                      (long long)size, hex_text(&h.arena, head->root.b, 32),
                      (long long)head->signed_ms, hex_text(&h.arena, head->public_key, 32),
                      hex_text(&h.arena, head->signature, 64), rest);
}

static void a_restore_names_what_is_gone(void **state)
{
    struct head old = signed_head();
    int64_t here = h.lg->next_seq - 1;
    assert_code(restored(&old, old.size, ",'reason':'r'"), HEAD_HERE);
    assert_code(restored(&old, old.size + 1, ",'reason':'r'"), HEAD_FALSE);
    assert_code(restored(&old, old.size, ""), FIELD_MISSING);
    /* three more entries and a head over them; then the record is the older one again */
    struct store *older;
    assert_ok(known_on(h.store, here, &older));
    for (int i = 0; i < 3; i++) {
        house_take(&h, "{'kind':'place','code':'NEW-%d','place_kind':'store'}", i);
    }
    struct head newer = signed_head();
    ledger_close(h.lg);
    store_close(h.store);
    h.store = older;
    assert_ok(ledger_open(h.store, world_fixed(&h.fixed), &h.lg));
    assert_ok(restored(&newer, newer.size, ",'reason':'the disk broke'"));
    assert_int_equal(house_number(&h, "gone_from"), here + 1);
    assert_int_equal(house_number(&h, "gone_to"), here + 3);
    assert_int_equal(house_number(&h, "deviations"), 1);
    struct head strange = newer;
    struct sign_key other;
    static const uint8_t seed[32] = {8};
    sign_key_from_seed(seed, &other);
    memcpy(strange.public_key, other.public_key, 32);
    assert_code(restored(&strange, strange.size, ",'reason':'r'"), HEAD_FALSE);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_restore_names_what_is_gone),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

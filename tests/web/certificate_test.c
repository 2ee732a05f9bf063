#include "client.h"

#include <sys/stat.h>

#include "base/file.h"
#include "web/certificate.h"

static const char *const names[] = {"127.0.0.1", "plant.example"};

static void it_is_made_once_and_kept_for_its_owner(void **state)
{
    (void)state;
    struct site s;
    struct certificate first, again, more;
    struct stat st;
    static const char *const others[] = {"127.0.0.1", "plant.example", "other.example"};
    site_open(&s);
    assert_ok(folder_make("p"));
    assert_ok(certificate_own(&s.arena, "p", s.world, names, 2, &first));
    assert_true(first.is_new);
    assert_int_equal(strlen(first.fingerprint), 32 * 3 - 1);
    struct hash hash = digest_sha256(first.der, first.der_len);
    char byte[4];
    snprintf(byte, sizeof byte, "%02X:", hash.b[0]);
    assert_int_equal(strncmp(first.fingerprint, byte, 3), 0);
    assert_int_equal(stat("p/plant.tls.key", &st), 0);
    assert_int_equal(st.st_mode & 0777, 0600);
    assert_true(first.until_ms - SITE_START_MS <= INT64_C(86400000) * CERTIFICATE_DAYS);
    assert_ok(certificate_own(&s.arena, "p", s.world, names, 2, &again));
    assert_false(again.is_new);
    assert_string_equal(again.fingerprint, first.fingerprint);
    assert_ok(certificate_own(&s.arena, "p", s.world, others, 3, &more));
    assert_true(more.is_new); /* it lacked a name */
    assert_string_not_equal(more.fingerprint, first.fingerprint);
    s.fixed.now_ms += INT64_C(86400000) * (CERTIFICATE_DAYS - CERTIFICATE_RENEW_DAYS);
    assert_ok(certificate_own(&s.arena, "p", s.world, others, 3, &again));
    assert_true(again.is_new); /* it was about to end */
    site_close(&s);
}

static void one_that_is_given_must_fit_its_key(void **state)
{
    (void)state;
    struct site s;
    struct certificate a, b, given;
    site_open(&s);
    assert_ok(folder_make("a"));
    assert_ok(folder_make("b"));
    assert_ok(certificate_own(&s.arena, "a", s.world, names, 2, &a));
    assert_ok(certificate_own(&s.arena, "b", s.world, names, 1, &b));
    assert_ok(certificate_given(&s.arena, "a/plant.tls.crt", "a/plant.tls.key", &given));
    assert_string_equal(given.fingerprint, a.fingerprint);
    assert_code(certificate_given(&s.arena, "a/plant.tls.crt", "b/plant.tls.key", &given),
                FILE_READ);
    assert_code(certificate_given(&s.arena, "a/plant.tls.key", "a/plant.tls.key", &given),
                FILE_READ);
    assert_code(certificate_given(&s.arena, "none", "a/plant.tls.key", &given), FILE_OPEN);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(it_is_made_once_and_kept_for_its_owner, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(one_that_is_given_must_fit_its_key, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

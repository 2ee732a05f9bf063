#include "web/certificate.h"

#include <arpa/inet.h>
#include <gnutls/gnutls.h>
#include <gnutls/x509-ext.h>
#include <gnutls/x509.h>
#include <stdio.h>
#include <string.h>

#include "base/check.h"
#include "base/file.h"

enum { PEM_MAX = 1 << 20, SERIAL_BYTES = 16 };

static const int64_t day_ms = 86400000;

/* What is being read or made; let go of together. */
struct parts {
    gnutls_x509_crt_t crt;
    gnutls_x509_privkey_t key;
};

static void parts_init(struct parts *p)
{
    CHECK(gnutls_x509_crt_init(&p->crt) == 0 && gnutls_x509_privkey_init(&p->key) == 0);
}

static void parts_release(struct parts *p)
{
    gnutls_x509_crt_deinit(p->crt);
    gnutls_x509_privkey_deinit(p->key);
}

/* 4 or 16 bytes of an address; 0: it is a host name. */
static size_t address_bytes(const char *name, unsigned char out[16])
{
    return inet_pton(AF_INET, name, out) == 1 ? 4 : inet_pton(AF_INET6, name, out) == 1 ? 16 : 0;
}

static void add_name(gnutls_x509_crt_t crt, gnutls_x509_name_constraints_t only, const char *name)
{
    unsigned char address[32];
    size_t len = address_bytes(name, address);
    gnutls_datum_t text = {(unsigned char *)(uintptr_t)name, (unsigned)strlen(name)};
    int failed = gnutls_x509_crt_set_subject_alt_name(
        crt, len > 0 ? GNUTLS_SAN_IPADDRESS : GNUTLS_SAN_DNSNAME, len > 0 ? (void *)address : name,
        len > 0 ? (unsigned)len : text.size, GNUTLS_FSAN_APPEND);
    memset(address + len, 0xff, len); /* the mask of just this address */
    gnutls_datum_t alone = {address, (unsigned)(2 * len)};
    failed |= gnutls_x509_name_constraints_add_permitted(
        only, len > 0 ? GNUTLS_SAN_IPADDRESS : GNUTLS_SAN_DNSNAME, len > 0 ? &alone : &text);
    CHECK(failed == 0);
}

/* Signed by itself, so that a phone can be told to trust just this one; good for its own names
 * only, even in the hands of somebody who got at the key. */
static void fill(struct parts *p, struct world world, const char *const *names, size_t count)
{
    unsigned char serial[SERIAL_BYTES];
    int64_t now_ms = world.now_ms(world.self);
    gnutls_x509_name_constraints_t only;
    int failed = gnutls_x509_privkey_generate(p->key, GNUTLS_PK_ECDSA,
                                              GNUTLS_CURVE_TO_BITS(GNUTLS_ECC_CURVE_SECP256R1), 0);
    world.random(world.self, serial, sizeof serial);
    serial[0] = (serial[0] & 0x7f) | 0x40; /* positive and of full length */
    failed |= gnutls_x509_name_constraints_init(&only);
    failed |= gnutls_x509_crt_set_version(p->crt, 3);
    failed |= gnutls_x509_crt_set_serial(p->crt, serial, sizeof serial);
    failed |= gnutls_x509_crt_set_dn(p->crt, "CN=plumule of this house", NULL);
    failed |= gnutls_x509_crt_set_activation_time(p->crt, (now_ms - day_ms) / 1000);
    failed |= gnutls_x509_crt_set_expiration_time(
        p->crt, (now_ms + (CERTIFICATE_DAYS - 1) * day_ms) / 1000);
    failed |= gnutls_x509_crt_set_key(p->crt, p->key);
    failed |= gnutls_x509_crt_set_basic_constraints(p->crt, 1, 0);
    failed |= gnutls_x509_crt_set_key_usage(p->crt, GNUTLS_KEY_DIGITAL_SIGNATURE |
                                                        GNUTLS_KEY_KEY_CERT_SIGN);
    failed |= gnutls_x509_crt_set_key_purpose_oid(p->crt, GNUTLS_KP_TLS_WWW_SERVER, 0);
    for (size_t i = 0; i < count; i++) {
        add_name(p->crt, only, names[i]);
    }
    failed |= gnutls_x509_crt_set_name_constraints(p->crt, only, 1);
    failed |= gnutls_x509_crt_sign2(p->crt, p->crt, p->key, GNUTLS_DIG_SHA256, 0);
    gnutls_x509_name_constraints_deinit(only);
    CHECK(failed == 0);
}

static const char *fingerprint_of(struct arena *a, gnutls_x509_crt_t crt)
{
    unsigned char hash[32];
    size_t len = sizeof hash;
    CHECK(gnutls_x509_crt_get_fingerprint(crt, GNUTLS_DIG_SHA256, hash, &len) == 0 && len == 32);
    char *text = arena_alloc(a, 32 * 3);
    for (size_t i = 0; i < len; i++) {
        snprintf(text + 3 * i, 4, "%02X%s", hash[i], i + 1 < len ? ":" : "");
    }
    return text;
}

static void describe(struct arena *a, const struct parts *p, struct certificate *out)
{
    gnutls_datum_t pem, key, der;
    CHECK(gnutls_x509_crt_export2(p->crt, GNUTLS_X509_FMT_PEM, &pem) == 0 &&
          gnutls_x509_crt_export2(p->crt, GNUTLS_X509_FMT_DER, &der) == 0 &&
          gnutls_x509_privkey_export2(p->key, GNUTLS_X509_FMT_PEM, &key) == 0);
    out->pem = arena_copy_n(a, (const char *)pem.data, pem.size);
    out->key_pem = arena_copy_n(a, (const char *)key.data, key.size);
    void *bytes = arena_alloc(a, der.size);
    memcpy(bytes, der.data, der.size);
    out->der = bytes;
    out->der_len = der.size;
    out->fingerprint = fingerprint_of(a, p->crt);
    out->until_ms = (int64_t)gnutls_x509_crt_get_expiration_time(p->crt) * 1000;
    gnutls_memset(key.data, 0, key.size);
    gnutls_free(pem.data);
    gnutls_free(der.data);
    gnutls_free(key.data);
}

static struct result import(struct arena *a, const char *path, const char *key_path,
                            struct parts *p, const char **out_chain)
{
    char *text, *key_text;
    size_t len, key_len;
    TRY(file_read(a, path, PEM_MAX, &text, &len));
    TRY(file_read(a, key_path, PEM_MAX, &key_text, &key_len));
    gnutls_datum_t pem = {(unsigned char *)text, (unsigned)len};
    gnutls_datum_t key = {(unsigned char *)key_text, (unsigned)key_len};
    int failed = gnutls_x509_crt_import(p->crt, &pem, GNUTLS_X509_FMT_PEM);
    if (failed != 0) {
        return FAIL2(FILE_READ, "", path, gnutls_strerror(failed));
    }
    failed = gnutls_x509_privkey_import2(p->key, &key, GNUTLS_X509_FMT_PEM, NULL, 0);
    if (failed != 0) {
        return FAIL2(FILE_READ, "", key_path, gnutls_strerror(failed));
    }
    unsigned char of_crt[32], of_key[32];
    size_t crt_len = sizeof of_crt, id_len = sizeof of_key;
    failed = gnutls_x509_crt_get_key_id(p->crt, GNUTLS_KEYID_USE_SHA256, of_crt, &crt_len) != 0 ||
             gnutls_x509_privkey_get_key_id(p->key, GNUTLS_KEYID_USE_SHA256, of_key, &id_len) != 0;
    if (failed || crt_len != id_len || memcmp(of_crt, of_key, id_len) != 0) {
        return FAIL2(FILE_READ, "", key_path, "it is not the key of that certificate");
    }
    *out_chain = text; /* with the certificates that vouch for it, where the file has them */
    return RESULT_OK;
}

static bool has_name(gnutls_x509_crt_t crt, const char *name)
{
    return gnutls_x509_crt_check_hostname(crt, name) != 0;
}

static bool is_good(const struct parts *p, int64_t now_ms, const char *const *names, size_t count)
{
    int64_t until_ms = (int64_t)gnutls_x509_crt_get_expiration_time(p->crt) * 1000;
    bool good = until_ms - now_ms > CERTIFICATE_RENEW_DAYS * day_ms;
    for (size_t i = 0; i < count && good; i++) {
        good = has_name(p->crt, names[i]);
    }
    return good;
}

struct result certificate_own(struct arena *a, const char *folder, struct world world,
                              const char *const *names, size_t count, struct certificate *out)
{
    const char *path = arena_printf(a, "%s/plant.tls.crt", folder), *chain;
    const char *key_path = arena_printf(a, "%s/plant.tls.key", folder);
    struct parts p;
    *out = (struct certificate){.is_new = false};
    parts_init(&p);
    struct result r = RESULT_OK;
    bool good = false;
    if (file_exists(path) && file_exists(key_path)) {
        r = import(a, path, key_path, &p, &chain);
        good = r.code == CODE_OK && is_good(&p, world.now_ms(world.self), names, count);
    }
    if (r.code == CODE_OK && !good) {
        parts_release(&p);
        parts_init(&p);
        fill(&p, world, names, count);
        out->is_new = true;
    }
    if (r.code == CODE_OK) {
        describe(a, &p, out);
    }
    parts_release(&p);
    if (r.code == CODE_OK && out->is_new) {
        r = file_write(key_path, out->key_pem, strlen(out->key_pem), 0600);
    }
    return r.code == CODE_OK && out->is_new ? file_write(path, out->pem, strlen(out->pem), 0644)
                                            : r;
}

struct result certificate_given(struct arena *a, const char *path, const char *key_path,
                                struct certificate *out)
{
    struct parts p;
    const char *chain = NULL;
    *out = (struct certificate){.is_new = false};
    parts_init(&p);
    struct result r = import(a, path, key_path, &p, &chain);
    if (r.code == CODE_OK) {
        describe(a, &p, out);
        out->pem = chain;
    }
    parts_release(&p);
    return r;
}

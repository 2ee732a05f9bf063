/* The certificate of the house: one that the house signed itself, made once and kept beside the
 * record. Its .c is the only file that sees GnuTLS. */
#ifndef WEB_CERTIFICATE_H
#define WEB_CERTIFICATE_H

#include "base/result.h"
#include "base/world.h"

enum {
    /* No longer, because phones refuse a server's certificate that runs longer even when its owner
       put it there (from memory). */
    CERTIFICATE_DAYS = 825,
    /* Made anew this long before its end, so that there is time to go round with the new one. */
    CERTIFICATE_RENEW_DAYS = 30
};

struct certificate {
    const char *pem, *key_pem;
    const void *der;
    size_t der_len;
    const char *fingerprint; /* SHA-256 of the DER form, "AB:CD:.." */
    int64_t until_ms;
    bool is_new; /* made just now: nobody trusts it yet */
};

/* plant.tls.crt and plant.tls.key (mode 0600) of the folder, for these host names and addresses.
 * Made when they are not there, end soon or lack one of the names. FILE_READ, FILE_WRITE. */
MUST_USE struct result certificate_own(struct arena *a, const char *folder, struct world world,
                                       const char *const *names, size_t count,
                                       struct certificate *out);
/* Somebody else's, from PEM files. FILE_READ when they do not belong together. */
MUST_USE struct result certificate_given(struct arena *a, const char *path, const char *key_path,
                                         struct certificate *out);

#endif

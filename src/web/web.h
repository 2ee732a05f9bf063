/* The record over HTTP, for browsers in the house. */
#ifndef WEB_WEB_H
#define WEB_WEB_H

#include "service/serving.h"

/* Free on most machines; ours by choice. */
enum { WEB_PORT_DEFAULT = 8410, WEB_TLS_PORT_DEFAULT = 8443 };

struct web_options {
    int port;         /* of plain HTTP, which is for this machine alone; 0: any that is free */
    int tls_port;     /* of HTTPS at bind; 0: any */
    const char *bind; /* NULL: nobody but this machine; else an address of this machine for others,
                         "0.0.0.0": all of them */
    const char *const *names; /* further host names by which the house is called */
    size_t name_count;
    const char *program;           /* that reads files; NULL: the running one */
    const char *certificate, *key; /* PEM files; NULL: the house makes its own */
};

struct web;

/* Listens on 127.0.0.1 and, with bind, over TLS there. FILE_OPEN when a port is taken, FIELD_RANGE
 * for names and addresses, FILE_READ for a certificate. */
MUST_USE struct result web_start(struct serving *serving, const struct web_options *options,
                                 struct web **out);
/* Answers what was asked, then ends every connection. */
void web_stop(struct web *web);
/* The port of plain HTTP. */
int web_port(const struct web *web);

/* What to tell others: addresses over TLS (none: 0) and the certificate's fingerprint. */
struct web_outside {
    const char *const *addresses;
    size_t address_count;
    const char *fingerprint; /* NULL: no TLS */
    bool is_new;             /* the certificate was made just now */
};
struct web_outside web_outside(const struct web *web);

#endif

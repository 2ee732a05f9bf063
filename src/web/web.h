/* The record over HTTP, for browsers in the house. */
#ifndef WEB_WEB_H
#define WEB_WEB_H

#include "service/serving.h"

enum { WEB_PORT_DEFAULT = 8410 }; /* any that is free on most machines; ours by choice */

struct web_options {
    int port; /* of http on this machine alone; 0: any that is free */
};

struct web;

/* Listens on 127.0.0.1. FILE_OPEN when the port is taken. */
MUST_USE struct result web_start(struct serving *serving, const struct web_options *options,
                                 struct web **out);
/* Answers what was asked, then ends every connection. */
void web_stop(struct web *web);
/* The port it listens on. */
int web_port(const struct web *web);

#endif

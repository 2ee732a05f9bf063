/* The open connections and how long each has been at what it does, so that one that brings or takes
 * its bytes drop by drop is let go. */
#ifndef WEB_LINKS_H
#define WEB_LINKS_H

#include <stdint.h>

struct links;
struct link;

enum link_state {
    LINK_ASKING,    /* no whole request yet, or idle between two */
    LINK_WORKING,   /* we are at it */
    LINK_ANSWERING, /* the answer is being taken */
    LINK_STREAMING  /* news, for as long as it wants */
};

/* Starts the thread that looks after them: how long one may be asking, and answering. */
struct links *links_start(int64_t request_s, int64_t answer_s);
void links_stop(struct links *l);
struct link *link_add(struct links *l, int fd);
void link_set(struct links *l, struct link *link, enum link_state state);
/* Before the descriptor is closed. */
void link_remove(struct links *l, struct link *link);

#endif

/* Who is signed in, in memory: a restart asks everybody again. A session is known by a random token
 * of which only the SHA-256 is kept. Any thread. */
#ifndef WEB_SESSION_H
#define WEB_SESSION_H

#include "base/result.h"
#include "base/world.h"

struct sessions;

struct sitting {
    int64_t person;
    const char *how;  /* "password", "pin", "badge" */
    char station[32]; /* code; "": not at a station */
    int64_t idle_s;
};

struct sessions *sessions_new(struct world world);
void sessions_free(struct sessions *s);
/* A new token, in the arena. When all places are taken, the one unused for longest goes. */
const char *session_open(struct sessions *s, struct arena *a, const struct sitting *who);
/* False when there is none, or it was unused for too long, or is too old. Counts as use unless
 * quiet. */
bool session_find(struct sessions *s, const char *token, bool quiet, struct sitting *out);
/* NULL is taken. */
void session_close(struct sessions *s, const char *token);
/* Ends every session of a person, or (person 0) of a station. */
void session_close_all(struct sessions *s, int64_t person, const char *station);

/* 32 random bytes as 43 letters of base64url, in the arena. */
const char *token_new(struct arena *a, struct world world);

#endif

/* The daybook and what is folded from it. The only room that decides what becomes product history.
 *
 * ledger_take runs one command inside a transaction that the caller has begun: it reads the view,
 * decides (decide_*.c build a draft and write nothing), appends the entry and folds it.
 * Consequences that the record itself draws (scope of a positive, decisions judged again) follow as
 * entries of their own with the first as their cause, in the same transaction. When it fails the
 * caller must roll back if *out_dirty says that something was written, and call ledger_reload.
 *
 * Times ms UTC; days int32 since 1970-01-01; masses mg; pieces; shares ppm. Ids are sequence * 4096
 * + n. */
#ifndef LEDGER_LEDGER_H
#define LEDGER_LEDGER_H

#include "base/digest.h"
#include "base/json.h"
#include "base/result.h"
#include "base/world.h"
#include "ledger/profile.h"
#include "store/store.h"

enum { LEDGER_IDS_PER_ENTRY = 4096, LEDGER_FUTURE_MS = 120 * 1000 };

struct ledger {
    uint32_t magic;
    struct store *store;
    struct world world;
    struct profile *profile; /* in force; NULL before the first is taken in */
    int64_t profile_entry;
    int64_t profile_until_ms; /* when another one taken in already comes into force */
    struct merkle_edge tree;
    bool tree_grew;   /* since it was last written; the store's commit writes it */
    int64_t next_seq; /* the sequence number the next entry gets; the first is 1 */
};

/* Reads the tree's edge and the profile in force. STORE_DAMAGED when they do not fit the daybook.
 */
MUST_USE struct result ledger_open(struct store *store, struct world world, struct ledger **out);
/* After a rollback. */
MUST_USE struct result ledger_reload(struct ledger *lg);
void ledger_close(struct ledger *lg);

/* What a command says by itself, beside any record: who brings it may work it out before it is its
 * turn, in any thread. */
struct command_sum {
    struct result whole; /* FIELD_TYPE, FIELD_RANGE: a number that a record cannot hold */
    struct hash digest;  /* of all but what a device changes on each try; where it is whole */
};
/* command: an object. */
void command_sum(const json_t *command, struct command_sum *out);

/* sum: the command's; NULL where nobody has worked it out. The answer:
 * {"entry":N,"kind":...,...,"deviations":[...],"consequences":[...]}, owned by the caller. A
 * repeated uuid with the same body gives the first answer with "repeated":true; with another body
 * UUID_REUSED. */
MUST_USE struct result ledger_take(struct ledger *lg, const json_t *command,
                                   const struct command_sum *sum, struct arena *a,
                                   json_t **out_answer, bool *out_dirty);

/* An entry as stored. Texts live in the arena. */
struct entry {
    int64_t seq;
    uint8_t uuid[16];
    int64_t cause; /* 0: none */
    int64_t happened_ms, recorded_ms;
    int offset_min;
    int32_t day;
    const char *device;
    int64_t clock_ms;
    int64_t person;
    const char *kind;
    int version;
    struct hash digest;
    const char *body;
    struct hash leaf;
};
MUST_USE struct result entry_by_seq(struct store *s, struct arena *a, int64_t seq,
                                    struct entry *out, bool *out_found);
/* The exact bytes that the leaf hash is over. */
const char *entry_bytes(struct arena *a, const struct entry *e);

/* Signs the tree as it stands; why: "shift", "dossier", "release", "restored". */
struct head {
    int64_t size;
    struct hash root;
    int64_t signed_ms;
    const char *why;
    uint8_t public_key[32];
    uint8_t signature[64];
};
MUST_USE struct result ledger_sign_head(struct ledger *lg, const struct sign_key *key,
                                        const char *why, struct head *out);
bool head_holds(const struct head *h);

#endif

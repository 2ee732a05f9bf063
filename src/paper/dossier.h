/* The printed history of one lot, A4: facts, cautions, clauses of release, story, balance,
 * signatures, and the proof that the entries named stand in the daybook. All of it is handed in;
 * here it is only laid out. */
#ifndef PAPER_DOSSIER_H
#define PAPER_DOSSIER_H

#include "base/digest.h"
#include "base/result.h"

struct dossier_fact {
    const char *name;
    const char *value;
};

enum dossier_state { DOSSIER_MET, DOSSIER_UNMET, DOSSIER_NOT_APPLICABLE };

/* evidence: where to look ("entry 812"), may be empty. */
struct dossier_clause {
    const char *name;
    enum dossier_state state;
    const char *reason;
    const char *evidence;
};

/* entry: its number in the daybook. offset_min: the clock in force then, minutes east of UTC. */
struct dossier_event {
    int64_t at_ms;
    int offset_min;
    int64_t entry;
    const char *text;
};

/* Masses as text with unit and no more digits than the scale had; dry may be empty. known: how the
 * mass is known. total rows are bold. */
struct dossier_balance {
    const char *account;
    const char *wet;
    const char *dry;
    const char *known;
    bool total;
};

/* tree_size: of the daybook the decision was taken by. */
struct dossier_signature {
    const char *name;
    int64_t at_ms;
    int offset_min;
    const char *meaning;
    int64_t tree_size;
};

/* leaf_index counts from 0; path: RFC 6962 section 2.1.1, at most 64. */
struct dossier_proof {
    int64_t entry;
    int64_t leaf_index;
    struct hash leaf;
    const struct hash *path;
    size_t path_count;
};

/* lang: of the reader (base/words.h); NULL: English. title: "Lot P26066-1"; subtitle: the item.
 * key_id and head_signature: texts, may be NULL while no head of this size is signed.
 * profile_digest: text, may be NULL. */
struct dossier {
    const char *lang;
    const char *title;
    const char *subtitle;
    const struct dossier_fact *facts;
    size_t fact_count;
    const char *const *cautions;
    size_t caution_count;
    const struct dossier_clause *clauses;
    size_t clause_count;
    const struct dossier_event *events;
    size_t event_count;
    const struct dossier_balance *balance;
    size_t balance_count;
    const struct dossier_signature *signatures;
    size_t signature_count;
    int64_t tree_size;
    struct hash root;
    const char *head_signature;
    const char *key_id;
    const char *profile_digest;
    const struct dossier_proof *proofs;
    size_t proof_count;
    int64_t created_ms;
    int created_offset_min;
};

/* DOSSIER_PROOF when a proof does not lead to the root: such a paper would lie. FIELD_MISSING
 * without title; the errors of flow.h. */
MUST_USE struct result dossier_pdf(struct arena *a, const struct dossier *dossier,
                                   const uint8_t **out, size_t *out_len);

#endif

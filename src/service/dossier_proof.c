/* What proves a dossier: the last signed head, and the paths of the signed entries to its root. */
#include "service/dossier.h"
#include "service/dossier_inner.h"
#include "service/proof.h"

struct result dossier_head_behind(struct plant *reader, bool *out)
{
    int64_t size;
    struct head head;
    TRY(proof_size(reader->store, &size));
    TRY(proof_head(reader->store, &head));
    *out = head.size < size;
    return RESULT_OK;
}

static struct result prove(struct telling *t, int64_t size)
{
    struct dossier_proof *proofs = ARENA_ARRAY(t->arena, struct dossier_proof, t->signed_count);
    size_t count = 0;
    for (size_t i = 0; i < t->signed_count; i++) {
        int64_t entry = t->signed_entries[i];
        if (entry > size) {
            continue; /* told after the head */
        }
        struct proof *one = ARENA_NEW(t->arena, struct proof);
        TRY(proof_of(t->store, size, entry, one));
        proofs[count++] = (struct dossier_proof){.entry = entry,
                                                 .leaf_index = one->index,
                                                 .leaf = one->leaf,
                                                 .path = one->path,
                                                 .path_count = one->path_count};
    }
    t->paper.proofs = proofs;
    t->paper.proof_count = count;
    return RESULT_OK;
}

static void head_cautions(struct telling *t, const struct head *head, int64_t size)
{
    if (head->size == 0) {
        told_caution(t, TOLD_WORDS(t, "dossier.no-head", NULL));
    } else if (head->size < size) {
        told_caution(t, TOLD_WORDS(t, "dossier.head-behind", told_number(t, head->size),
                                   told_number(t, size)));
    }
}

struct result told_prove(struct telling *t)
{
    int64_t size;
    struct head head;
    struct hash root;
    TRY(proof_size(t->store, &size));
    TRY(proof_head(t->store, &head));
    head_cautions(t, &head, size);
    bool is_signed = head.size > 0;
    size = is_signed ? head.size : size;
    TRY(proof_root(t->store, size, &root));
    if (is_signed && (!hash_equal(&root, &head.root) || !head_holds(&head))) {
        return FAIL1(STORE_DAMAGED, "", "the daybook does not give the root that was signed");
    }
    t->paper.tree_size = size;
    t->paper.root = root;
    if (is_signed) {
        t->paper.head_signature = hex_text(t->arena, head.signature, sizeof head.signature);
        t->paper.key_id = hex_text(t->arena, head.public_key, sizeof head.public_key);
    }
    return prove(t, size);
}

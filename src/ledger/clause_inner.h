/* Between the clause_*.c files; nobody else includes this. */
#ifndef LEDGER_CLAUSE_INNER_H
#define LEDGER_CLAUSE_INNER_H

#include "ledger/clause.h"
#include "ledger/finding.h"

struct judging {
    const struct evidence *e;
    const struct profile *p;
    const char *markets;
    struct arena *arena;
    struct clause_list *out;
    const struct clause *clause; /* the one at work */
    struct water_result *water;  /* the results of water samples, once they were asked for */
    size_t water_count;
    bool water_read;
};

/* A new line, met until it is failed. */
struct clause_line *clause_line_new(struct judging *j, size_t lot, const char *place,
                                    const char *market);
/* The first failure stays. */
void clause_fail(struct clause_line *line, struct result reason);
/* Notes an entry behind the line, once. */
void clause_entry(struct judging *j, struct clause_line *line, int64_t entry);

/* A function a clause: adds the lines of that clause for one lot. */
typedef void clause_fn(struct judging *j, size_t lot);
clause_fn judge_seed_approved, judge_seed_treated, judge_clean, judge_sampled, judge_negative,
    judge_environment, judge_water, judge_foreign_body, judge_label;
/* The water that washed the lot, as it was read: lines of their own a place. */
void judge_wash_water(struct judging *j, size_t lot);
/* What contact with its disinfectant was worth in each period of [from, to] at a place whose water
 * goes round; fails the line where the profile asks for more, or where it is not known. */
void judge_contact_time(struct judging *j, struct clause_line *line, const char *place,
                        int64_t from_ms, int64_t to_ms);
/* After all others, once: of every line the entries that its lots need reviewed. */
void judge_reviewed(struct judging *j);

/* Was the entry reviewed by somebody else than who told it? *out_entry: the review. */
bool entry_reviewed(const struct evidence *e, int64_t seq, int64_t *out_entry);
/* The lot is the same goods as what it was made from, under a new code (split, joined, returned).
 */
bool same_goods(const struct evidence *e, size_t lot);
/* Nothing but a new code came between this lot and the one asked about: no rework. */
bool still_packed_so(const struct evidence *e, size_t lot);
bool is_parent(const struct evidence *e, size_t parent, size_t child);
const char *time_text(struct judging *j, int64_t ms);
const char *span_text(struct judging *j, int64_t ms); /* "47 h 30 min" */
const char *number_text(struct judging *j, int64_t number);

/* Fails the line unless the sample is finally negative for the organism: method in methods (NULL:
 * any), report attached, typed by hand read twice. */
void require_negative(struct judging *j, struct clause_line *line, size_t sample,
                      const char *organism, const char *methods, const char *confirms);

#endif

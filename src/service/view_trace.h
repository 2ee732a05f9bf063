/* The genealogy of lots, cases and shipments for a page: what is asked with, the lots reached, the
 * steps between them, the customers, and for a recall what is here and what left. */
#ifndef SERVICE_VIEW_TRACE_H
#define SERVICE_VIEW_TRACE_H

#include "service/view.h"
#include "trace/trace.h"

/* codes: of lots, cases, shipments, at least one. */
struct view_trace_question {
    const char *const *codes;
    size_t count;
    enum direction direction;
    bool certain_only; /* leaves out what rests on unknown carry-over alone */
};

/* A question asked. Its answer for a program that prints in words. */
struct view_traced {
    const struct graph *graph;
    struct graph *own; /* loaded for this question; NULL: it was there */
    struct trace_question question;
    struct trace_answer answer;
};

/* TRACE_START, errors of the store. The caller releases what was asked, also after an error. */
MUST_USE struct result view_trace_ask(struct view *v, const struct view_trace_question *question,
                                      struct view_traced *out);
void view_trace_release(struct view_traced *asked);

struct view_contact {
    const char *name, *contact; /* NULL: never known, or erased */
};
MUST_USE struct result view_contact(struct view *v, const char *partner, struct view_contact *out);

/* {code, direction, lots:[{lot, item, kind, place, day, born_ms, mg, here_mg, here_pieces,
 * share_ppm, certain, held}], steps:[{entry, kind, at_ms, place, parent, child, mg, basis}],
 * customers:[{customer, name, contact, pieces, mg, shipments:[{shipment, at_ms, pieces, mg}]}],
 * account:{..}, held_lots, here_mg, left_mg, left_pieces, unknown_ppm}
 *
 * mg of a lot: all that ever went into it. Steps stand in the order of their time; the mass of a
 * step is that of the parent in the child. code is null when several were asked for. */
MUST_USE struct result view_trace(struct view *v, const struct view_trace_question *question,
                                  json_t **out);
/* {steps:[{parent, child, entry, mg}]}: one way from what was asked to a lot. LOT_UNKNOWN,
 * TRACE_NO_PATH with field "lot". */
MUST_USE struct result view_why(struct view *v, const struct view_trace_question *question,
                                const char *lot, json_t **out);
/* A trace forward with unknown carry-over, and left:[{unit, lot, customer, shipment, at_ms, pieces,
 * mg, contact}], here:[{lot, unit, place, pieces, mg, held}]. */
MUST_USE struct result view_recall(struct view *v, const char *const *codes, size_t count,
                                   json_t **out);

#endif

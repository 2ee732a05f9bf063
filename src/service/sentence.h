/* One plain sentence of what was told, in a language, from the templates "told.KEY" of the
 * catalogue.
 *
 * In a template {d.X} is field X as told, {a.X} one of the answer, {X|Y} the first of them that is
 * there, {=X} a choice put into words ("word.FIELD.VALUE", else "word.VALUE", else as it stands),
 * {mass} the mass told and {title} the title, of something set aside {told} what was told and
 * {refusal} why it was not booked. A part in < > is left out when something in it is
 * missing; what is missing elsewhere reads "-". */
#ifndef SERVICE_SENTENCE_H
#define SERVICE_SENTENCE_H

#include "service/view.h"

/* The title of a kind: as the profile says it, in another language as the catalogue does. profile
 * may be NULL. */
const char *sentence_title(struct arena *a, const struct profile *p, const char *lang,
                           const char *kind);
/* The template of a kind, or of "other". answer: NULL for a command that was not sent yet. */
const char *sentence_of(struct arena *a, const struct profile *p, const char *lang,
                        const char *kind, const json_t *did, const json_t *answer);
/* A choice in words; field: of which form field, may be "". */
const char *sentence_choice(struct arena *a, const char *lang, const char *field,
                            const char *value);
/* What was told by the command that a set-aside keeps; aside: its fields. */
const char *sentence_refused(struct arena *a, const struct profile *p, const char *lang,
                             const json_t *aside);
/* Why it was refused, without the name of the field before it; aside: its code, field, values. */
const char *sentence_refusal(struct arena *a, const char *lang, const json_t *aside);
/* The sentence of a deviation as an answer holds it: {code, field, values}. */
const char *sentence_deviation(struct arena *a, const char *lang, const json_t *deviation);

#endif

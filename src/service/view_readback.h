/* What a command says, read back before it is sent. */
#ifndef SERVICE_VIEW_READBACK_H
#define SERVICE_VIEW_READBACK_H

#include "service/view.h"

/* {title, sentence, warnings:[sentence]}. The sentence is made of the command alone; of a step with
 * inputs it also says what is left over and where that goes. Warnings are what a person may have
 * got wrong (a lot that is unknown, closed, held or of another kind, more than there is, a place
 * out of service, an instrument past its calibration, mass that is not told); the ledger alone
 * decides. FIELD_MISSING and KIND_UNKNOWN for "kind". */
MUST_USE struct result view_readback(struct view *v, const json_t *command, json_t **out);

#endif

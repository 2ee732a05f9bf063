/* What comes into the house as files: how each source's files are read, and the profile in force.
 */
#ifndef SERVICE_VIEW_FILES_H
#define SERVICE_VIEW_FILES_H

#include "service/view.h"

/* {mappings:[{source, for, data, entry, at_ms, by}]}: those in force, by kind and source. data is
 * what ledger/mapping.h describes. */
MUST_USE struct result view_mappings(struct view *v, json_t **out);

/* The text of the profile in force, byte for byte as it was taken in, in the arena; its name beside
 * it. PROFILE_MISSING. */
MUST_USE struct result view_profile_text(struct view *v, const char **out_text, size_t *out_len,
                                         const char **out_name);

#endif

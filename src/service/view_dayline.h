/* The day by the minute, as the page, the command and the sheet show it. */
#ifndef SERVICE_VIEW_DAYLINE_H
#define SERVICE_VIEW_DAYLINE_H

#include "service/dayline.h"

/* {"day", "known", "start_ms", "end_ms", "now_ms", "stages", "pauses", "trucks", "jobs", "says",
 * "setup_min", "late_min", "ends_ms", "bound_ms", "closed"}. closed: what the house does not do on
 * the day, as planning_closed_json; no truck leaves where nothing is dispatched. known: false where
 * the profile in force says nothing of lines; the lists are empty then. stages: a row for each line
 * with its bars in their order, cleans and change-overs among them; the rows of a room only keep
 * bars apart. pauses: of the day, and of those after it as far as its work goes on. trucks in the
 * order of their cut-offs. jobs in the order of the day. The errors of dayline.h. */
MUST_USE struct result view_dayline(struct view *v, int32_t day, json_t **out);
/* What a stage and a truck are called in the reader's language. */
const char *view_dayline_stage(const struct view *v, const char *stage);
/* The sentence on how a truck stands. */
const char *view_dayline_truck(const struct view *v, const struct dayline *d, int truck);

#endif

/* Lots and where they went: pages that read, on one lot or code. */
#include <string.h>

#include "service/view_lots.h"
#include "service/view_parts.h"
#include "service/view_trace.h"
#include "web/web_inner.h"

struct result hand_lots(struct call *c)
{
    struct view_lots_asked asked = {.kind = target_query(&c->target, "kind"),
                                    .item = target_query(&c->target, "item"),
                                    .state = target_query(&c->target, "state"),
                                    .q = target_query(&c->target, "q"),
                                    .cursor = target_query(&c->target, "cursor")};
    TRY(call_limit(c, &asked.limit));
    TRY(view_lots(c->view, &asked, &c->out));
    call_next(c);
    return RESULT_OK;
}

struct result hand_lot(struct call *c)
{
    const char *markets = target_query(&c->target, "markets");
    const char *known = target_query(&c->target, "as_known_on");
    int64_t size;
    markets = markets != NULL ? markets : "";
    if (known == NULL) {
        return view_lot(c->view, c->part[0], markets, &c->out);
    }
    TRY(call_number(known, "as_known_on", 1, INT64_C(1) << 40, &size));
    return view_lot_known(c->view, c->part[0], markets, size, &c->out);
}

struct result hand_lot_parts(struct call *c)
{
    return view_parts(c->view, c->part[0], &c->out);
}

struct result hand_unit(struct call *c)
{
    return view_unit(c->view, c->part[0], &c->out);
}

static struct result code_of(struct call *c, const char **out)
{
    *out = target_query(&c->target, "code");
    return *out != NULL && (*out)[0] != '\0'
               ? RESULT_OK
               : FAIL1(FIELD_MISSING, "code", "Say what to look for.");
}

struct result hand_find(struct call *c)
{
    const char *code;
    TRY(code_of(c, &code));
    return view_find(c->view, code, &c->out);
}

static struct result question_of(struct call *c, const char **code, struct view_trace_question *out)
{
    const char *direction = target_query(&c->target, "direction");
    const char *unknown = target_query(&c->target, "unknown");
    TRY(code_of(c, code));
    if (direction == NULL ||
        (strcmp(direction, "back") != 0 && strcmp(direction, "forward") != 0)) {
        return FAIL2(FIELD_CHOICE, "direction", direction != NULL ? direction : "",
                     "back, forward");
    }
    if (unknown != NULL && strcmp(unknown, "true") != 0 && strcmp(unknown, "false") != 0) {
        return FAIL2(FIELD_CHOICE, "unknown", unknown, "true, false");
    }
    *out = (struct view_trace_question){
        .codes = code,
        .count = 1,
        .direction = strcmp(direction, "back") == 0 ? TRACE_BACK : TRACE_FORWARD,
        .certain_only = unknown != NULL && strcmp(unknown, "false") == 0};
    return RESULT_OK;
}

struct result hand_trace(struct call *c)
{
    const char *code;
    struct view_trace_question question;
    TRY(question_of(c, &code, &question));
    return view_trace(c->view, &question, &c->out);
}

struct result hand_why(struct call *c)
{
    const char *code, *lot = target_query(&c->target, "lot");
    struct view_trace_question question;
    TRY(question_of(c, &code, &question));
    if (lot == NULL) {
        return FAIL1(FIELD_MISSING, "lot", "Say to which lot.");
    }
    return view_why(c->view, &question, lot, &c->out);
}

struct result hand_recall(struct call *c)
{
    const char *code;
    TRY(code_of(c, &code));
    return view_recall(c->view, &code, 1, &c->out);
}

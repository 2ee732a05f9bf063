/* Laboratory results. */
#include <string.h>

#include "base/check.h"
#include "feed/feed_inner.h"

static struct result read_row(struct table *t, struct feed_content *out)
{
    static const char states[] =
        " pending presumptive negative confirmed-positive confirmed-negative invalid ";
    struct feed_row *row = row_begin(t, out);
    struct cell sample, organism, state;
    const char *sample_code, *organism_code, *state_word, *method, *moment;
    TRY(table_needed(t, RESULTS_SAMPLE, &sample));
    TRY(table_needed(t, RESULTS_ORGANISM, &organism));
    TRY(table_needed(t, RESULTS_STATE, &state));
    TRY(cell_word(t->arena, t->m, RESULTS_SAMPLE, &sample, &sample_code));
    TRY(cell_word(t->arena, t->m, RESULTS_ORGANISM, &organism, &organism_code));
    TRY(cell_word(t->arena, t->m, RESULTS_STATE, &state, &state_word));
    if (strchr(state_word, ' ') != NULL ||
        strstr(states, arena_printf(t->arena, " %s ", state_word)) == NULL) {
        return cell_at(&state, FAIL2(FEED_CODE, state.header, state.text, "state"));
    }
    json_t *command = row_command(t, row, "result");
    feed_set_text(command, "sample", sample_code);
    feed_set_text(command, "organism", organism_code);
    feed_set_text(command, "state", state_word);
    CHECK(json_object_set_new(command, "by_hand", json_false()) == 0);
    struct cell c = table_cell(t, RESULTS_METHOD);
    if (!c.missing) {
        TRY(cell_word(t->arena, t->m, RESULTS_METHOD, &c, &method));
        feed_set_text(command, "method", method);
    }
    c = table_cell(t, RESULTS_AT);
    TRY(row_when(t, row, &c, &moment));
    row_end(t, out, arena_printf(t->arena, "%s/%s/%s", sample_code, organism_code, moment), moment);
    /* the file is the report; set last, because the same result in a later file is still the same
     * result */
    feed_set_text(command, "report",
                  hex_text(t->arena, out->report.sha256.b, sizeof out->report.sha256.b));
    return RESULT_OK;
}

struct result results_read(struct table *t, struct feed_content *out)
{
    for (;;) {
        bool has;
        TRY(table_next(t, &has));
        if (!has) {
            return rows_end(t, out, "result");
        }
        TRY(read_row(t, out));
    }
}

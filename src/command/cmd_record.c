#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "command/say.h"
#include "service/line.h"

/* One command a line. A refused line is answered and the rest go on; the exit status is that of the
 * first refusal. */
static struct result record_lines(struct cli *cli)
{
    struct line_reader lines;
    struct result first = RESULT_OK;
    int64_t line_no = 0;
    line_reader_init(&lines, STDIN_FILENO, SOCKET_LINE_MAX);
    for (;;) {
        char *line;
        size_t len;
        bool end;
        json_t *command = NULL, *answer = NULL;
        struct result r = line_read(&lines, &line, &len, &end);
        if (end || r.code != CODE_OK) {
            first = r.code != CODE_OK ? r : first;
            break;
        }
        line_no++;
        if (len == 0) {
            continue;
        }
        r = json_read(line, len, SOCKET_LINE_MAX, &command);
        if (r.code == CODE_OK && !json_is_object(command)) {
            r = FAIL2(FIELD_TYPE, "line", "a JSON object", "something else");
        }
        if (r.code == CODE_OK) {
            r = cli_take(cli, command, &answer);
        }
        json_decref(command);
        r = result_at(r, line_no, r.column); /* of the lines sent, not within the one */
        json_t *envelope = request_envelope(&cli->arena, &r, answer);
        cli_print_json(envelope); /* lines in, lines out, with or without --json */
        fflush(stdout);
        json_decref(envelope);
        if (r.code != CODE_OK && first.code == CODE_OK) {
            first = r;
        }
    }
    line_reader_release(&lines);
    return first;
}

struct result cmd_record(struct cli *cli)
{
    const char *kind = cli_word(cli);
    if (kind == NULL) {
        return cli_usage(cli, "record", NULL);
    }
    if (strcmp(kind, "-") == 0) {
        TRY(cli_done(cli));
        return record_lines(cli);
    }
    return cli_send(cli, kind);
}

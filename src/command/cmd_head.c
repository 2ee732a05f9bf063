/* The signed head of the record: what leaves the house every shift, on paper and to a second place.
 */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "command/say.h"
#include "service/witness.h"

static void print_head(struct cli *cli, const json_t *head)
{
    if (cli->json) {
        cli_print_json(head);
        return;
    }
    int64_t ms = json_integer_value(json_object_get(head, "signed_ms"));
    CLI_SAY(cli, "head.entries", cli_number(cli, json_integer_value(json_object_get(head, "size"))),
            civil_short(&cli->arena, ms));
    CLI_SAY(cli, "head.root", json_string_value(json_object_get(head, "root")));
    CLI_SAY(cli, "head.key", json_string_value(json_object_get(head, "public_key")));
    CLI_SAY(cli, "head.signature", json_string_value(json_object_get(head, "signature")));
    CLI_SAY(cli, "head.keep", NULL);
}

struct result cmd_head(struct cli *cli)
{
    bool wants_sign = cli_flag(cli, "sign");
    json_t *answer = NULL;
    TRY(cli_done(cli));
    if (wants_sign) {
        json_t *request = json_pack("{s:s,s:s}", "do", "sign", "why", "shift");
        CHECK(request != NULL);
        struct result r = cli_ask(cli, request, &answer);
        json_decref(request);
        TRY(r);
    } else {
        json_t *heads;
        TRY(witness_all(cli->plant, &cli->arena, &heads));
        size_t count = json_array_size(heads);
        answer = count > 0 ? json_incref(json_array_get(heads, count - 1)) : NULL;
        json_decref(heads);
        if (answer == NULL) {
            CLI_SAY(cli, "head.none", NULL);
            return RESULT_OK;
        }
    }
    print_head(cli, answer);
    json_decref(answer);
    return RESULT_OK;
}

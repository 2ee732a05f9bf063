/* The printed history of a lot. The tree is signed first, where the record can be written. */
#include "base/check.h"
#include "base/file.h"
#include "command/say.h"
#include "service/dossier.h"

static struct result sign(struct cli *cli, struct plant *plant)
{
    bool behind;
    TRY(dossier_head_behind(plant, &behind));
    if (!behind || cli->known_on > 0) { /* an earlier record keeps the heads it had */
        return RESULT_OK;
    }
    json_t *answer = NULL, *request = json_pack("{s:s,s:s}", "do", "sign", "why", "dossier");
    CHECK(request != NULL);
    struct result r = cli_ask(cli, request, &answer);
    json_decref(request);
    json_decref(answer);
    if (r.code != CODE_OK) { /* the paper says how far the last head goes */
        CLI_SAY(cli, "dossier.unsigned", result_sentence_in(&cli->arena, cli->lang, &r));
    }
    return RESULT_OK;
}

struct result cmd_dossier(struct cli *cli)
{
    const char *out = cli_option(cli, "out"), *lot = cli_word(cli);
    struct plant *plant;
    const uint8_t *pdf;
    size_t len;
    TRY(cli_done(cli));
    if (lot == NULL || out == NULL) {
        return cli_usage(cli, "dossier", NULL);
    }
    TRY(cli_reader(cli, &plant));
    TRY(sign(cli, plant));
    int64_t now_ms = cli->world.now_ms(cli->world.self);
    TRY(dossier_of_lot(plant, lot, cli->lang, now_ms, &cli->arena, &pdf, &len));
    TRY(file_write(out, pdf, len, 0644));
    if (cli->json) {
        json_t *o = json_pack("{s:s,s:s}", "file", out, "lot", lot);
        cli_print_json(o);
        json_decref(o);
    }
    CLI_SAY(cli, "dossier.done", lot, out);
    return RESULT_OK;
}

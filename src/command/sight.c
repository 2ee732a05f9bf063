#include "command/sight.h"

#include "ledger/view.h"
#include "service/reading.h"

static struct result read_house(struct cli *cli, bool needs_profile, struct sight *s)
{
    bool active, found;
    struct result r = profile_of(s->view.store, s->view.now_ms, &s->profile);
    if (r.code != CODE_OK && (needs_profile || r.code != CODE_PROFILE_MISSING)) {
        return r;
    }
    s->view.profile = s->profile;
    return person_role(s->view.store, &cli->arena, cli->person, &s->view.role, &active, &found);
}

struct result sight_open(struct cli *cli, bool needs_profile, struct sight *out)
{
    struct plant *plant;
    TRY(cli_reader(cli, &plant));
    *out = (struct sight){.view = {.store = plant->store,
                                   .arena = &cli->arena,
                                   .now_ms = cli->world.now_ms(cli->world.self),
                                   .lang = cli->lang,
                                   .person = cli->person}};
    TRY(store_begin(plant->store));
    struct result r = read_house(cli, needs_profile, out);
    if (r.code != CODE_OK) {
        return sight_close(out, r);
    }
    return RESULT_OK;
}

struct result sight_close(struct sight *s, struct result r)
{
    store_rollback(s->view.store);
    profile_free(s->profile);
    return r;
}

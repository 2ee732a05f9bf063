#include "fixture.h"

#include "../paper/programs.h"
#include "service/dossier.h"

enum { TEXT_MAX = 1 << 18 };

static const char house[] =
    "{'kind':'place','code':'DS-1','place_kind':'store'}\n"
    "{'kind':'item','code':'MUNGSEED','item_kind':'seed','name':'Mung bean seed','family':'mung'}\n"
    "{'kind':'partner','code':'RAPHE-3','role':'supplier'}\n"
    "{'kind':'person','number':2,'role':'quality'}\n";

static int64_t told(struct site *s, struct door *door, const char *command)
{
    json_t *answer = NULL;
    json_t *request = take_of(s, "%s", command);
    json_object_set_new(request, "password", json_string(PASSWORD));
    assert_ok(ask(door, request, &answer));
    int64_t entry = number_in(answer, "entry");
    json_decref(answer);
    return entry;
}

struct seed_told {
    int64_t received, tested, struck, review;
};

/* A delivery of seed, a look that is struck again, and a review by quality. */
static void tell_seed(struct site *s, struct door *door, struct seed_told *out)
{
    assert_ok(
        post(door, json_of(s, "{'do':'person','number':2,'name':'Cotyledon 2','password':'" PASSWORD
                              "','by':1,'by_password':'" PASSWORD "'}")));
    out->received =
        told(s, door,
             "{'kind':'receive','supplier':'RAPHE-3','supplier_lot':'M-764','item':"
             "'MUNGSEED','mass':'1500 kg','how':'counted','place':'DS-1','lot':'MS-1'}");
    out->tested =
        told(s, door, "{'kind':'seed-test','lot':'MS-1','test':'moisture','moisture':'10.2 %'}");
    const char *strike = arena_printf(
        &s->arena, "{'kind':'strike','entry':%lld,'reason':'another lot'}", (long long)out->tested);
    out->struck = told(s, door, strike);
    const char *review = arena_printf(&s->arena, "{'kind':'review','person':2,'entries':[%lld]}",
                                      (long long)out->received);
    out->review = told(s, door, review);
}

static char *dossier_in(struct site *s, const char *lot, const char *lang)
{
    struct plant *reader;
    const uint8_t *pdf;
    size_t len;
    char *text = arena_alloc(&s->arena, TEXT_MAX);
    assert_ok(plant_open_read(PLANT, &reader));
    assert_ok(dossier_of_lot(reader, lot, lang, s->fixed.now_ms, &s->arena, &pdf, &len));
    pdf_text(pdf, len, text, TEXT_MAX);
    plant_close(reader);
    return text;
}

static char *dossier_text(struct site *s, const char *lot)
{
    return dossier_in(s, lot, "en");
}

static void a_dossier_tells_and_proves_what_was_signed(void **state)
{
    (void)state;
    struct site s;
    struct door *door;
    struct seed_told seed;
    json_t *head = NULL;
    site_open(&s);
    site_house(&s, house);
    assert_ok(door_open(PLANT, s.world, &door));
    tell_seed(&s, door, &seed);
    assert_ok(ask(door, json_of(&s, "{'do':'sign','why':'dossier'}"), &head));
    door_close(door);
    char *text = dossier_text(&s, "MS-1");
    assert_has(text, "Lot MS-1");
    assert_has(text, "Mung bean seed (MUNGSEED)");
    assert_has(text, "NOT MET seed-approved");
    const char *spanish = dossier_in(&s, "MS-1", "es");
    assert_has(spanish, "Lote MS-1");
    assert_has(spanish, "NO CUMPLIDA Semilla aprobada");
    assert_has(spanish, arena_printf(&s.arena, "Revisó 1 de estos registros, asiento %lld",
                                     (long long)seed.review));
    assert_has(text, arena_printf(&s.arena,
                                  "%lld Receive seed or goods: RAPHE-3/M-764, MS-1, at "
                                  "DS-1; by person 1",
                                  (long long)seed.received));
    assert_has(text, arena_printf(&s.arena, "STRUCK by entry %lld", (long long)seed.struck));
    assert_has(text, "1500 kg");
    assert_has(text, "Cotyledon 2 (person 2)");
    assert_has(text, arena_printf(&s.arena, "Reviewed 1 of these records, entry %lld",
                                  (long long)seed.review));
    assert_has(text, arena_printf(&s.arena, "Entry %lld, leaf %lld", (long long)seed.review,
                                  (long long)seed.review - 1));
    assert_has(text, text_in(head, "root"));
    assert_null(strstr(text, "not proved here"));
    json_decref(head);
    site_close(&s);
}

static void what_the_last_head_does_not_cover_is_said(void **state)
{
    (void)state;
    struct site s;
    struct door *door;
    struct plant *reader;
    struct seed_told seed;
    bool behind;
    site_open(&s);
    site_house(&s, house);
    assert_ok(door_open(PLANT, s.world, &door));
    assert_ok(post(door, json_of(&s, "{'do':'sign','why':'shift'}")));
    assert_ok(plant_open_read(PLANT, &reader));
    assert_ok(dossier_head_behind(reader, &behind));
    assert_false(behind);
    tell_seed(&s, door, &seed);
    assert_ok(dossier_head_behind(reader, &behind));
    assert_true(behind);
    plant_close(reader);
    door_close(door);
    char *text = dossier_text(&s, "MS-1");
    assert_has(text, arena_printf(&s.arena, "The last signed head covers %lld of %lld entries.",
                                  (long long)seed.received - 1, (long long)seed.review));
    assert_null(strstr(text, "Proof of inclusion"));
    site_close(&s);
}

static void an_unsigned_record_says_so_and_an_unknown_lot_is_named(void **state)
{
    (void)state;
    struct site s;
    struct door *door;
    struct plant *reader;
    struct seed_told seed;
    const uint8_t *pdf;
    size_t len;
    site_open(&s);
    site_house(&s, house);
    assert_ok(door_open(PLANT, s.world, &door));
    tell_seed(&s, door, &seed);
    assert_ok(post(
        door, json_of(&s, "{'do':'erase-person','number':2,'by':1,'by_password':'" PASSWORD "'}")));
    door_close(door);
    char *text = dossier_text(&s, "MS-1");
    assert_has(text, "the root on this paper is not signed");
    assert_has(text, "person 2"); /* the number stays when the name is gone */
    assert_null(strstr(text, "Cotyledon"));
    assert_ok(plant_open_read(PLANT, &reader));
    struct result r = dossier_of_lot(reader, "MS-9", "en", s.fixed.now_ms, &s.arena, &pdf, &len);
    assert_code(r, LOT_UNKNOWN);
    plant_close(reader);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_dossier_tells_and_proves_what_was_signed, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(what_the_last_head_does_not_cover_is_said, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(an_unsigned_record_says_so_and_an_unknown_lot_is_named,
                                        folder_enter, folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

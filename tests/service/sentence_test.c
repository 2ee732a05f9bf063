/* Sentences from templates: what is missing, lists, choices, languages. */
#include "pages.h"

#include "service/sentence.h"
#include "stock.h"

static const char *said(struct house *h, const char *lang, const char *kind, const char *did,
                        const char *answer)
{
    json_t *d = NULL, *a = NULL;
    char *text = arena_copy(&h->arena, did), *other = arena_copy(&h->arena, answer);
    for (char *p = text; *p != '\0'; p++) {
        *p = *p == '\'' ? '"' : *p;
    }
    for (char *p = other; *p != '\0'; p++) {
        *p = *p == '\'' ? '"' : *p;
    }
    assert_ok(json_read(text, strlen(text), SIZE_MAX, &d));
    assert_ok(json_read(other, strlen(other), SIZE_MAX, &a));
    const char *out = sentence_of(&h->arena, h->lg->profile, lang, kind, d, a);
    json_decref(d);
    json_decref(a);
    return out;
}

static void parts_are_left_out(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    static const char told[] = "{'chamber':'C1','mass':'800 kg','place':'WASH'}";
    assert_string_equal(said(&h, "en", "harvest", told, "{}"), "Harvest C1: 800 kg at WASH");
    assert_string_equal(said(&h, "en", "harvest", told, "{'lot':'H-1'}"),
                        "Harvest C1: 800 kg into H-1 at WASH");
    /* weighed by gross and tare; a share in words; the place is not there and not left out */
    assert_string_equal(said(&h, "en", "harvest",
                             "{'lot':'G-1','gross':'830 kg','tare':'30 kg','share':'rest'}", "{}"),
                        "Harvest G-1: 800 kg at -; share the rest");
    house_close(&h);
}

static void hygiene(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    assert_string_equal(said(&h, "en", "duty",
                             "{'code':'CL','title':'Clean line 1','every':'2 d','place':'WASH',"
                             "'role':'hygiene'}",
                             "{}"),
                        "Duty CL: Clean line 1, every 2 d at WASH, by hygiene");
    assert_string_equal(
        said(&h, "en", "training", "{'about':10,'training':'cleaning','passed':false}", "{}"),
        "Person 10 trained in cleaning and sanitising: not passed");
    assert_string_equal(said(&h, "en", "corrective-action",
                             "{'deviation':4097,'cause':'the door stood open','correction':'closed "
                             "it','disposition':'no-product'}",
                             "{}"),
                        "Deviation 4097: the door stood open; closed it; product: none concerned");
    assert_string_equal(said(&h, "es", "work-order", "{'place':'PACK','what':'cinta nueva'}",
                             "{'work_order':'W7'}"),
                        "Orden de trabajo W7 en PACK: cinta nueva");
    assert_string_equal(said(&h, "en", "complaint",
                             "{'unit':'P-1-0001','complaint':'packaging','what':'seam open',"
                             "'pieces':2}",
                             "{}"),
                        "Complaint about P-1-0001: packaging; seam open; 2 pieces");
    assert_string_equal(said(&h, "en", "register",
                             "{'code':'BLADES','of':'blades','place':'TRIM','expected':12,"
                             "'active':false}",
                             "{}"),
                        "Register BLADES at TRIM: 12 of knives and blades; no longer in force");
    house_close(&h);
}

static void lists_and_choices(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    assert_string_equal(
        said(&h, "en", "wash",
             "{'place':'WASH','inputs':[{'lot':'H-1'},{'lot':'H-2','mass':'10 kg'}],"
             "'outputs':[{'role':'main','mass':'700 kg'},{'role':'hulls','mass':'50 kg'}]}",
             "{}"),
        "Wash, hulls off, WASH: H-1, H-2 (10 kg) into main 700 kg, hulls 50 kg");
    assert_string_equal(
        said(&h, "en", "move", "{'units':['A-1','A-2','A-3','A-4','A-5'],'place':'COLD'}", "{}"),
        "Move A-1, A-2, A-3 and 2 more to COLD");
    assert_string_equal(said(&h, "en", "metal-check",
                             "{'place':'METAL','fe':'rejected','non_fe':'missed','steel':"
                             "'rejected'}",
                             "{}"),
                        "Metal detector at METAL: iron found, non-ferrous missed, steel found");
    assert_string_equal(said(&h, "es", "approve", "{'lot':'S-1','state':'blocked'}", "{}"),
                        "Lote de semilla S-1: bloqueado");
    assert_string_equal(said(&h, "en", "no-such-kind", "{}", "{}"), "no-such-kind");
    house_close(&h);
}

/* What was told and not booked says both: what it was, and why. */
static void what_was_set_aside_says_what_and_why(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *did = json_pack("{s:s,s:s,s:s,s:[s]}", "told",
                            "{\"kind\":\"harvest\",\"chamber\":\"C1\",\"mass\":\"790 kg\","
                            "\"place\":\"WASH\",\"share\":0.5}",
                            "code", "chamber-empty", "field", "chamber", "values", "C1");
    const struct profile *p = h.lg->profile;
    assert_string_equal(sentence_of(&h.arena, p, "en", "set-aside", did, NULL),
                        "Not booked: Harvest C1: 790 kg at WASH – nothing grows in chamber C1.");
    assert_string_equal(
        sentence_of(&h.arena, p, "es", "set-aside", did, NULL),
        "No asentado: Cosechar C1: 790 kg en WASH – en la cámara C1 no crece nada.");
    assert_string_equal(sentence_refused(&h.arena, p, "en", did), "Harvest C1: 790 kg at WASH");
    assert_string_equal(sentence_refusal(&h.arena, "en", did), "nothing grows in chamber C1.");
    /* where the field is a part of the sentence it stays */
    json_object_set_new(did, "code", json_string("field-missing"));
    assert_string_equal(sentence_refusal(&h.arena, "en", did), "chamber is missing. C1");
    /* a newer device's code, a text that is no command: nothing is made up */
    json_object_set_new(did, "code", json_string("of-tomorrow"));
    assert_string_equal(sentence_deviation(&h.arena, "en", did), "of-tomorrow");
    json_object_set_new(did, "told", json_string("{"));
    assert_string_equal(sentence_refused(&h.arena, p, "en", did), "");
    json_decref(did);
    assert_string_equal(said(&h, "en", "settle",
                             "{'aside':7,'outcome':'told-again','reason':'sent again'}",
                             "{'now_in':9}"),
                        "Settle entry 7: told again (entry 9); sent again");
    house_close(&h);
}

/* The stretched language shows what is not from the catalogue: codes and masses alone. */
static void all_words_are_from_the_catalogue(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    assert_string_equal(said(&h, "xx", "empty", "{'chamber':'C1','mass':'3 kg'}", "{}"),
                        "[Empty] C1: 3 kg [too] [waastee]");
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_are_left_out),
        cmocka_unit_test(hygiene),
        cmocka_unit_test(lists_and_choices),
        cmocka_unit_test(what_was_set_aside_says_what_and_why),
        cmocka_unit_test(all_words_are_from_the_catalogue),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Attempts to release a packed lot, by market and by what the laboratory has of it: one table. Each
 * row is a house of its own in which everything else is as it should be; what a market does not ask
 * for has its row as well, and says what happens then. */
#include "fixture/evidence.h"
#include "fixture/stock.h"

static struct house h;

enum { DRAWS_MAX = 5, ORGANISMS_MAX = 7, ROLE_QUALITY = 2 };

/* What a market asks for. US: 21 CFR 112.144(b), 112.147 (published (seen)), a litre and 48 h by an
 * example plan in line with US guidance (published (seen)). EU: Regulation (EC) 2073/2005, Annex I
 * rows 1.18, 1.29 and chapter 3 (from memory). house: the profile's own, US organisms at two places
 * (common practice). */
struct set {
    const char *market;
    int draws, volume_ml;
    const char *organisms[ORGANISMS_MAX];
    const char *locations[DRAWS_MAX];
};
static const struct set sets[] = {
    {"US", 1, 1000, {"E. coli O157:H7", "Salmonella spp."}, {"drain"}},
    {"EU",
     5,
     200,
     {"Salmonella spp.", "E. coli O157:H7", "STEC O26", "STEC O111", "STEC O103", "STEC O145",
      "STEC O104:H4"},
     {"drain", "drain", "drain", "drain", "drain"}},
    {"house", 2, 1000, {"E. coli O157:H7", "Salmonella spp."}, {"drain", "drain-2"}},
};

/* In what an attempt differs from the complete evidence. */
enum differs {
    IN_NOTHING,
    IN_STATE,     /* the last sample's result for `organism` is `is` */
    IN_NO_RESULT, /* it has none */
    IN_ORGANISM,  /* it was tested for `is` instead */
    IN_BESIDE,    /* it was tested for `organism` as well, and that is `is` */
    IN_DRAWS,     /* the last sample was not drawn */
    IN_AGE,       /* all were drawn 47 h after the chamber was started */
    IN_WAIVER,    /* the same, and quality says why they count all the same */
    IN_LOCATION,  /* all were drawn at the first place */
    IN_VOLUME,    /* all are 200 mL */
};

struct attempt {
    const char *market;
    enum differs differs;
    const char *organism, *is;
    const char *clause; /* NULL: it is released */
    enum code reason;
    const char *says; /* stands in the reason's sentence */
};

#define SALMONELLA "Salmonella spp."
#define O26 "STEC O26"
#define LISTERIA "Listeria spp."
#define OPEN CODE_CLAUSE_RESULT_OPEN
#define MISSING CODE_CLAUSE_RESULT_MISSING
#define FEW CODE_CLAUSE_SAMPLE_FEW
#define YOUNG CODE_CLAUSE_SAMPLE_YOUNG
#define RELEASED NULL, CODE_OK, NULL

static const struct attempt attempts[] = {
    {"US", IN_NOTHING, NULL, NULL, RELEASED},
    {"US", IN_STATE, SALMONELLA, "pending", "negative", OPEN, "Salmonella spp. is pending"},
    {"US", IN_STATE, SALMONELLA, "presumptive", "negative", OPEN, "Salmonella spp. is presumptive"},
    {"US", IN_STATE, SALMONELLA, "invalid", "negative", OPEN, "Salmonella spp. is invalid"},
    {"US", IN_NO_RESULT, SALMONELLA, NULL, "negative", MISSING, "no result for Salmonella spp."},
    {"US", IN_ORGANISM, SALMONELLA, "generic E. coli", "negative", MISSING, "for Salmonella spp."},
    {"US", IN_DRAWS, NULL, NULL, "sampled", FEW, "0 of 1 samples that the plan for US"},
    {"US", IN_AGE, NULL, NULL, "sampled", YOUNG, "was drawn 47 h after"},
    {"US", IN_VOLUME, NULL, NULL, "sampled", FEW, "0 of 1"},
    {"EU", IN_NOTHING, NULL, NULL, RELEASED},
    {"EU", IN_STATE, SALMONELLA, "pending", "negative", OPEN, "Salmonella spp. is pending"},
    {"EU", IN_STATE, SALMONELLA, "presumptive", "negative", OPEN, "Salmonella spp. is presumptive"},
    {"EU", IN_STATE, SALMONELLA, "invalid", "negative", OPEN, "Salmonella spp. is invalid"},
    {"EU", IN_NO_RESULT, SALMONELLA, NULL, "negative", MISSING, "no result for Salmonella spp."},
    {"EU", IN_ORGANISM, O26, "generic E. coli", "negative", MISSING, "no result for STEC O26"},
    {"EU", IN_DRAWS, NULL, NULL, "sampled", FEW, "4 of 5 samples that the plan for EU"},
    {"EU", IN_AGE, NULL, NULL, "sampled", YOUNG, "was drawn 47 h after"},
    {"house", IN_NOTHING, NULL, NULL, RELEASED},
    {"house", IN_STATE, SALMONELLA, "pending", "negative", OPEN, "Salmonella spp. is pending"},
    {"house", IN_STATE, SALMONELLA, "presumptive", "negative", OPEN, "spp. is presumptive"},
    {"house", IN_STATE, SALMONELLA, "invalid", "negative", OPEN, "Salmonella spp. is invalid"},
    {"house", IN_NO_RESULT, SALMONELLA, NULL, "negative", MISSING, "no result for Salmonella spp."},
    {"house", IN_ORGANISM, SALMONELLA, "generic E. coli", "negative", MISSING, "for Salmonella"},
    {"house", IN_DRAWS, NULL, NULL, "sampled", FEW, "1 of 2 samples that the plan for house"},
    {"house", IN_AGE, NULL, NULL, "sampled", YOUNG, "was drawn 47 h after"},
    {"house", IN_VOLUME, NULL, NULL, "sampled", FEW, "0 of 2"},
    /* Asked by one market and not by another: EU alone wants the six STEC, and is content with
     * 200 mL; house alone wants a second place; US alone lets the age be waived. */
    {"US", IN_BESIDE, O26, "presumptive", RELEASED},
    {"EU", IN_STATE, O26, "presumptive", "negative", OPEN, "STEC O26 is presumptive"},
    {"house", IN_BESIDE, O26, "presumptive", RELEASED},
    {"EU", IN_VOLUME, NULL, NULL, RELEASED},
    {"US", IN_LOCATION, NULL, NULL, RELEASED},
    {"EU", IN_LOCATION, NULL, NULL, RELEASED},
    {"house", IN_LOCATION, NULL, NULL, "sampled", CODE_CLAUSE_SAMPLE_LOCATION, "from drain-2"},
    {"US", IN_WAIVER, NULL, NULL, RELEASED},
    {"EU", IN_WAIVER, NULL, NULL, "sampled", YOUNG, "was drawn 47 h after"},
    {"house", IN_WAIVER, NULL, NULL, "sampled", YOUNG, "was drawn 47 h after"},
    /* No market asks spent water for Listeria: begun, it keeps nothing back; found, it does. */
    {"US", IN_BESIDE, LISTERIA, "presumptive", RELEASED},
    {"EU", IN_BESIDE, LISTERIA, "presumptive", RELEASED},
    {"house", IN_BESIDE, LISTERIA, "presumptive", RELEASED},
};

static const struct set *set_of(const char *market)
{
    size_t i = 0;
    while (strcmp(sets[i].market, market) != 0) {
        i++;
        assert_true(i < sizeof sets / sizeof sets[0]);
    }
    return &sets[i];
}

static int draw(const struct attempt *a, const struct set *s, const char *growing,
                const char **samples)
{
    bool early = a->differs == IN_AGE || a->differs == IN_WAIVER;
    int draws = a->differs == IN_DRAWS ? s->draws - 1 : s->draws;
    house_wait(&h, early ? "47 h" : "49 h");
    for (int i = 0; i < draws; i++) {
        house_take(&h,
                   "{'kind':'sample','what':'spent-water','lot':'%s','location':'%s','volume':"
                   "'%d mL'}",
                   growing, s->locations[a->differs == IN_LOCATION ? 0 : i],
                   a->differs == IN_VOLUME ? 200 : s->volume_ml);
        samples[i] = house_answer(&h, "sample");
    }
    return draws;
}

static void tell_results(const struct attempt *a, const struct set *s, const char *sample,
                         bool last)
{
    for (int k = 0; k < ORGANISMS_MAX && s->organisms[k] != NULL; k++) {
        const char *organism = s->organisms[k], *state = "negative";
        if (last && a->organism != NULL && strcmp(a->organism, organism) == 0) {
            if (a->differs == IN_NO_RESULT) {
                continue;
            }
            state = a->differs == IN_STATE ? a->is : state;
            organism = a->differs == IN_ORGANISM ? a->is : organism;
        }
        house_result(&h, sample, organism, state);
    }
    if (last && a->differs == IN_BESIDE) {
        house_result(&h, sample, a->organism, a->is);
    }
}

/* Where the market lets it be waived it is, else that is refused as well. */
static void waive(const struct attempt *a, const char *sample)
{
    struct result r = house_send(
        &h, "{'kind':'waive-age','sample':'%s','market':'%s','reason':'a power cut','person':%d}",
        sample, a->market, ROLE_QUALITY);
    if (a->clause == NULL) {
        assert_ok(r);
    } else {
        assert_code(r, WAIVER_REFUSED);
    }
}

static void packed_lot(const struct attempt *a, struct house_batch *out)
{
    const char *samples[DRAWS_MAX];
    const struct set *s = set_of(a->market);
    h.markets = house_text(&h, "'%s'", a->market);
    *out = house_begin_batch(&h, "C1");
    int draws = draw(a, s, out->growing, samples);
    if (a->differs == IN_WAIVER) {
        for (int i = 0; i < draws; i++) {
            waive(a, samples[i]);
        }
    }
    house_wait(&h, "54 h");
    for (int i = 0; i < draws; i++) {
        tell_results(a, s, samples[i], i + 1 == draws);
    }
    house_end_batch(&h, out, true);
}

static void released(const struct house_batch *b, struct result answer)
{
    assert_ok(answer);
    assert_false(house_stops(&h, b->packed, "load"));
    assert_int_equal(house_count(&h, Q_SCOPE_RELEASES, house_lot(&h, b->packed), NULL),
                     house_number(&h, "entry"));
}

/* Names the clause and the batch that it is about; the lot stays, and its clauses say why. */
static void refused(const struct attempt *a, const struct house_batch *b, struct result answer)
{
    assert_code(answer, RELEASE_UNMET);
    assert_string_equal(h.refusal.value[0], b->packed);
    assert_string_equal(h.refusal.value[2], house_text(&h, "%s of lot %s", a->clause, b->growing));
    const struct clause_line *line = house_unmet(&h, b->packed, a->market);
    assert_string_equal(line->clause, a->clause);
    assert_string_equal(line->market, a->market);
    assert_int_equal(line->reason.code, a->reason);
    assert_non_null(strstr(result_sentence(&h.arena, &line->reason), a->says));
    assert_true(house_stops(&h, b->packed, "load"));
    assert_int_equal(house_count(&h, Q_SCOPE_RELEASES, house_lot(&h, b->packed), NULL), 0);
    bool bare = a->differs == IN_DRAWS && set_of(a->market)->draws == 1;
    assert_string_equal(h.refusal.value[1], bare ? "2" : "1"); /* not sampled is not negative */
}

static void attempt(void **state)
{
    const struct attempt *a = *state;
    struct house_batch b;
    house_open(&h);
    packed_lot(a, &b);
    struct result answer =
        house_send(&h, "{'kind':'release','lot':'%s','markets':['%s'],'person':%d}", b.packed,
                   a->market, ROLE_QUALITY);
    if (a->clause == NULL) {
        released(&b, answer);
    } else {
        refused(a, &b, answer);
    }
    house_close(&h);
}

/* The table itself: each market has each of the states, and one row where all is as it should be.
 */
static void every_market_has_every_state(void **state)
{
    (void)state;
    static const struct {
        enum differs differs;
        const char *is;
    } wanted[] = {{IN_NOTHING, NULL},   {IN_STATE, "pending"}, {IN_STATE, "presumptive"},
                  {IN_NO_RESULT, NULL}, {IN_DRAWS, NULL},      {IN_AGE, NULL},
                  {IN_ORGANISM, NULL}};
    for (size_t m = 0; m < sizeof sets / sizeof sets[0]; m++) {
        for (size_t w = 0; w < sizeof wanted / sizeof wanted[0]; w++) {
            size_t rows = 0;
            for (size_t i = 0; i < sizeof attempts / sizeof attempts[0]; i++) {
                const struct attempt *a = &attempts[i];
                bool fits = strcmp(a->market, sets[m].market) == 0 &&
                            a->differs == wanted[w].differs &&
                            (wanted[w].is == NULL || strcmp(a->is, wanted[w].is) == 0);
                assert_true(!fits || (a->clause == NULL) == (a->differs == IN_NOTHING));
                rows += fits ? 1 : 0;
            }
            assert_true(rows > 0);
        }
    }
}

enum { ROWS = sizeof attempts / sizeof attempts[0] };

static const char *row_name(char *out, size_t room, const struct attempt *a)
{
    static const char *const names[] = {"nothing", "state", "no result", "organism", "beside",
                                        "draws",   "age",   "waiver",    "location", "volume"};
    snprintf(out, room, "%s: %s %s %s -> %s", a->market, names[a->differs],
             a->organism != NULL ? a->organism : "", a->is != NULL ? a->is : "",
             a->clause != NULL ? a->clause : "released");
    return out;
}

int main(void)
{
    static char names[ROWS][128];
    struct CMUnitTest tests[ROWS + 1] = {cmocka_unit_test(every_market_has_every_state)};
    for (size_t i = 0; i < ROWS; i++) {
        tests[i + 1] =
            (struct CMUnitTest){.name = row_name(names[i], sizeof names[i], &attempts[i]),
                                .test_func = attempt,
                                .initial_state = (void *)(uintptr_t)&attempts[i]};
    }
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

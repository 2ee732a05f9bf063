/* The book of a water that goes round, in the evidence of what it met and in the clause on water.
 */
#include "water.h"

#include "evidence.h"
#include "ledger/clause.h"

/* The line of the clause on water about a lot and a place; its code, CODE_OK when it is met. */
static enum code water_line(const char *lot, const char *of, const char *place)
{
    struct clause_list list;
    assert_ok(clauses_of_lot(h.store, h.lg->profile, house_lot(&h, lot), "", &h.arena, &list));
    for (size_t i = 0; i < list.line_count; i++) {
        const struct clause_line *l = &list.lines[i];
        if (strcmp(l->clause, "water") == 0 && strcmp(l->lot_code, of) == 0 && l->place != NULL &&
            strcmp(l->place, place) == 0) {
            return l->reason.code;
        }
    }
    fail_msg("no line of %s at %s", of, place);
    return CODE_OK;
}

static const char *watered(void)
{
    house_test_water(&h);
    house_wait(&h, "1 h");
    return house_grow(&h, "C1", "100 kg");
}

#define GO_ROUND(tank)                                                                         \
    house_take(&h, "{'kind':'water-loop','place':'WATER','rule':'recycled','volume':'5000 L'," \
                   "'person':2}");                                                             \
    house_take(&h,                                                                             \
               "{'kind':'water-segment','code':'T-2','place':'WATER','volume':'%s','flow':"    \
               "'50 L/min','baffling':'0.3','person':2}",                                      \
               tank)

static void read_it(const char *ph)
{
    house_take(&h,
               "{'kind':'water-reading','place':'WATER','chlorine':'9 mg/L','ph':'%s','temp':"
               "'12 C','person':4}",
               ph);
}

static void water_it(void)
{
    house_take(&h, "{'kind':'water','chamber':'C1','source':'WATER','litres':'900 L','person':4}");
}

static size_t books(const char *lot)
{
    struct evidence e;
    assert_ok(evidence_collect(h.store, &h.arena, house_lot(&h, lot), &e));
    return e.water_count;
}

static void only_water_that_goes_round_is_asked(void **state)
{
    const char *growing = watered();
    water_it();
    assert_int_equal(books(growing), 0);
    house_wait(&h, "1 d");
    GO_ROUND("5000 L");
    assert_int_equal(books(growing), 1);
    house_wait(&h, "1 h");
    read_it("6.8");
    water_it();
    enum code code = water_line(growing, growing, "WATER");
    assert_true(code != CODE_CLAUSE_CONTACT_LOW && code != CODE_CLAUSE_CONTACT_UNKNOWN);
    house_wait(&h, "1 d"); /* a day on which nothing is read */
    water_it();
    assert_int_equal(water_line(growing, growing, "WATER"), CODE_CLAUSE_CONTACT_UNKNOWN);
    read_it("6.8"); /* the same day, later: known after all */
    code = water_line(growing, growing, "WATER");
    assert_true(code != CODE_CLAUSE_CONTACT_LOW && code != CODE_CLAUSE_CONTACT_UNKNOWN);
}

static void a_day_of_too_little_contact_is_in_the_clause(void **state)
{
    const char *growing = watered();
    GO_ROUND("500 L");
    house_wait(&h, "1 h");
    read_it("6.8");
    water_it();
    enum code code = water_line(growing, growing, "WATER");
    assert_true(code != CODE_CLAUSE_CONTACT_LOW && code != CODE_CLAUSE_CONTACT_UNKNOWN);
    house_wait(&h, "1 h");
    read_it("7.4"); /* the day is below what is asked: 0.487 of 0.5 */
    assert_int_equal(water_line(growing, growing, "WATER"), CODE_CLAUSE_CONTACT_LOW);
    assert_true(house_stops(&h, growing, "release")); /* and held, as it was watered that day */
    struct entry e = house_entry(&h, "water-contact");
    assert_non_null(strstr(e.body, growing));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(only_water_that_goes_round_is_asked),
        T(a_day_of_too_little_contact_is_in_the_clause),
    };
    RUN(tests);
}

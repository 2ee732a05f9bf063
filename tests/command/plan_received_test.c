/* What if, asked on the command line of a hall that receives limes: 600 boxes are ordered, and each
 * kind of change is told beside the plan as it is. The hall is told today what it is, for plans
 * begin with the day on which they are asked for.
 *
 * plan_received_test PLUMULE */
#include "../service/hall.h"
#include "program.h"

#include "service/plant.h"

enum { BOXES = 600, ORDER_DAY = 6 };

static const char *program;
static struct launch r;
static struct arena a;
static int32_t today;

static void make_hall(const char *folder, const char *service)
{
    static const uint8_t seed[32] = {7};
    struct world world = world_real();
    struct house h;
    assert_ok(folder_make(folder));
    hall_open_asking(&h, plant_file(&a, folder), service);
    h.fixed.now_ms = world.now_ms(world.self);
    today = (int32_t)(h.fixed.now_ms / HALL_DAY_MS);
    hall_order(&h, "A", "LIME-BOX", ORDER_DAY, BOXES);
    house_close(&h);
    assert_ok(file_write(plant_key(&a, folder), seed, sizeof seed, 0600));
    assert_ok(plant_zone_set(folder, "UTC"));
}

static int set_up(void **state)
{
    if (folder_enter(state) != 0) {
        return 1;
    }
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    make_hall("p", NULL);
    run_open(&r, program);
    setenv("PLUMULE_PLANT", "p", 1);
    setenv("PLUMULE_PERSON", "1", 1);
    return 0;
}

static int tear_down(void **state)
{
    unsetenv("PLUMULE_PLANT");
    unsetenv("PLUMULE_PERSON");
    run_close(&r);
    arena_release(&a);
    return folder_leave(state);
}

/* ' for ". */
static const char *quoted(const char *text)
{
    char *all = arena_copy(&a, text);
    for (char *c = all; *c != '\0'; c++) {
        *c = *c == '\'' ? '"' : *c;
    }
    return all;
}

/* The plan with these changes; the caller owns it. */
static json_t *asked(const char *changes)
{
    RUN_OK(&r, "--json", "plan", "--seconds", "0", "--what-if", quoted(changes));
    json_t *plan = run_json(&r, 0);
    assert_non_null(plan);
    return plan;
}

static json_int_t sum_of(const json_t *plan, const char *of, const char *name)
{
    const json_t *value = json_object_get(json_object_get(plan, of), name);
    assert_true(json_is_integer(value));
    return json_integer_value(value);
}

static double costs(const json_t *plan, const char *of)
{
    const json_t *value = json_object_get(json_object_get(plan, of), "cost");
    assert_true(json_is_real(value));
    return json_real_value(value);
}

static const json_t *differing(const json_t *plan, const char *list)
{
    const json_t *o = json_object_get(json_object_get(plan, "difference"), list);
    assert_true(json_is_array(o));
    return o;
}

static void what_stands_beside_it_is_the_plan_as_it_is(void **state)
{
    (void)state;
    RUN_OK(&r, "--json", "plan", "--seconds", "0");
    json_t *plan = run_json(&r, 0);
    json_t *x = asked("[{'what':'machine','name':'packing','minutes':0}]");
    const json_t *base = json_object_get(x, "base");
    assert_int_equal(sum_of(plan, "sums", "booked_met"), BOXES);
    assert_true(json_equal(json_object_get(base, "flows"), json_object_get(plan, "flows")));
    assert_true(json_equal(json_object_get(base, "sums"), json_object_get(plan, "sums")));
    assert_true(json_equal(json_object_get(x, "before"), json_object_get(plan, "sums")));
    assert_null(json_object_get(plan, "base"));
    json_decref(x);
    json_decref(plan);
}

/* Nothing is packed: nothing is met, and the order is told as met otherwise. */
static void a_machine_that_does_not_work(void **state)
{
    (void)state;
    json_t *x = asked("[{'what':'machine','name':'packing','minutes':0}]");
    assert_int_equal(sum_of(x, "before", "met"), BOXES);
    assert_int_equal(sum_of(x, "sums", "met"), 0);
    assert_int_equal(sum_of(x, "sums", "short_orders"), 1);
    assert_true(json_array_size(differing(x, "flows")) > 0);
    assert_int_equal(json_array_size(differing(x, "lines")), 1);
    json_decref(x);
}

static void a_store_that_holds_less(void **state)
{
    (void)state;
    json_t *x = asked("[{'what':'store','name':'cold rooms','milli':100000}]");
    assert_true(costs(x, "sums") > costs(x, "before"));
    const json_t *store = json_array_get(json_object_get(x, "stores"), 0);
    size_t i;
    json_t *day;
    json_array_foreach(json_object_get(store, "days"), i, day)
    {
        assert_int_equal(json_integer_value(json_object_get(day, "limit_milli")), 100000);
        assert_true(json_integer_value(json_object_get(day, "level_milli")) <= 100000);
    }
    json_decref(x);
}

static void an_order_changed_and_one_more(void **state)
{
    (void)state;
    json_t *x = asked(arena_printf(&a,
                                   "[{'what':'order','order':'A','pieces':500},"
                                   "{'what':'order','item':'LIME-BOX','day':'%s','pieces':60}]",
                                   day_text(&a, today + ORDER_DAY + 1)));
    assert_int_equal(sum_of(x, "before", "booked"), BOXES);
    assert_int_equal(sum_of(x, "sums", "booked"), 500 + 60);
    assert_int_equal(sum_of(x, "sums", "booked_met"), 500 + 60);
    assert_int_equal(json_array_size(differing(x, "lines")), 2);
    json_decref(x);
}

static void a_day_closed_and_opened_again(void **state)
{
    (void)state;
    const char *day = day_text(&a, today + 4),
               *closed = arena_printf(
                   &a, "[{'what':'closed-day','day':'%s','of':'pack','reason':'feast'}]", day);
    json_t *x = asked(closed);
    const json_t *list = json_object_get(x, "closed");
    assert_int_equal(json_array_size(list), 1);
    assert_string_equal(json_string_value(json_object_get(json_array_get(list, 0), "day")), day);
    json_decref(x);
    x = asked(arena_printf(&a, "%.*s,{'what':'open-day','day':'%s'}]", (int)strlen(closed) - 1,
                           closed, day));
    assert_int_equal(json_array_size(json_object_get(x, "closed")), 0);
    assert_true(json_equal(json_object_get(x, "before"), json_object_get(x, "sums")));
    assert_int_equal(json_array_size(differing(x, "flows")), 0);
    json_decref(x);
}

/* More boxes than fruit and hours give; such for nothing are bought, and more are met. */
static void fruit_that_is_offered(void **state)
{
    (void)state;
    const char *many = "{'what':'order','order':'A','pieces':9000}";
    json_t *x = asked(arena_printf(&a, "[%s]", many));
    json_int_t met = sum_of(x, "sums", "met");
    assert_true(met < 9000);
    json_decref(x);
    x = asked(arena_printf(&a,
                           "[%s,{'what':'offer','good':'boxes','day':'%s','g':8000000,"
                           "'price_milli':0}]",
                           many, day_text(&a, today + 2)));
    assert_true(sum_of(x, "sums", "met") > met);
    bool is_told = false;
    size_t i;
    json_t *o;
    json_array_foreach(differing(x, "flows"), i, o)
    {
        is_told = is_told || (strcmp(json_string_value(json_object_get(o, "act")), "bought") == 0 &&
                              strcmp(json_string_value(json_object_get(o, "good")), "boxes") == 0);
    }
    assert_true(is_told);
    json_decref(x);
}

static json_int_t entries(void)
{
    RUN_OK(&r, "--json", "verify");
    json_t *report = run_json(&r, 0);
    json_int_t n = json_integer_value(json_object_get(report, "entries"));
    json_decref(report);
    return n;
}

static void it_is_told_side_by_side_and_nothing_is_booked(void **state)
{
    (void)state;
    json_int_t before = entries();
    const char *changes = quoted("[{'what':'machine','name':'packing','minutes':0}]");
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0", "--what-if", changes);
    RUN_SAYS(&r, "TWO PLANS SIDE BY SIDE");
    RUN_SAYS(&r, "     As it is        What if     Difference\n");
    RUN_SAYS(&r, "Booked and met                      600              0           -600\n");
    RUN_SAYS(&r, "Orders short                          0              1             +1\n");
    RUN_SAYS(&r, "DONE OTHERWISE");
    RUN_SAYS(&r, "pack boxes takes 0 kg of firsts, not ");
    RUN_SAYS(&r, "ORDERS MET OTHERWISE");
    RUN_SAYS(&r, "0 of 600 instead of 600.");
    RUN_SAYS(&r, "Nothing is booked.");
    RUN_OK(&r, "--lang=es", "plan", "--seconds", "0", "--what-if", changes);
    RUN_SAYS(&r, "DOS PLANES LADO A LADO");
    RUN_SAYS(&r, " Tal como está           Y si     Diferencia\n");
    RUN_SAYS(&r, "Pedidos servidos                    600              0           -600\n");
    RUN_SAYS(&r, "SE HACE DE OTRO MODO");
    assert_int_equal(entries(), before);
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0", "--what-if",
           quoted("[{'what':'order','order':'A','pieces':600}]"));
    RUN_SAYS(&r, "Nothing differs.");
}

/* A change that can't be made is refused with what could be asked. */
static void a_refused_change_says_why(void **state)
{
    (void)state;
    static const struct {
        int code;
        const char *change, *en, *es;
    } cases[] = {
        {3, "{'what':'store','name':'attic','milli':1}",
         "changes[0].name is \"attic\"; it must be one of cold rooms, tanks, dry store.",
         "changes[0].name es \"attic\"; debe ser uno de cold rooms, tanks, dry store."},
        {3, "{'what':'machine','name':'press','minutes':1441}", "it must be from 0 to 1440.",
         "debe ser de 0 a 1440."},
        {3, "{'what':'offer','good':'pears','day':'2026-01-01','g':1,'price_milli':0}",
         "changes[0].good is \"pears\"; it must be one of limes of HESPERIDIUM-1, limes, ",
         "changes[0].good es \"pears\"; debe ser uno de limes of HESPERIDIUM-1, limes, "},
        {5, "{'what':'order','order':'Z','pieces':1}",
         "changes[0].order: there is no line Z in the order book.",
         "changes[0].order: no hay ninguna línea Z en el libro de pedidos."},
        {3, "{'what':'open-day','day':'2020-01-01'}",
         "changes[0].day is another day; it must be a day of the plan.",
         "changes[0].day es otro día; debe ser un día del plan."},
        {3, "{'what':'chamber-out','chamber':'C1'}",
         "it must be one of store, machine, order, offer, closed-day, open-day.",
         "debe ser uno de store, machine, order, offer, closed-day, open-day."},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *changes = quoted(arena_printf(&a, "[%s]", cases[i].change));
        RUN_CODE(&r, cases[i].code, "--lang=en", "plan", "--seconds", "0", "--what-if", changes);
        RUN_SAYS(&r, cases[i].en);
        RUN_CODE(&r, cases[i].code, "--lang=es", "plan", "--seconds", "0", "--what-if", changes);
        RUN_SAYS(&r, cases[i].es);
    }
}

static void a_share_of_what_is_wanted_is_asked_for(void **state)
{
    (void)state;
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0", "--service", "99");
    RUN_SAYS(&r, "Asked to meet 99 % of what is wanted: over 400 futures 100 % of it is met.");
    const char *changes = quoted("[{'what':'machine','name':'packing','minutes':0}]");
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0", "--service", "99", "--what-if", changes);
    RUN_SAYS(&r,
             "which no plan that was tried does: this one meets most, over 400 futures 0 % of it.");
    RUN_OK(&r, "--lang=es", "plan", "--seconds", "0", "--service", "99.5");
    RUN_SAYS(&r, "Se pidió cumplir el 99.5 % de lo pedido: en 400 futuros se cumple el 100 %.");
    RUN_CODE(&r, 3, "plan", "--seconds", "0", "--service", "101");
}

static void what_is_of_chambers_alone_or_only_asked_is_refused(void **state)
{
    (void)state;
    const char *changes = quoted("[{'what':'order','order':'A','pieces':0}]");
    RUN_CODE(&r, 4, "plan", "--seconds", "0", "--take", "--what-if", changes);
    RUN_SAYS(&r, "only asks what would be.");
    RUN_CODE(&r, 3, "plan", "--seconds", "0", "--keep", "most");
    RUN_SAYS(&r, "A house that receives fruit is planned without --keep. Leave it out.");
}

/* Where nobody asks otherwise the profile's share holds, and the plan says whose it is. */
static void a_share_that_the_profile_keeps_is_asked_for(void **state)
{
    (void)state;
    make_hall("q", "99 %");
    setenv("PLUMULE_PLANT", "q", 1);
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0");
    RUN_SAYS(&r, "Asked to meet 99 % of what is wanted: over 400 futures 100 % of it is met. "
                 "The profile says so: nobody asked otherwise.");
    RUN_OK(&r, "--lang=es", "plan", "--seconds", "0");
    RUN_SAYS(&r, "Lo dice el perfil: nadie pidió otra cosa.");
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0", "--service", "95");
    RUN_SAYS(&r, "Asked to meet 95 % of what is wanted: over 400 futures 100 % of it is met. ");
    assert_null(strstr(r.out, "The profile says so"));
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0", "--service", "0");
    assert_null(strstr(r.out, "Asked to meet"));
    setenv("PLUMULE_PLANT", "p", 1);
}

/* Once a plan is taken the next is told beside it. */
static void a_new_plan_stands_beside_the_one_taken(void **state)
{
    (void)state;
    json_int_t before = entries();
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0");
    assert_null(strstr(r.out, "TWO PLANS SIDE BY SIDE"));
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0", "--take");
    assert_int_equal(entries(), before + 1);
    RUN_OK(&r, "--lang=en", "plan", "--seconds", "0");
    RUN_SAYS(&r, "     As taken       New plan     Difference\n");
    RUN_SAYS(&r, "Nothing differs.");
}

int main(int argc, char **argv)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_stands_beside_it_is_the_plan_as_it_is),
        TEST(a_machine_that_does_not_work),
        TEST(a_store_that_holds_less),
        TEST(an_order_changed_and_one_more),
        TEST(a_day_closed_and_opened_again),
        TEST(fruit_that_is_offered),
        TEST(it_is_told_side_by_side_and_nothing_is_booked),
        TEST(a_refused_change_says_why),
        TEST(a_share_of_what_is_wanted_is_asked_for),
        TEST(a_share_that_the_profile_keeps_is_asked_for),
        TEST(what_is_of_chambers_alone_or_only_asked_is_refused),
        TEST(a_new_plan_stands_beside_the_one_taken),
    };
#undef TEST
    if (argc < 2) {
        return 2;
    }
    program = program_path(argv[1]);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

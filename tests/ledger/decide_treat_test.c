/* Seed is treated before it is wetted. */
#include "evidence.h"
#include "seed.h"
#include "stock.h"

#include "base/digest.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static void a_treatment_that_is_too_cold_starts_nothing(void **state)
{
    const char *seed = seed_receive(&h, "A7", "300 kg");
    seed_passes(&h, seed);
    seed_say(&h, seed, "approved");
    house_rule(&h, TREATMENT_NOT_MET, "treatment-not-met",
               seed_treat_text(&h, seed, "100 kg", 84000));
    const char *cold = house_answer(&h, "lot");
    house_wait(&h, "5 min");
    house_rule(&h, NOT_TREATED, "not-treated",
               house_text(&h, "{'kind':'soak','lot':'%s','place':'SOAK'}", cold));
    house_clean(&h, "C1", 0);
    house_rule(&h, NOT_TREATED, "not-treated", seed_grow_text(&h, cold, "C1"));
    /* cooling it is no crime */
    const char *second = seed_treated(&h, seed, "100 kg");
    house_take(&h, "{'kind':'cool','mode':'ask','lot':'%s','place':'SOAK'}", second);
    house_take(&h, "{'kind':'soak','mode':'ask','lot':'%s','place':'SOAK'}", second);
    /* nor is cooling what is held */
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs':'check',"
               "'reason':'smells'}",
               second);
    house_take(&h, "{'kind':'cool','mode':'ask','lot':'%s','place':'SOAK'}", second);
    house_rule(&h, HELD, "held-used",
               house_text(&h, "{'kind':'soak','lot':'%s','place':'SOAK'}", second));
}

static void a_cold_load_that_is_treated_again_is_a_treated_load(void **state)
{
    const char *seed = seed_receive(&h, "A7", "300 kg");
    seed_passes(&h, seed);
    seed_say(&h, seed, "approved");
    house_take(&h, "%s", seed_treat_text(&h, seed, "100 kg", 84000));
    const char *cold = house_answer(&h, "lot");
    house_wait(&h, "5 min");
    house_take(&h, "%s", seed_treat_text(&h, cold, "100 kg", 86000));
    const char *warm = house_answer(&h, "lot");
    house_take(&h, "{'kind':'soak','mode':'ask','lot':'%s','place':'SOAK'}", warm);
    house_clean(&h, "C1", 0);
    house_take(&h, "%s", seed_grow_text(&h, warm, "C1")); /* the profile asks */
    assert_int_equal(house_deviations(&h), 0);
}

static void one_filling_is_one_item(void **state)
{
    house_take(&h, "{'kind':'item','code':'URDSEED','item_kind':'seed','family':'urd'}");
    const char *mung = seed_receive(&h, "A7", "100 kg");
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'URDSEED','mass':'100 kg','place':"
               "'STORE'}");
    const char *urd = house_answer(&h, "lot");
    const char *command = seed_treat_text(&h, mung, "50 kg", 86000);
    const char *rest = strstr(command, "}],'place'");
    assert_code(house_send(&h, "%.*s},{'lot':'%s'%s", (int)(rest - command), command, urd, rest),
                FIELD_CHOICE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_treatment_that_is_too_cold_starts_nothing),
        T(a_cold_load_that_is_treated_again_is_a_treated_load),
        T(one_filling_is_one_item),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

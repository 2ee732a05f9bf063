/* constants_test CONSTANTS_GEN: the table in the program, and the generator that must refuse. */
#include "../support.h"

#include "calc/constants.gen.h"
#include "calc/constants.h"
#include "near.h"

static char *generator;

static const char head[] = "name,value,unit,low,high,source,locator,word\n";

static void each_constant_has_its_source(void **state)
{
    (void)state;
    static const char *const words[] = {"published (seen)", "published (abstract only)",
                                        "computed here",    "derived",
                                        "common practice",  "from memory"};
    assert_true(constant_count() > 40);
    for (size_t i = 0; i < constant_count(); i++) {
        const struct constant *c = constant_at(i);
        size_t w = 0;
        while (w < 6 && strcmp(words[w], c->word) != 0) {
            w++;
        }
        assert_true(w < 6);
        assert_true(strlen(c->source) > 5 && strlen(c->locator) > 2 && strlen(c->unit) > 0);
        assert_true(!c->has_range || (c->low <= c->value && c->value <= c->high));
        assert_ptr_equal(constant_find(c->name), c);
    }
    assert_null(constant_find("no_such_constant"));
}

static void macro_and_row_are_the_same_number(void **state)
{
    (void)state;
    const struct constant *z = constant_find("lethality_seed_z_c");
    assert_non_null(z);
    assert_near(z->value, CONSTANT_LETHALITY_SEED_Z_C, 0);
    assert_near(z->value, 6.2, 0);
    assert_string_equal(z->unit, "C");
    assert_true(z->has_range);
    assert_near(z->low, 5.6, 0);
    const struct constant *cap = constant_find("heat_credit_above_tested_c");
    assert_near(cap->value, CONSTANT_HEAT_CREDIT_ABOVE_TESTED_C, 0);
}

static void weak_words_are_known(void **state)
{
    (void)state;
    assert_true(constant_is_weak(constant_find("mung_base_c")));
    assert_true(constant_is_weak(constant_find("mass_chain_hull")));
    assert_false(constant_is_weak(constant_find("lethality_juice_z_c")));
    assert_false(constant_is_weak(constant_find("soybean_heat_sum_c_h")));
}

/* Exit status of the generator over head and rows; its complaint is not printed. */
static int generated(const char *first_line, const char *rows)
{
    FILE *file = fopen("in.csv", "w");
    assert_non_null(file);
    fprintf(file, "%s%s", first_line, rows);
    fclose(file);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (freopen("/dev/null", "w", stderr) != NULL) {
            execl(generator, generator, "out.h", "in.csv", (char *)NULL);
        }
        _exit(99);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void a_sound_file_becomes_a_header(void **state)
{
    (void)state;
    assert_int_equal(
        generated(head, "a_b,2,C,,,\"Author 1999, \"\"Title\"\"\",table 1,published (seen)\n"), 0);
    FILE *file = fopen("out.h", "r");
    assert_non_null(file);
    char text[2000];
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    fclose(file);
    assert_non_null(strstr(text, "#define CONSTANT_A_B 2.0\n"));
    assert_non_null(strstr(text, "/* Author 1999, \"Title\"; table 1: published (seen). */"));
    assert_non_null(strstr(text, "{\"a_b\", 2.0, \"C\", false, 0.0, 0.0, "
                                 "\"Author 1999, \\\"Title\\\"\", \"table 1\", "
                                 "\"published (seen)\"}"));
}

static void an_unsound_file_stops_the_build(void **state)
{
    (void)state;
    static const char *const rows[] = {
        "a,2,C,,,,table 1,derived\n",                /* no source */
        "a,2,C,,,\"  \",table 1,derived\n",          /* blanks for a source */
        "a,2,C,,,Author 1999,table 1,\n",            /* no word */
        "a,2,C,,,Author 1999,table 1,guessed\n",     /* a seventh word */
        "a,,C,,,Author 1999,table 1,derived\n",      /* no value */
        "a,two,C,,,Author 1999,table 1,derived\n",   /* no number */
        "a,nan,C,,,Author 1999,table 1,derived\n",   /* no number either */
        "a,1e999,C,,,Author 1999,table 1,derived\n", /* beyond a double */
        "a,2,,,,Author 1999,table 1,derived\n",      /* no unit */
        "a,2,C,3,4,Author 1999,table 1,derived\n",   /* outside its own range */
        "a,2,C,1,,Author 1999,table 1,derived\n",    /* half a range */
        "a,2,C,,,Author 1999,table 1\n",             /* seven fields */
        "a,2,C,,,Author 1999,table 1,derived,x\n",   /* nine */
        "A b,2,C,,,Author 1999,table 1,derived\n",   /* not a name */
        "a,2,C,,,Author */ 1999,table 1,derived\n",  /* would end the comment */
        "a,2,C,,,\"Author 1999,table 1,derived\n",   /* a quote that does not close */
        "a,2,C,,,Author 1999,t,derived\na,2,C,,,Author 1999,t,derived\n", /* twice */
        "a,2,C,,,Author 1999,table 1,derived",                            /* cut off */
        "",                                                               /* nothing in it */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        int status = generated(head, rows[i]);
        if (status != 1) {
            print_error("taken with status %d: %s\n", status, rows[i]);
        }
        assert_int_equal(status, 1);
        assert_int_not_equal(access("out.h", F_OK), 0);
    }
    assert_int_equal(generated("name,value\n", "a,2,C,,,Author 1999,t,derived\n"), 1);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: constants_test CONSTANTS_GEN\n");
        return 2;
    }
    /* The tests move to a folder of their own. */
    generator = realpath(argv[1], NULL);
    if (generator == NULL) {
        perror(argv[1]);
        return 2;
    }
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_constant_has_its_source),
        cmocka_unit_test(macro_and_row_are_the_same_number),
        cmocka_unit_test(weak_words_are_known),
        cmocka_unit_test_setup_teardown(a_sound_file_becomes_a_header, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(an_unsound_file_stops_the_build, folder_enter,
                                        folder_leave),
    };
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    free(generator);
    return failed;
}

/* The tour of README.md as it stands: every command of it is run in the order of the page, by the
 * shell that a reader has, in a folder with ./build and ./demo-plant. Each must succeed, but those
 * marked "# refused", which must not.
 *
 * readme_test PLUMULE SOLVER */
#include "program.h"

#include "base/file.h"

enum { COMMANDS_MAX = 400, COMMANDS_MIN = 20 };

static const char *program, *solver;

struct tour {
    const char *command[COMMANDS_MAX]; /* lines joined where one ends with a backslash */
    int64_t line[COMMANDS_MAX];        /* in README.md */
    size_t count;
};

static bool is_line(const char *line, size_t len, const char *text)
{
    return len == strlen(text) && memcmp(line, text, len) == 0;
}

static void add_line(struct arena *a, struct tour *tour, const char *line, size_t len,
                     int64_t number, bool *goes_on)
{
    const char *text = arena_copy_n(a, line, len);
    if (*goes_on) {
        const char *before = tour->command[tour->count - 1];
        tour->command[tour->count - 1] = arena_printf(a, "%s\n%s", before, text);
    } else if (len > 0 && line[0] != '#') {
        assert_true(tour->count < COMMANDS_MAX);
        tour->command[tour->count] = text;
        tour->line[tour->count++] = number;
    }
    *goes_on = len > 0 && line[len - 1] == '\\';
}

static void read_tour(struct arena *a, struct tour *tour)
{
    char *text;
    size_t len;
    int64_t number = 0;
    bool in_tour = false, in_block = false, goes_on = false;
    assert_ok(file_read(a, README_FILE, 1 << 20, &text, &len));
    for (const char *line = text; *line != '\0'; number++) {
        size_t n = strcspn(line, "\n");
        if (is_line(line, n, "<!-- tour -->") || is_line(line, n, "<!-- /tour -->")) {
            in_tour = line[5] == 't';
        } else if (in_tour && is_line(line, n, "```sh")) {
            in_block = true;
        } else if (in_block && is_line(line, n, "```")) {
            in_block = false;
        } else if (in_block) {
            add_line(a, tour, line, n, number + 1, &goes_on);
        }
        line += n + (line[n] == '\n' ? 1 : 0);
    }
    assert_false(in_tour || in_block || goes_on); /* every mark has its other half */
}

/* After each command its number and whether it failed, into ./ends. */
static void write_script(struct arena *a, const struct tour *tour)
{
    const char *script = "set -u\nfailed=0\ntrap 'failed=1' ERR\n";
    for (size_t i = 0; i < tour->count; i++) {
        script = arena_printf(a, "%s%s\nprintf '%%s %%s\\n' %zu \"$failed\" >> ends\nfailed=0\n",
                              script, tour->command[i], i);
    }
    text_write("tour.sh", script);
    text_write("ends", "");
}

/* What ./dev demo does. */
static void set_the_scene(struct launch *r)
{
    struct launch shown;
    assert_ok(folder_make("build"));
    assert_int_equal(symlink(program, "build/plumule"), 0);
    assert_int_equal(symlink(solver, "build/plumule-solve"), 0);
    RUN_OK(r, "demo", "--folder", "demo-plant", "--profile", PROFILE_FILE);
    run_open(&shown, DEMO_TOUR);
    RUN_OK(&shown, "build/plumule", "demo-plant");
    run_close(&shown);
}

static void every_command_of_the_tour_does_what_it_says(void **state)
{
    (void)state;
    static struct tour tour;
    struct launch r, shell;
    size_t len, wrong = 0, at = 0;
    char *ends;
    run_open(&r, program);
    run_open(&shell, "bash");
    read_tour(&r.arena, &tour);
    assert_true(tour.count >= COMMANDS_MIN);
    set_the_scene(&r);
    write_script(&r.arena, &tour);
    RUN(&shell, "tour.sh");
    assert_ok(file_read(&r.arena, "ends", 1 << 20, &ends, &len));
    for (const char *line = ends; *line != '\0'; at++) {
        size_t number, used = strcspn(line, "\n") + 1;
        int failed;
        assert_int_equal(sscanf(line, "%zu %d", &number, &failed), 2);
        assert_int_equal(number, at);
        const char *command = tour.command[at], *mark = " # refused";
        size_t n = strlen(command), m = strlen(mark);
        bool refused = n > m && strcmp(command + n - m, mark) == 0;
        if (refused != (failed != 0)) {
            print_error("README.md:%lld %s: %s\n", (long long)tour.line[at],
                        refused ? "was not refused" : "failed", command);
            wrong++;
        }
        line += used;
    }
    if (wrong > 0 || at != tour.count) {
        print_error("%.4000s\n%.6000s\n", shell.err, shell.out);
    }
    assert_int_equal(wrong, 0);
    assert_int_equal(at, tour.count); /* the shell came to the end */
    print_message("# %zu commands\n", tour.count);
    run_close(&shell);
    run_close(&r);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_command_of_the_tour_does_what_it_says, folder_enter,
                                        folder_leave),
    };
    if (argc < 3) {
        return 2;
    }
    program = program_path(argv[1]);
    solver = program_path(argv[2]);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

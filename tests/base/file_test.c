#include "../support.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/stat.h>

#include "base/file.h"

static int files_here(void)
{
    DIR *dir = opendir(".");
    assert_non_null(dir);
    int count = 0;
    for (struct dirent *e; (e = readdir(dir)) != NULL;) {
        count += e->d_name[0] != '.';
    }
    closedir(dir);
    return count;
}

static void assert_holds(const char *path, const void *bytes, size_t len)
{
    struct arena a;
    arena_init(&a, 1 << 24);
    char *got;
    size_t got_len;
    assert_ok(file_read(&a, path, 1 << 20, &got, &got_len));
    assert_int_equal(got_len, len);
    assert_memory_equal(got, bytes, len);
    assert_int_equal(got[len], 0);
    arena_release(&a);
}

static void files_come_back(void **state)
{
    (void)state;
    static char big[300000];
    memset(big, 'b', sizeof big);
    assert_ok(file_write("empty", "", 0, 0644));
    assert_holds("empty", "", 0);
    assert_ok(file_write("zeros", "a\0b", 3, 0644));
    assert_holds("zeros", "a\0b", 3);
    assert_ok(file_write("big", big, sizeof big, 0640));
    assert_holds("big", big, sizeof big);
    assert_ok(file_write("big", "now small", 9, 0600));
    assert_holds("big", "now small", 9);
    struct stat st;
    assert_int_equal(stat("big", &st), 0);
    assert_int_equal(st.st_mode & 07777, 0600);
    assert_int_equal(files_here(), 3);
    assert_true(file_exists("big"));
    assert_false(file_exists("bigger"));
    assert_ok(file_settle("big"));
}

static void what_cannot_be_read_is_said(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 20);
    char *got;
    size_t len;
    struct result r = file_read(&a, "none", 100, &got, &len);
    assert_code(r, FILE_OPEN);
    assert_string_equal(r.value[0], "none");
    assert_string_equal(r.value[1], "No such file or directory");
    assert_code(file_read(&a, ".", 100, &got, &len), FILE_READ);
    assert_ok(file_write("ten", "0123456789", 10, 0644));
    assert_ok(file_read(&a, "ten", 10, &got, &len));
    assert_code(file_read(&a, "ten", 9, &got, &len), INPUT_LARGE);
    assert_code(file_read(&a, "/dev/zero", 100, &got, &len), INPUT_LARGE); /* endless */
    arena_release(&a);
}

static void read_standard_input(void *argument)
{
    (void)argument;
    struct arena a;
    arena_init(&a, 1 << 20);
    char *got;
    size_t len;
    int fd = open("input", O_RDONLY);
    if (fd < 0 || dup2(fd, STDIN_FILENO) < 0 ||
        file_read(&a, "-", 100, &got, &len).code != CODE_OK || len != 4 ||
        strcmp(got, "from") != 0) {
        _exit(1);
    }
    arena_release(&a);
}

static void a_dash_is_standard_input(void **state)
{
    (void)state;
    assert_ok(file_write("input", "from", 4, 0644));
    assert_int_equal(child_status(read_standard_input, NULL), 0);
}

static void write_beyond_the_limit(void *argument)
{
    static char big[100000];
    signal(SIGXFSZ, SIG_IGN);
    setrlimit(RLIMIT_FSIZE, &(struct rlimit){4096, 4096});
    struct result r = file_write(argument, big, sizeof big, 0644);
    _exit(r.code == CODE_FILE_WRITE ? 0 : 1);
}

static void a_failed_write_leaves_the_old_file(void **state)
{
    (void)state;
    char name[] = "kept";
    assert_ok(file_write(name, "old", 3, 0644));
    assert_int_equal(child_status(write_beyond_the_limit, name), 0);
    assert_holds(name, "old", 3);
    assert_int_equal(files_here(), 1);
    assert_code(file_write("no/such/folder", "x", 1, 0644), FILE_WRITE);
    assert_ok(folder_make("folder/inside"));
    assert_code(file_write("folder", "x", 1, 0644), FILE_WRITE);
    assert_int_equal(files_here(), 2);
}

static void folders_are_made_with_their_parents(void **state)
{
    (void)state;
    assert_ok(folder_make("a/b//c/"));
    assert_ok(folder_make("a/b/c"));
    assert_ok(file_write("a/b/c/file", "x", 1, 0644));
    assert_ok(file_settle("a/b/c/file"));
    assert_code(folder_make("a/b/c/file"), FILE_WRITE);
    assert_code(folder_make("a/b/c/file/d"), FILE_WRITE);
    assert_code(folder_make(""), FILE_WRITE);
    assert_code(file_settle("none/file"), FILE_WRITE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(files_come_back, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(what_cannot_be_read_is_said, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_dash_is_standard_input, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_failed_write_leaves_the_old_file, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(folders_are_made_with_their_parents, folder_enter,
                                        folder_leave),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

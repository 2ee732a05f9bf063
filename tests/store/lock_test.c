#include "../support.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/stat.h>

#include "base/file.h"
#include "store/driver.h"

static void the_second_taker_hears_of_the_first(void **state)
{
    (void)state;
    int first = -1, second = -1;
    assert_ok(lock_take("plant.db", &first));
    struct result r = lock_take("plant.db", &second);
    assert_code(r, STORE_BUSY);
    char who[40];
    snprintf(who, sizeof who, "process %ld", (long)getpid());
    assert_string_equal(r.value[0], who);
    assert_int_equal(second, -1);
    lock_drop(first);
    assert_ok(lock_take("plant.db", &second));
    lock_drop(second);
    assert_true(file_exists("plant.db.lock"));
    lock_drop(-1); /* none was taken */
}

/* Opening and closing the file elsewhere in the process must not drop the lock. */
static void only_its_owner_drops_it(void **state)
{
    (void)state;
    int first, second = -1;
    assert_ok(lock_take("plant.db", &first));
    int other = open("plant.db.lock", O_RDWR);
    assert_true(other >= 0);
    close(other);
    assert_code(lock_take("plant.db", &second), STORE_BUSY);
    lock_drop(first);
}

static void hold_until_killed(int report)
{
    int fd;
    char c = lock_take("plant.db", &fd).code == CODE_OK ? 'y' : 'n';
    if (write(report, &c, 1) == 1) {
        for (;;) {
            pause();
        }
    }
    _exit(1);
}

static void it_dies_with_its_process(void **state)
{
    (void)state;
    int pipes[2], fd = -1;
    assert_int_equal(pipe(pipes), 0);
    fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        hold_until_killed(pipes[1]);
    }
    char c = 0;
    assert_int_equal(read(pipes[0], &c, 1), 1);
    assert_int_equal(c, 'y');
    struct result r = lock_take("plant.db", &fd);
    assert_code(r, STORE_BUSY);
    char who[40];
    snprintf(who, sizeof who, "process %ld", (long)child);
    assert_string_equal(r.value[0], who);
    assert_int_equal(kill(child, SIGKILL), 0);
    assert_int_equal(waitpid(child, NULL, 0), child);
    assert_ok(lock_take("plant.db", &fd));
    lock_drop(fd);
    close(pipes[0]);
    close(pipes[1]);
}

static void what_cannot_be_locked_is_said(void **state)
{
    (void)state;
    int fd = -1;
    assert_code(lock_take("no/folder/plant.db", &fd), FILE_OPEN);
    char long_name[5000];
    memset(long_name, 'x', sizeof long_name - 1);
    long_name[sizeof long_name - 1] = '\0';
    assert_code(lock_take(long_name, &fd), FILE_OPEN);
    /* A link planted in the plant's folder is not followed. */
    assert_ok(file_write("elsewhere", "keep", 4, 0600));
    assert_int_equal(symlink("elsewhere", "plant.db.lock"), 0);
    assert_code(lock_take("plant.db", &fd), FILE_OPEN);
    struct stat st;
    assert_int_equal(stat("elsewhere", &st), 0);
    assert_int_equal(st.st_size, 4);
    assert_int_equal(fd, -1);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, folder_enter, folder_leave)

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        IN_FOLDER(the_second_taker_hears_of_the_first),
        IN_FOLDER(only_its_owner_drops_it),
        IN_FOLDER(it_dies_with_its_process),
        IN_FOLDER(what_cannot_be_locked_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

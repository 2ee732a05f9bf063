/* The man page names what the program itself names: every command, and every option of its form. */
#include "program.h"

#include <ctype.h>
#include <stdio.h>

#include "base/file.h"

/* What `plumule --help` prints, or with a command's name its own help. */
static const char *output_of(struct arena *a, const char *command)
{
    struct launch r;
    run_open(&r, PLUMULE);
    if (command == NULL) {
        RUN_OK(&r, "--help");
    } else {
        RUN_OK(&r, command, "--help");
    }
    const char *text = arena_copy(a, r.out);
    run_close(&r);
    return text;
}

/* The page with its hyphens as they are typed. */
static const char *man_page(struct arena *a)
{
    char *text;
    size_t len, n = 0;
    assert_ok(file_read(a, MAN_PAGE, 1 << 20, &text, &len));
    for (size_t i = 0; i < len; i++) {
        if (text[i] == '\\' && text[i + 1] == '-') {
            continue;
        }
        text[n++] = text[i];
    }
    text[n] = '\0';
    return text;
}

/* What the page says of a command: from its name to the next paragraph. NULL: nothing. */
static const char *section_of(struct arena *a, const char *page, const char *command)
{
    const char *from = strstr(page, arena_printf(a, "\n.TP\n.B %s\n", command));
    if (from == NULL) {
        return NULL;
    }
    const char *to = strstr(from + 4, "\n.TP\n"), *end = strstr(from + 4, "\n.S");
    to = to == NULL || (end != NULL && end < to) ? end : to;
    return arena_copy_n(a, from, to != NULL ? (size_t)(to - from) : strlen(from));
}

/* The next option in a text, without its dashes; NULL: no more. */
static const char *next_option(struct arena *a, const char **at)
{
    const char *from = strstr(*at, "--");
    if (from == NULL) {
        return NULL;
    }
    size_t len = 2;
    while (islower((unsigned char)from[len]) || from[len] == '-') {
        len++;
    }
    *at = from + len;
    return arena_copy_n(a, from, len);
}

static bool names(struct arena *a, const char *text, const char *option)
{
    for (const char *at = text, *one; (one = next_option(a, &at)) != NULL;) {
        if (strcmp(one, option) == 0) {
            return true;
        }
    }
    return false;
}

static void each_of(struct arena *a, const char *from, const char *to, const char *command,
                    const char *where)
{
    static const char *const global =
        "--plant --as --password-file --json --lang --as-known-on --help";
    for (const char *at = from, *option; (option = next_option(a, &at)) != NULL;) {
        if (!names(a, global, option) && !names(a, to, option)) {
            fail_msg("%s of %s is not in %s", option, command, where);
        }
    }
}

static void every_command_and_option_stands_in_the_page(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    const char *page = man_page(&a);
    size_t commands = 0;
    char line[256], name[32];
    for (const char *at = output_of(&a, NULL); *at != '\0';) {
        size_t len = strcspn(at, "\n");
        snprintf(line, sizeof line, "%.*s", (int)len, at);
        at += len + (at[len] == '\n' ? 1 : 0);
        if (strncmp(line, "  ", 2) != 0 || sscanf(line, " %31s", name) != 1) {
            each_of(&a, line, page, "plumule", "the man page");
            continue;
        }
        commands++;
        const char *section = section_of(&a, page, name);
        if (section == NULL) {
            fail_msg("%s has no paragraph in the man page", name);
        }
        const char *form = output_of(&a, name);
        each_of(&a, form, section, name, "the man page");
        each_of(&a, section, form, name, "its own --help");
    }
    assert_in_range(commands, 20, 60);
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_command_and_option_stands_in_the_page),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

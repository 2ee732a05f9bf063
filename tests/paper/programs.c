#include "programs.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>

#include "../support.h"

extern char **environ;

static pid_t start(const char *const *arguments, int out_fd)
{
    posix_spawn_file_actions_t actions;
    assert_int_equal(posix_spawn_file_actions_init(&actions), 0);
    posix_spawn_file_actions_adddup2(&actions, out_fd, STDOUT_FILENO);
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    pid_t child;
    int error =
        posix_spawnp(&child, arguments[0], &actions, NULL, (char *const *)arguments, environ);
    if (error != 0) {
        fail_msg("%s: %s", arguments[0], strerror(error));
    }
    posix_spawn_file_actions_destroy(&actions);
    return child;
}

int program_run(const char *const *arguments, char *out, size_t size)
{
    int ends[2];
    assert_int_equal(pipe2(ends, O_CLOEXEC), 0);
    pid_t child = start(arguments, ends[1]);
    close(ends[1]);
    size_t len = 0;
    for (;;) {
        assert_true(len + 1 < size);
        ssize_t got = read(ends[0], out + len, size - len - 1);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        assert_true(got >= 0);
        if (got == 0) {
            break;
        }
        len += (size_t)got;
    }
    out[len] = '\0';
    close(ends[0]);
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void save(const char *name, const uint8_t *bytes, size_t len)
{
    FILE *file = fopen(name, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, len, file), len);
    assert_int_equal(fclose(file), 0);
}

static void even_out(char *text)
{
    char *to = text;
    for (const char *from = text; *from != '\0'; from++) {
        bool blank = *from == ' ' || *from == '\n' || *from == '\f';
        if (blank && to > text && to[-1] == ' ') {
            continue;
        }
        *to++ = blank ? ' ' : *from;
    }
    *to = '\0';
}

static void text_of(const uint8_t *pdf, size_t len, const char *order, char *out, size_t size)
{
    save("page.pdf", pdf, len);
    const char *arguments[] = {"pdftotext", order, "page.pdf", "-", NULL};
    assert_int_equal(program_run(arguments, out, size), 0);
    even_out(out);
}

void pdf_text(const uint8_t *pdf, size_t len, char *out, size_t size)
{
    text_of(pdf, len, "-raw", out, size);
}

void pdf_words(const uint8_t *pdf, size_t len, char *out, size_t size)
{
    text_of(pdf, len, "-nopgbrk", out, size);
}

int pdf_page_count(const uint8_t *pdf, size_t len)
{
    char out[4096];
    save("page.pdf", pdf, len);
    const char *arguments[] = {"pdfinfo", "page.pdf", NULL};
    assert_int_equal(program_run(arguments, out, sizeof out), 0);
    const char *line = strstr(out, "\nPages:");
    assert_non_null(line);
    int count = 0;
    assert_int_equal(sscanf(line, " Pages: %d", &count), 1);
    return count;
}

size_t pdf_boxes(const uint8_t *pdf, size_t len, struct word_box *out, size_t room)
{
    static char text[1 << 18];
    save("page.pdf", pdf, len);
    const char *arguments[] = {"pdftotext", "-bbox", "page.pdf", "-", NULL};
    assert_int_equal(program_run(arguments, text, sizeof text), 0);
    size_t count = 0;
    for (const char *at = strstr(text, "<word "); at != NULL; at = strstr(at + 1, "<word ")) {
        double left, top, right, bottom; /* points */
        assert_true(count < room);
        assert_int_equal(sscanf(at,
                                "<word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\">"
                                "%63[^<]",
                                &left, &top, &right, &bottom, out[count].text),
                         5);
        out[count].left_mm = left * 25.4 / 72;
        out[count].top_mm = top * 25.4 / 72;
        out[count].right_mm = right * 25.4 / 72;
        out[count].bottom_mm = bottom * 25.4 / 72;
        count++;
    }
    return count;
}

static bool take_line(char *lines, const char *wanted)
{
    size_t len = strlen(wanted);
    for (char *line = lines; *line != '\0'; line = strchr(line, '\n') + 1) {
        if (strncmp(line, wanted, len) == 0 && line[len] == '\n') {
            memmove(line, line + len + 1, strlen(line + len + 1) + 1);
            return true;
        }
    }
    return false;
}

void assert_symbols(const uint8_t *pdf, size_t len, int page, int printer_dpi,
                    const char *const *wanted, size_t count)
{
    char number[16], dpi[16], out[4096];
    save("page.pdf", pdf, len);
    snprintf(number, sizeof number, "%d", page);
    snprintf(dpi, sizeof dpi, "%d", printer_dpi);
    const char *draw[] = {"pdftoppm", "-r",          dpi,        "-gray", "-f",
                          number,     "-singlefile", "page.pdf", "page",  NULL};
    assert_int_equal(program_run(draw, out, sizeof out), 0);
    const char *scan[] = {"zbarimg",          "-q",       "--raw", "-Sdisable",
                          "-Scode128.enable", "page.pgm", NULL};
    assert_int_equal(program_run(scan, out, sizeof out), 0);
    for (size_t i = 0; i < count; i++) {
        if (!take_line(out, wanted[i])) {
            fail_msg("the bars do not say \"%s\"; left over: \"%s\"", wanted[i], out);
        }
    }
    assert_string_equal(out, "");
}

void assert_has(const char *text, const char *piece)
{
    if (strstr(text, piece) == NULL) {
        fail_msg("\"%s\" is not on the page: %s", piece, text);
    }
}

#include "../support.h"

#include "programs.h"

#include "base/file.h"
#include "paper/qr.h"

/* A picture with four dots a module and the quiet zone, for a reader of another's. */
static void draw(struct arena *a, const struct qr *qr, const char *path)
{
    enum { DOTS = 4 };
    int side = (qr->size + 2 * QR_QUIET_MODULES) * DOTS;
    char *image = arena_printf(a, "P5\n%d %d\n255\n", side, side);
    size_t head = strlen(image), len = head + (size_t)(side * side);
    char *all = arena_alloc(a, len);
    memcpy(all, image, head);
    for (int y = 0; y < side; y++) {
        for (int x = 0; x < side; x++) {
            int mx = x / DOTS - QR_QUIET_MODULES, my = y / DOTS - QR_QUIET_MODULES;
            bool inside = mx >= 0 && my >= 0 && mx < qr->size && my < qr->size;
            bool dark = inside && qr->dark[my * qr->size + mx];
            all[head + (size_t)(y * side + x)] = dark ? 0 : (char)255;
        }
    }
    assert_ok(file_write(path, all, len, 0644));
}

static void another_program_reads_it(void **state)
{
    (void)state;
    static const char text[] = "https://plant.example:8443/trust";
    struct arena a;
    struct qr qr;
    char out[200];
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_ok(qr_make(&a, text, "address", &qr));
    draw(&a, &qr, "code.pgm");
    const char *read[] = {"zbarimg", "-q", "--raw", "code.pgm", NULL};
    assert_int_equal(program_run(read, out, sizeof out), 0);
    assert_int_equal(strncmp(out, text, strlen(text)), 0);
    const char *shown = qr_text(&a, &qr);
    int lines = 0;
    for (const char *p = shown; *p != '\0'; p++) {
        lines += *p == '\n';
    }
    assert_int_equal(lines, (qr.size + 2 * QR_QUIET_MODULES + 1) / 2);
    arena_release(&a);
}

static void too_little_and_too_much_are_refused(void **state)
{
    (void)state;
    struct arena a;
    struct qr qr;
    char text[QR_TEXT_MAX + 2];
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    memset(text, 'a', sizeof text);
    text[sizeof text - 1] = '\0';
    assert_code(qr_make(&a, text, "address", &qr), FIELD_RANGE);
    assert_code(qr_make(&a, "", "address", &qr), FIELD_RANGE);
    text[QR_TEXT_MAX] = '\0';
    assert_ok(qr_make(&a, text, "address", &qr));
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(another_program_reads_it, folder_enter, folder_leave),
        cmocka_unit_test(too_little_and_too_much_are_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

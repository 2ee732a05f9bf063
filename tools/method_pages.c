/* method_pages FOLDER
 *
 * Writes one page a calculation, FOLDER/<name>.md, from the registry. */
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "calc/registry.h"

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: method_pages FOLDER\n");
        return 2;
    }
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    int status = 0;
    for (size_t i = 0; i < registry_count() && status == 0; i++) {
        const struct calc_row *row = registry_at(i);
        const char *path = arena_printf(&a, "%s/%s.md", argv[1], row->name);
        const char *page = registry_method_page(row, &a);
        struct result r = file_write(path, page, strlen(page), 0644);
        if (r.code != CODE_OK) {
            fprintf(stderr, "method_pages: %s\n", result_sentence(&a, &r));
            status = code_exit(r.code);
        }
    }
    arena_release(&a);
    return status;
}

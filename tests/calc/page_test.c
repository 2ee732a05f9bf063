/* page_test DOCS_METHODS: the pages committed there are the ones the registry makes. */
#include "../support.h"

#include <dirent.h>

#include "base/file.h"
#include "calc/registry.h"

static const char *folder;

static void committed_pages_are_the_generated_ones(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    for (size_t i = 0; i < registry_count(); i++) {
        const struct calc_row *row = registry_at(i);
        char *committed = NULL;
        size_t len = 0;
        assert_ok(file_read(&a, arena_printf(&a, "%s/%s.md", folder, row->name), 1 << 20,
                            &committed, &len));
        const char *made = registry_method_page(row, &a);
        if (strcmp(committed, made) != 0) {
            print_error("docs/methods/%s.md is out of date: ninja method-pages\n", row->name);
        }
        assert_string_equal(committed, made);
    }
    arena_release(&a);
}

static void no_page_stands_without_its_calculation(void **state)
{
    (void)state;
    DIR *pages = opendir(folder);
    assert_non_null(pages);
    size_t count = 0;
    for (const struct dirent *entry; (entry = readdir(pages)) != NULL;) {
        size_t len = strlen(entry->d_name);
        if (len > 3 && strcmp(entry->d_name + len - 3, ".md") == 0) {
            char name[300];
            snprintf(name, sizeof name, "%.*s", (int)(len - 3), entry->d_name);
            if (registry_find(name) == NULL) {
                print_error("docs/methods/%s has no calculation\n", entry->d_name);
            }
            assert_non_null(registry_find(name));
            count++;
        }
    }
    closedir(pages);
    assert_int_equal(count, registry_count());
}

static void a_page_says_what_a_reader_needs(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    const char *page = registry_method_page(registry_find("mass-chain"), &a);
    static const char *const parts[] = {
        "# mass-chain\n",
        "| `seed_kg` | kg | number | from 0 to 1000000 kg | must be given | Seed as received. |",
        "| `hull` | 1 | number | from 0 to 0.9 | 0.06 |",
        "| `packed_kg` | kg | down to 0.1 | Packed mass. |",
        "| `mass_chain_trim` | 0.15 | 1 | 0.1 to 0.25 |",
        "common practice |\n",
        "## Sources\n",
        "## Cautions\n\n- The defaults are common practice",
        "{\"seed_kg\": 100}",
        "\"packed_kg\": 632.4,\n",
        "\"packed_kg\": 632.42448\n",
    };
    for (size_t i = 0; i < CALC_COUNT(parts); i++) {
        if (strstr(page, parts[i]) == NULL) {
            print_error("not on the page: %s\n", parts[i]);
        }
        assert_non_null(strstr(page, parts[i]));
    }
    arena_release(&a);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: page_test DOCS_METHODS\n");
        return 2;
    }
    folder = argv[1];
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(committed_pages_are_the_generated_ones),
        cmocka_unit_test(no_page_stands_without_its_calculation),
        cmocka_unit_test(a_page_says_what_a_reader_needs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

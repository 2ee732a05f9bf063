/* Stands in for plumule-solve and misbehaves as the first line after "lp" tells: "\ crash" and so
 * on. BOUND: what it claims to have proved. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void behave(const char *how)
{
    if (strcmp(how, "\\ crash\n") == 0) {
        puts("status solved");
        fflush(stdout);
        raise(SIGSEGV);
    } else if (strcmp(how, "\\ exit\n") == 0) {
        puts("status solved\nobjective 1\nbound 1\ngap 0\nend");
        exit(9);
    } else if (strcmp(how, "\\ hang\n") == 0) {
        for (;;)
            pause();
    } else if (strcmp(how, "\\ hang in a child\n") == 0) {
        /* the parent goes, a child keeps the pipe */
        if (fork() == 0)
            for (;;)
                pause();
        exit(0);
    } else if (strcmp(how, "\\ garbage\n") == 0) {
        puts("Segmentation fault (core dumped)\n\n%%%");
    } else if (strcmp(how, "\\ flood\n") == 0) {
        for (;;)
            puts("value n0 1");
    } else if (strcmp(how, "\\ eat memory\n") == 0) {
        for (char *p; (p = malloc(1 << 20));)
            memset(p, 1, 1 << 20);
        abort();
    } else if (strcmp(how, "\\ silent\n") == 0) {
        exit(0);
    } else if (strcmp(how, "\\ look around\n") == 0) {
        /* a file left open for us would show as a fourth descriptor */
        printf("status solved\nobjective %d\nbound 0\ngap 0\nend\n", dup(0));
    } else if (strncmp(how, "\\ breaks the rules\n", 18) == 0) {
        puts("status solved\nobjective 1\nbound " BOUND "\ngap 0\nvalue n0 1000000\nend");
    }
}

int main(void)
{
    char line[256];
    while (fgets(line, sizeof line, stdin))
        if (strcmp(line, "lp\n") == 0) break;
    if (fgets(line, sizeof line, stdin)) behave(line[0] == '\\' ? line : "\\ breaks the rules\n");
    return 0;
}

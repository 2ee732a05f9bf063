/* Takes away what a benchmark made. */
#ifndef BENCH_FOLDER_H
#define BENCH_FOLDER_H

#include <ftw.h>
#include <stdbool.h>
#include <stdio.h>

static inline int folder_drop_one(const char *path, const struct stat *s, int flag, struct FTW *at)
{
    (void)s;
    (void)flag;
    (void)at;
    return remove(path);
}

static inline bool folder_drop(const char *folder)
{
    return nftw(folder, folder_drop_one, 16, FTW_DEPTH | FTW_PHYS) == 0;
}

#endif

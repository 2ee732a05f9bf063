/* Assertions that are always on. For programmer errors only; what a user or a file can cause is a
 * result. */
#ifndef BASE_CHECK_H
#define BASE_CHECK_H

_Noreturn void check_failed(const char *expression, const char *file, int line);

#define CHECK(expression) ((expression) ? (void)0 : check_failed(#expression, __FILE__, __LINE__))

#endif

/* system_calls.h: let the n-th call of a kind fail. Test programs whose name ends in _system are linked with
 * these calls wrapped (ld --wrap), as those for memory are (allocation.h). */
#ifndef SYSTEM_CALLS_H
#define SYSTEM_CALLS_H

#include <stdbool.h>

typedef enum test_call {
    TEST_OPEN,
    TEST_READ,
    TEST_WRITE,
    TEST_FSYNC,
    TEST_CLOSE, /* the file is closed all the same, as by the system */
    TEST_RENAME,
    TEST_FTRUNCATE,
    TEST_FCNTL,
    TEST_FSTAT,
    TEST_FCHMOD,
    TEST_LINKAT,
    TEST_PREAD,
    TEST_CALLS
} test_call;

/** @brief From here on, grant `count` calls of a kind, then let `times` of them fail with an
 * errno; other kinds are as they were. */
void test_refuse(test_call call, long count, long times, int number);
/** @return how many calls of a kind were refused so far */
long test_refused(test_call call);
/** @brief All calls are granted again. @return how many were refused since the last time */
long test_grant_all(void);
/** @brief Whether each write takes one half of its bytes, as that to a pipe may. */
void test_write_halves(bool wanted);

#endif

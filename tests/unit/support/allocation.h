/* allocation.h: let the n-th allocation fail. Test programs are linked with malloc(), calloc() and
 * realloc() wrapped (ld --wrap), so that the library needs no hook; what libraries outside ask for is
 * not touched. */
#ifndef ALLOCATION_H
#define ALLOCATION_H

/** @brief From here on grant `count` requests and refuse the rest; below 0: grant all. */
void test_allow(long count);

#endif

/* support.h: what unit tests of every room share. cmocka needs its four headers in this order. */
#ifndef SUPPORT_H
#define SUPPORT_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "taperwright/base.h"
#include "taperwright/form.h"

/** Whether the address sanitizer watches: everything takes several times as long, and what it looks
 * for shows on fewer random plates than a share of failures does. */
#if defined(__SANITIZE_ADDRESS__)
#define TEST_SANITIZED true
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define TEST_SANITIZED true
#endif
#endif
#ifndef TEST_SANITIZED
#define TEST_SANITIZED false
#endif

/** Seeded generator (SplitMix64): the same numbers on every machine. */
typedef struct test_random {
    uint64_t state;
} test_random;
/** Seed from TW_TEST_SEED, else fixed; printed, so that a failure can be repeated. */
test_random test_random_begin(const char *test);
double test_uniform(test_random *random, double low, double high);

/** Fails the test unless |got − wanted| ≤ tolerance, printing all three. */
#define assert_close(got, wanted, tolerance) \
    assert_close_at((got), (wanted), (tolerance), #got, __FILE__, __LINE__)
void assert_close_at(double got, double wanted, double tolerance, const char *what,
                     const char *file, int line);

/** Position, normal and curvatures of a face given by a formula in tape coordinates. */
typedef void (*test_face)(double across, double up, const void *shape, tw_face_point *out);
/**
 * A grid filled from a formula: `cells` along each side of the rectangle, all cells whole, metric
 * from the face's steps. For tests that want weighing or distance without the form room. A disc of
 * `disc` mm about the tape origin is cut out of it when disc > 0: crossed cells are clipped against
 * the circle, with the sampling point at the centroid of what is left.
 */
tw_grid *test_grid_fill(test_face face, const void *shape, double across_min, double across_max,
                        double up_min, double up_max, size_t cells, double disc);
/** Faces: flat; ball of radius *(double *)shape with the tape run straight from the crown. */
void test_face_flat(double across, double up, const void *shape, tw_face_point *out);
void test_face_ball(double across, double up, const void *shape, tw_face_point *out);

#endif

/*
 * Normal equations of least squares, kept by group, so that what comes of leaving a group out costs no second fit: the
 * scatter between groups (jackknife) holds whatever errors within a group have in common, which the noise of rows
 * does not.
 */
#ifndef EVENER_COASTDOWN_NORMAL_H
#define EVENER_COASTDOWN_NORMAL_H
#include <stdbool.h>
#include <stddef.h>

enum { EVN_NORMAL_MOST = 8 };

typedef struct evn_normal {
    double matrix[EVN_NORMAL_MOST][EVN_NORMAL_MOST]; /* lower triangle */
    double right[EVN_NORMAL_MOST];
} evn_normal;

/* A row of derivatives with its residual. */
void evn_normal_add(evn_normal *, size_t count, const double *row, double residual);
/* a += factor b */
void evn_normal_sum(evn_normal *a, const evn_normal *b, size_t count, double factor);

/* Solution, and with `inverse` the inverse of the matrix. False: the matrix is singular, or as good as that: what is
 * sought cannot be told apart by these rows. */
bool evn_normal_solve(const evn_normal *, size_t count, double *solution, double (*inverse)[EVN_NORMAL_MOST]);

/*
 * Square root of the largest over the smallest eigenvalue of the matrix, scaled to a diagonal of ones: 1 where no two
 * unknowns have anything in common, the larger the less they can be told apart. INFINITY: not at all.
 */
double evn_normal_condition(const evn_normal *, size_t count);

/*
 * Covariance by leaving out one group after another (delete-one jackknife; Efron and Tibshirani, An Introduction to the
 * Bootstrap, ch. 11, from memory). False: fewer than three groups, or one cannot be left out.
 */
bool evn_normal_jackknife(const evn_normal *group, size_t groups, size_t count,
                          double covariance[EVN_NORMAL_MOST][EVN_NORMAL_MOST]);

/* Two-sided 95 % of Student's distribution, by its closed form for whole degrees of freedom (Abramowitz and Stegun,
 * Handbook of Mathematical Functions, 26.7.3 and 26.7.4, from memory); beyond 1000 that of 1000. */
double evn_student_95(size_t degrees_of_freedom);

#endif

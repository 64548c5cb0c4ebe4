/* Normal equations by group, the jackknife, and Student's distribution. */
#include "coastdown/normal.h"
#include "core/root.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

void evn_normal_add(evn_normal *n, size_t count, const double *row, double residual)
{
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j <= i; j++)
            n->matrix[i][j] += row[i] * row[j];
        n->right[i] += row[i] * residual;
    }
}

void evn_normal_sum(evn_normal *a, const evn_normal *b, size_t count, double factor)
{
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j <= i; j++)
            a->matrix[i][j] += factor * b->matrix[i][j];
        a->right[i] += factor * b->right[i];
    }
}

/* ------------------------------------------------------------------------------------------------ solving */

/* Below this share of its diagonal a pivot is what rounding left. */
static const double PIVOT_LEAST = 1e-12;

/* Cholesky, of the matrix scaled to a diagonal of ones, so that units do not matter. */
static bool factor(const evn_normal *n, size_t count, double scale[], double lower[][EVN_NORMAL_MOST])
{
    for (size_t i = 0; i < count; i++) {
        if (!(n->matrix[i][i] > 0) || !isfinite(n->matrix[i][i]))
            return false;
        scale[i] = 1 / sqrt(n->matrix[i][i]);
    }
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j <= i; j++) {
            double sum = n->matrix[i][j] * scale[i] * scale[j];
            for (size_t k = 0; k < j; k++)
                sum -= lower[i][k] * lower[j][k];
            if (i == j && !(sum > PIVOT_LEAST))
                return false;
            lower[i][j] = i == j ? sqrt(sum) : sum / lower[j][j];
        }
    return true;
}

static void substitute(size_t count, const double scale[], const double lower[][EVN_NORMAL_MOST], const double right[],
                       double out[])
{
    for (size_t i = 0; i < count; i++) {
        out[i] = right[i] * scale[i];
        for (size_t k = 0; k < i; k++)
            out[i] -= lower[i][k] * out[k];
        out[i] /= lower[i][i];
    }
    for (size_t i = count; i-- > 0;) {
        for (size_t k = i + 1; k < count; k++)
            out[i] -= lower[k][i] * out[k];
        out[i] /= lower[i][i];
    }
    for (size_t i = 0; i < count; i++)
        out[i] *= scale[i];
}

bool evn_normal_solve(const evn_normal *n, size_t count, double *solution, double (*inverse)[EVN_NORMAL_MOST])
{
    double scale[EVN_NORMAL_MOST] = {0}, lower[EVN_NORMAL_MOST][EVN_NORMAL_MOST] = {{0}};
    if (!factor(n, count, scale, lower))
        return false;
    substitute(count, scale, (const double(*)[EVN_NORMAL_MOST])lower, n->right, solution);
    for (size_t i = 0; inverse && i < count; i++) {
        double unit[EVN_NORMAL_MOST] = {0};
        unit[i] = 1;
        substitute(count, scale, (const double(*)[EVN_NORMAL_MOST])lower, unit, inverse[i]);
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ condition */

/* One rotation of Jacobi's method, which makes the element at i, j zero (Golub and Van Loan, Matrix Computations, ch.
 * 8, from memory). */
static void rotate(double a[][EVN_NORMAL_MOST], size_t count, size_t i, size_t j)
{
    if (a[i][j] == 0)
        return;
    double tau = (a[j][j] - a[i][i]) / (2 * a[i][j]);
    double t = (tau >= 0 ? 1 : -1) / (fabs(tau) + sqrt(1 + tau * tau)), c = 1 / sqrt(1 + t * t), s = t * c;
    for (size_t k = 0; k < count; k++) {
        double x = a[k][i], y = a[k][j];
        a[k][i] = c * x - s * y;
        a[k][j] = s * x + c * y;
    }
    for (size_t k = 0; k < count; k++) {
        double x = a[i][k], y = a[j][k];
        a[i][k] = c * x - s * y;
        a[j][k] = s * x + c * y;
    }
}

double evn_normal_condition(const evn_normal *n, size_t count)
{
    enum { SWEEPS = 12 };
    double a[EVN_NORMAL_MOST][EVN_NORMAL_MOST] = {{0}}, least = INFINITY, most = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++) {
            double at = i > j ? n->matrix[i][j] : n->matrix[j][i];
            a[i][j] = at / sqrt(n->matrix[i][i] * n->matrix[j][j]);
        }
    for (size_t sweep = 0; sweep < SWEEPS; sweep++)
        for (size_t i = 0; i < count; i++)
            for (size_t j = i + 1; j < count; j++)
                rotate(a, count, i, j);
    for (size_t i = 0; i < count; i++) {
        least = fmin(least, a[i][i]);
        most = fmax(most, a[i][i]);
    }
    return least > 0 ? sqrt(most / least) : (double)INFINITY;
}

/* ------------------------------------------------------------------------------------------------ jackknife */

enum { GROUPS_LEAST = 3 };

/* Solution without group `left`; of no group without: all of them. */
static bool solve_without(const evn_normal *group, size_t groups, size_t count, size_t left, double solution[])
{
    evn_normal rest = {0};
    for (size_t g = 0; g < groups; g++)
        if (g != left)
            evn_normal_sum(&rest, &group[g], count, 1);
    return evn_normal_solve(&rest, count, solution, NULL);
}

bool evn_normal_jackknife(const evn_normal *group, size_t groups, size_t count,
                          double covariance[EVN_NORMAL_MOST][EVN_NORMAL_MOST])
{
    double mean[EVN_NORMAL_MOST] = {0}, one[EVN_NORMAL_MOST] = {0};
    memset(covariance, 0, sizeof(double[EVN_NORMAL_MOST][EVN_NORMAL_MOST]));
    for (size_t g = 0; g < groups; g++) {
        if (groups < GROUPS_LEAST || !solve_without(group, groups, count, g, one))
            return false;
        for (size_t i = 0; i < count; i++)
            mean[i] += one[i] / (double)groups;
    }
    double share = ((double)groups - 1) / (double)groups;
    for (size_t g = 0; g < groups; g++) {
        solve_without(group, groups, count, g, one);
        for (size_t i = 0; i < count; i++)
            for (size_t j = 0; j < count; j++)
                covariance[i][j] += share * (one[i] - mean[i]) * (one[j] - mean[j]);
    }
    return groups >= GROUPS_LEAST;
}

/* ------------------------------------------------------------------------------------------------ Student */

enum { FREEDOM_MOST = 1000 };

/* Share of the distribution between -t and t. */
static double between(size_t freedom, double t)
{
    double angle = atan(t / sqrt((double)freedom)), c = cos(angle), term = 1, sum = 0;
    bool odd = freedom % 2 == 1;
    if (odd)
        term = c;
    for (size_t k = odd ? 3 : 2; k <= freedom; k += 2) {
        sum += term;
        term *= c * c * (double)(k - 1) / (double)k;
    }
    return odd ? 2 / EVN_PI * (angle + sin(angle) * sum) : sin(angle) * sum;
}

static double too_much(void *self, double t) { return between(*(const size_t *)self, t) - 0.95; }

double evn_student_95(size_t freedom)
{
    size_t of = freedom < FREEDOM_MOST ? freedom : FREEDOM_MOST;
    if (of == 0)
        return (double)INFINITY;
    evn_known low = {1, 0}, high = {13, 0};
    low.error = too_much(&of, low.x);
    high.error = too_much(&of, high.x);
    return evn_root_between(too_much, &of, low, high,
                            &(evn_between){.tolerance = 1e-14, .x_tolerance = 1e-13, .steps = 200})
        .x;
}

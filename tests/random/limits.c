/* Limits in the rows of a trace, each straight from the truck's file. */
#include "limits.h"
#include "core/curve.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ reading a row */

static bool is(const evn_trace_column *c, const char *key) { return strcmp(c->what.key, key) == 0; }

static double value_of(const limits_watch *w, const double *row, const char *key)
{
    for (size_t k = 0; k < w->columns; k++)
        if (is(&w->column[k], key))
            return row[k];
    return (double)NAN;
}

static const evn_motor_file *motor_of(const limits_watch *w, const char *unit)
{
    const evn_unit_file *units = w->truck->drive_units.item;
    size_t at = 0;
    for (size_t k = 0; unit && k < w->truck->drive_units.count; k++)
        if (strcmp(w->truck->drive_units.name[k], unit) == 0)
            at = k;
    return units[at].motors.item;
}

static void say(trial_verdict *v, trial_fault fault, const char *key, double value, double time_s)
{
    if (!v->fault[fault])
        snprintf(v->why[fault], TRIAL_WHY_BYTES, "%s is %g at %.3f s", key, value, time_s);
    v->fault[fault] = true;
}

/* Beyond a limit by more than what rounding and the ends of steps let pass: the worst of the run is kept. */
static void hold(limits_watch *w, trial_fault fault, double time_s, double value, double limit, double let_pass)
{
    double beyond = (value - limit) / let_pass;
    if (!(beyond > fmax(w->worst[fault], 1)))
        return;
    w->worst[fault] = beyond;
    w->worst_s[fault] = time_s;
    snprintf(w->verdict->why[fault], TRIAL_WHY_BYTES, "%.8g, limit %.8g, at %.3f s", fabs(value), fabs(limit), time_s);
}

/* ------------------------------------------------------------------------------------------------ the limits */

static double taper(const evn_charge_taper_file *f, double soc)
{
    evn_curve curve;
    if (!f)
        return 1;
    evn_curve_make(&curve, f->soc.at, f->share.at, f->soc.count, true);
    return evn_curve_at(&curve, soc);
}

/* A table's value at a temperature and a charge is nowhere above the highest of it: the run's own limit is held too. */
static double greatest_of(const evn_power_shares_file *f)
{
    double most = f ? 0 : 1;
    for (size_t k = 0; f && k < f->share.count; k++)
        most = fmax(most, f->share.at[k]);
    return most;
}

static void hold_battery(limits_watch *w, const double *row, double t, double kw)
{
    const evn_battery_file *b = w->truck->battery;
    if (b->heat && !isnan(b->heat->limit_degc))
        hold(w, TRIAL_BATTERY, t, value_of(w, row, "battery_temperature_degc"), b->heat->limit_degc, 0.2);
    if (!b->discharge_shares && !b->charge_shares)
        return;
    double out_kw = value_of(w, row, "permitted_discharge_kw"), in_kw = value_of(w, row, "permitted_charge_kw");
    hold(w, TRIAL_DISCHARGE, t, kw, out_kw, 0.01 + 1e-3 * b->discharge_limit_kw);
    hold(w, TRIAL_CHARGE, t, -kw, in_kw, 0.01 + 1e-3 * b->charge_limit_kw);
    hold(w, TRIAL_DISCHARGE, t, out_kw, b->discharge_limit_kw * greatest_of(b->discharge_shares), 0.01);
    hold(w, TRIAL_CHARGE, t, in_kw, b->charge_limit_kw * greatest_of(b->charge_shares), 0.01);
}

static void hold_pack(limits_watch *w, const double *row, double t)
{
    const evn_battery_file *b = w->truck->battery;
    double kw = value_of(w, row, "terminal_kw"), volts = value_of(w, row, "battery_voltage_v");
    double soc = value_of(w, row, "soc"), charge_kw = b->charge_limit_kw * taper(b->charge_taper, soc);
    hold(w, TRIAL_DISCHARGE, t, kw, b->discharge_limit_kw, 0.01 + 1e-3 * b->discharge_limit_kw);
    hold(w, TRIAL_CHARGE, t, -kw, charge_kw, 0.01 + 1e-3 * b->charge_limit_kw);
    hold_battery(w, row, t, kw);
    hold(w, TRIAL_CHARGE_STATE, t, soc, b->usable_to_soc, 1e-5);
    hold(w, TRIAL_CHARGE_STATE, t, -soc, -b->usable_from_soc, 1e-5);
    if (!isnan(b->minimum_voltage_v))
        hold(w, TRIAL_VOLTAGE_LOW, t, -volts, -b->minimum_voltage_v, 1e-3 * b->minimum_voltage_v);
    if (!isnan(b->maximum_voltage_v))
        hold(w, TRIAL_VOLTAGE_HIGH, t, volts, b->maximum_voltage_v, 1e-3 * b->maximum_voltage_v);
}

/* What all friction brakes take together: the force is that along the road, the speed the truck's. */
static void hold_truck(limits_watch *w, const double *row, double t)
{
    const evn_truck_file *truck = w->truck;
    double m_s = value_of(w, row, "speed_km_h") / 3.6, kw = value_of(w, row, "friction_brake_force_kn") * m_s;
    double limit_kw = truck->brakes ? truck->brakes->friction_power_limit_kw : (double)NAN;
    if (truck->cooling && !isnan(truck->cooling->limit_degc))
        hold(w, TRIAL_COOLANT, t, value_of(w, row, "coolant_temperature_degc"), truck->cooling->limit_degc, 0.2);
    if (!isnan(limit_kw))
        hold(w, TRIAL_FRICTION_POWER, t, kw, limit_kw, 0.6 + 1e-4 * limit_kw);
}

/* Behind the truck's own axles stands the group of the trailer. */
static const evn_axle_brake_file *brake_of(const limits_watch *w, const char *axle)
{
    const evn_axle_file *axles = w->truck->axles.item;
    for (size_t k = 0; k < w->truck->axles.count; k++)
        if (strcmp(w->truck->axles.name[k], axle) == 0)
            return axles[k].friction_brake;
    return w->truck->trailer->friction_brake;
}

static void hold_axle_column(limits_watch *w, size_t column, double value, double t)
{
    const evn_trace_column *c = &w->column[column];
    if (!is(c, "axle_brake_temperature_degc") || isnan(brake_of(w, c->axle)->limit_degc))
        return;
    double limit = brake_of(w, c->axle)->limit_degc, let_pass = 0.2;
    w->too_hot[column] = w->too_hot[column] || value > limit + let_pass;
    hold(w, TRIAL_AXLE_BRAKE, t, value, limit, let_pass);
}

static void hold_unit_column(limits_watch *w, const evn_trace_column *c, double value, double t)
{
    const evn_motor_file *m = motor_of(w, c->drive_unit);
    if (is(c, "winding_temperature_degc") && m->winding)
        hold(w, TRIAL_WINDING, t, value, m->winding->derate_to_degc, 0.1);
    if (is(c, "inverter_temperature_degc"))
        hold(w, TRIAL_INVERTER, t, value, m->inverter->heat->derate_to_degc, 0.2);
    if (is(c, "motor_speed_rpm"))
        hold(w, TRIAL_SPEED, t, value, m->top_speed_rpm, 1e-3 * m->top_speed_rpm);
    if ((is(c, "motor_losses_kw") || is(c, "inverter_losses_kw")) && value < -1e-9)
        say(w->verdict, TRIAL_LOSS_NEGATIVE, c->what.key, value, t);
}

void limits_sample(void *self, const double *row, size_t columns)
{
    limits_watch *w = self;
    double t = value_of(w, row, "time_s");
    hold_pack(w, row, t);
    hold_truck(w, row, t);
    for (size_t k = 0; k < columns && k < w->columns; k++) {
        hold_unit_column(w, &w->column[k], row[k], t);
        hold_axle_column(w, k, row[k], t);
        if (!isfinite(row[k]))
            say(w->verdict, TRIAL_NOT_FINITE, w->column[k].what.key, row[k], t);
    }
}

/* ------------------------------------------------------------------------------------------------ the whole run */

void limits_begin(limits_watch *w, const evn_truck *truck, const evn_rig *rig, trial_verdict *verdict)
{
    *w = (limits_watch){.truck = truck->file, .verdict = verdict};
    while (w->columns < COLUMNS_MOST && evn_trace_column_at(rig, w->columns, &w->column[w->columns]))
        w->columns++;
}

/* A warning of the run that names what the limit is of. */
static bool is_told(const evn_report *report, const char *word)
{
    evn_finding finding;
    for (size_t k = 0; evn_report_at(report, k, &finding); k++)
        if (finding.severity == EVN_WARNING && strstr(finding.text, word))
            return true;
    return false;
}

static const struct {
    trial_fault fault;
    const char *word;
} words[] = {
    {TRIAL_WINDING, "winding"},
    {TRIAL_DISCHARGE, "discharge"},
    {TRIAL_CHARGE, "charge"},
    {TRIAL_VOLTAGE_LOW, "voltage"},
    {TRIAL_VOLTAGE_HIGH, "voltage"},
    {TRIAL_SPEED, "speed"},
    {TRIAL_CHARGE_STATE, "charge"},
    {TRIAL_INVERTER, "inverter"},
    {TRIAL_BATTERY, "battery at"},
    {TRIAL_COOLANT, "coolant"},
    {TRIAL_FRICTION_POWER, "friction braking power"},
};

/* Each axle that was too hot has a finding of its own. */
static bool axles_are_told(const limits_watch *w, const evn_report *report)
{
    char word[100];
    for (size_t k = 0; k < w->columns; k++) {
        snprintf(word, sizeof word, "friction brakes of axle %.60s at", w->column[k].axle ? w->column[k].axle : "");
        if (w->too_hot[k] && !is_told(report, word))
            return false;
    }
    return true;
}

void limits_end(limits_watch *w, const evn_report *report)
{
    for (size_t k = 0; k < sizeof words / sizeof *words; k++)
        if (w->worst[words[k].fault] > 1 && !is_told(report, words[k].word))
            w->verdict->fault[words[k].fault] = true;
    if (!axles_are_told(w, report))
        w->verdict->fault[TRIAL_AXLE_BRAKE] = true;
}

/* What stands behind an evn_payback, and its making (MONEY.md). */
#ifndef EVENER_MONEY_PAYBACK_H
#define EVENER_MONEY_PAYBACK_H
#include "duty/pack_size.h"
#include "evener/likeness.h"
#include "lineup/lineup.h"
#include "money/account.h"

enum { EVN_PAYBACK_BASES = EVN_PAYBACK_LEAST_BATTERY + 1, EVN_ADVICE_MOST = 4 };

typedef struct evn_money_figure {
    const char *key, *unit, *label, *formula, *from;
    double value;
    int digits;
} evn_money_figure;

typedef struct evn_money_figures {
    evn_money_figure *at;
    size_t count, room;
    evn_arena *arena;
    bool broken; /* memory is out */
} evn_money_figures;

/* How sure it is, of a truck against the first. */
typedef struct evn_paying_sure {
    size_t draws; /* 0: none */
    double low, median, high, pays;
    double within[EVN_FLOW_MOST];
    evn_payback_band band[EVN_FLOW_MOST]; /* of what has been saved by the end of each year, discounted */
    evn_payback_cause *cause;
    size_t causes;
} evn_paying_sure;

/* Who costs least at a distance a year, of those that do what the duty demands, and who follows; SIZE_MAX: none. */
typedef struct evn_money_ranked {
    size_t best, next;
    double per_km, next_per_km; /* INFINITY: none */
} evn_money_ranked;

/* A truck on a basis. */
typedef struct evn_paying evn_paying;
struct evn_paying {
    const char *status;
    bool there; /* it has costs */
    evn_sized_truck sized;
    double age_years;         /* of the battery for whose size the day was looked at; NAN: none */
    double capacity;          /* what it has of its capacity then */
    double found_lowest;      /* to which it comes itself at the prices with which it was found */
    double size, kg_per_kwh;  /* of it, over the truck's own, and of its mass */
    evn_payback_try *tries;   /* ways of stopping of which this is the one that costs least */
    size_t try_count, chosen; /* 0: none but as the duty states */
    const evn_paying *driven; /* of each of them */
    bool ages_by_law;         /* its battery's file states no such age: it is of the prices' law */
    evn_equalised given;      /* to be equal to the first */
    evn_bought bought;
    evn_use use;
    evn_account_ask ask;
    evn_account account;
    evn_against against; /* of all but the first, where that is there too */
    bool held_against;
    evn_paying_sure sure;
    evn_money_figures figures;
};

typedef struct evn_physics evn_physics; /* physics.h */

struct evn_payback {
    evn_arena *arena;
    const evn_prices_file *prices;
    const char *duty;       /* its name */
    evn_payback_stop *stop; /* that charge, in their order */
    size_t stops;
    double working_days_per_year; /* of it; NAN: not stated */
    size_t count;
    const char *const *name, *const *title; /* of the trucks; what they are called in words */
    double annual_km;
    const char *annual_km_from;
    bool km_errs; /* it is that of the prices */
    unsigned years;
    bool partial;         /* stopped before all was done */
    evn_physics *physics; /* NULL: it does not count */
    double advised_km[EVN_ADVICE_MOST];
    size_t advised;
    evn_paying *paying[EVN_PAYBACK_BASES];      /* [count] each */
    evn_money_ranked ranked[EVN_PAYBACK_BASES]; /* at its distance */
};

/* One lineup of trucks over a duty; a cycle is a day of one leg. */
typedef struct evn_payback_of {
    const char *const *title;   /* what the trucks are called in words */
    const evn_contender *who;   /* as the lineup makes them equal ... */
    const evn_equalised *given; /* ... by this */
    size_t count;
    const evn_duty_file *duty;
    bool is_cycle;
    const evn_cycle_file *cycle; /* of it; NULL: a duty */
    size_t season;               /* of the duty, in which the physics is driven */
    const struct evn_data *errs; /* what of the trucks does; NULL: the physics is not asked for */
    const evn_prices_file *prices;
    const evn_price_places *places;
    const evn_conditions *ask;
} evn_payback_of;

/* NULL (said) where something does not do, the work was stopped, or memory is out. */
evn_payback *evn_payback_make(const evn_payback_of *, const evn_payback_how *, evn_report *);

/* The same trucks, days and batteries with other prices, distances or years; nothing is driven. What was driven must
 * outlive it. NULL (said) where something does not do, or memory is out. */
evn_payback *evn_payback_remake(const evn_payback *driven, const evn_prices_file *, const evn_price_places *,
                                const evn_payback_how *, evn_report *);

/* The same trucks, days, batteries and prices at another distance a year. What is there must outlive it. NULL (said)
 * when memory is out. */
evn_payback *evn_payback_move(const evn_payback *, double annual_km, evn_report *);

/* The same with another of the ways of stopping that were tried for a truck's least battery, which has costs; what is
 * not carried is counted against the same payload. What is there must outlive it. NULL (said) when memory is out. */
evn_payback *evn_payback_stopped(const evn_payback *, size_t truck, size_t tried, evn_report *);

/* Warnings on what of it is unusual (unusual.c). */
void evn_payback_say_unusual(const evn_payback *, evn_report *);

/* What it would be at another distance; truck and basis are there. */
void evn_payback_at_km(const evn_payback *, size_t truck, evn_payback_basis, double annual_km, evn_account *out);

/* The same at a cell of the field of distances and prices of energy (evn_payback_cell_at). */
double evn_payback_field_km(size_t distance);
double evn_payback_field_factor(size_t price); /* on all prices of energy */
evn_account_ask evn_payback_ask_in_field(const evn_payback *, size_t truck, evn_payback_basis, size_t distance,
                                         size_t price);

/* Draws what errs, on a basis. False when memory is out, or more errs than there is room for (said). */
bool evn_payback_draw(evn_payback *, evn_payback_basis, const evn_payback_how *, evn_report *);

/* Fills the list of a truck's figures. False when memory is out. */
bool evn_payback_figures(evn_payback *, size_t truck, evn_payback_basis);
/* One of them, or with "first." before its key one of the first truck's, with "next." of the one that costs least after
 * the best (evn_payback.ranked); NULL: none. */
const evn_money_figure *evn_payback_find_figure(const evn_payback *, size_t truck, evn_payback_basis, const char *key,
                                                size_t length);

#endif

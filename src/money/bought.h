/* What a truck is bought of, by class of part, and on what its tyres run: from the truck as it is written. */
#ifndef EVENER_MONEY_BOUGHT_H
#define EVENER_MONEY_BOUGHT_H
#include "money/prices.h"
#include "truck/truck.h"

enum { EVN_BOUGHT_MOST = 160, EVN_BOUGHT_PATH = 180 };

typedef struct evn_bought_part {
    evn_part_class of;
    char path[EVN_BOUGHT_PATH]; /* in the truck's file: "drive_units.rear.motors.a" */
    double kw, kwh, kg;         /* 0: it has none */
} evn_bought_part;

typedef struct evn_bought {
    evn_bought_part part[EVN_BOUGHT_MOST];
    size_t count;
    bool more; /* there was no room for all */
    double tyres[EVN_TYRE_PLACES];
} evn_bought;

void evn_bought_of(const evn_truck_file *, evn_bought *out);

/* Price of a part in the file's currency. NAN: the class has none, or it is per kg and the part states no mass. */
double evn_bought_price(const evn_prices_file *, const evn_bought_part *);

/* Whether all that a truck has bears a price; what has none is said, with the part and the key. */
bool evn_bought_has_prices(const evn_bought *, const char *truck, const evn_prices_file *, const evn_price_places *,
                           evn_report *);

#endif

/* units-private.h - numbers as a person reads them, for the core's own sentences. */
#pragma once
#include <rakelight/units.h>

/* So many decimals where they say something; what is not nothing is never shown as 0 but as "under
 * 0.1". In the person's number form. Caller frees. */
char *rake_units_write_number (double value, int decimals);

/* With so many decimals, in the person's number form, or in that of the thread's language where it has a
 * choice of its own. */
char *rake_units_print_number (double value, guint n_decimals);

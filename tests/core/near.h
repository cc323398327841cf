/* near.h - numbers held against others, to within what the source of the other gives. cmocka 1.1.5
 * compares as float only. To be included after cmocka.h. */
#pragma once
#include <glib.h>
#include <math.h>

/* NaN is near nothing. */
#define assert_near(what, value, expected, within)                              \
  G_STMT_START                                                                  \
  {                                                                             \
    double near_value = (value), near_expected = (expected);                    \
    if (!(fabs (near_value - near_expected) <= (within)))                       \
      fail_msg ("%s: %.17g, expected %.17g", what, near_value, near_expected);  \
  }                                                                             \
  G_STMT_END

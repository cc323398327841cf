/* wheel.h - buffing wheels: how fast the surface runs, and what a wheel may carry.
 *
 * Speeds in m/s; docs/film.md has the ranges and what they rest on. The wheel's own rated speed always
 * caps the range. */
#pragma once
#include <rakelight/job.h>

/* π·D·n/60; NaN when a number is missing or not above 0. */
double rake_wheel_surface_m_per_s (double diameter_mm, double rpm);

/* Turns of the wheel from the motor's and the pulleys' pitch diameters; without pulleys the motor's. */
double rake_wheel_get_rpm (const RakeWheelBody *wheel);
double rake_wheel_rpm_for (double surface_m_per_s, double diameter_mm);

typedef struct
{
  double least_m_per_s, most_m_per_s;
} RakeSpeedRange;

/* Assumed from the trade's figures, for films that soften with heat and for cross-linked ones. For
 * UNSAID and OTHER the slower range: the one that burns less. */
RakeSpeedRange rake_wheel_get_range (RakeFinish finish);

typedef enum
{
  RAKE_WHEEL_SPEED_UNKNOWN,
  RAKE_WHEEL_SLOW,
  RAKE_WHEEL_IN_RANGE,
  RAKE_WHEEL_FAST,        /* for this finish: heat */
  RAKE_WHEEL_OVER_RATED,  /* faster than the wheel is rated for: not to be run */
} RakeWheelSpeed;

RakeWheelSpeed rake_wheel_judge (const RakeWheelBody *wheel, RakeFinish finish);

/* What a wheel has on it by the log: since it was new, replaced or stripped. */
typedef struct
{
  const RakeEntry *entry;        /* its latest */
  const char *compound;          /* what it carries; NULL: nothing yet */
  RakeAnswer is_mixed;           /* yes: more than one; unsaid: not known */
  const RakeEntry *last_check;   /* NULL: never */
  const RakeEntry *last_pass;
  guint n_passes;                /* since then */
} RakeWheelStanding;

/* FALSE when there is no such wheel. */
gboolean rake_wheel_take (const RakeJob *job, RakeId wheel, RakeWheelStanding *standing);

/* Every wheel of the job, by its first entry's id, in order. Free with g_array_unref(). */
GArray *rake_wheel_list (const RakeJob *job);

/* NULL when @compound may go on the wheel, else one translated sentence why not and what to do. */
char *rake_wheel_refuse (const RakeWheelStanding *standing, const char *compound);

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
 * UNSAID, OTHER and oil varnish the slower range: the one that burns less. */
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

/* What a wheel has on it by the log: since it was new, replaced or stripped, or written anew without
 * a word why. A check changes nothing of what it carries. */
typedef struct
{
  const RakeEntry *entry;        /* the latest that is more than a check */
  const char *compound;          /* what it carries: as said, else the last pass's; NULL: nothing yet */
  RakeAnswer is_mixed;           /* yes: more than one; unsaid: not known */
  const RakeEntry *last_check;   /* since then; NULL: not yet */
  const RakeEntry *last_pass;    /* since then; NULL: none */
  guint n_passes;                /* since the last check, or since the entry */
} RakeWheelStanding;

/* FALSE when there is no such wheel. */
gboolean rake_wheel_take (const RakeJob *job, RakeId wheel, RakeWheelStanding *standing);

/* Every wheel of the job, by its first entry's id, in order. Free with g_array_unref(). */
GArray *rake_wheel_list (const RakeJob *job);

/* NULL when @compound may go on the wheel, else one translated sentence why not and what to do. */
char *rake_wheel_refuse (const RakeWheelStanding *standing, const char *compound);

/* NULL when the wheel was looked over since its last pass, else one translated sentence what to look
 * for before the next stage. Caller frees. */
char *rake_wheel_advise (const RakeWheelStanding *standing);

/* The wheel that the next pass with @compound would take: that of the last such pass, else the one last
 * entered that carries it. Nil when there is none, or when the last such pass went without. */
RakeId rake_wheel_find_for (const RakeJob *job, const char *compound);

/* The last pass at a buff stage with that compound, wherever; NULL when there is none. */
const RakeEntry *rake_wheel_find_last_pass (const RakeJob *job, const char *compound);

/* A new line about the wheel that says again what @standing says of it, with @work; replaced or stripped,
 * it carries nothing. Caller owns. */
RakeEntry *rake_wheel_new_work (const RakeWheelStanding *standing, RakeId wheel,
                                RakeWheelWork work);

/* Whether the wheel of @pass has carried anything but its stage's compound. A wheel renewed after the
 * pass is judged as it is now. UNSAID when nobody said, or there is no such wheel. */
RakeAnswer rake_wheel_carried_other (const RakeJob *job, const RakeEntry *pass);

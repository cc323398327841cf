/* moments.h - a logbook as a row of moments for the timeline: one for each gesture, with what it was
 * mainly about, and gathered where there are more of them than there is room for. */
#pragma once
#include <rakelight/job.h>

/* In order of weight: the heaviest of a gesture, or of a handful gathered in one place, is shown. */
typedef enum
{
  RAKE_MOMENT_OTHER, /* a note, a reading, facts of job and zones, something undone */
  RAKE_MOMENT_LOOK,
  RAKE_MOMENT_PASS,
  RAKE_MOMENT_MARK,
  RAKE_MOMENT_COAT,
  RAKE_MOMENT_STAGE, /* a stage was begun */
  RAKE_MOMENT_ACCEPTANCE,
  RAKE_MOMENT_REPAIR,
  RAKE_N_MOMENTS,
} RakeMomentKind;

typedef struct
{
  const RakeEntry *entry;  /* what the gesture was mainly about; the job's */
  guint n_entries;         /* entries of the job up to and with this gesture */
  RakeMomentKind kind;
  gboolean is_struck;      /* all of it was struck out since */
} RakeMoment;

/* The moments of @job, in order: an array of RakeMoment that the caller g_array_unref()s. */
GArray *rake_moments_take (const RakeJob *job);

/* The last moment that is within the first @n_entries; 0 when none is. */
guint rake_moments_find (GArray *moments, guint n_entries);

/* Several moments in one place of the ribbon. */
typedef struct
{
  guint first, n_moments;  /* in the array of moments */
  RakeMomentKind kind;     /* the heaviest that stands */
  gboolean is_struck;      /* all of them were */
  double x_px;             /* the middle, from the ribbon's start */
} RakeCluster;

/* Lays the moments out from @start_px, at most @most_apart_px apart, into @width_px; where they come
 * closer than @least_apart_px they are gathered. Returns an array of RakeCluster in order. */
GArray *rake_moments_lay_out (GArray *moments, double start_px, double width_px,
                              double least_apart_px, double most_apart_px);

/* Where a moment lies, and the moment nearest to a place. */
double rake_moments_get_x (GArray *moments, double start_px, double width_px,
                           double most_apart_px, guint index);
guint rake_moments_find_at (GArray *moments, double start_px, double width_px,
                            double most_apart_px, double x_px);

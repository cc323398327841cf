/* planner.h - which grits: every schedule that no other beats, from the grades on hand.
 *
 * Each step must take away the scratch of the step before it: depth of scratch = RAKE_SCRATCH_SHARE ·
 * d50, and RAKE_SCRATCH_TIMES that must go. The first step must take the sprayed texture down, or what
 * is left of it, and the scratch that is there. The last grit must be at least as fine as the buffing
 * wants; the compounds then work until its scratch is gone, however little they are said to take. A
 * step makes whole passes, and no more than a sheet's worth of patience: a grit that would need more
 * is too fine for what it is to take. Of all schedules whose risk at the thinnest zone stays within the
 * limit, those are kept that no other beats in film taken, time and number of grits at once: exactly
 * those (proven against an exhaustive search in tests/core). Where two are equal in all three, the one
 * whose film is less in doubt is kept, then the one of coarser grits.
 *
 * Sums are of whole picometres and microminutes, so that equals are equal. */
#pragma once
#include <rakelight/grade.h>
#include <rakelight/facts.h>
#include <rakelight/rates.h>

/* Engineering assumptions, shown as such: docs/film.md has their evidence. */
#define RAKE_SCRATCH_SHARE 0.15
#define RAKE_SCRATCH_TIMES 1.5

#define RAKE_PLANNER_ERROR (rake_planner_error_quark ())
GQuark rake_planner_error_quark (void);

typedef enum
{
  RAKE_PLANNER_ERROR_INPUT, /* a number out of its limits; the message names it */
  RAKE_PLANNER_ERROR_NONE,  /* no schedule will do; the message says what stands in the way */
} RakePlannerError;

typedef struct
{
  RakeGrade grade;
  RakeNormal pass_um;        /* one pass on a flat; sd is the scatter from pass to pass */
  double common_sd_um;       /* the doubt of the rate itself */
  double pass_min_per_m2;    /* NaN: RAKE_PLANNER_USUAL_… */
} RakePlannerGrade;

typedef struct
{
  const RakePlannerGrade *grades;  /* on hand, in any order; at most 200 */
  guint n_grades;
  double sigma_um;           /* of the sprayed texture; NaN: usual. 0: level already */
  double level_um;           /* where the job stands: what is still to be taken until level; NaN: by
                                sigma_um. The surface is level from 99 to 5 % glossy */
  double scratch_d50_um;     /* where the job stands: the scratch that is there now; NaN: none */
  double entry_d50_um;       /* the buffing wants a grit at least this fine */
  RakeNormal buff_um;        /* what the compounds take; 0 for none */
  double coarsest_d50_um;    /* do not start coarser; NaN: no limit */
  RakeNormal film;           /* at the thinnest zone */
  double edge_factor;        /* of that zone; NaN: 1 */
  double reserve_um;         /* NaN: 0 */
  double risk_limit;         /* 0 to 0.5: above, doubt would be an advantage */
  guint max_level_passes;    /* of the step that takes the texture; 0: usual, more if it must be */
  guint max_refine_passes;   /* of a step that takes a scratch; 0: the same */
  double area_mm2;           /* to be worked; NaN: 0.1 m² */
  double change_min;         /* for each change of grit; NaN: usual */
} RakePlannerInput;

#define RAKE_PLANNER_USUAL_PASS_MIN_PER_M2 60.0 /* engineering estimate */
#define RAKE_PLANNER_USUAL_CHANGE_MIN 10.0
#define RAKE_PLANNER_USUAL_LEVEL_PASSES 6
#define RAKE_PLANNER_USUAL_REFINE_PASSES 8

typedef struct
{
  guint grade;               /* index into the input's grades */
  guint n_passes;
  double needed_um, taken_um;
  double minutes;
} RakePlanStep;

typedef struct
{
  GArray *steps;             /* RakePlanStep, coarse to fine; none when the buffing can begin */
  RakeNormal buff_um;        /* what the compounds take after the last of them */
  double film_um, film_sd_um;  /* taken, the compounds too, on a flat */
  double minutes;
  double risk;               /* at the thinnest zone, at the end */
} RakePlan;

typedef enum
{
  RAKE_PLAN_RECOMMENDED,
  RAKE_PLAN_MORE_GRITS,      /* takes less film or time, by more grits */
  RAKE_PLAN_SAME_GRITS,      /* as few grits, but more film */
} RakePlanStanding;

typedef struct
{
  GPtrArray *plans;          /* RakePlan *, by number of grits, then film */
  guint recommended;         /* index: fewest grits, of those the least film */
  gboolean needs_patience;   /* more passes at one grit than is usual: coarser grits would help */
  guint n_considered;        /* partial schedules that were looked at */
  guint n_over_risk;         /* dropped because the film would not allow them */
} RakePlanning;

/* NULL with RAKE_PLANNER_ERROR. */
RakePlanning *rake_planner_plan (const RakePlannerInput *input, GError **error);
void rake_planning_free (RakePlanning *planning);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePlanning, rake_planning_free)

RakePlanStanding rake_planning_get_standing (const RakePlanning *planning, guint index);

/* Why this one and not the recommended, translated: "One grit more for 2.1 µm less". Caller frees. */
char *rake_planning_describe (const RakePlanning *planning, guint index);

/* How fine the last grit must be for a way of buffing: about P1500 for a wheel or a machine, finer (to
 * P3000) for liquid compound by hand. Common practice, no source; docs/film.md. NaN for UNSAID. */
double rake_buffing_get_entry_d50_um (RakeBuffing buffing);

/* What the two usual compounds (medium cut, fine) are assumed to take together; nothing for NONE. */
RakeNormal rake_planner_assume_buffing (RakeBuffing buffing);

/* A grit on hand as people write it, at the rate that @rates have of it, else as we assume (also when
 * @rates is NULL). FALSE with RAKE_GRADE_ERROR. */
gboolean rake_planner_grade_init (RakePlannerGrade *grade, const char *text, const RakeRates *rates,
                                  GError **error);

/* What the first step must take of a surface as sprayed: about 4 σ. */
double rake_planner_get_texture_um (const RakePlannerInput *input);

/* What the planner needs, from a face as it stands: the zone that allows the least to be taken, its
 * area, the coarsest scratch that is there, what is left to level. Zones that join at a later stage are
 * left out. The grades are the caller's and stay. entry_d50_um is NaN where the job does not say how it
 * will be buffed. FALSE with RAKE_PLANNER_ERROR_INPUT when a film is not known, naming the zone and
 * what is missing. */
gboolean rake_planner_fill_from_face (RakePlannerInput *input, const RakeJob *job,
                                      const RakeFace *face, const RakeRates *rates,
                                      const RakeLimits *limits, GError **error);

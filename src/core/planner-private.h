/* planner-private.h - the planner's sums, and the search for what no other schedule beats.
 *
 * For planner's own files and their tests only. */
#pragma once
#include <rakelight/planner.h>

/* Film in picometres and time in microminutes: whole numbers, so that sums are exact whatever their
 * order and two schedules of equal cost are equal. */
#define RAKE_PLANNER_UNITS 1e6
/* More than this of a sum is no schedule, and whole numbers stay far from their end. */
#define RAKE_PLANNER_MOST 1e12

typedef struct
{
  guint n_passes;
  double needed_um;
  gint64 film_pm, time;
  double variance_um2;
} RakePlannerCost;

/* The input with every usual filled in, and its grades coarse to fine. */
typedef struct
{
  RakePlannerInput input;
  guint *order;              /* node → index into input.grades */
  double texture_um;         /* what the first step must take of it */
  guint n_nodes;
} RakePlannerTable;

/* Before the first step: no grit yet. */
#define RAKE_PLANNER_START G_MAXUINT

const RakePlannerGrade *rake_planner_table_get (const RakePlannerTable *table, guint node);

/* What a step at @to costs after one at @from. FALSE when it is not allowed. */
gboolean rake_planner_table_get_step (const RakePlannerTable *table, guint from, guint to,
                                      RakePlannerCost *cost);

/* What the buffing takes after @last. FALSE when @last is not fine enough for it. */
gboolean rake_planner_table_get_buffing (const RakePlannerTable *table, guint last,
                                         RakePlannerCost *cost);

typedef struct _RakePlannerLabel RakePlannerLabel;
struct _RakePlannerLabel
{
  const RakePlannerLabel *before; /* NULL: the first step */
  guint node, n_grits;
  gint64 film_pm, time;
  double variance_um2;
  double reach_um;                /* see planner-labels.c */
};

typedef struct
{
  GPtrArray *fronts;       /* GArray of RakePlannerLabel by node: the schedules that end there so far */
  GArray *plans;           /* RakePlannerLabel: complete ones; node and before say their steps */
  guint n_considered, n_over_risk;
  double least_missing_um; /* the least film that any schedule would want on top */
} RakePlannerSearch;

/* @for_film TRUE  any risk is taken, and only least_missing_um is looked for */
void rake_planner_search_run (RakePlannerSearch *search, const RakePlannerTable *table,
                              gboolean for_film);
void rake_planner_search_clear (RakePlannerSearch *search);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (RakePlannerSearch, rake_planner_search_clear)

/* The risk at the thinnest zone when so much was taken of a flat. */
double rake_planner_table_get_risk (const RakePlannerTable *table, double film_um,
                                    double variance_um2);

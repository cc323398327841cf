/* planner-describe.c - why a schedule and not the recommended, in words. */
#include "i18n.h"

#include <rakelight/planner.h>
#include <rakelight/units.h>

#include <math.h>

/* P1500 and P3000, see docs/film.md; satin ends with P1000, as the usual satin schedule does. */
#define ENTRY_OF_WHEEL_UM 12.6
#define ENTRY_BY_HAND_UM 6.5
#define ENTRY_OF_SATIN_UM 18.3

double
rake_buffing_get_entry_d50_um (RakeBuffing buffing)
{
  switch ((int) buffing)
    {
    case RAKE_BUFFING_WHEEL:
    case RAKE_BUFFING_MACHINE:
      return ENTRY_OF_WHEEL_UM;
    case RAKE_BUFFING_HAND:
      return ENTRY_BY_HAND_UM;
    case RAKE_BUFFING_NONE:
      return ENTRY_OF_SATIN_UM;
    default:
      return NAN;
    }
}

static const RakePlan *
get_plan (const RakePlanning *planning, guint index)
{
  return planning->plans->pdata[index];
}

RakePlanStanding
rake_planning_get_standing (const RakePlanning *planning, guint index)
{
  if (index == planning->recommended)
    return RAKE_PLAN_RECOMMENDED;
  return get_plan (planning, index)->steps->len >
                 get_plan (planning, planning->recommended)->steps->len
             ? RAKE_PLAN_MORE_GRITS
             : RAKE_PLAN_SAME_GRITS;
}

/* TRANSLATORS: below, %s is film taken, min minutes of work; against the recommended schedule. */
static char *
describe_more_grits (guint n_more, double less_um, double less_min)
{
  g_autofree char *film = rake_units_to_text (RAKE_MEASURE_FILM, fabs (less_um));

  if (less_um > 0 && less_min > 0)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u grit more, for %s and %.0f min less",
                                         "%u grits more, for %s and %.0f min less", n_more),
                            n_more, film, less_min);
  if (less_um > 0)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE,
                                         "%u grit more and %.0f min longer, for %s less",
                                         "%u grits more and %.0f min longer, for %s less", n_more),
                            n_more, -less_min, film);
  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u grit and %s more, for %.0f min less",
                                       "%u grits and %s more, for %.0f min less", n_more),
                          n_more, film, less_min);
}

char *
rake_planning_describe (const RakePlanning *planning, guint index)
{
  const RakePlan *plan = get_plan (planning, index);
  const RakePlan *recommended = get_plan (planning, planning->recommended);
  double less_um = recommended->film_um - plan->film_um;
  double less_min = recommended->minutes - plan->minutes;
  g_autofree char *film = rake_units_to_text (RAKE_MEASURE_FILM, fabs (less_um));

  switch (rake_planning_get_standing (planning, index))
    {
    case RAKE_PLAN_MORE_GRITS:
      return describe_more_grits (plan->steps->len - recommended->steps->len, less_um, less_min);
    case RAKE_PLAN_SAME_GRITS:
      return g_strdup_printf (_ ("As few grits and %.0f min less, but %s more"), less_min, film);
    case RAKE_PLAN_RECOMMENDED:
    default:
      if (plan->steps->len == 0)
        return g_strdup (_ ("Nothing to sand: the buffing can begin"));
      if (planning->needs_patience)
        return g_strdup (_ ("The fewest grits, and of those the least film; a grit that cuts "
                            "faster, or one between, would save many passes"));
      return g_strdup (_ ("The fewest grits, and of those the least film"));
    }
}

/* wheel.c - buffing wheels: how fast the surface runs, and what a wheel may carry. */
#include <rakelight/wheel.h>

#include "i18n.h"

#include <math.h>
#include <string.h>

#define CLOSE_ENOUGH 1e-9

/* --- speed ------------------------------------------------------------------------------------ */

static gboolean
is_amount (double amount)
{
  return isfinite (amount) && amount > 0;
}

double
rake_wheel_surface_m_per_s (double diameter_mm, double rpm)
{
  return is_amount (diameter_mm) && is_amount (rpm) ? G_PI * diameter_mm / 1000 * rpm / 60 : NAN;
}

double
rake_wheel_rpm_for (double surface_m_per_s, double diameter_mm)
{
  return is_amount (surface_m_per_s) && is_amount (diameter_mm)
             ? surface_m_per_s * 60 / (G_PI * diameter_mm / 1000)
             : NAN;
}

double
rake_wheel_get_rpm (const RakeWheelBody *wheel)
{
  if (!is_amount (wheel->motor_rpm))
    return NAN;
  if (isnan (wheel->motor_pulley_mm) && isnan (wheel->wheel_pulley_mm))
    return wheel->motor_rpm;
  return is_amount (wheel->motor_pulley_mm) && is_amount (wheel->wheel_pulley_mm)
             ? wheel->motor_rpm * wheel->motor_pulley_mm / wheel->wheel_pulley_mm
             : NAN;
}

RakeSpeedRange
rake_wheel_get_range (RakeFinish finish)
{
  switch (finish)
    {
    case RAKE_FINISH_WATERBORNE:
    case RAKE_FINISH_POLYURETHANE_2K:
    case RAKE_FINISH_POLYESTER:
    case RAKE_FINISH_CONVERSION_VARNISH:
    case RAKE_FINISH_UV_CURED:
      return (RakeSpeedRange){ 11, 18 };
    case RAKE_FINISH_UNSAID:
    case RAKE_FINISH_NITROCELLULOSE:
    case RAKE_FINISH_ACRYLIC_LACQUER:
    case RAKE_FINISH_SHELLAC:
    case RAKE_FINISH_OIL_VARNISH:
    case RAKE_FINISH_OTHER:
    case RAKE_N_FINISHES:
    default:
      return (RakeSpeedRange){ 9, 14 };
    }
}

RakeWheelSpeed
rake_wheel_judge (const RakeWheelBody *wheel, RakeFinish finish)
{
  double rpm = rake_wheel_get_rpm (wheel);
  double surface_m_per_s = rake_wheel_surface_m_per_s (wheel->diameter_mm, rpm);
  RakeSpeedRange range = rake_wheel_get_range (finish);

  /* What the wheel bears comes first: it wants no diameter. */
  if (is_amount (wheel->rated_rpm) && rpm > wheel->rated_rpm * (1 + CLOSE_ENOUGH))
    return RAKE_WHEEL_OVER_RATED;
  if (isnan (surface_m_per_s))
    return RAKE_WHEEL_SPEED_UNKNOWN;
  if (surface_m_per_s < range.least_m_per_s * (1 - CLOSE_ENOUGH))
    return RAKE_WHEEL_SLOW;
  return surface_m_per_s > range.most_m_per_s * (1 + CLOSE_ENOUGH) ? RAKE_WHEEL_FAST
                                                                   : RAKE_WHEEL_IN_RANGE;
}

/* --- what is on it ---------------------------------------------------------------------------- */

static gboolean
is_said (const char *text)
{
  return text != NULL && *text != '\0';
}

static gboolean
is_same_compound (const char *a, const char *b)
{
  g_autofree char *one = g_utf8_casefold (a, -1), *other = g_utf8_casefold (b, -1);

  return strcmp (one, other) == 0;
}

static gboolean
is_of_wheel (const RakeEntry *entry, RakeId wheel)
{
  return entry->kind == RAKE_ENTRY_WHEEL &&
         (rake_id_equal (entry->id, wheel) || rake_id_equal (entry->wheel.wheel, wheel));
}

/* The compound of a pass that went to the wheel; NULL for everything else. */
static const char *
get_compound (const RakeJob *job, const RakeEntry *entry, RakeId wheel)
{
  const RakeStage *stage;

  if (entry->kind != RAKE_ENTRY_PASS || !rake_id_equal (entry->pass.wheel, wheel) ||
      rake_job_is_struck (job, entry->id))
    return NULL;
  stage = rake_job_find_stage (job, entry->pass.stage);
  return stage != NULL && is_said (stage->grade) ? stage->grade : NULL;
}

/* Back to where the wheel began, so the newest comes first. */
static void
take_back (RakeWheelStanding *standing, const RakeJob *job, RakeId wheel)
{
  const char *seen = NULL;
  gboolean is_two = FALSE;

  for (guint i = rake_job_get_n_entries (job); i-- > 0 && standing->entry == NULL;)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      const char *compound = get_compound (job, entry, wheel);

      if (compound != NULL)
        {
          if (seen == NULL)
            {
              seen = compound;
              standing->last_pass = entry;
            }
          is_two |= !is_same_compound (seen, compound);
          if (standing->last_check == NULL)
            standing->n_passes++;
        }
      if (!is_of_wheel (entry, wheel) || rake_job_is_struck (job, entry->id))
        continue;
      if (entry->wheel.work != RAKE_WHEEL_WORK_CHECKED || rake_id_is_nil (entry->wheel.wheel))
        standing->entry = entry;
      else if (standing->last_check == NULL)
        standing->last_check = entry;
    }
  if (standing->entry == NULL)
    return;
  standing->compound =
      is_said (standing->entry->wheel.compound) ? standing->entry->wheel.compound : seen;
  is_two |= seen != NULL && !is_same_compound (seen, standing->compound);
  standing->is_mixed = is_two ? RAKE_ANSWER_YES : standing->entry->wheel.carried_other;
}

gboolean
rake_wheel_take (const RakeJob *job, RakeId wheel, RakeWheelStanding *standing)
{
  *standing = (RakeWheelStanding){ 0 };
  if (rake_job_find_wheel (job, wheel) == NULL)
    return FALSE;
  take_back (standing, job, wheel);
  return standing->entry != NULL;
}

GArray *
rake_wheel_list (const RakeJob *job)
{
  GArray *wheels = g_array_new (FALSE, FALSE, sizeof (RakeId));

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);

      if (entry->kind == RAKE_ENTRY_WHEEL && rake_id_is_nil (entry->wheel.wheel) &&
          rake_job_find_wheel (job, entry->id) != NULL)
        g_array_append_val (wheels, entry->id);
    }
  return wheels;
}

const RakeEntry *
rake_wheel_find_last_pass (const RakeJob *job, const char *compound)
{
  for (guint i = rake_job_get_n_entries (job); i-- > 0;)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      const RakeStage *stage;

      if (entry->kind != RAKE_ENTRY_PASS || rake_job_is_struck (job, entry->id))
        continue;
      stage = rake_job_find_stage (job, entry->pass.stage);
      if (stage != NULL && stage->action == RAKE_ACTION_BUFF &&
          is_same_compound (stage->grade, compound))
        return entry;
    }
  return NULL;
}

RakeId
rake_wheel_find_for (const RakeJob *job, const char *compound)
{
  const RakeEntry *pass = rake_wheel_find_last_pass (job, compound);
  g_autoptr (GArray) wheels = NULL;

  if (pass != NULL &&
      (rake_id_is_nil (pass->pass.wheel) || rake_job_find_wheel (job, pass->pass.wheel) != NULL))
    return pass->pass.wheel;
  wheels = rake_wheel_list (job);
  for (guint i = wheels->len; i-- > 0;)
    {
      RakeId wheel = g_array_index (wheels, RakeId, i);
      RakeWheelStanding standing;

      if (rake_wheel_take (job, wheel, &standing) && is_said (standing.compound) &&
          is_same_compound (standing.compound, compound))
        return wheel;
    }
  return RAKE_ID_NIL;
}

RakeEntry *
rake_wheel_new_work (const RakeWheelStanding *standing, RakeId wheel, RakeWheelWork work)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_WHEEL);
  gboolean is_clean = work == RAKE_WHEEL_WORK_REPLACED || work == RAKE_WHEEL_WORK_STRIPPED;

  entry->wheel = standing->entry->wheel;
  entry->wheel.wheel = wheel;
  entry->wheel.work = work;
  entry->wheel.name = g_strdup (standing->entry->wheel.name);
  entry->wheel.compound = is_clean ? NULL : g_strdup (standing->entry->wheel.compound);
  entry->wheel.remark = NULL;
  if (is_clean)
    entry->wheel.carried_other = RAKE_ANSWER_NO;
  return entry;
}

/* Whether @pass was made since the wheel began as @standing has it. */
static gboolean
is_since (const RakeJob *job, const RakeWheelStanding *standing, const RakeEntry *pass)
{
  for (guint i = rake_job_get_n_entries (job); i-- > 0;)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);

      if (entry == pass || entry == standing->entry)
        return entry == pass;
    }
  return FALSE;
}

RakeAnswer
rake_wheel_carried_other (const RakeJob *job, const RakeEntry *pass)
{
  const RakeStage *stage = rake_job_find_stage (job, pass->pass.stage);
  RakeWheelStanding standing;

  if (!rake_wheel_take (job, pass->pass.wheel, &standing))
    return RAKE_ANSWER_UNSAID;
  if (standing.compound != NULL && stage != NULL && is_said (stage->grade) &&
      !is_same_compound (standing.compound, stage->grade) && is_since (job, &standing, pass))
    return RAKE_ANSWER_YES;
  return standing.is_mixed;
}

/* --- in words --------------------------------------------------------------------------------- */

char *
rake_wheel_refuse (const RakeWheelStanding *standing, const char *compound)
{
  const char *name = standing->entry->wheel.name;

  if (standing->is_mixed == RAKE_ANSWER_YES)
    return g_strdup_printf (_ ("“%s” has carried more than one compound: strip or replace it, "
                               "and record that, before it touches the film"),
                            name);
  if (standing->compound == NULL || is_same_compound (standing->compound, compound))
    return NULL;
  return g_strdup_printf (_ ("“%s” carries %s: take another wheel for %s, or strip or replace "
                             "this one and record that"),
                          name, standing->compound, compound);
}

char *
rake_wheel_advise (const RakeWheelStanding *standing)
{
  if (standing->last_check != NULL && standing->n_passes == 0)
    return NULL;
  return g_strdup_printf (_ ("Look “%s” over before this stage: seams, hardened compound, nut "
                             "and arbor; and record the check"),
                          standing->entry->wheel.name);
}

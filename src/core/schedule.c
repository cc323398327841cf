/* schedule.c - a schedule as a finisher writes it. */
#include <rakelight/grade.h>
#include <rakelight/schedule.h>

#include "i18n.h"

#include <math.h>
#include <string.h>

#define LARGEST_SCHEDULE 20

G_DEFINE_QUARK (rake-schedule-error-quark, rake_schedule_error)

static const struct
{
  const char *word;
  RakeAction action;
  gboolean takes_grade;
} action_words[] = {
  { "level", RAKE_ACTION_LEVEL, TRUE },          { "refine", RAKE_ACTION_REFINE, TRUE },
  { "last look", RAKE_ACTION_LAST_LOOK, FALSE }, { "buff", RAKE_ACTION_BUFF, TRUE },
  { "rest", RAKE_ACTION_REST, FALSE },
};

gboolean
rake_schedule_is_grit (const char *grade)
{
  g_autoptr (GError) error = NULL;
  RakeGrade known;

  return rake_grade_parse (grade, &known, &error) ||
         g_error_matches (error, RAKE_GRADE_ERROR, RAKE_GRADE_ERROR_NONE_SUCH);
}

/* The median grain of what a step works with; NaN for a compound, a pad or wool, which are not
 * written like grades. FALSE for a bare number and for a grade that does not exist. */
static gboolean
find_d50 (const char *grade, double *d50_um, GError **error)
{
  g_autoptr (GError) unknown = NULL;
  RakeGrade known;

  *d50_um = NAN;
  if (rake_grade_parse (grade, &known, &unknown))
    {
      *d50_um = known.d50_um;
      return TRUE;
    }
  if (g_error_matches (unknown, RAKE_GRADE_ERROR, RAKE_GRADE_ERROR_TEXT))
    return TRUE;
  g_set_error_literal (error, RAKE_SCHEDULE_ERROR, RAKE_SCHEDULE_ERROR_TEXT, unknown->message);
  return FALSE;
}

/* Takes the action's word off the front of @step, if one stands there. */
static gboolean
take_action (const char **step, RakeAction *action, gboolean *takes_grade)
{
  for (gsize i = 0; i < G_N_ELEMENTS (action_words); i++)
    {
      gsize length = strlen (action_words[i].word);

      if (g_ascii_strncasecmp (*step, action_words[i].word, length) == 0 &&
          ((*step)[length] == '\0' || (*step)[length] == ' '))
        {
          *action = action_words[i].action;
          *takes_grade = action_words[i].takes_grade;
          *step += length;
          while (**step == ' ')
            (*step)++;
          return TRUE;
        }
    }
  return FALSE;
}

static gboolean
read_step (const char *step, gboolean has_level, RakeStageSpec *stage, GError **error)
{
  const char *grade = step;
  RakeAction action = RAKE_ACTION_UNSAID;
  gboolean takes_grade = TRUE;
  double d50_um = NAN;

  if (!take_action (&grade, &action, &takes_grade))
    action = !rake_schedule_is_grit (step) ? RAKE_ACTION_BUFF
             : has_level                   ? RAKE_ACTION_REFINE
                                           : RAKE_ACTION_LEVEL;
  if (takes_grade && *grade == '\0')
    {
      g_set_error (error, RAKE_SCHEDULE_ERROR, RAKE_SCHEDULE_ERROR_TEXT,
                   _ ("“%s” names no grit or compound: write it after the word, as in “%s P800”"),
                   step, step);
      return FALSE;
    }
  if (!takes_grade && *grade != '\0')
    {
      g_set_error (error, RAKE_SCHEDULE_ERROR, RAKE_SCHEDULE_ERROR_TEXT,
                   _ ("“%s” cannot be read: a last look and a rest take no grit"), step);
      return FALSE;
    }
  if (takes_grade && !find_d50 (grade, &d50_um, error))
    return FALSE;
  *stage = (RakeStageSpec){
    .id = rake_id_new (g_get_real_time () / 1000),
    .action = action,
    .grade = *grade != '\0' ? g_strdup (grade) : NULL,
    .d50_um = d50_um,
  };
  return TRUE;
}

GArray *
rake_schedule_parse (const char *text, GError **error)
{
  g_autoptr (GArray) stages =
      rake_field_new_list (rake_entry_kind_find_field (RAKE_ENTRY_SCHEDULE, "stages"));
  g_auto (GStrv) steps = g_strsplit (text, ",", -1);
  gboolean has_level = FALSE;

  for (gsize i = 0; steps[i] != NULL; i++)
    {
      RakeStageSpec stage;

      g_strstrip (steps[i]);
      if (*steps[i] == '\0')
        continue;
      if (!read_step (steps[i], has_level, &stage, error))
        return NULL;
      has_level |= stage.action == RAKE_ACTION_LEVEL;
      g_array_append_val (stages, stage);
    }
  if (stages->len == 0 || stages->len > LARGEST_SCHEDULE)
    {
      g_set_error (
          error, RAKE_SCHEDULE_ERROR, RAKE_SCHEDULE_ERROR_TEXT,
          _ ("A schedule has 1 to %d steps, parted by commas, as in “P800, P1200, last look, "
             "cut, fine”"),
          LARGEST_SCHEDULE);
      return NULL;
    }
  return g_steal_pointer (&stages);
}

char *
rake_schedule_to_text (const GArray *stages)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < stages->len; i++)
    {
      const RakeStageSpec *stage = &g_array_index (stages, RakeStageSpec, i);

      if (i > 0)
        g_string_append (text, ", ");
      g_string_append (text, action_words[stage->action - RAKE_ACTION_LEVEL].word);
      if (stage->grade != NULL)
        g_string_append_printf (text, " %s", stage->grade);
    }
  return g_string_free (text, FALSE);
}

const char *
rake_schedule_get_usual_text (RakeFinish finish, RakeSheen sheen)
{
  if (sheen == RAKE_SHEEN_SATIN)
    return "level P800, refine P1000, last look, rest";
  if (finish == RAKE_FINISH_SHELLAC)
    return "level P1000, refine P1500, refine P2000, last look, buff fine, rest";
  return "level P800, refine P1200, refine P1500, last look, buff medium cut, buff fine, rest";
}

/* planner-input.c - what the planner page asks the planner. */
#include "planner-input.h"
#include "say.h"
#include "settings.h"

#include <math.h>
#include <string.h>
#include <rakelight/units.h>

#include "words.h"

#define GROUP "planner"
#define USUAL_CHOICES "P600;P800;P1000;P1200;P1500;P2000;P2500;P3000"
#define USUALLY_ON_HAND "P800;P1000;P1200;P1500;P2000;P3000"

/* The sprayed surface's sd: engineering estimates around the usual 4 µm, docs/film.md. */
static const double sigmas_um[] = {
  [RAKE_TEXTURE_UNSAID] = 4.0,
  [RAKE_TEXTURE_SMOOTH] = 2.0,
  [RAKE_TEXTURE_USUAL] = 4.0,
  [RAKE_TEXTURE_ROUGH] = 7.0,
};

static GPtrArray *
split (const char *text)
{
  g_auto (GStrv) parts = g_strsplit (text, ";", -1);
  GPtrArray *list = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; parts[i] != NULL; i++)
    if (rake_grade_parse (parts[i], &(RakeGrade){ 0 }, NULL))
      g_ptr_array_add (list, g_strdup (parts[i]));
  return list;
}

static void
remember_list (const char *key, const GPtrArray *list)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < list->len; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? ";" : "", (const char *) list->pdata[i]);
  rake_settings_set_text (GROUP, key, text->str);
}

RakePlannerInputs *
rake_planner_inputs_new (void)
{
  RakePlannerInputs *self = g_new0 (RakePlannerInputs, 1);
  g_autofree char *choices = rake_settings_get_text (GROUP, "choices");
  g_autofree char *on_hand = rake_settings_get_text (GROUP, "on-hand");

  self->choices = split (choices ? choices : USUAL_CHOICES);
  self->on_hand = split (on_hand ? on_hand : USUALLY_ON_HAND);
  self->grades = g_array_new (FALSE, FALSE, sizeof (RakePlannerGrade));
  return self;
}

void
rake_planner_inputs_free (RakePlannerInputs *self)
{
  g_ptr_array_unref (self->choices);
  g_ptr_array_unref (self->on_hand);
  g_array_unref (self->grades);
  g_free (self);
}

void
rake_planner_inputs_begin (RakePlannerInputs *self, RakeSession *session)
{
  const RakeJobFacts *facts = session ? rake_job_find_facts (rake_session_get_job (session)) : NULL;
  gboolean is_satin = facts && facts->sheen == RAKE_SHEEN_SATIN;

  self->texture =
      facts && facts->texture
          ? facts->texture
          : (RakeTexture) rake_settings_get_number (GROUP, "texture", RAKE_TEXTURE_USUAL);
  self->buffing =
      facts && facts->buffing ? facts->buffing
      : is_satin              ? RAKE_BUFFING_NONE
                 : (RakeBuffing) rake_settings_get_number (GROUP, "buffing", RAKE_BUFFING_WHEEL);
  if (self->texture <= RAKE_TEXTURE_UNSAID || self->texture > RAKE_TEXTURE_ROUGH)
    self->texture = RAKE_TEXTURE_USUAL;
  if (self->buffing <= RAKE_BUFFING_UNSAID || self->buffing >= RAKE_N_BUFFINGS)
    self->buffing = RAKE_BUFFING_WHEEL;
}

static int
find (const GPtrArray *list, const char *text)
{
  for (guint i = 0; i < list->len; i++)
    if (g_ascii_strcasecmp (list->pdata[i], text) == 0)
      return (int) i;
  return -1;
}

gboolean
rake_planner_inputs_is_on_hand (const RakePlannerInputs *self, const char *grade)
{
  return find (self->on_hand, grade) >= 0;
}

void
rake_planner_inputs_set_on_hand (RakePlannerInputs *self, const char *grade, gboolean is_on_hand)
{
  int index = find (self->on_hand, grade);

  if (is_on_hand && index < 0)
    g_ptr_array_add (self->on_hand, g_strdup (grade));
  else if (!is_on_hand && index >= 0)
    g_ptr_array_remove_index (self->on_hand, (guint) index);
  remember_list ("on-hand", self->on_hand);
}

void
rake_planner_inputs_choose (RakePlannerInputs *self, RakeTexture texture, RakeBuffing buffing)
{
  self->texture = texture;
  self->buffing = buffing;
  rake_settings_set_number (GROUP, "texture", (int) texture);
  rake_settings_set_number (GROUP, "buffing", (int) buffing);
}

static double
get_d50_um (const char *text)
{
  RakeGrade grade;

  return rake_grade_parse (text, &grade, NULL) ? grade.d50_um : 0;
}

gboolean
rake_planner_inputs_add_choice (RakePlannerInputs *self, const char *text, GError **error)
{
  g_autofree char *written = NULL;
  RakeGrade grade;
  guint place = 0;

  if (!rake_grade_parse (text, &grade, error))
    return FALSE;
  written = rake_grade_to_text (&grade);
  rake_planner_inputs_set_on_hand (self, written, TRUE);
  if (find (self->choices, written) >= 0)
    return TRUE;
  while (place < self->choices->len && get_d50_um (self->choices->pdata[place]) >= grade.d50_um)
    place++;
  g_ptr_array_insert (self->choices, (int) place, g_steal_pointer (&written));
  remember_list ("choices", self->choices);
  return TRUE;
}

/* --- the face as it stands ------------------------------------------------------------------------- */

static void
take_grades (RakePlannerInputs *self, const RakeRates *rates)
{
  g_array_set_size (self->grades, 0);
  for (guint i = 0; i < self->choices->len; i++)
    {
      const char *text = self->choices->pdata[i];
      const RakeRate *known = rake_rates_find (rates, text);
      RakeRate rate = known ? *known : rake_rate_assume (text);
      RakePlannerGrade grade = { .pass_um = { rate.mean_um, rate.scatter_sd_um },
                                 .common_sd_um = rate.common_sd_um,
                                 .pass_min_per_m2 = NAN };

      if (!known)
        g_free (rate.grade);
      if (rake_planner_inputs_is_on_hand (self, text) && isfinite (rate.mean_um) &&
          rake_grade_parse (text, &grade.grade, NULL))
        g_array_append_val (self->grades, grade);
    }
  self->planner.grades = (const RakePlannerGrade *) (gpointer) self->grades->data;
  self->planner.n_grades = self->grades->len;
}

/* What the compounds that are planned for the face take; a medium and a fine one where none are. */
static RakeNormal
get_buff_um (const RakeFace *face, const RakeRates *rates, RakeBuffing buffing)
{
  RakeNormal buff = { 0, 0 };
  double variance = 0;
  guint n_stages = 0;

  if (buffing == RAKE_BUFFING_NONE)
    return buff;
  for (guint i = 0; i < face->stages->len; i++)
    {
      const RakeStage *stage = face->stages->pdata[i];
      const RakeRate *rate =
          stage->action == RAKE_ACTION_BUFF ? rake_rates_find (rates, stage->grade) : NULL;

      if (!rate || !isfinite (rate->mean_um))
        continue;
      buff.mean += rate->mean_um;
      variance +=
          rate->common_sd_um * rate->common_sd_um + rate->scatter_sd_um * rate->scatter_sd_um;
      n_stages++;
    }
  buff.sd = sqrt (variance);
  return n_stages > 0 ? buff : rake_planner_assume_buffing (buffing);
}

gboolean
rake_planner_inputs_take (RakePlannerInputs *self, RakeSession *session, const RakeFace *face,
                          GError **error)
{
  const RakeJob *job = rake_session_get_job (session);
  const RakeLimits *limits = rake_rules_get_limits (rake_session_get_rules (session));
  g_autoptr (RakeRates) rates = rake_rates_take (job);

  self->planner = (RakePlannerInput){ .sigma_um = sigmas_um[self->texture],
                                      .scratch_d50_um = NAN,
                                      .entry_d50_um = rake_buffing_get_entry_d50_um (self->buffing),
                                      .coarsest_d50_um = NAN,
                                      .edge_factor = NAN,
                                      .reserve_um = NAN,
                                      .area_mm2 = NAN,
                                      .change_min = NAN,
                                      .film = { NAN, NAN } };
  take_grades (self, rates);
  if (!rake_planner_fill_from_face (&self->planner, job, face, rates, limits, error))
    return FALSE;
  /* What is chosen on the page holds, whatever the job says or leaves unsaid. */
  self->planner.entry_d50_um = rake_buffing_get_entry_d50_um (self->buffing);
  self->planner.buff_um = get_buff_um (face, rates, self->buffing);
  return TRUE;
}

static char *
say_origin (const RakeRate *rate)
{
  g_autofree char *before = NULL;

  switch (rate->origin)
    {
    case RAKE_RATE_LEARNED:
      before =
          rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, rate->prior_mean_um, rate->prior_sd_um);
      /* Translators: how often it was measured here, and what was thought before. */
      return g_strdup_printf (ngettext ("read here %u time, before that %s",
                                        "read here %u times, before that %s", rate->n_observations),
                              rate->n_observations, before);
    case RAKE_RATE_OF_SHOP:
      return g_strdup_printf (ngettext ("the shop's, from %u pair of readings",
                                        "the shop's, from %u pairs of readings",
                                        rate->n_shop_pairs),
                              rate->n_shop_pairs);
    case RAKE_RATE_ASSUMED:
      return g_strdup (_ ("an estimate"));
    case RAKE_RATE_UNKNOWN:
    default:
      return g_strdup (_ ("not known"));
    }
}

static void
append_rate (GString *text, const char *grade, const RakeRate *rate)
{
  g_autofree char *film = rake_units_to_text_with_doubt (
      RAKE_MEASURE_FILM, rate->mean_um, hypot (rate->common_sd_um, rate->scatter_sd_um));
  g_autofree char *origin = say_origin (rate);

  g_string_append (text, text->len > 0 ? "\n" : "");
  /* Translators: a grit, what one pass takes, how that is known: "P800: 3.0 ± 1.3 µm, an estimate". */
  g_string_append_printf (text, _ ("%s: %s, %s"), grade, film, origin);
}

char *
rake_planner_inputs_describe_rates (const RakePlannerInputs *self, RakeSession *session)
{
  g_autoptr (RakeRates) rates = rake_rates_take (rake_session_get_job (session));
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < self->choices->len; i++)
    {
      const char *grade = self->choices->pdata[i];
      const RakeRate *known = rake_rates_find (rates, grade);
      RakeRate assumed;

      if (!rake_planner_inputs_is_on_hand (self, grade))
        continue;
      if (known)
        append_rate (text, grade, known);
      else
        {
          assumed = rake_rate_assume (grade);
          append_rate (text, grade, &assumed);
          g_free (assumed.grade);
        }
    }
  return g_string_free (text, FALSE);
}

char *
rake_planner_inputs_describe_film (const RakePlannerInputs *self)
{
  const RakePlannerInput *planner = &self->planner;
  g_autofree char *film = NULL;
  g_autofree char *reserve = NULL;
  g_autofree char *area = NULL;

  if (!isfinite (planner->film.mean))
    return g_strdup ("");
  film = rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, planner->film.mean, planner->film.sd);
  reserve = rake_units_to_text (RAKE_MEASURE_FILM,
                                isfinite (planner->reserve_um) ? planner->reserve_um : 0);
  area = isfinite (planner->area_mm2) ? rake_say_area (planner->area_mm2) : NULL;
  /* Translators: film at the thinnest zone, its reserve, and the area of the face. */
  return area ? g_strdup_printf (_ ("At the thinnest zone %s, of which %s must stay; %s to work."),
                                 film, reserve, area)
              : g_strdup_printf (_ ("At the thinnest zone %s, of which %s must stay."), film,
                                 reserve);
}

/* print-words.c - see print-words.h. */
#include "print-words.h"

#include <math.h>
#include <string.h>

#define NO_BREAK "\302\240"

/* --- times ---------------------------------------------------------------------------------- */

char *
rake_print_day (gint64 unix_ms, int utc_offset_minutes)
{
  char text[RAKE_TIME_TEXT_LENGTH + 1];

  rake_time_to_text (unix_ms, utc_offset_minutes, text);
  return g_strndup (text, strlen ("2026-03-17"));
}

char *
rake_print_time (gint64 unix_ms, int utc_offset_minutes)
{
  char text[RAKE_TIME_TEXT_LENGTH + 1];

  rake_time_to_text (unix_ms, utc_offset_minutes, text);
  return g_strdup_printf ("%.10s" NO_BREAK "%.5s", text, text + strlen ("2026-03-17T"));
}

/* --- numbers -------------------------------------------------------------------------------- */

char *
rake_print_number (double value, guint n_decimals)
{
  return isfinite (value) ? rake_units_print_in_language (value, n_decimals) : g_strdup ("–");
}

static gboolean
is_unit (const char *word)
{
  static const char *const units[] = { "µm", "mm", "cm²", "mm²", "mil", "in",    "in²",
                                       "GU", "%",  "°C",  "°F",  "m/s", "ft/min" };

  for (gsize i = 0; i < G_N_ELEMENTS (units); i++)
    {
      gsize length = strlen (units[i]);

      if (strncmp (word, units[i], length) == 0 && !g_ascii_isalnum (word[length]))
        return TRUE;
    }
  return FALSE;
}

static gboolean
is_sign (const char *word)
{
  return g_str_has_prefix (word, "± ") || g_str_has_prefix (word, "× ");
}

char *
rake_print_together (const char *text)
{
  GString *together = g_string_sized_new (strlen (text) + 8);
  const char *after_sign = NULL;

  for (const char *at = text; *at != '\0'; at++)
    {
      const char *next = at + 1;
      gboolean is_after_number = at > text && g_ascii_isdigit (at[-1]);

      if (*at == ' ' && is_after_number && is_sign (next))
        after_sign = next + strlen ("±");
      if (*at == ' ' &&
          (at == after_sign || (is_after_number && (is_sign (next) || is_unit (next)))))
        g_string_append (together, NO_BREAK);
      else
        g_string_append_c (together, *at);
    }
  return g_string_free (together, FALSE);
}

char *
rake_print_measure (double value, guint n_decimals, const char *unit)
{
  g_autofree char *number = rake_print_number (value, n_decimals);

  return isfinite (value) ? g_strconcat (number, NO_BREAK, unit, NULL) : g_steal_pointer (&number);
}

char *
rake_print_share (double fraction)
{
  if (isfinite (fraction) && fraction > 0 && fraction < 0.005)
    return g_strdup (C_ ("share", "under 1 %"));
  return rake_print_measure (fraction * 100, 0, "%");
}

/* The stored units of both are shown with @n_decimals, the customary ones are larger. */
static char *
print_shown (RakeMeasure measure, gboolean is_customary, double value, guint n_decimals)
{
  return rake_print_measure (rake_units_to_shown (measure, value), is_customary ? 2 : n_decimals,
                             rake_units_get_sign (measure));
}

char *
rake_print_film (double film_um, guint n_decimals)
{
  return print_shown (RAKE_MEASURE_FILM, rake_units_get ().film_in_mil, film_um, n_decimals);
}

char *
rake_print_length (double length_mm, guint n_decimals)
{
  return print_shown (RAKE_MEASURE_LENGTH, rake_units_get ().length_in_inch, length_mm, n_decimals);
}

char *
rake_print_area (double area_mm2)
{
  if (rake_units_get ().length_in_inch)
    return rake_print_measure (area_mm2 / (25.4 * 25.4), 1, "in²");
  return rake_print_measure (area_mm2 / 100, area_mm2 < 1000 ? 1 : 0, "cm²");
}

char *
rake_print_normal (RakeNormal film, guint n_decimals)
{
  g_autofree char *mean = NULL, *sd = NULL;

  if (!isfinite (film.mean))
    return g_strdup ("–");
  if (!isfinite (film.sd) || film.sd <= 0)
    return rake_print_film (film.mean, n_decimals);
  mean = rake_print_number (rake_units_to_shown (RAKE_MEASURE_FILM, film.mean),
                            rake_units_get ().film_in_mil ? 2 : n_decimals);
  sd = rake_print_film (film.sd, n_decimals);
  return g_strdup_printf ("%s" NO_BREAK "±" NO_BREAK "%s", mean, sd);
}

char *
rake_print_quantity (RakeQuantity quantity, double value, gboolean is_span)
{
  double zero = is_span ? rake_units_to_shown (RAKE_MEASURE_TEMPERATURE, 0) : 0;

  switch (quantity)
    {
    case RAKE_QUANTITY_FILM_UM:
      return rake_print_film (value, 1);
    case RAKE_QUANTITY_TEMPERATURE_CELSIUS:
      return rake_print_measure (rake_units_to_shown (RAKE_MEASURE_TEMPERATURE, value) - zero, 1,
                                 rake_units_get_sign (RAKE_MEASURE_TEMPERATURE));
    case RAKE_QUANTITY_GLOSS_GU:
    default:
      return rake_print_measure (value, 1, "GU");
    }
}

char *
rake_print_cost (double cost, const char *currency)
{
  return isfinite (cost) ? rake_print_measure (cost, 2, currency != NULL ? currency : "") : NULL;
}

char *
rake_print_direction (double deg)
{
  g_autofree char *number = rake_print_number (deg, 0);

  return isfinite (deg) ? g_strconcat (number, "°", NULL) : g_steal_pointer (&number);
}

/* --- things --------------------------------------------------------------------------------- */

char *
rake_print_step (RakeAction action, const char *grade)
{
  const char *word = _ (rake_action_get_label (action));

  if (grade == NULL || *grade == '\0')
    return g_strdup (word);
  /* Translators: a step of the schedule: what is done, and the grit or compound: "Level P800". */
  return g_strdup_printf (C_ ("stage", "%s %s"), word, grade);
}

char *
rake_print_stage (const RakeStage *stage)
{
  return stage != NULL ? rake_print_step (stage->action, stage->grade) : g_strdup ("–");
}

/* The word at @value, in the person's language; NULL for what was not said. */
static const char *
find_word (const char *context, const char *const *words, gsize n_words, guint value)
{
  return value < n_words && words[value] != NULL
             ? g_dpgettext2 (GETTEXT_PACKAGE, context, words[value])
             : NULL;
}

const char *
rake_print_surface (RakeSurface surface)
{
  static const char *const words[] = {
    NULL,
    NC_ ("surface", "dry"),
    NC_ ("surface", "wet"),
    NC_ ("surface", "dusty"),
    NC_ ("surface", "warm"),
    NC_ ("surface", "hazed by compound"),
  };

  return find_word ("surface", words, G_N_ELEMENTS (words), surface);
}

char *
rake_print_wiped (RakeWipe wipe)
{
  static const char *const words[] = {
    NULL,
    NULL,
    NC_ ("wiped with", "dry cloth"),
    NC_ ("wiped with", "damp cloth"),
    NC_ ("wiped with", "spirit"),
  };

  if (wipe == RAKE_WIPE_NOTHING)
    return g_strdup (_ ("not wiped"));
  if (wipe == RAKE_WIPE_UNSAID || wipe >= G_N_ELEMENTS (words))
    return NULL;
  return g_strdup_printf (_ ("wiped with %s"),
                          g_dpgettext2 (GETTEXT_PACKAGE, "wiped with", words[wipe]));
}

const char *
rake_print_light (RakeLight light)
{
  static const char *const words[] = {
    NULL,
    NC_ ("light", "low lamp"),
    NC_ ("light", "daylight"),
    NC_ ("light", "room light"),
    NC_ ("light", "point light"),
  };

  return find_word ("light", words, G_N_ELEMENTS (words), light);
}

const char *
rake_print_paper (RakePaper paper)
{
  static const char *const words[] = {
    NULL,
    NC_ ("paper", "fresh"),
    NC_ ("paper", "used"),
    NC_ ("paper", "loaded"),
    NC_ ("paper", "wiped clean"),
  };

  return find_word ("paper", words, G_N_ELEMENTS (words), paper);
}

const char *
rake_print_sheen (RakeSheen sheen)
{
  static const char *const words[] = {
    NULL,
    NC_ ("sheen", "Gloss"),
    NC_ ("sheen", "Semi-gloss"),
    NC_ ("sheen", "Satin"),
  };

  return find_word ("sheen", words, G_N_ELEMENTS (words), sheen);
}

const char *
rake_print_answer (RakeAnswer answer)
{
  return answer == RAKE_ANSWER_YES  ? C_ ("answer", "yes")
         : answer == RAKE_ANSWER_NO ? C_ ("answer", "no")
                                    : NULL;
}

const char *
rake_print_repair (RakeRepairMethod method)
{
  static const char *const words[] = {
    NULL,
    NC_ ("repair", "Sanded out, nothing added"),
    NC_ ("repair", "Scraped off"),
    NC_ ("repair", "Drop fill"),
    NC_ ("repair", "Another filler"),
    NC_ ("repair", "Colour touched up"),
    NC_ ("repair", "Whole face recoated"),
  };

  return find_word ("repair", words, G_N_ELEMENTS (words), method);
}

/* --- places --------------------------------------------------------------------------------- */

char *
rake_print_place (const RakeShape *shape, const RakeShape *outline)
{
  RakeBounds box = rake_shape_get_bounds (shape), face = rake_shape_get_bounds (outline);
  g_autofree char *left = rake_print_length ((box.min_x_mm + box.max_x_mm) / 2 - face.min_x_mm, 0);
  g_autofree char *top = rake_print_length ((box.min_y_mm + box.max_y_mm) / 2 - face.min_y_mm, 0);

  /* Translators: a place on a face: two lengths. */
  return g_strdup_printf (_ ("%s from the left, %s from the top"), left, top);
}

char *
rake_print_size (const RakeShape *shape)
{
  RakeBounds box = rake_shape_get_bounds (shape);
  g_autofree char *width = NULL, *height = NULL, *length = NULL;

  if (rake_shape_get_kind (shape) == RAKE_SHAPE_POINT)
    return NULL;
  if (rake_shape_get_kind (shape) == RAKE_SHAPE_LINE)
    {
      length = rake_print_length (rake_shape_get_extent_mm (shape), 0);
      return g_strdup_printf (_ ("%s long"), length);
    }
  width = rake_print_number (rake_units_to_shown (RAKE_MEASURE_LENGTH, box.max_x_mm - box.min_x_mm),
                             rake_units_get ().length_in_inch ? 2 : 0);
  height = rake_print_length (box.max_y_mm - box.min_y_mm, 0);
  return g_strconcat (width, NO_BREAK "×" NO_BREAK, height, NULL);
}

char *
rake_print_seal (const char *seal)
{
  GString *text = g_string_new (NULL);

  for (gsize i = 0; seal[i] != '\0'; i++)
    {
      if (i > 0 && i % 8 == 0)
        g_string_append_c (text, ' ');
      g_string_append_c (text, seal[i]);
    }
  return g_string_free (text, FALSE);
}

void
rake_print_add (GString *line, const char *part)
{
  if (part == NULL || *part == '\0')
    return;
  /* What a person wrote may be a sentence with its stop. */
  if (line->len > 0 && line->str[line->len - 1] == '.')
    g_string_append_c (line, ' ');
  else if (line->len > 0)
    /* Translators: between the parts of a list: "dry, wiped with spirit". */
    g_string_append (line, C_ ("list", ", "));
  g_string_append (line, part);
}

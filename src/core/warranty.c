/* warranty.c - see warranty.h. */
#include <rakelight/warranty.h>

#include <math.h>
#include <string.h>

#include "i18n.h"

G_DEFINE_QUARK (rake-warranty-error-quark, rake_warranty_error)

extern const char rake_warranty_en[];
extern const char rake_warranty_de[];

const char *
rake_warranty_get_template (const char *locale)
{
  return locale != NULL && strncmp (locale, "de", 2) == 0 ? rake_warranty_de : rake_warranty_en;
}

static char *
say_number (double value, const char *unit)
{
  return isnan (value) ? NULL : g_strdup_printf ("%.0f%s", value, unit);
}

/* What stands in a blank: NULL when nobody said it, and FALSE when there is no such blank. The exclusions
 * are none when they were not said. */
static gboolean
find_value (const char *name, const RakeJob *job, const RakeHandOverBody *hand_over,
            const char *date, char **value)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);

  *value = NULL;
  if (g_str_equal (name, "shop"))
    *value = g_strdup (facts != NULL ? facts->shop : NULL);
  else if (g_str_equal (name, "piece"))
    *value = g_strdup (facts == NULL ? NULL : facts->piece != NULL ? facts->piece : facts->name);
  else if (g_str_equal (name, "finish"))
    *value = facts != NULL && facts->finish != RAKE_FINISH_UNSAID
                 ? g_strdup (_ (rake_finish_get_label (facts->finish)))
                 : NULL;
  else if (g_str_equal (name, "months"))
    *value = say_number (hand_over->months, "");
  else if (g_str_equal (name, "date"))
    *value = g_strdup (date);
  else if (g_str_equal (name, "light"))
    *value = g_strdup (hand_over->light);
  else if (g_str_equal (name, "distance"))
    *value = say_number (hand_over->distance_mm, " mm");
  else if (g_str_equal (name, "exclusions"))
    *value = g_strdup (hand_over->exclusions != NULL ? hand_over->exclusions : "");
  else
    return FALSE;
  return TRUE;
}

/* The lines for whoever edits it are left out. */
static char *
take_out_remarks (const char *template_text)
{
  g_auto (GStrv) lines = g_strsplit (template_text, "\n", -1);
  GString *text = g_string_new (NULL);

  for (guint i = 0; lines[i] != NULL; i++)
    if (lines[i][0] != '#')
      g_string_append_printf (text, "%s\n", g_strchomp (lines[i]));
  return g_strstrip (g_string_free (text, FALSE));
}

char *
rake_warranty_fill (const char *template_text, const RakeJob *job,
                    const RakeHandOverBody *hand_over, const char *date, guint *n_open,
                    GError **error)
{
  g_autofree char *plain = take_out_remarks (template_text);
  g_autoptr (GString) text = g_string_new (NULL);
  guint n_blank = 0;

  for (const char *at = plain, *brace; *at != '\0'; at = brace)
    {
      const char *end;
      g_autofree char *name = NULL, *value = NULL;

      brace = at + strcspn (at, "{");
      g_string_append_len (text, at, brace - at);
      if (*brace == '\0')
        break;
      end = strchr (brace, '}');
      name = end != NULL ? g_strndup (brace + 1, (gsize) (end - brace - 1)) : NULL;
      if (name == NULL || !find_value (name, job, hand_over, date, &value))
        {
          g_set_error (error, RAKE_WARRANTY_ERROR, RAKE_WARRANTY_ERROR_TEMPLATE,
                       _ ("“%.20s” in the template is no blank; take {shop}, {piece}, {finish}, "
                          "{months}, {date}, {light}, {distance} or {exclusions}"),
                       brace);
          return NULL;
        }
      n_blank += value == NULL;
      g_string_append (text, value != NULL ? value : "__________");
      brace = end + 1;
    }
  if (n_open != NULL)
    *n_open = n_blank;
  return g_strstrip (g_string_free (g_steal_pointer (&text), FALSE));
}

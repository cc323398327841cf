/* defect-list.c - which of a job's defects are wanted, and the words they are told in. */
#include "defect-list.h"
#include "say.h"

#include <math.h>
#include <rakelight/units.h>
#include <string.h>

#include "words.h"

#define MOST_COST 1e9

const char *const rake_severity_words[] = {
  N_ ("Seen only under a low lamp."),
  N_ ("Seen when the piece is turned in the light."),
  N_ ("Seen at the agreed distance."),
  N_ ("Seen from any side."),
  NULL,
};

int
rake_severity_find (const char *text)
{
  for (int i = 0; text && rake_severity_words[i]; i++)
    if (g_str_equal (text, rake_severity_words[i]) ||
        g_str_equal (text, _ (rake_severity_words[i])))
      return i;
  return -1;
}

/* --- choosing ---------------------------------------------------------------------------------- */

static const char *
get_severity (const RakeDefect *defect)
{
  const char *severity = defect->told->defect.severity;

  return severity ? severity : "";
}

static gboolean
is_wanted (const RakeDefect *defect, const RakeDefectsWanted *wanted)
{
  gboolean is_open = defect->told->defect.standing == RAKE_STANDING_OPEN;

  if ((wanted->standing == RAKE_DEFECTS_OPEN && !is_open) ||
      (wanted->standing == RAKE_DEFECTS_CLOSED && is_open))
    return FALSE;
  if (!rake_id_is_nil (wanted->face) &&
      (!defect->face || !rake_id_equal (defect->face->id, wanted->face)))
    return FALSE;
  return !wanted->severity || g_str_equal (wanted->severity, get_severity (defect));
}

/* What was not said comes after what was said in one's own words. */
static int
rank_severity (const char *severity)
{
  int found = rake_severity_find (severity);

  return *severity == '\0' ? -2 : found;
}

static int
compare_severities (const char *one, const char *other)
{
  int difference = rank_severity (other) - rank_severity (one);

  return difference != 0 ? difference : g_utf8_collate (one, other);
}

static int
compare_numbers (double one, double other)
{
  if (isnan (one) || isnan (other))
    return isnan (one) - isnan (other);
  return (one > other) - (one < other);
}

/* As the faces and their zones are listed; what has no place any more comes last. */
static guint
find_face (const RakeJob *job, const RakeDefect *defect)
{
  for (guint i = 0; defect->face && i < rake_job_get_n_faces (job); i++)
    if (rake_job_get_face (job, i) == defect->face)
      return i;
  return G_MAXUINT;
}

static guint
find_zone (const RakeDefect *defect)
{
  guint index = G_MAXUINT;

  if (defect->zone)
    g_ptr_array_find (defect->zone->face->zones, defect->zone, &index);
  return index;
}

static int
compare_indices (guint one, guint other)
{
  return (one > other) - (one < other);
}

static int
compare_places (const RakeJob *job, const RakeDefect *one, const RakeDefect *other)
{
  int difference = compare_indices (find_face (job, one), find_face (job, other));

  if (difference == 0)
    difference = compare_indices (find_zone (one), find_zone (other));
  if (difference == 0)
    difference = compare_numbers (one->y_mm, other->y_mm);
  return difference != 0 ? difference : compare_numbers (one->x_mm, other->x_mm);
}

static int
compare (const RakeJob *job, const RakeDefect *one, const RakeDefect *other, RakeDefectsOrder order)
{
  switch (order)
    {
    case RAKE_DEFECTS_BY_SEVERITY:
      return compare_severities (get_severity (one), get_severity (other));
    case RAKE_DEFECTS_BY_PLACE:
      return compare_places (job, one, other);
    case RAKE_DEFECTS_BY_FOUND:
    default:
      return (one->found_ms < other->found_ms) - (one->found_ms > other->found_ms);
    }
}

/* By insertion: it keeps what is alike in order, and a list that people read is short. */
static void
insert (const RakeJob *job, GPtrArray *chosen, RakeDefect *defect, RakeDefectsOrder order)
{
  guint at = chosen->len;

  while (at > 0 && compare (job, chosen->pdata[at - 1], defect, order) > 0)
    at--;
  g_ptr_array_insert (chosen, (int) at, defect);
}

GPtrArray *
rake_defects_choose (const RakeJob *job, const RakeDefectsWanted *wanted)
{
  g_autoptr (GPtrArray) all = rake_job_list_defects (job);
  GPtrArray *chosen = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_defect_free);

  for (guint i = 0; i < all->len; i++)
    {
      RakeDefect *defect = all->pdata[i];

      if (!is_wanted (defect, wanted))
        continue;
      all->pdata[i] = NULL;
      insert (job, chosen, defect, wanted->order);
    }
  return chosen;
}

GPtrArray *
rake_defects_list_severities (const RakeJob *job)
{
  g_autoptr (GPtrArray) all = rake_job_list_defects (job);
  GPtrArray *said = g_ptr_array_new ();

  for (guint i = 0; i < all->len; i++)
    {
      const char *severity = get_severity (all->pdata[i]);
      guint at = said->len;

      while (at > 0 && compare_severities (said->pdata[at - 1], severity) > 0)
        at--;
      if (at == 0 || !g_str_equal (said->pdata[at - 1], severity))
        g_ptr_array_insert (said, (int) at, (gpointer) severity);
    }
  return said;
}

RakeId
rake_defects_find_of_mark (const RakeJob *job, RakeId mark)
{
  g_autoptr (GPtrArray) all = rake_job_list_defects (job);

  for (guint i = 0; i < all->len; i++)
    {
      const RakeDefect *defect = all->pdata[i];

      if (defect->mark && rake_id_equal (defect->mark->entry->id, mark))
        return defect->id;
    }
  return RAKE_ID_NIL;
}

GPtrArray *
rake_defects_list_of_zone (const RakeJob *job, const RakeZone *zone)
{
  GPtrArray *defects = rake_job_list_defects (job);

  for (guint i = defects->len; i-- > 0;)
    {
      const RakeDefect *defect = defects->pdata[i];

      if (!defect->zone || !rake_id_equal (defect->zone->id, zone->id))
        g_ptr_array_remove_index (defects, i);
    }
  return defects;
}

/* --- words ------------------------------------------------------------------------------------- */

static void
add_part (GString *text, char *part)
{
  if (part && *part)
    g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", part);
  g_free (part);
}

char *
rake_say_found (const RakeJob *job, const RakeDefect *defect, gint64 now_ms)
{
  GString *text = g_string_new (NULL);
  const RakeEntry *when = defect->look ? defect->look : defect->entry;
  g_autofree char *day = defect->pass ? rake_say_day (defect->pass) : NULL;
  g_autofree char *lamp =
      isfinite (defect->lamp_deg) ? rake_say_direction (defect->lamp_deg) : NULL;

  add_part (text, rake_say_when (when, now_ms));
  if (defect->stage)
    /* Translators: %s is a grit or another step of the schedule: "at P800". */
    add_part (text, g_strdup_printf (C_ ("found", "at %s"), rake_say_grade (defect->stage)));
  if (day)
    /* Translators: %s is a day: "after the pass of Tue 3 Nov". */
    add_part (text, g_strdup_printf (C_ ("found", "after the pass of %s"), day));
  if (lamp)
    add_part (text, g_strdup_printf (C_ ("found", "lamp at %s"), lamp));
  return g_string_free (text, FALSE);
}

char *
rake_say_place (const RakeDefect *defect)
{
  const char *zone = defect->zone ? defect->zone->name : _ ("a zone that is gone");
  g_autofree char *gap =
      isfinite (defect->from_edge_mm) ? rake_say_length (defect->from_edge_mm) : NULL;
  g_autofree char *where = defect->face
                               /* Translators: a face of the piece, and a zone on it. */
                               ? g_strdup_printf (C_ ("place", "%s, %s"), defect->face->name, zone)
                               : g_strdup (zone);

  return gap ? g_strdup_printf (C_ ("place", "%s; %s from the edge"), where, gap)
             : g_steal_pointer (&where);
}

char *
rake_say_size (const RakeDefect *defect)
{
  g_autofree char *length = NULL;
  g_autofree char *area = NULL;

  if (!isfinite (defect->length_mm))
    return NULL;
  if (defect->length_mm <= 0)
    return g_strdup (C_ ("size", "a point"));
  length = rake_say_length (defect->length_mm);
  if (!(defect->area_mm2 > 0))
    return g_strdup_printf (C_ ("size", "%s long"), length);
  area = rake_say_area (defect->area_mm2);
  return g_strdup_printf (C_ ("size", "%s across, %s"), length, area);
}

/* --- cost -------------------------------------------------------------------------------------- */

char *
rake_say_cost (double cost, const char *currency)
{
  return isfinite (cost) && currency ? g_strdup_printf ("%.2f %s", cost, currency) : NULL;
}

static gboolean
is_currency (const char *word)
{
  return strlen (word) == 3 && g_ascii_isalpha (word[0]) && g_ascii_isalpha (word[1]) &&
         g_ascii_isalpha (word[2]);
}

static gboolean
read_amount (const char *text, double *cost)
{
  g_autofree char *pointed = g_strdelimit (g_strdup (text), ",", '.');
  double value = NAN;
  char *end = pointed;

  /* Nothing but digits and one point: no exponents, no hexadecimal. */
  if (g_ascii_isdigit (*pointed) && strspn (pointed, "0123456789.") == strlen (pointed))
    value = g_ascii_strtod (pointed, &end);
  if (!(value >= 0 && value <= MOST_COST) || *end != '\0')
    return FALSE;
  *cost = value;
  return TRUE;
}

gboolean
rake_read_cost (const char *text, const char *usual, double *cost, char **currency, char **sentence)
{
  g_autofree char *stripped = g_strstrip (g_strdup (text));
  g_auto (GStrv) words = g_strsplit (stripped, " ", -1);
  guint n_words = g_strv_length (words);
  guint at = n_words == 2 && is_currency (words[0]) ? 0 : 1;

  *cost = NAN;
  *currency = NULL;
  if (*stripped == '\0')
    return TRUE;
  if (n_words == 1 && usual && read_amount (words[0], cost))
    *currency = g_strdup (usual);
  else if (n_words == 2 && is_currency (words[at]) && read_amount (words[1 - at], cost))
    *currency = g_ascii_strup (words[at], 3);
  if (!*currency)
    *sentence = g_strdup_printf (_ ("“%s” is no cost; write it as 12.50 EUR."), stripped);
  return *currency != NULL;
}

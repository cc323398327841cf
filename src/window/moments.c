/* moments.c - a logbook as a row of moments for the timeline. */
#include "moments.h"

#include <math.h>

static RakeMomentKind
find_kind (const RakeEntry *entry)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_LOOK:
    case RAKE_ENTRY_STATE:
    case RAKE_ENTRY_REVISIT:
      return RAKE_MOMENT_LOOK;
    case RAKE_ENTRY_PASS:
      return RAKE_MOMENT_PASS;
    case RAKE_ENTRY_MARK:
      return RAKE_MOMENT_MARK;
    case RAKE_ENTRY_COAT:
      return RAKE_MOMENT_COAT;
    case RAKE_ENTRY_BEGIN_STAGE:
      return RAKE_MOMENT_STAGE;
    case RAKE_ENTRY_ACCEPTANCE:
      return RAKE_MOMENT_ACCEPTANCE;
    case RAKE_ENTRY_REPAIR:
      return RAKE_MOMENT_REPAIR;
    default:
      return RAKE_MOMENT_OTHER;
    }
}

/* A state says more than the look it was seen in, so the later of two alike tells the gesture. */
static void
add_to_moment (RakeMoment *moment, const RakeEntry *entry, gboolean is_struck)
{
  RakeMomentKind kind = find_kind (entry);

  if (kind >= moment->kind)
    {
      moment->kind = kind;
      moment->entry = entry;
    }
  moment->is_struck = moment->is_struck && is_struck;
}

GArray *
rake_moments_take (const RakeJob *job)
{
  GArray *moments = g_array_new (FALSE, FALSE, sizeof (RakeMoment));
  RakeId gesture = RAKE_ID_NIL;

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      gboolean is_struck = rake_job_is_struck (job, entry->id);

      if (moments->len == 0 || !rake_id_equal (entry->gesture, gesture))
        {
          RakeMoment moment = { entry, 0, RAKE_MOMENT_OTHER, TRUE };

          g_array_append_val (moments, moment);
          gesture = entry->gesture;
        }
      add_to_moment (&g_array_index (moments, RakeMoment, moments->len - 1), entry, is_struck);
      g_array_index (moments, RakeMoment, moments->len - 1).n_entries = i + 1;
    }
  return moments;
}

guint
rake_moments_find (GArray *moments, guint n_entries)
{
  guint low = 0, high = moments->len;

  while (low < high)
    {
      guint middle = low + (high - low) / 2;

      if (g_array_index (moments, RakeMoment, middle).n_entries <= n_entries)
        low = middle + 1;
      else
        high = middle;
    }
  return low > 0 ? low - 1 : 0;
}

static double
find_apart (GArray *moments, double width_px, double most_apart_px)
{
  return moments->len > 1 ? MIN (most_apart_px, width_px / (moments->len - 1)) : 0;
}

double
rake_moments_get_x (GArray *moments, double start_px, double width_px, double most_apart_px,
                    guint index)
{
  return start_px + index * find_apart (moments, width_px, most_apart_px);
}

guint
rake_moments_find_at (GArray *moments, double start_px, double width_px, double most_apart_px,
                      double x_px)
{
  double apart_px = find_apart (moments, width_px, most_apart_px);
  double index = apart_px > 0 ? round ((x_px - start_px) / apart_px) : 0;

  return moments->len ? (guint) CLAMP (index, 0, moments->len - 1) : 0;
}

/* What stands outweighs what was struck out, however heavy that was. */
static void
add_to_cluster (RakeCluster *cluster, const RakeMoment *moment)
{
  if (cluster->n_moments == 0 || (cluster->is_struck && !moment->is_struck) ||
      (cluster->is_struck == moment->is_struck && moment->kind > cluster->kind))
    cluster->kind = moment->kind;
  cluster->is_struck = (cluster->n_moments == 0 || cluster->is_struck) && moment->is_struck;
  cluster->n_moments++;
}

GArray *
rake_moments_lay_out (GArray *moments, double start_px, double width_px, double least_apart_px,
                      double most_apart_px)
{
  GArray *clusters = g_array_new (FALSE, FALSE, sizeof (RakeCluster));
  double apart_px = find_apart (moments, width_px, most_apart_px);
  gboolean is_crowded = apart_px < least_apart_px;
  gint64 place = -1;

  for (guint i = 0; i < moments->len; i++)
    {
      gint64 wanted = is_crowded ? (gint64) floor (i * apart_px / least_apart_px) : (gint64) i;

      if (wanted != place)
        {
          RakeCluster cluster = { .first = i };

          cluster.x_px =
              start_px + (is_crowded ? ((double) wanted + 0.5) * least_apart_px : i * apart_px);
          g_array_append_val (clusters, cluster);
          place = wanted;
        }
      add_to_cluster (&g_array_index (clusters, RakeCluster, clusters->len - 1),
                      &g_array_index (moments, RakeMoment, i));
    }
  return clusters;
}

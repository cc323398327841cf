/* paper.c - what a job's paper has done, and when to change it. */
#include <rakelight/paper.h>

#include "facts-private.h"
#include "i18n.h"

#include <math.h>
#include <string.h>

/* Less than a tenth of what was left went in the last pass: the paper is worn (D13). */
#define STALLED_DROP 0.1

/* Two ways to write one grade are one paper. */
static gboolean
is_same_grade (const char *a, const char *b)
{
  g_autofree char *one = g_utf8_casefold (a, -1), *other = g_utf8_casefold (b, -1);

  return strcmp (one, other) == 0;
}

static RakePaperUse *
find_use (GArray *uses, const char *grade)
{
  for (guint i = 0; i < uses->len; i++)
    if (is_same_grade (g_array_index (uses, RakePaperUse, i).grade, grade))
      return &g_array_index (uses, RakePaperUse, i);
  return NULL;
}

static RakePaperUse *
get_use (GArray *uses, const RakeStage *stage)
{
  RakePaperUse use = { .grade = stage->grade, .passes_per_sheet = NAN };
  RakePaperUse *known = find_use (uses, stage->grade);

  if (known != NULL)
    return known;
  g_array_append_val (uses, use);
  return &g_array_index (uses, RakePaperUse, uses->len - 1);
}

static double
get_area_mm2 (const RakeJob *job, const RakePassBody *pass)
{
  double area_mm2 = 0;

  for (guint i = 0; i < pass->zones->len; i++)
    {
      const RakeZone *zone = rake_job_find_zone (job, g_array_index (pass->zones, RakeId, i));

      /* A zone that was divided since is no longer there to be measured. */
      area_mm2 += zone != NULL ? rake_shape_get_area_mm2 (zone->shape) : 0;
    }
  return area_mm2;
}

/* A pass with fresh paper begins a sheet, and so does the first one, whatever was said. */
static void
add_pass (RakePaperUse *use, const RakeJob *job, const RakePassBody *pass)
{
  if (use->n_sheets == 0 || pass->paper == RAKE_PAPER_FRESH)
    {
      /* Of the sheets before this one: their passes are all there were so far. */
      if (use->n_sheets > 0)
        use->passes_per_sheet = (double) use->n_passes / use->n_sheets;
      use->n_sheets++;
      use->n_passes_on_sheet = 0;
      use->n_since_wiped = 0;
      use->area_on_sheet_mm2 = 0;
    }
  else if (pass->paper == RAKE_PAPER_WIPED)
    use->n_since_wiped = 0;
  use->n_passes++;
  use->n_passes_on_sheet++;
  use->n_since_wiped++;
  use->area_on_sheet_mm2 += get_area_mm2 (job, pass);
  use->is_loaded = pass->paper == RAKE_PAPER_LOADED;
}

/* Coarsest first, as the stages of the faces come; what no schedule has any more, last. */
static int
compare_uses (gconstpointer a, gconstpointer b, gpointer positions)
{
  const RakePaperUse *one = a, *other = b;
  guint first = GPOINTER_TO_UINT (g_hash_table_lookup (positions, one->grade));
  guint second = GPOINTER_TO_UINT (g_hash_table_lookup (positions, other->grade));

  return first < second ? -1 : first > second;
}

GArray *
rake_paper_take (const RakeJob *job)
{
  GArray *uses = g_array_new (FALSE, FALSE, sizeof (RakePaperUse));
  g_autoptr (GHashTable) positions = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      const RakeStage *stage;
      RakePaperUse *use;

      if (entry->kind != RAKE_ENTRY_PASS || rake_job_is_struck (job, entry->id) ||
          rake_job_is_void (job, entry->id))
        continue;
      stage = rake_job_find_stage (job, entry->pass.stage);
      if (stage == NULL || !rake_stage_is_sanding (stage) || *stage->grade == '\0')
        continue;
      use = get_use (uses, stage);
      add_pass (use, job, &entry->pass);
      g_hash_table_insert (positions, (gpointer) use->grade, GUINT_TO_POINTER (stage->position));
    }
  g_array_sort_with_data (uses, compare_uses, positions);
  return uses;
}

static gboolean
is_known (const RakeFacts *facts, RakeFact fact)
{
  return facts->knowledge[fact] == RAKE_KNOWN;
}

/* As the rule does it: little went, and there is more left than may be. */
static gboolean
is_stalled (const RakeFacts *facts)
{
  gboolean is_over_share =
      is_known (facts, RAKE_FACT_LOW_SPOT_FRACTION) && is_known (facts, RAKE_FACT_LOW_SPOT_LIMIT) &&
      facts->value[RAKE_FACT_LOW_SPOT_FRACTION] > facts->value[RAKE_FACT_LOW_SPOT_LIMIT];
  gboolean is_over_island =
      is_known (facts, RAKE_FACT_LARGEST_ISLAND_MM) &&
      is_known (facts, RAKE_FACT_ISLAND_LIMIT_MM) &&
      facts->value[RAKE_FACT_LARGEST_ISLAND_MM] > facts->value[RAKE_FACT_ISLAND_LIMIT_MM];

  return is_known (facts, RAKE_FACT_LOW_SPOT_DROP_FRACTION) &&
         facts->value[RAKE_FACT_LOW_SPOT_DROP_FRACTION] < STALLED_DROP &&
         (is_over_share || is_over_island);
}

char *
rake_paper_advise (const RakeJob *job, const RakeZone *zone, const RakeFacts *facts)
{
  g_autoptr (GArray) uses = NULL;
  const RakePaperUse *use;

  if (zone->stage == NULL || !rake_stage_is_sanding (zone->stage))
    return NULL;
  uses = rake_paper_take (job);
  use = find_use (uses, zone->stage->grade);
  if (use == NULL)
    return NULL;
  if (use->is_loaded)
    return g_strdup_printf (_ ("The %s paper loaded: wipe it or take a fresh sheet before the next "
                               "pass"),
                            use->grade);
  if (is_stalled (facts) && use->n_passes_on_sheet > 1)
    return g_strdup_printf (_ ("The last pass took hardly anything off: take a fresh sheet of %s "
                               "before the next one"),
                            use->grade);
  if (isfinite (use->passes_per_sheet) && use->n_passes_on_sheet >= use->passes_per_sheet)
    return g_strdup_printf (
        g_dngettext (
            RAKE_GETTEXT_DOMAIN,
            "%u pass with this sheet of %s is as much as the ones before it did: take a "
            "fresh one",
            "%u passes with this sheet of %s are as many as the ones before it did: take a "
            "fresh one",
            use->n_passes_on_sheet),
        use->n_passes_on_sheet, use->grade);
  return NULL;
}

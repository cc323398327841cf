/* pass-history.c - how much of a zone was still glossy after each pass. */
#include "pass-history.h"

#include <math.h>

/* What the looks between two passes said. */
typedef struct
{
  const RakeZone *zone;
  GArray *records;
  GHashTable *proper;   /* const RakeId * of proper looks since the last pass */
  GPtrArray *patches;   /* const RakeEntry *: low spots marked in them and not gone again */
  double said_fraction; /* by the latest state; NaN: none */
  double said_island_mm;
  gboolean says_whole;  /* low spots, but neither how much nor where */
  gboolean has_spoken;  /* some proper look said something */
} Walk;

static RakePassRecord *
get_last (Walk *walk)
{
  return &g_array_index (walk->records, RakePassRecord, walk->records->len - 1);
}

static gboolean
is_proper (const Walk *walk, const RakeLookBody *look)
{
  if (look->surface != RAKE_SURFACE_DRY)
    return FALSE;
  return get_last ((Walk *) walk)->pass == NULL ||
         (look->wiped_with != RAKE_WIPE_UNSAID && look->wiped_with != RAKE_WIPE_NOTHING);
}

static double
measure_patches (const Walk *walk)
{
  g_autoptr (GPtrArray) shapes = g_ptr_array_new ();
  g_autoptr (RakeShape) all = NULL;
  g_autoptr (RakeShape) inside = NULL;
  double area_mm2 = rake_shape_get_area_mm2 (walk->zone->shape);

  for (guint i = 0; i < walk->patches->len; i++)
    {
      const RakeEntry *patch = walk->patches->pdata[i];

      if (rake_shape_get_kind (patch->mark.shape) == RAKE_SHAPE_AREA)
        g_ptr_array_add (shapes, patch->mark.shape);
    }
  if (shapes->len == 0 || area_mm2 <= 0)
    return 0;
  all = rake_shape_union_all ((RakeShape *const *) shapes->pdata, shapes->len, NULL);
  inside = all ? rake_shape_intersection (all, walk->zone->shape, NULL) : NULL;
  return inside ? MIN (1, rake_shape_get_area_mm2 (inside) / area_mm2) : 0;
}

static double
find_largest_patch_mm (const Walk *walk)
{
  double largest_mm = 0;

  for (guint i = 0; i < walk->patches->len; i++)
    largest_mm =
        MAX (largest_mm,
             rake_shape_get_extent_mm (((const RakeEntry *) walk->patches->pdata[i])->mark.shape));
  return largest_mm;
}

/* Closes the account of what was seen since the last pass. */
static void
settle (Walk *walk)
{
  RakePassRecord *record = get_last (walk);
  double painted_fraction = measure_patches (walk);

  if (walk->has_spoken)
    {
      double said_fraction = isfinite (walk->said_fraction) ? walk->said_fraction : 0;
      double said_island_mm = isfinite (walk->said_island_mm) ? walk->said_island_mm : 0;
      double island_mm = MAX (said_island_mm, find_largest_patch_mm (walk));

      if (walk->says_whole && painted_fraction <= 0)
        said_fraction = 1;
      record->share_fraction = MAX (said_fraction, painted_fraction);
      if (island_mm > 0 || record->share_fraction <= 0)
        record->largest_island_mm = island_mm;
    }
  g_hash_table_remove_all (walk->proper);
  g_ptr_array_set_size (walk->patches, 0);
  walk->said_fraction = walk->said_island_mm = NAN;
  walk->says_whole = walk->has_spoken = FALSE;
}

static void
add_record (Walk *walk, const RakeEntry *pass)
{
  RakePassRecord record = { pass, 0, NAN, NAN };

  if (pass)
    {
      record.number = 1;
      for (guint i = 0; i < walk->records->len; i++)
        {
          const RakePassRecord *before = &g_array_index (walk->records, RakePassRecord, i);

          if (before->pass && rake_id_equal (before->pass->pass.stage, pass->pass.stage))
            record.number++;
        }
    }
  g_array_append_val (walk->records, record);
}

static void
hear_state (Walk *walk, const RakeStateBody *state)
{
  if (!g_hash_table_contains (walk->proper, &state->look))
    return;
  walk->has_spoken = TRUE;
  walk->says_whole = state->state == RAKE_STATE_LOW_SPOT && !isfinite (state->low_spot_fraction);
  walk->said_fraction = state->state == RAKE_STATE_LOW_SPOT ? state->low_spot_fraction : 0;
  walk->said_island_mm = state->state == RAKE_STATE_LOW_SPOT ? state->largest_island_mm : 0;
}

static gboolean
is_of_a_state (RakeMarkKind mark)
{
  return mark >= RAKE_MARK_LOW_SPOT && mark <= RAKE_MARK_SAND_THROUGH;
}

static void
hear_mark (Walk *walk, const RakeEntry *entry)
{
  if (!g_hash_table_contains (walk->proper, &entry->mark.look) || !is_of_a_state (entry->mark.mark))
    return;
  walk->has_spoken = TRUE;
  if (entry->mark.mark == RAKE_MARK_LOW_SPOT)
    g_ptr_array_add (walk->patches, (gpointer) entry);
}

static const RakeMark *
find_mark (const RakeZone *zone, RakeId id)
{
  for (guint i = 0; i < zone->marks->len; i++)
    if (rake_id_equal (((const RakeMark *) zone->marks->pdata[i])->entry->id, id))
      return zone->marks->pdata[i];
  return NULL;
}

/* A spot from before that was seen again is as good as marked anew. */
static void
hear_revisit (Walk *walk, const RakeRevisitBody *revisit)
{
  const RakeMark *mark = find_mark (walk->zone, revisit->mark);

  for (guint i = walk->patches->len; i-- > 0;)
    if (rake_id_equal (((const RakeEntry *) walk->patches->pdata[i])->id, revisit->mark))
      g_ptr_array_remove_index (walk->patches, i);
  if (revisit->outcome != RAKE_OUTCOME_STILL_THERE || !mark || mark->kind != RAKE_MARK_LOW_SPOT ||
      !g_hash_table_contains (walk->proper, &revisit->look))
    return;
  g_ptr_array_add (walk->patches, (gpointer) mark->entry);
  walk->has_spoken = TRUE;
}

static void
hear (Walk *walk, const RakeEntry *entry)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_PASS:
      settle (walk);
      add_record (walk, entry);
      break;
    case RAKE_ENTRY_COAT: /* another film: what was before is not its history */
      settle (walk);
      g_array_set_size (walk->records, 0);
      add_record (walk, NULL);
      break;
    case RAKE_ENTRY_LOOK:
      if (is_proper (walk, &entry->look))
        g_hash_table_add (walk->proper, (gpointer) &entry->id);
      break;
    case RAKE_ENTRY_STATE:
      hear_state (walk, &entry->state);
      break;
    case RAKE_ENTRY_MARK:
      hear_mark (walk, entry);
      break;
    case RAKE_ENTRY_REVISIT:
      hear_revisit (walk, &entry->revisit);
      break;
    default:
      break;
    }
}

GArray *
rake_pass_history_take (const RakeZone *zone)
{
  g_autoptr (GHashTable) proper = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);
  g_autoptr (GPtrArray) patches = g_ptr_array_new ();
  Walk walk = { .zone = zone,
                .records = g_array_new (FALSE, FALSE, sizeof (RakePassRecord)),
                .proper = proper,
                .patches = patches,
                .said_fraction = NAN,
                .said_island_mm = NAN };

  add_record (&walk, NULL);
  for (guint i = 0; i < zone->history->len; i++)
    hear (&walk, zone->history->pdata[i]);
  settle (&walk);
  return walk.records;
}

/* facts-patches.c - painted patches measured: their area within the zone, and their islands.
 *
 * Uniting five brush strokes costs about half a millisecond, and a zone with its history has several
 * such sets that are asked for again at every judgement, while only the newest ever changes. So the
 * sets measured last are remembered. A shape never changes, and what is remembered keeps its shapes,
 * so a set is known again by its addresses. */
#include "facts-private.h"

#include <math.h>
#include <string.h>

/* What a mark without an area stands for: the smallest spot a fingertip points at. */
#define POINT_SPOT_MM 1.0

#define N_REMEMBERED 128

typedef struct
{
  GPtrArray *shapes; /* RakeShape *, owned, the zone's last; NULL: nothing remembered yet */
  double limit_mm;
  RakePatches patches;
} Memory;

static GMutex memories_lock;
static Memory memories[N_REMEMBERED];
static guint next_memory;

/* --- measuring --------------------------------------------------------------------------------------- */

static void
add_island (RakePatches *patches, double extent_mm, double limit_mm)
{
  patches->island_mm = MAX (patches->island_mm, extent_mm);
  patches->n++;
  if (extent_mm > limit_mm)
    patches->n_over_limit++;
}

/* A point, or a line: nobody measured it, but it is not nothing. */
static void
add_spot_without_area (RakePatches *patches, const RakeShape *shape, double limit_mm)
{
  double extent_mm = MAX (rake_shape_get_extent_mm (shape), POINT_SPOT_MM);

  patches->area_mm2 += MAX (rake_shape_get_length_mm (shape), POINT_SPOT_MM) * POINT_SPOT_MM;
  add_island (patches, extent_mm, limit_mm);
}

/* Painted patches overlap each other and the zone's border, so they are united and clipped. When the
 * arithmetic fails they count as they are: rather too much than too little. */
static void
add_areas (RakePatches *patches, RakeShape *const *areas, guint n_areas, const RakeShape *zone,
           double limit_mm)
{
  g_autoptr (RakeShape) all =
      n_areas == 1 ? rake_shape_ref (areas[0]) : rake_shape_union_all (areas, n_areas, NULL);
  g_autoptr (RakeShape) inside = NULL;
  g_autoptr (GPtrArray) parts = NULL;
  g_autoptr (GError) error = NULL;

  if (all == NULL)
    {
      for (guint i = 0; i < n_areas; i++)
        {
          patches->area_mm2 += rake_shape_get_area_mm2 (areas[i]);
          add_island (patches, rake_shape_get_extent_mm (areas[i]), limit_mm);
        }
      return;
    }
  inside = rake_shape_intersection (all, zone, &error);
  if (inside == NULL && g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY))
    return;
  if (inside == NULL)
    inside = rake_shape_ref (all);
  patches->area_mm2 += rake_shape_get_area_mm2 (inside);
  parts = rake_shape_get_parts (inside);
  for (guint i = 0; i < parts->len; i++)
    add_island (patches, rake_shape_get_extent_mm (parts->pdata[i]), limit_mm);
}

static RakePatches
measure (GPtrArray *shapes, const RakeShape *zone, double limit_mm)
{
  RakePatches patches = { 0 };
  g_autoptr (GPtrArray) areas = g_ptr_array_new ();

  for (guint i = 0; i < shapes->len; i++)
    if (rake_shape_get_kind (shapes->pdata[i]) == RAKE_SHAPE_AREA)
      g_ptr_array_add (areas, shapes->pdata[i]);
    else
      add_spot_without_area (&patches, shapes->pdata[i], limit_mm);
  if (areas->len > 0)
    add_areas (&patches, (RakeShape *const *) areas->pdata, areas->len, zone, limit_mm);
  return patches;
}

/* --- remembering ------------------------------------------------------------------------------------- */

static gboolean
is_of (const Memory *memory, GPtrArray *shapes, const RakeShape *zone, double limit_mm)
{
  return memory->shapes != NULL && memory->shapes->len == shapes->len + 1 &&
         memory->shapes->pdata[shapes->len] == zone &&
         memcmp (&memory->limit_mm, &limit_mm, sizeof limit_mm) == 0 &&
         memcmp (memory->shapes->pdata, shapes->pdata, shapes->len * sizeof (gpointer)) == 0;
}

static gboolean
recall (GPtrArray *shapes, const RakeShape *zone, double limit_mm, RakePatches *patches)
{
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&memories_lock);

  for (guint i = 0; i < N_REMEMBERED; i++)
    if (is_of (&memories[i], shapes, zone, limit_mm))
      {
        *patches = memories[i].patches;
        return TRUE;
      }
  return FALSE;
}

static void
remember (GPtrArray *shapes, const RakeShape *zone, double limit_mm, const RakePatches *patches)
{
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&memories_lock);
  Memory *memory = &memories[next_memory++ % N_REMEMBERED];

  g_clear_pointer (&memory->shapes, g_ptr_array_unref);
  memory->shapes = g_ptr_array_new_full (shapes->len + 1, (GDestroyNotify) rake_shape_unref);
  for (guint i = 0; i < shapes->len; i++)
    g_ptr_array_add (memory->shapes, rake_shape_ref (shapes->pdata[i]));
  g_ptr_array_add (memory->shapes, rake_shape_ref ((RakeShape *) zone));
  memory->limit_mm = limit_mm;
  memory->patches = *patches;
}

RakePatches
rake_patches_measure (GPtrArray *shapes, const RakeShape *zone, double limit_mm)
{
  RakePatches patches = { 0 };

  if (shapes->len == 0 || recall (shapes, zone, limit_mm, &patches))
    return patches;
  patches = measure (shapes, zone, limit_mm);
  remember (shapes, zone, limit_mm, &patches);
  return patches;
}

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

/* Some ten sets a zone, for a face of 500 zones: about a kilobyte each. */
#define N_REMEMBERED 5000

typedef struct
{
  GPtrArray *shapes; /* RakeShape *, the zone's last; owned where it is remembered */
  double limit_mm;
  RakePatches patches;
} Memory;

static GMutex memories_lock;
static GHashTable *memories;           /* Memory *, itself the key */
static Memory *in_order[N_REMEMBERED]; /* the same, to let go of the oldest */
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

static guint
hash_memory (gconstpointer key)
{
  const Memory *memory = key;
  guint hash = g_double_hash (&memory->limit_mm);

  for (guint i = 0; i < memory->shapes->len; i++)
    hash = hash * 31 + g_direct_hash (memory->shapes->pdata[i]);
  return hash;
}

static gboolean
are_same (gconstpointer a, gconstpointer b)
{
  const Memory *one = a, *other = b;

  return one->shapes->len == other->shapes->len &&
         memcmp (&one->limit_mm, &other->limit_mm, sizeof one->limit_mm) == 0 &&
         memcmp (one->shapes->pdata, other->shapes->pdata, one->shapes->len * sizeof (gpointer)) ==
             0;
}

static void
memory_free (gpointer data)
{
  Memory *memory = data;

  g_ptr_array_unref (memory->shapes);
  g_free (memory);
}

static gboolean
recall (const Memory *asked, RakePatches *patches)
{
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&memories_lock);
  const Memory *memory = memories != NULL ? g_hash_table_lookup (memories, asked) : NULL;

  if (memory != NULL)
    *patches = memory->patches;
  return memory != NULL;
}

static void
remember (const Memory *asked)
{
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&memories_lock);
  Memory **place = &in_order[next_memory % N_REMEMBERED];
  Memory *memory;

  if (memories == NULL)
    memories = g_hash_table_new_full (hash_memory, are_same, memory_free, NULL);
  /* Another thread may have measured the same meanwhile. */
  if (g_hash_table_contains (memories, asked))
    return;
  if (*place != NULL)
    g_hash_table_remove (memories, *place);
  memory = g_new (Memory, 1);
  *memory = *asked;
  memory->shapes = g_ptr_array_new_full (asked->shapes->len, (GDestroyNotify) rake_shape_unref);
  for (guint i = 0; i < asked->shapes->len; i++)
    g_ptr_array_add (memory->shapes, rake_shape_ref (asked->shapes->pdata[i]));
  g_hash_table_add (memories, memory);
  *place = memory;
  next_memory++;
}

RakePatches
rake_patches_measure (GPtrArray *shapes, const RakeShape *zone, double limit_mm)
{
  g_autoptr (GPtrArray) key = NULL;
  Memory asked = { .limit_mm = limit_mm };

  if (shapes->len == 0)
    return asked.patches;
  asked.shapes = key = g_ptr_array_sized_new (shapes->len + 1);
  for (guint i = 0; i < shapes->len; i++)
    g_ptr_array_add (key, shapes->pdata[i]);
  g_ptr_array_add (key, (gpointer) zone);
  if (!recall (&asked, &asked.patches))
    {
      asked.patches = measure (shapes, zone, limit_mm);
      remember (&asked);
    }
  return asked.patches;
}

/* facts-patches.c - painted patches measured: their area within the zone, and their islands.
 *
 * Uniting five brush strokes costs about half a millisecond, and a zone with its history has several
 * such sets that are asked for again at every judgement, while only the newest ever changes. So a set
 * is parted into clusters that do not touch, and the clusters measured last are remembered: a new
 * stroke costs what it touches. A shape never changes, and what is remembered keeps its shapes, so a
 * cluster is known again by its addresses. */
#include "facts-private.h"
#include "shape-private.h"

#include <math.h>
#include <string.h>

/* What a mark without an area stands for: the smallest spot a fingertip points at. */
#define POINT_SPOT_MM 1.0

/* Some twenty clusters a zone, for a face of 500 zones: under a kilobyte each. */
#define N_REMEMBERED 10000

typedef struct
{
  GPtrArray *shapes; /* RakeShape * of a cluster, the zone's last; owned where it is remembered */
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

/* TRUE when all of @bounds lies on one side of the line through @a and @b. */
static gboolean
passes_by (const double *a, const double *b, const RakeBounds *bounds)
{
  const double x_mm[] = { bounds->min_x_mm, bounds->max_x_mm };
  const double y_mm[] = { bounds->min_y_mm, bounds->max_y_mm };
  guint n_left = 0, n_right = 0;

  for (guint i = 0; i < 4; i++)
    {
      double side = (b[0] - a[0]) * (y_mm[i / 2] - a[1]) - (b[1] - a[1]) * (x_mm[i % 2] - a[0]);
      n_left += side > 0 ? 1 : 0;
      n_right += side < 0 ? 1 : 0;
    }
  return n_left == 4 || n_right == 4;
}

/* TRUE when all within @bounds is surely within @zone: no edge of it comes between, and a corner is
 * inside. Much cheaper than clipping. */
static gboolean
surely_holds (const RakeShape *zone, const RakeBounds *bounds)
{
  for (guint r = 0; r < zone->n_rings; r++)
    for (guint i = 0; i + 1 < zone->rings[r].n_points; i++)
      {
        const double *a = zone->points_mm + 2 * (zone->rings[r].first + i), *b = a + 2;
        const RakeBounds edge = { MIN (a[0], b[0]), MIN (a[1], b[1]), MAX (a[0], b[0]),
                                  MAX (a[1], b[1]) };
        if (rake_bounds_meet (&edge, bounds, RAKE_GRID_MM) && !passes_by (a, b, bounds))
          return FALSE;
      }
  return rake_shape_contains (zone, bounds->min_x_mm, bounds->min_y_mm);
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
  if (surely_holds (zone, &all->bounds))
    inside = rake_shape_ref (all);
  else
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

/* A cluster, in the order of the set. */
static void
add_cluster (RakePatches *patches, GPtrArray *cluster, const RakeShape *zone, double limit_mm)
{
  Memory asked = { .limit_mm = limit_mm, .shapes = cluster };
  const guint n_areas = cluster->len;

  g_ptr_array_add (cluster, (gpointer) zone);
  if (!recall (&asked, &asked.patches))
    {
      add_areas (&asked.patches, (RakeShape *const *) cluster->pdata, n_areas, zone, limit_mm);
      remember (&asked);
    }
  patches->area_mm2 += asked.patches.area_mm2;
  patches->island_mm = MAX (patches->island_mm, asked.patches.island_mm);
  patches->n += asked.patches.n;
  patches->n_over_limit += asked.patches.n_over_limit;
}

/* --- clusters ---------------------------------------------------------------------------------------- */

typedef struct
{
  RakeShape *shape;
  guint order, cluster; /* the cluster is named for the first of it */
} Patch;

static int
compare_by_left (gconstpointer a, gconstpointer b)
{
  double left = ((const Patch *) a)->shape->bounds.min_x_mm;
  double other = ((const Patch *) b)->shape->bounds.min_x_mm;

  return left < other ? -1 : left > other;
}

static int
compare_by_cluster (gconstpointer a, gconstpointer b)
{
  const Patch *one = a, *other = b;

  if (one->cluster != other->cluster)
    return one->cluster < other->cluster ? -1 : 1;
  return one->order < other->order ? -1 : 1;
}

static void
rename_cluster (GArray *patches, guint from, guint to)
{
  for (guint i = 0; i < patches->len; i++)
    if (g_array_index (patches, Patch, i).cluster == from)
      g_array_index (patches, Patch, i).cluster = to;
}

/* Patches whose bounds touch come into one cluster, so those of two clusters never touch. */
static void
find_clusters (GArray *patches)
{
  g_array_sort (patches, compare_by_left);
  for (guint i = 0; i < patches->len; i++)
    for (guint k = i + 1; k < patches->len; k++)
      {
        const Patch *one = &g_array_index (patches, Patch, i);
        const Patch *other = &g_array_index (patches, Patch, k);
        if (other->shape->bounds.min_x_mm > one->shape->bounds.max_x_mm)
          break;
        if (one->cluster != other->cluster &&
            rake_bounds_meet (&one->shape->bounds, &other->shape->bounds, 0))
          rename_cluster (patches, MAX (one->cluster, other->cluster),
                          MIN (one->cluster, other->cluster));
      }
  g_array_sort (patches, compare_by_cluster);
}

RakePatches
rake_patches_measure (GPtrArray *shapes, const RakeShape *zone, double limit_mm)
{
  g_autoptr (GArray) areas = g_array_new (FALSE, FALSE, sizeof (Patch));
  RakePatches patches = { 0 };

  for (guint i = 0; i < shapes->len; i++)
    {
      const Patch patch = { shapes->pdata[i], i, i };
      if (rake_shape_get_kind (patch.shape) == RAKE_SHAPE_AREA)
        g_array_append_val (areas, patch);
      else
        add_spot_without_area (&patches, patch.shape, limit_mm);
    }
  find_clusters (areas);
  for (guint i = 0, next; i < areas->len; i = next)
    {
      g_autoptr (GPtrArray) cluster = g_ptr_array_new ();
      guint name = g_array_index (areas, Patch, i).cluster;

      for (next = i; next < areas->len && g_array_index (areas, Patch, next).cluster == name;
           next++)
        g_ptr_array_add (cluster, g_array_index (areas, Patch, next).shape);
      add_cluster (&patches, cluster, zone, limit_mm);
    }
  return patches;
}

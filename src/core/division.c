/* division.c - the entries that divide and join zones. */
#include <rakelight/division.h>
#include <rakelight/zoning.h>

#include "i18n.h"

#include <math.h>
#include <string.h>

static gpointer
new_list (const char *name)
{
  return rake_field_new_list (rake_entry_kind_find_field (RAKE_ENTRY_ZONES, name));
}

static RakeEntry *
new_entry (const RakeFace *face, RakeDivision division)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_ZONES);

  entry->zones.face = face->id;
  entry->zones.division = division;
  g_clear_pointer (&entry->zones.removed, g_array_unref);
  g_clear_pointer (&entry->zones.added, g_array_unref);
  entry->zones.removed = new_list ("removed");
  entry->zones.added = new_list ("added");
  return entry;
}

/* "Lower bass 2" without its number. */
static char *
get_stem (const char *name)
{
  gsize length = strlen (name);

  while (length > 0 && g_ascii_isdigit (name[length - 1]))
    length--;
  if (length == 0 || length == strlen (name) || name[length - 1] != ' ')
    return g_strdup (name);
  return g_strndup (name, length - 1);
}

static gboolean
is_taken (const RakeFace *face, const RakeZone *leaving, const GArray *added, const char *name)
{
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];

      if (zone != leaving && g_str_equal (zone->name, name))
        return TRUE;
    }
  for (guint i = 0; i < added->len; i++)
    if (g_str_equal (g_array_index (added, RakeZoneSpec, i).name, name))
      return TRUE;
  return FALSE;
}

static char *
find_free_name (const RakeFace *face, const RakeZone *leaving, const GArray *added,
                const char *stem)
{
  for (guint number = 1;; number++)
    {
      g_autofree char *name = g_strdup_printf ("%s %u", stem, number);

      if (!is_taken (face, leaving, added, name))
        return g_steal_pointer (&name);
    }
}

static RakeZoneSpec
inherit (const RakeZone *zone, RakeShape *shape)
{
  return (RakeZoneSpec){
    .id = rake_id_new (g_get_real_time () / 1000),
    .shape = rake_shape_ref (shape),
    .is_edge = zone->is_edge ? RAKE_ANSWER_YES : RAKE_ANSWER_NO,
    .edge_factor = zone->edge_factor,
    .coat_factor = NAN, /* as it was */
    .reserve_um = zone->reserve_um,
    .first_stage = zone->first_stage != NULL ? zone->first_stage->id : RAKE_ID_NIL,
  };
}

/* An edge joins at the grit after the zone's first, where there is one. */
static void
make_edge (RakeZoneSpec *spec, const RakeZone *zone)
{
  const GPtrArray *stages = zone->face->stages;
  guint next = zone->first_stage != NULL ? zone->first_stage->position + 1 : G_MAXUINT;

  spec->is_edge = RAKE_ANSWER_YES;
  spec->edge_factor = RAKE_USUAL_EDGE_FACTOR;
  if (next < stages->len)
    {
      const RakeStage *stage = stages->pdata[next];

      if (stage->action == RAKE_ACTION_LEVEL || stage->action == RAKE_ACTION_REFINE)
        spec->first_stage = stage->id;
    }
}

static RakeEntry *
divide (const RakeZone *zone, RakeDivision division, GPtrArray *shapes, const RakeShape *drawn)
{
  RakeEntry *entry = new_entry (zone->face, division);
  g_autofree char *stem = get_stem (zone->name);

  if (drawn != NULL)
    entry->zones.drawn = rake_shape_ref ((RakeShape *) drawn);
  g_array_append_val (entry->zones.removed, zone->id);
  for (guint i = 0; i < shapes->len; i++)
    {
      RakeZoneSpec spec = inherit (zone, shapes->pdata[i]);
      g_autofree char *edge_stem = NULL;

      if (division == RAKE_DIVISION_BAND && i == 0)
        {
          edge_stem = g_strdup_printf (_ ("%s edge"), stem);
          make_edge (&spec, zone);
        }
      spec.name = edge_stem != NULL && !is_taken (zone->face, zone, entry->zones.added, edge_stem)
                      ? g_steal_pointer (&edge_stem)
                  : division == RAKE_DIVISION_BAND && i == 1
                      ? g_strdup (zone->name)
                      : find_free_name (zone->face, zone, entry->zones.added,
                                        edge_stem != NULL ? edge_stem : stem);
      g_array_append_val (entry->zones.added, spec);
    }
  return entry;
}

RakeEntry *
rake_division_new_cut (const RakeZone *zone, const RakeShape *line, GError **error)
{
  g_autoptr (GPtrArray) parts = rake_zoning_cut (zone->shape, line, TRUE, error);

  return parts != NULL ? divide (zone, RAKE_DIVISION_CUT, parts, line) : NULL;
}

RakeEntry *
rake_division_new_band (const RakeZone *zone, double width_mm, gboolean along_holes, GError **error)
{
  g_autoptr (GPtrArray) parts =
      rake_zoning_band (zone->shape, zone->face->outline, width_mm, along_holes, error);

  return parts != NULL ? divide (zone, RAKE_DIVISION_BAND, parts, NULL) : NULL;
}

RakeEntry *
rake_division_new_grid (const RakeZone *zone, guint n_columns, guint n_rows, GError **error)
{
  g_autoptr (GPtrArray) cells = rake_zoning_grid (zone->shape, n_columns, n_rows, error);

  return cells != NULL ? divide (zone, RAKE_DIVISION_GRID, cells, NULL) : NULL;
}

RakeEntry *
rake_division_new_join (const RakeZone *const *zones, guint n_zones, GError **error)
{
  g_autoptr (GPtrArray) shapes = g_ptr_array_new ();
  g_autoptr (RakeShape) whole = NULL;
  RakeEntry *entry;
  RakeZoneSpec spec;

  if (n_zones < 2)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
                   _ ("Select two or more zones that touch, then join them"));
      return NULL;
    }
  for (guint i = 0; i < n_zones; i++)
    g_ptr_array_add (shapes, (gpointer) zones[i]->shape);
  whole = rake_zoning_join ((RakeShape *const *) shapes->pdata, n_zones, error);
  if (whole == NULL)
    return NULL;

  entry = new_entry (zones[0]->face, RAKE_DIVISION_JOIN);
  spec = inherit (zones[0], whole);
  spec.name = g_strdup (zones[0]->name);
  for (guint i = 0; i < n_zones; i++)
    {
      if (!zones[i]->is_edge)
        spec.is_edge = RAKE_ANSWER_NO;
      g_array_append_val (entry->zones.removed, zones[i]->id);
    }
  g_array_append_val (entry->zones.added, spec);
  return entry;
}

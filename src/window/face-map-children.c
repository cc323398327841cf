/* face-map-children.c - the map's children: the places that assistive technology finds zones and marks
 * at, and the chips that ask whether a mark from before is still there. */
#include "face-map-private.h"
#include "ghost-chip.h"
#include "mark-place.h"
#include "say.h"
#include "stamp.h"
#include "zone-place.h"

#include <math.h>
#include "words.h"

/* More chips than this would cover the piece; the slip answers for all of a zone at once. */
#define MOST_CHIPS 6

/* How far a chip stands from its mark: as near as can be without covering something. */
#define NEAREST_PX 10.0
#define STEP_PX 26.0
#define N_STEPS 5
#define N_DIRECTIONS 8

static void
drop_children (GPtrArray *children)
{
  for (guint i = 0; i < children->len; i++)
    gtk_widget_unparent (children->pdata[i]);
  g_ptr_array_set_size (children, 0);
}

/* Makes @children one for each of @ids, keeping those that are right from the front. */
static void
match_children (RakeFaceMap *self, GPtrArray *children, GArray *ids, RakeId (*get_id) (GtkWidget *),
                GtkWidget *(*make) (RakeFaceMap *, RakeId))
{
  guint same = 0;

  while (same < children->len && same < ids->len &&
         rake_id_equal (get_id (children->pdata[same]), g_array_index (ids, RakeId, same)))
    same++;
  while (children->len > same)
    {
      gtk_widget_unparent (children->pdata[children->len - 1]);
      g_ptr_array_set_size (children, (int) children->len - 1);
    }
  for (guint i = same; i < ids->len; i++)
    {
      GtkWidget *child = make (self, g_array_index (ids, RakeId, i));
      gtk_widget_set_parent (child, GTK_WIDGET (self));
      g_ptr_array_add (children, child);
    }
}

static RakeId
get_id_of_chip (GtkWidget *child)
{
  return rake_ghost_chip_get_mark (RAKE_GHOST_CHIP (child));
}

static GtkWidget *
make_chip (RakeFaceMap *self, RakeId id)
{
  const RakeMark *mark = rake_job_find_mark (rake_session_get_job (self->session), id);
  g_autofree char *name = rake_say_mark (mark);

  return GTK_WIDGET (rake_ghost_chip_new (id, name));
}

/* --- the places of zones and marks ----------------------------------------------------------- */

/* At a time. Marks get their places when nothing else is to be done: what is seen comes first. */
#define MOST_NEW_PLACES 200

static void
free_places (RakePlaces *places)
{
  drop_children (places->marks);
  g_ptr_array_unref (places->marks);
  gtk_widget_unparent (places->place);
  g_free (places);
}

static RakePlaces *
new_places (RakeId zone)
{
  RakePlaces *places = g_new0 (RakePlaces, 1);

  places->zone = zone;
  places->place = GTK_WIDGET (rake_zone_place_new (zone));
  places->marks = g_ptr_array_new ();
  return places;
}

static gboolean
are_zones_the_same (const GPtrArray *places, const RakeFace *face)
{
  if (places->len != face->zones->len)
    return FALSE;
  for (guint i = 0; i < places->len; i++)
    if (!rake_id_equal (((const RakePlaces *) places->pdata[i])->zone,
                        ((const RakeZone *) face->zones->pdata[i])->id))
      return FALSE;
  return TRUE;
}

static RakePlaces *
steal_places (GPtrArray *places, RakeId zone)
{
  for (guint i = 0; i < places->len; i++)
    if (rake_id_equal (((const RakePlaces *) places->pdata[i])->zone, zone))
      return g_ptr_array_steal_index (places, i);
  return NULL;
}

/* @child behind @previous, which may be NULL; returns @child. */
static GtkWidget *
put_behind (GtkWidget *parent, GtkWidget *child, GtkWidget *previous)
{
  if (!gtk_widget_get_parent (child) || gtk_widget_get_prev_sibling (child) != previous)
    gtk_widget_insert_after (child, parent, previous);
  return child;
}

/* Makes one for each zone, in the order of the zones; those that are there already stay. */
static void
match_zones (RakeFaceMap *self, const RakeFace *face)
{
  g_autoptr (GPtrArray) before = NULL;
  GtkWidget *previous = NULL;

  if (are_zones_the_same (self->places, face))
    return;
  before = g_steal_pointer (&self->places);
  self->places = g_ptr_array_new ();
  for (guint i = 0; i < face->zones->len; i++)
    {
      RakeId id = ((const RakeZone *) face->zones->pdata[i])->id;
      RakePlaces *places = steal_places (before, id);
      if (!places)
        places = new_places (id);
      g_ptr_array_add (self->places, places);
      previous = put_behind (GTK_WIDGET (self), places->place, previous);
    }
  for (guint i = 0; i < before->len; i++)
    free_places (before->pdata[i]);
}

static gboolean
is_shown (const RakeMark *mark)
{
  return !mark->closed_by || mark->was_repaired;
}

/* The marks are in their zone's place: GTK goes through all children of a widget when one comes or
 * goes, and there are thousands. Takes from @budget what is made anew; FALSE when it was spent before
 * the end. */
static gboolean
show_marks_of_zone (RakePlaces *places, const RakeZone *zone, guint *budget)
{
  GtkWidget *previous = NULL;
  guint at = 0;

  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      RakeMarkPlace *place = NULL;
      if (!is_shown (mark))
        continue;
      while (at < places->marks->len &&
             !rake_id_equal (rake_mark_place_get_mark (places->marks->pdata[at]), mark->entry->id))
        gtk_widget_unparent (g_ptr_array_steal_index (places->marks, at));
      if (at == places->marks->len)
        {
          if (*budget == 0)
            return FALSE;
          --*budget;
          g_ptr_array_add (places->marks, rake_mark_place_new (mark->entry->id));
        }
      place = places->marks->pdata[at++];
      previous = put_behind (places->place, GTK_WIDGET (place), previous);
      rake_mark_place_show (place, zone, mark);
    }
  while (places->marks->len > at)
    gtk_widget_unparent (g_ptr_array_steal_index (places->marks, places->marks->len - 1));
  return TRUE;
}

static gboolean fill_in_idle_time (gpointer user_data);

static void
show_zones_and_marks (RakeFaceMap *self, const RakeFace *face, guint budget)
{
  gboolean is_all = TRUE;

  match_zones (self, face);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      RakePlaces *places = self->places->pdata[i];
      gboolean is_selected = rake_session_is_selected (self->session, zone->id);
      guint64 stamp = rake_session_get_zone_stamp (self->session, zone);
      if (places->said_stamp != stamp || places->is_selected != is_selected)
        rake_zone_place_show (RAKE_ZONE_PLACE (places->place), zone,
                              rake_session_find_judgement (self->session, zone), is_selected);
      places->said_stamp = stamp;
      places->is_selected = is_selected;
      if (places->stamp == stamp)
        continue;
      places->stamp = show_marks_of_zone (places, zone, &budget) ? stamp : 0;
      is_all &= places->stamp != 0;
    }
  if (!is_all && !self->filling)
    self->filling = g_idle_add_full (G_PRIORITY_LOW, fill_in_idle_time, self, NULL);
}

static gboolean
fill_in_idle_time (gpointer user_data)
{
  RakeFaceMap *self = user_data;
  const RakeFace *face = self->session ? rake_session_get_face (self->session) : NULL;

  self->filling = 0;
  if (face)
    {
      show_zones_and_marks (self, face, MOST_NEW_PLACES);
      gtk_widget_queue_allocate (GTK_WIDGET (self));
    }
  return G_SOURCE_REMOVE;
}

guint
rake_face_map_get_n_mark_places (RakeFaceMap *self)
{
  guint n_places = 0;

  for (guint i = 0; i < self->places->len; i++)
    n_places += ((const RakePlaces *) self->places->pdata[i])->marks->len;
  return n_places;
}

/* --- the chips ------------------------------------------------------------------------------- */

static void
show_chips (RakeFaceMap *self)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (RakeId));
  g_autoptr (GPtrArray) zones = rake_session_get_zones (self->session);

  for (guint i = 0; i < zones->len && !rake_session_is_in_the_past (self->session); i++)
    {
      g_autoptr (GPtrArray) ghosts = rake_session_get_ghosts (self->session, zones->pdata[i]);
      for (guint j = 0; j < ghosts->len && ids->len < MOST_CHIPS; j++)
        g_array_append_val (ids, ((const RakeMark *) ghosts->pdata[j])->entry->id);
    }
  match_children (self, self->chips, ids, get_id_of_chip, make_chip);
}

static void
place (GtkWidget *child, double x, double y, double width, double height)
{
  GtkAllocation allocation = { (int) floor (x), (int) floor (y), MAX (1, (int) ceil (width)),
                               MAX (1, (int) ceil (height)) };

  /* Measured for GTK's sake: it warns of an allocation without. */
  gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, NULL, NULL, NULL, NULL);
  gtk_widget_size_allocate (child, &allocation, -1);
}

/* In a place whose corner is at @left_px, @top_px. */
static void
place_mark (RakeFaceMap *self, GtkWidget *child, const RakeMark *mark, double left_px,
            double top_px)
{
  RakeBounds bounds = rake_shape_get_bounds (mark->shape);
  double x, y, right, bottom;

  rake_map_view_to_px (&self->view, bounds.min_x_mm, bounds.min_y_mm, &x, &y);
  rake_map_view_to_px (&self->view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
  place (child, x - left_px, y - top_px, right - x, bottom - y);
}

static void
place_zone (RakeFaceMap *self, const RakePlaces *places, const RakeZone *zone)
{
  double x, y, width, height;
  guint at = 0;

  rake_map_zone_extents (&self->view, zone, &x, &y, &width, &height);
  place (places->place, x, y, width, height);
  for (guint i = 0; i < zone->marks->len && at < places->marks->len; i++)
    if (is_shown (zone->marks->pdata[i]))
      place_mark (self, places->marks->pdata[at++], zone->marks->pdata[i], floor (x), floor (y));
}

/* Thousands of places: only those that are not where they belong are put there. */
static void
place_zones_and_marks (RakeFaceMap *self, const RakeFace *face)
{
  guint64 view_stamp = rake_face_map_get_view_stamp (self);

  for (guint i = 0; i < self->places->len && i < face->zones->len; i++)
    {
      RakePlaces *places = self->places->pdata[i];
      guint64 stamp =
          rake_stamp_mix (rake_stamp_mix (view_stamp, places->stamp), places->marks->len);
      if (places->placed_stamp == stamp)
        continue;
      place_zone (self, places, face->zones->pdata[i]);
      places->placed_stamp = stamp;
    }
}

/* --- where the chips stand ------------------------------------------------------------------- */

/* How far from its zone a chip may come to stand. */
#define MOST_REACH_PX 220.0

typedef struct
{
  graphene_rect_t boxes[MOST_CHIPS];
  guint n_boxes;
  GArray *marks; /* graphene_rect_t: those that a chip might cover */
} Taken;

static double
get_overlap (const graphene_rect_t *a, const graphene_rect_t *b)
{
  graphene_rect_t both;

  return graphene_rect_intersection (a, b, &both) ? both.size.width * both.size.height : 0;
}

static graphene_rect_t
get_mark_box (RakeFaceMap *self, const RakeMark *mark)
{
  RakeBounds bounds = rake_shape_get_bounds (mark->shape);
  double left, top, right, bottom;

  rake_map_view_to_px (&self->view, bounds.min_x_mm, bounds.min_y_mm, &left, &top);
  rake_map_view_to_px (&self->view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
  return GRAPHENE_RECT_INIT ((float) left, (float) top, (float) (right - left),
                             (float) (bottom - top));
}

/* What a chip would cover there, worst first: another chip, a verdict, a mark. */
static double
get_cost (RakeFaceMap *self, const graphene_rect_t *box, const Taken *taken)
{
  graphene_rect_t whole =
      GRAPHENE_RECT_INIT (0, 0, (float) self->view.width_px, (float) self->view.height_px);
  double cost = graphene_rect_contains_rect (&whole, box) ? 0 : 1e6;

  for (guint i = 0; i < taken->n_boxes; i++)
    cost += 100 * get_overlap (box, &taken->boxes[i]);
  for (guint i = 0; self->labels && i < self->labels->len; i++)
    {
      const RakeMapLabel *label = &g_array_index (self->labels, RakeMapLabel, i);
      graphene_rect_t other =
          GRAPHENE_RECT_INIT ((float) label->x_px, (float) label->y_px, (float) label->width_px,
                              (float) label->height_px);
      if (!label->is_hidden)
        cost += 10 * get_overlap (box, &other);
    }
  for (guint i = 0; i < taken->marks->len; i++)
    cost += get_overlap (box, &g_array_index (taken->marks, graphene_rect_t, i));
  return cost;
}

static graphene_rect_t
find_place_for_chip (RakeFaceMap *self, const RakeMark *mark, float width, float height,
                     const Taken *taken)
{
  graphene_rect_t mark_box = get_mark_box (self, mark), best = mark_box;
  double least = G_MAXDOUBLE;

  for (guint step = 0; step < N_STEPS; step++)
    for (guint i = 0; i < N_DIRECTIONS; i++)
      {
        /* From below, then to both sides, the top last: a hand comes from below. */
        static const double turns[N_DIRECTIONS] = { 0, 4, 2, -2, 1, -1, 3, -3 };
        double angle = turns[i] * G_PI / 4;
        double reach_x = mark_box.size.width / 2 + width / 2 + NEAREST_PX + step * STEP_PX;
        double reach_y = mark_box.size.height / 2 + height / 2 + NEAREST_PX + step * STEP_PX;
        graphene_rect_t box =
            GRAPHENE_RECT_INIT ((float) (mark_box.origin.x + mark_box.size.width / 2 +
                                         sin (angle) * reach_x - width / 2),
                                (float) (mark_box.origin.y + mark_box.size.height / 2 +
                                         cos (angle) * reach_y - height / 2),
                                width, height);
        double cost = get_cost (self, &box, taken) + step * STEP_PX;
        if (cost >= least)
          continue;
        least = cost;
        best = box;
      }
  return best;
}

static gboolean
is_near_selected (RakeFaceMap *self, const RakeZone *zone, const GPtrArray *selected)
{
  double x, y, width, height;
  graphene_rect_t box, reach;

  rake_map_zone_extents (&self->view, zone, &x, &y, &width, &height);
  graphene_rect_init (&box, (float) x, (float) y, (float) width, (float) height);
  for (guint i = 0; i < selected->len; i++)
    {
      rake_map_zone_extents (&self->view, selected->pdata[i], &x, &y, &width, &height);
      graphene_rect_init (&reach, (float) (x - MOST_REACH_PX), (float) (y - MOST_REACH_PX),
                          (float) (width + 2 * MOST_REACH_PX),
                          (float) (height + 2 * MOST_REACH_PX));
      if (graphene_rect_intersection (&box, &reach, NULL))
        return TRUE;
    }
  return FALSE;
}

/* The boxes of the marks in the selected zones and around them. */
static GArray *
find_mark_boxes (RakeFaceMap *self, const RakeFace *face)
{
  GArray *boxes = g_array_new (FALSE, FALSE, sizeof (graphene_rect_t));
  g_autoptr (GPtrArray) selected = rake_session_get_zones (self->session);

  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      if (zone->marks->len == 0 || !is_near_selected (self, zone, selected))
        continue;
      for (guint j = 0; j < zone->marks->len; j++)
        if (is_shown (zone->marks->pdata[j]))
          {
            graphene_rect_t box = get_mark_box (self, zone->marks->pdata[j]);
            g_array_append_val (boxes, box);
          }
    }
  return boxes;
}

static void
place_chips (RakeFaceMap *self, const RakeFace *face)
{
  const RakeJob *job = rake_session_get_job (self->session);
  g_autoptr (GArray) marks = NULL;
  Taken taken = { .n_boxes = 0 };

  if (self->chips->len == 0)
    return;
  marks = taken.marks = find_mark_boxes (self, face);

  for (guint i = 0; i < self->chips->len; i++)
    {
      RakeGhostChip *chip = self->chips->pdata[i];
      const RakeMark *mark = rake_job_find_mark (job, rake_ghost_chip_get_mark (chip));
      int width, height;
      graphene_rect_t box;
      if (!mark)
        continue;
      gtk_widget_measure (GTK_WIDGET (chip), GTK_ORIENTATION_HORIZONTAL, -1, NULL, &width, NULL,
                          NULL);
      gtk_widget_measure (GTK_WIDGET (chip), GTK_ORIENTATION_VERTICAL, width, NULL, &height, NULL,
                          NULL);
      box = find_place_for_chip (self, mark, (float) width, (float) height, &taken);
      taken.boxes[taken.n_boxes++] = box;
      place (GTK_WIDGET (chip), box.origin.x, box.origin.y, box.size.width, box.size.height);
    }
}

void
rake_face_map_place_children (RakeFaceMap *self, const RakeFace *face)
{
  /* While the view moves only what can be touched follows it. */
  if (!rake_face_map_is_moving (self))
    place_zones_and_marks (self, face);
  place_chips (self, face);
}

/* A thin line from each chip to the mark it asks about. */
void
rake_face_map_paint_leaders (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  const RakeJob *job = self->session ? rake_session_get_job (self->session) : NULL;
  const RakeColour *lamp = &rake_palette_get (self->view.theme)->lamp_fill;

  for (guint i = 0; i < self->chips->len; i++)
    {
      const RakeMark *mark =
          rake_job_find_mark (job, rake_ghost_chip_get_mark (self->chips->pdata[i]));
      graphene_rect_t from, to, both;
      double x_mm, y_mm, x, y;
      cairo_t *cr;
      if (!mark || !gtk_widget_compute_bounds (self->chips->pdata[i], GTK_WIDGET (self), &from))
        continue;
      rake_shape_get_inner_point (mark->shape, &x_mm, &y_mm);
      rake_map_view_to_px (&self->view, x_mm, y_mm, &x, &y);
      graphene_rect_init (&to, (float) x - 5, (float) y - 5, 10, 10);
      graphene_rect_union (&from, &to, &both);
      cr = gtk_snapshot_append_cairo (snapshot, &both);
      cairo_set_source_rgba (cr, lamp->red, lamp->green, lamp->blue, lamp->alpha);
      cairo_set_line_width (cr, 1.5);
      cairo_move_to (cr, from.origin.x + from.size.width / 2, from.origin.y + from.size.height / 2);
      cairo_line_to (cr, x, y);
      cairo_stroke (cr);
      cairo_arc (cr, x, y, 3, 0, 2 * G_PI);
      cairo_fill (cr);
      cairo_destroy (cr);
    }
}

void
rake_face_map_show_children (RakeFaceMap *self, const RakeFace *face)
{
  show_zones_and_marks (self, face, 0);
  show_chips (self);
}

void
rake_face_map_drop_children (RakeFaceMap *self)
{
  g_clear_handle_id (&self->filling, g_source_remove);
  for (guint i = 0; i < self->places->len; i++)
    free_places (self->places->pdata[i]);
  g_ptr_array_set_size (self->places, 0);
  drop_children (self->chips);
}

/* face-map-children.c - the map's children: the places that assistive technology finds zones and marks
 * at, and the chips that ask whether a mark from before is still there. */
#include "face-map-private.h"
#include "ghost-chip.h"
#include "mark-place.h"
#include "say.h"
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
get_id_of_zone_place (GtkWidget *child)
{
  return rake_zone_place_get_zone (RAKE_ZONE_PLACE (child));
}

static GtkWidget *
make_zone_place (RakeFaceMap *self, RakeId id)
{
  return GTK_WIDGET (rake_zone_place_new (id));
}

static RakeId
get_id_of_mark_place (GtkWidget *child)
{
  return rake_mark_place_get_mark (RAKE_MARK_PLACE (child));
}

static GtkWidget *
make_mark_place (RakeFaceMap *self, RakeId id)
{
  return GTK_WIDGET (rake_mark_place_new (id));
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

static void
show_zones (RakeFaceMap *self, const RakeFace *face)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (RakeId));

  for (guint i = 0; i < face->zones->len; i++)
    g_array_append_val (ids, ((const RakeZone *) face->zones->pdata[i])->id);
  match_children (self, self->zone_places, ids, get_id_of_zone_place, make_zone_place);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      rake_zone_place_show (self->zone_places->pdata[i], zone,
                            rake_session_get_judgement (self->session, zone),
                            rake_session_is_selected (self->session, zone->id));
    }
}

static void
show_marks (RakeFaceMap *self, const RakeFace *face)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (RakeId));
  g_autoptr (GPtrArray) marks = g_ptr_array_new ();
  g_autoptr (GPtrArray) zones = g_ptr_array_new ();

  for (guint i = 0; i < face->zones->len; i++)
    {
      RakeZone *zone = face->zones->pdata[i];
      for (guint j = 0; j < zone->marks->len; j++)
        {
          RakeMark *mark = zone->marks->pdata[j];
          if (mark->closed_by && !mark->was_repaired)
            continue;
          g_array_append_val (ids, mark->entry->id);
          g_ptr_array_add (marks, mark);
          g_ptr_array_add (zones, zone);
        }
    }
  match_children (self, self->mark_places, ids, get_id_of_mark_place, make_mark_place);
  for (guint i = 0; i < marks->len; i++)
    rake_mark_place_show (self->mark_places->pdata[i], zones->pdata[i], marks->pdata[i]);
}

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

static void
place_zones_and_marks (RakeFaceMap *self, const RakeFace *face)
{
  const RakeJob *job = rake_session_get_job (self->session);

  for (guint i = 0; i < self->zone_places->len && i < face->zones->len; i++)
    {
      double x, y, width, height;
      rake_map_zone_extents (&self->view, face->zones->pdata[i], &x, &y, &width, &height);
      place (self->zone_places->pdata[i], x, y, width, height);
    }
  for (guint i = 0; i < self->mark_places->len; i++)
    {
      RakeMarkPlace *child = self->mark_places->pdata[i];
      const RakeMark *mark = rake_job_find_mark (job, rake_mark_place_get_mark (child));
      RakeBounds bounds;
      double x, y, right, bottom;
      if (!mark)
        continue;
      bounds = rake_shape_get_bounds (mark->shape);
      rake_map_view_to_px (&self->view, bounds.min_x_mm, bounds.min_y_mm, &x, &y);
      rake_map_view_to_px (&self->view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
      place (GTK_WIDGET (child), x, y, right - x, bottom - y);
    }
}

/* --- where the chips stand ------------------------------------------------------------------- */

typedef struct
{
  graphene_rect_t boxes[MOST_CHIPS];
  guint n_boxes;
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
  for (guint i = 0; i < self->mark_places->len; i++)
    {
      graphene_rect_t other;
      if (gtk_widget_compute_bounds (self->mark_places->pdata[i], GTK_WIDGET (self), &other))
        cost += get_overlap (box, &other);
    }
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

static void
place_chips (RakeFaceMap *self)
{
  const RakeJob *job = rake_session_get_job (self->session);
  Taken taken = { .n_boxes = 0 };

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
  if (!self->still)
    place_zones_and_marks (self, face);
  place_chips (self);
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
  show_zones (self, face);
  show_marks (self, face);
  show_chips (self);
}

void
rake_face_map_drop_children (RakeFaceMap *self)
{
  drop_children (self->zone_places);
  drop_children (self->mark_places);
  drop_children (self->chips);
}

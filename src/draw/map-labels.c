/* map-labels.c - what the rules say of each zone, written on it: laid out so that no label covers
 * another, leaves the view or its zone, and kept off what was seen where there is room. */
#include "words.h"

#include <math.h>
#include <string.h>

#define SHORTEST_ZONE_LINES 1.35 /* a zone narrower than this many lines of text gets no label */
#define APART_PX 3.0
#define N_STEPS 13

typedef enum
{
  LABEL_WITH_NAME,
  LABEL_WORD_ONLY,
  LABEL_GLYPH_ONLY,
  N_LABEL_FORMS,
} LabelForm;

typedef struct
{
  double x, y, width, height;
} Box;

/* All measures of a label hang on the height of its text. */
static double
pill_height (double text_px)
{
  return round (2.15 * text_px);
}

static double
glyph_size (double text_px)
{
  return 1.1 * text_px;
}

static double
name_size (double text_px)
{
  return 0.88 * text_px;
}

static gboolean
is_taken_as_it_is (const RakeJudgement *judgement)
{
  return judgement->is_accepted && judgement->verdict <= RAKE_VERDICT_READY;
}

static const char *
get_word (const RakeJudgement *judgement)
{
  /* Translators: a zone that is taken as it is, against what the rules say. */
  return is_taken_as_it_is (judgement) ? _ ("Accepted")
                                       : rake_words_for_verdict (judgement->verdict);
}

/* No verdict is asked where there is no schedule, or not yet of this zone: then only its name. */
static gboolean
has_verdict (const RakeJudgement *judgement)
{
  return judgement != NULL && (judgement->verdict != RAKE_VERDICT_NONE || judgement->is_accepted);
}

static void
measure_word (cairo_t *cr, const RakeJudgement *judgement, double text_px, double *width_px)
{
  g_autoptr (PangoLayout) word = rake_words_new (cr, get_word (judgement), text_px, TRUE);
  double height;

  rake_words_get_size (word, width_px, &height);
  *width_px = ceil (*width_px + glyph_size (text_px) + 2.1 * text_px);
}

static void
measure_name (cairo_t *cr, const RakeZone *zone, double text_px, double *width_px,
              double *height_px)
{
  g_autoptr (PangoLayout) name = rake_words_new (cr, zone->name, name_size (text_px), FALSE);

  rake_words_limit (name, 12 * text_px);
  rake_words_get_size (name, width_px, height_px);
  *width_px = ceil (*width_px + 2);
  *height_px = ceil (*height_px);
}

/* --- laying out ----------------------------------------------------------------------------- */

typedef struct
{
  const RakeMapView *view;
  GArray *labels;       /* RakeMapLabel, those laid so far are not hidden */
  const RakeZone *zone;
  RakePlace *place;     /* the zone, px */
  RakePoint inner;      /* px */
  GArray *seen;         /* Box: its marks */
  Box room;             /* of the zone, within the view */
} Layout;

static gboolean
do_overlap (Box a, Box b, double apart)
{
  return a.x < b.x + b.width + apart && b.x < a.x + a.width + apart &&
         a.y < b.y + b.height + apart && b.y < a.y + a.height + apart;
}

static gboolean
is_in_view (const RakeMapView *view, Box box)
{
  return box.x >= 1 && box.y >= 1 && box.x + box.width <= view->width_px - 1 &&
         box.y + box.height <= view->height_px - 1;
}

static gboolean
is_free_of_labels (const Layout *layout, Box box)
{
  for (guint i = 0; i < layout->labels->len; i++)
    {
      const RakeMapLabel *label = &g_array_index (layout->labels, RakeMapLabel, i);
      Box other = { label->x_px, label->y_px, label->width_px, label->height_px };
      if (!label->is_hidden && do_overlap (box, other, APART_PX))
        return FALSE;
    }
  return TRUE;
}

static gboolean
is_free_of_marks (const Layout *layout, Box box)
{
  for (guint i = 0; i < layout->seen->len; i++)
    if (do_overlap (box, g_array_index (layout->seen, Box, i), 1))
      return FALSE;
  return TRUE;
}

/* The label's rim lies in the zone and no corner of the zone lies in its middle. Its corners are
 * round and may stick out as far as they are not there. */
static gboolean
is_in_zone (const RakePlace *place, Box box)
{
  double corner = 0.3 * MIN (box.height, 28);

  for (guint i = 0; i <= 4; i++)
    {
      double x = box.x + corner + (box.width - 2 * corner) * i / 4;
      double y = box.y + corner + (box.height - 2 * corner) * i / 4;
      if (!rake_place_contains (place, x, box.y) ||
          !rake_place_contains (place, x, box.y + box.height) ||
          !rake_place_contains (place, box.x, y) ||
          !rake_place_contains (place, box.x + box.width, y))
        return FALSE;
    }
  for (guint i = 0; i < place->points->len; i++)
    {
      RakePoint point = g_array_index (place->points, RakePoint, i);
      if (point.x > box.x + corner && point.x < box.x + box.width - corner &&
          point.y > box.y + corner && point.y < box.y + box.height - corner)
        return FALSE;
    }
  return TRUE;
}

static Box
box_around (RakePoint middle, double width, double height)
{
  return (Box){ round (middle.x - width / 2), round (middle.y - height / 2), width, height };
}

/* The fitting place nearest to the middle of the zone. */
static gboolean
find_place (const Layout *layout, double width, double height, gboolean keep_off_marks, Box *found)
{
  double nearest = G_MAXDOUBLE;

  if (width > layout->room.width || height > layout->room.height)
    return FALSE;
  for (int step = -1; step < N_STEPS * N_STEPS; step++)
    {
      RakePoint middle = layout->inner;
      int row = step / N_STEPS;
      double away;
      Box box;
      if (step >= 0)
        middle = (RakePoint){
          layout->room.x + width / 2 +
            (layout->room.width - width) / (N_STEPS - 1) * (step % N_STEPS),
          layout->room.y + height / 2 +
            (layout->room.height - height) / (N_STEPS - 1) * row,
        };
      away = hypot (middle.x - layout->inner.x, middle.y - layout->inner.y);
      if (away >= nearest)
        continue;
      box = box_around (middle, width, height);
      if (is_in_view (layout->view, box) && (!keep_off_marks || is_free_of_marks (layout, box)) &&
          is_free_of_labels (layout, box) && is_in_zone (layout->place, box))
        {
          nearest = away;
          *found = box;
        }
    }
  return nearest < G_MAXDOUBLE;
}

/* A bare glyph may reach a little over the edge of a slim zone, but over nothing else. */
static gboolean
find_place_for_glyph (const Layout *layout, double size, Box *found)
{
  if (find_place (layout, size, size, TRUE, found) || find_place (layout, size, size, FALSE, found))
    return TRUE;
  *found = box_around (layout->inner, size, size);
  return is_in_view (layout->view, *found) && is_free_of_labels (layout, *found);
}

static void
lay_label (cairo_t *cr, const Layout *layout, const RakeJudgement *judgement, RakeMapLabel *label)
{
  static const struct
  {
    LabelForm form;
    gboolean keep_off_marks;
  } tries[] = { { LABEL_WITH_NAME, TRUE },  { LABEL_WORD_ONLY, TRUE },
                { LABEL_WITH_NAME, FALSE }, { LABEL_WORD_ONLY, FALSE } };
  double text_px = layout->view->text_px, word_px = 0, name_px, line_px, pill_px = 0;
  Box found = { 0 };
  gboolean is_laid = FALSE;

  /* Nothing is measured that cannot fit: with hundreds of zones text is what costs. */
  if (layout->room.width > 4 * text_px && layout->room.height > pill_height (text_px))
    {
      if (has_verdict (judgement))
        {
          measure_word (cr, judgement, text_px, &word_px);
          pill_px = pill_height (text_px);
        }
      measure_name (cr, layout->zone, text_px, &name_px, &line_px);
      for (guint i = 0; i < G_N_ELEMENTS (tries) && !is_laid; i++)
        if (tries[i].form == LABEL_WITH_NAME)
          is_laid = find_place (layout, MAX (word_px, name_px), pill_px + line_px,
                                tries[i].keep_off_marks, &found);
        else if (pill_px > 0)
          is_laid = find_place (layout, word_px, pill_px, tries[i].keep_off_marks, &found);
    }
  if (!is_laid && has_verdict (judgement))
    {
      label->is_glyph_only = TRUE;
      is_laid = find_place_for_glyph (layout, round (1.9 * text_px), &found);
    }
  label->is_hidden = !is_laid;
  label->x_px = found.x;
  label->y_px = found.y;
  label->width_px = is_laid ? found.width : 0;
  label->height_px = is_laid ? found.height : 0;
}

static gboolean
prepare_layout (Layout *layout, const RakeZone *zone)
{
  const RakeMapView *view = layout->view;
  double least = SHORTEST_ZONE_LINES * view->text_px, right, bottom, x_mm, y_mm;

  rake_map_zone_extents (view, zone, &layout->room.x, &layout->room.y, &layout->room.width,
                         &layout->room.height);
  if (layout->room.width < least || layout->room.height < least)
    return FALSE;
  right = MIN (layout->room.x + layout->room.width, view->width_px);
  bottom = MIN (layout->room.y + layout->room.height, view->height_px);
  layout->room.x = MAX (layout->room.x, 0);
  layout->room.y = MAX (layout->room.y, 0);
  layout->room.width = right - layout->room.x;
  layout->room.height = bottom - layout->room.y;
  if (layout->room.width < least || layout->room.height < least)
    return FALSE;
  layout->zone = zone;
  layout->place = rake_place_new_from_shape (view, zone->shape);
  rake_shape_get_inner_point (zone->shape, &x_mm, &y_mm);
  rake_map_view_to_px (view, x_mm, y_mm, &layout->inner.x, &layout->inner.y);
  g_array_set_size (layout->seen, 0);
  for (guint i = 0; zone->marks != NULL && i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      RakeBounds bounds = rake_shape_get_bounds (mark->shape);
      Box box;
      if (mark->closed_by != NULL && !mark->was_repaired)
        continue;
      rake_map_view_to_px (view, bounds.min_x_mm, bounds.min_y_mm, &box.x, &box.y);
      rake_map_view_to_px (view, bounds.max_x_mm, bounds.max_y_mm, &box.width, &box.height);
      box.width -= box.x;
      box.height -= box.y;
      g_array_append_val (layout->seen, box);
    }
  return TRUE;
}

static int
compare_by_area (gconstpointer a, gconstpointer b, gpointer data)
{
  const RakeFace *face = data;
  const RakeZone *one = face->zones->pdata[*(const guint *) a];
  const RakeZone *other = face->zones->pdata[*(const guint *) b];
  double difference = rake_shape_get_area_mm2 (other->shape) - rake_shape_get_area_mm2 (one->shape);

  return difference < 0   ? -1
         : difference > 0 ? 1
                          : (*(const guint *) a > *(const guint *) b ? 1 : -1);
}

/* What was laid before, and what of it has moved. */
typedef struct
{
  const GArray *labels; /* RakeMapLabel */
  const gboolean *is_other;
  GArray *moved;        /* Box: where a label was and is no more, or is and was not */
} Before;

/* A label lies in its zone, but for a glyph in a slim one. */
static gboolean
is_as_before (const Layout *layout, const Before *before, const RakeZone *zone, guint index)
{
  double reach_px = 2 * layout->view->text_px + APART_PX;
  Box room;

  if (before->is_other[index])
    return FALSE;
  if (before->moved->len == 0)
    return TRUE;
  rake_map_zone_extents (layout->view, zone, &room.x, &room.y, &room.width, &room.height);
  for (guint i = 0; i < before->moved->len; i++)
    if (do_overlap (room, g_array_index (before->moved, Box, i), reach_px))
      return FALSE;
  return TRUE;
}

static void
note_if_moved (const Before *before, const RakeMapLabel *then, const RakeMapLabel *now)
{
  const RakeMapLabel *both[] = { then, now };

  if (then->is_hidden == now->is_hidden && memcmp (&then->x_px, &now->x_px, sizeof (double)) == 0 &&
      memcmp (&then->y_px, &now->y_px, sizeof (double)) == 0 &&
      memcmp (&then->width_px, &now->width_px, sizeof (double)) == 0 &&
      memcmp (&then->height_px, &now->height_px, sizeof (double)) == 0)
    return;
  for (guint i = 0; i < G_N_ELEMENTS (both); i++)
    {
      Box box = { both[i]->x_px, both[i]->y_px, both[i]->width_px, both[i]->height_px };
      if (!both[i]->is_hidden)
        g_array_append_val (before->moved, box);
    }
}

/* The small ones have the least choice, but the large ones are read first. */
static GArray *
new_order (const RakeFace *face)
{
  GArray *order = g_array_sized_new (FALSE, FALSE, sizeof (guint), face->zones->len);

  for (guint i = 0; i < face->zones->len; i++)
    g_array_append_val (order, i);
  g_array_sort_with_data (order, compare_by_area, (gpointer) face);
  return order;
}

static GArray *
lay_labels (cairo_t *cr, const RakeMapView *view, const RakeFace *face,
            RakeJudgement *const *judgements, const Before *before)
{
  guint n_zones = face->zones != NULL ? face->zones->len : 0;
  GArray *labels = g_array_sized_new (FALSE, TRUE, sizeof (RakeMapLabel), MAX (n_zones, 1));
  g_autoptr (GArray) order = NULL;
  g_autoptr (GArray) seen = g_array_new (FALSE, FALSE, sizeof (Box));
  Layout layout = { .view = view, .labels = labels, .seen = seen };

  g_array_set_size (labels, n_zones);
  for (guint i = 0; i < n_zones; i++)
    g_array_index (labels, RakeMapLabel, i).is_hidden = TRUE;
  if (!(view->text_px >= 4) || n_zones == 0)
    return labels;
  order = new_order (face);
  for (guint i = 0; i < n_zones; i++)
    {
      guint index = g_array_index (order, guint, i);
      const RakeZone *zone = face->zones->pdata[index];
      RakeMapLabel *label = &g_array_index (labels, RakeMapLabel, index);
      if (before != NULL && is_as_before (&layout, before, zone, index))
        {
          *label = g_array_index (before->labels, RakeMapLabel, index);
          continue;
        }
      if (prepare_layout (&layout, zone))
        lay_label (cr, &layout, judgements[index], label);
      g_clear_pointer (&layout.place, rake_place_free);
      if (before != NULL)
        note_if_moved (before, &g_array_index (before->labels, RakeMapLabel, index), label);
    }
  return labels;
}

GArray *
rake_map_lay_labels (cairo_t *cr, const RakeMapView *view, const RakeFace *face,
                     RakeJudgement *const *judgements)
{
  return lay_labels (cr, view, face, judgements, NULL);
}

GArray *
rake_map_lay_labels_again (cairo_t *cr, const RakeMapView *view, const RakeFace *face,
                           RakeJudgement *const *judgements, const GArray *before,
                           const gboolean *is_other)
{
  g_autoptr (GArray) moved = g_array_new (FALSE, FALSE, sizeof (Box));
  Before known = { before, is_other, moved };

  g_return_val_if_fail (before->len == face->zones->len, NULL);
  return lay_labels (cr, view, face, judgements, &known);
}

/* --- drawing -------------------------------------------------------------------------------- */

static void
trace_pill (cairo_t *cr, double x, double y, double width, double height)
{
  double radius = height / 2;

  cairo_new_sub_path (cr);
  cairo_arc (cr, x + width - radius, y + radius, radius, -G_PI / 2, G_PI / 2);
  cairo_arc (cr, x + radius, y + radius, radius, G_PI / 2, 1.5 * G_PI);
  cairo_close_path (cr);
}

static void
draw_glyph (cairo_t *cr, RakeTheme theme, const RakeJudgement *judgement, double x, double y,
            double size)
{
  cairo_save (cr);
  cairo_translate (cr, x, y);
  if (is_taken_as_it_is (judgement))
    rake_map_draw_accepted_glyph (cr, theme, size);
  else
    rake_map_draw_verdict_glyph (cr, theme, judgement->verdict, size);
  cairo_restore (cr);
}

static void
draw_pill (cairo_t *cr, const RakeMapView *view, const RakeJudgement *judgement, double x, double y,
           double width, gboolean is_glyph_only)
{
  const RakePalette *palette = rake_palette_get (view->theme);
  double text_px = view->text_px, line = MAX (text_px / 10, 0.6);
  double height = is_glyph_only ? width : pill_height (text_px);
  RakeColour colour =
      is_taken_as_it_is (judgement) ? palette->ink : palette->verdict[judgement->verdict];

  if (view->theme != RAKE_THEME_PAPER)
    {
      trace_pill (cr, x, y + 1.5, width, height);
      cairo_set_source_rgba (cr, 0, 0, 0, 0.28);
      cairo_fill (cr);
    }
  trace_pill (cr, x + line / 2, y + line / 2, width - line, height - line);
  cairo_set_source_rgba (cr, palette->ground.red, palette->ground.green, palette->ground.blue,
                         0.95);
  cairo_fill_preserve (cr);
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, 1);
  cairo_set_line_width (cr, line);
  cairo_stroke (cr);
  draw_glyph (cr, view->theme, judgement,
              is_glyph_only ? x + (width - glyph_size (text_px)) / 2 : x + 0.75 * text_px,
              y + (height - glyph_size (text_px)) / 2, glyph_size (text_px));
  if (!is_glyph_only)
    {
      g_autoptr (PangoLayout) word = rake_words_new (cr, get_word (judgement), text_px, TRUE);
      double word_px, line_px;
      rake_words_get_size (word, &word_px, &line_px);
      rake_words_write (cr, word, x + 1.2 * text_px + glyph_size (text_px),
                        y + (height - line_px) / 2, colour);
    }
}

/* On wood of any tone: ink with a breath of the ground around it. */
static void
draw_name (cairo_t *cr, const RakeMapView *view, const RakeZone *zone, double x, double y,
           double width)
{
  const RakePalette *palette = rake_palette_get (view->theme);
  g_autoptr (PangoLayout) name = rake_words_new (cr, zone->name, name_size (view->text_px), FALSE);
  double name_px, line_px;

  rake_words_limit (name, width);
  rake_words_get_size (name, &name_px, &line_px);
  x = round (x + (width - name_px) / 2);
  cairo_move_to (cr, x, y);
  pango_cairo_layout_path (cr, name);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_width (cr, view->text_px / 4.2);
  cairo_set_source_rgba (cr, palette->ground.red, palette->ground.green, palette->ground.blue,
                         0.78);
  cairo_stroke (cr);
  rake_words_write (cr, name, x, y, palette->ink);
}

void
rake_map_draw_label (cairo_t *cr, const RakeMapView *view, const RakeZone *zone,
                     const RakeJudgement *judgement, const RakeMapLabel *label)
{
  double pill_px = 0, width = 0;

  if (label->is_hidden)
    return;
  cairo_save (cr);
  cairo_new_path (cr);
  if (label->is_glyph_only)
    draw_pill (cr, view, judgement, label->x_px, label->y_px, label->width_px, TRUE);
  else
    {
      if (has_verdict (judgement))
        {
          measure_word (cr, judgement, view->text_px, &width);
          pill_px = pill_height (view->text_px);
          draw_pill (cr, view, judgement, round (label->x_px + (label->width_px - width) / 2),
                     label->y_px, width, FALSE);
        }
      if (label->height_px > pill_px + 1)
        draw_name (cr, view, zone, label->x_px, label->y_px + pill_px, label->width_px);
    }
  cairo_restore (cr);
}

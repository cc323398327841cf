/* svg-size.c - how large a drawing is, and the drawings within it. */
#include <math.h>
#include <string.h>

#include "i18n.h"
#include "svg-private.h"

/* CSS's pixel, the user unit of a drawing that states lengths inside it. */
#define UNITS_PER_MM (96 / 25.4)

static gboolean
refuse_share (const RakeSvgNode *node, const char *name, GError **error)
{
  g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
               _ ("“%s” of “%s” in the drawing is a share of a size that the drawing does not "
                  "tell: give it in mm, and save again."),
               name, node->name);
  return FALSE;
}

gboolean
rake_svg_read_units (const RakeSvgNode *node, const char *name, double whole, double *units,
                     GError **error)
{
  const char *text = rake_svg_node_get (node, name);
  g_autofree char *excerpt = NULL;
  double length;

  if (text == NULL || strcmp (text, "auto") == 0)
    return TRUE;
  switch (rake_svg_read_length (text, &length))
    {
    case RAKE_SVG_LENGTH_USER:
      *units = length;
      return TRUE;
    case RAKE_SVG_LENGTH_PHYSICAL:
      *units = length * UNITS_PER_MM;
      return TRUE;
    case RAKE_SVG_LENGTH_PERCENT:
      if (isnan (whole))
        return refuse_share (node, name, error);
      *units = length / 100 * whole;
      return TRUE;
    case RAKE_SVG_LENGTH_NONE:
    default:
      excerpt = rake_svg_shorten (text);
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                   _ ("“%s” of “%s” in the drawing is “%s”, which is not read: give it in "
                      "mm, cm, in, pt, pc, px or percent, and save again."),
                   name, node->name, excerpt);
      return FALSE;
    }
}

/* Four numbers, the last two above 0. */
static gboolean
read_view_box (const char *text, double view_box[4])
{
  RakeSvgScan scan = { text, text };

  if (text == NULL)
    return FALSE;
  rake_svg_skip_space (&scan);
  for (int i = 0; i < 4; i++)
    {
      if (!rake_svg_read_number (&scan, &view_box[i], NULL))
        return FALSE;
      rake_svg_skip_comma (&scan);
    }
  return view_box[2] > 0 && view_box[3] > 0;
}

/* Both scales as preserveAspectRatio says; 7.8. */
static void
keep_proportion (const char *text, double *scale_x, double *scale_y)
{
  if (text != NULL && strstr (text, "none") != NULL)
    return;
  if (text != NULL && strstr (text, "slice") != NULL)
    *scale_x = fmax (*scale_x, *scale_y);
  else
    *scale_x = fmin (*scale_x, *scale_y);
  *scale_y = *scale_x;
}

/* The shift in one direction for "xMin", "xMid" or "xMax" in @text (Mid when it says nothing). */
static double
align (const char *text, const char *least, const char *most, double room)
{
  if (text != NULL && strstr (text, least) != NULL)
    return 0;
  return text != NULL && strstr (text, most) != NULL ? room : room / 2;
}

/* A size of the outermost element, in millimetres or in user units; FALSE when it is neither. */
static gboolean
read_root_length (const RakeSvgNode *root, const char *name, gboolean is_physical, double *length)
{
  RakeSvgLengthKind kind = rake_svg_read_length (rake_svg_node_get (root, name), length);

  if (!is_physical && kind == RAKE_SVG_LENGTH_PHYSICAL)
    *length *= UNITS_PER_MM;
  return *length > 0 &&
         (kind == RAKE_SVG_LENGTH_PHYSICAL || (!is_physical && kind == RAKE_SVG_LENGTH_USER));
}

gboolean
rake_svg_enter_root (const RakeSvgNode *root, double mm_per_unit, RakeSvgPlace *place,
                     GError **error)
{
  double width_mm = 0, height_mm = 0, view_box[4];
  gboolean has_width = read_root_length (root, "width", TRUE, &width_mm);
  gboolean has_height = read_root_length (root, "height", TRUE, &height_mm);
  gboolean has_view_box = read_view_box (rake_svg_node_get (root, "viewBox"), view_box);
  double scale_x = mm_per_unit, scale_y = mm_per_unit;

  if (mm_per_unit == 0)
    {
      /* A physical width without a viewBox is what some programs write whatever the scale. */
      if (!has_view_box || (!has_width && !has_height))
        {
          g_set_error_literal (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NO_SIZE,
                               _ ("The drawing does not say how large it is: tell how many "
                                  "millimetres one unit of it stands for."));
          return FALSE;
        }
      scale_x = has_width ? width_mm / view_box[2] : height_mm / view_box[3];
      scale_y = has_height ? height_mm / view_box[3] : scale_x;
      keep_proportion (rake_svg_node_get (root, "preserveAspectRatio"), &scale_x, &scale_y);
    }
  /* Where it lies is no matter. */
  place->matrix = (RakeSvgMatrix){ scale_x, 0, 0, scale_y, 0, 0 };
  if (has_view_box)
    {
      place->width = view_box[2];
      place->height = view_box[3];
      return TRUE;
    }
  if (!read_root_length (root, "width", FALSE, &place->width))
    place->width = NAN;
  if (!read_root_length (root, "height", FALSE, &place->height))
    place->height = NAN;
  return TRUE;
}

/* Fits the viewBox into the size that @place has. */
static gboolean
fit (const RakeSvgNode *node, RakeSvgPlace *place, GError **error)
{
  const char *text = rake_svg_node_get (node, "viewBox");
  const char *proportion = rake_svg_node_get (node, "preserveAspectRatio");
  double view_box[4], scale_x, scale_y, x, y;

  if (text == NULL)
    return TRUE;
  if (isnan (place->width) || isnan (place->height))
    return refuse_share (node, isnan (place->width) ? "width" : "height", error);
  if (!read_view_box (text, view_box))
    {
      g_autofree char *excerpt = rake_svg_shorten (text);
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                   _ ("“viewBox” of “%s” in the drawing is “%s”: it must be four numbers, "
                      "the last two above 0."),
                   node->name, excerpt);
      return FALSE;
    }
  scale_x = place->width / view_box[2];
  scale_y = place->height / view_box[3];
  keep_proportion (proportion, &scale_x, &scale_y);
  x = align (proportion, "xMin", "xMax", place->width - scale_x * view_box[2]);
  y = align (proportion, "YMin", "YMax", place->height - scale_y * view_box[3]);
  place->matrix = rake_svg_matrix_multiply (
      place->matrix, (RakeSvgMatrix){ scale_x, 0, 0, scale_y, x - scale_x * view_box[0],
                                      y - scale_y * view_box[1] });
  place->width = view_box[2];
  place->height = view_box[3];
  return TRUE;
}

gboolean
rake_svg_enter_inner (const RakeSvgNode *node, const RakeSvgNode *use, RakeSvgPlace *place,
                      RakeSvgFrame *frame, GError **error)
{
  gboolean is_svg = strcmp (node->name, "svg") == 0;
  double x = 0, y = 0, width = place->width, height = place->height;

  /* 5.6: a size at the "use" stands before the one of what is used. */
  if ((is_svg && (!rake_svg_read_units (node, "x", place->width, &x, error) ||
                  !rake_svg_read_units (node, "y", place->height, &y, error))) ||
      !rake_svg_read_units (node, "width", place->width, &width, error) ||
      !rake_svg_read_units (node, "height", place->height, &height, error) ||
      (use != NULL && (!rake_svg_read_units (use, "width", place->width, &width, error) ||
                       !rake_svg_read_units (use, "height", place->height, &height, error))))
    return FALSE;
  place->matrix = rake_svg_matrix_multiply (place->matrix, (RakeSvgMatrix){ 1, 0, 0, 1, x, y });
  place->width = width;
  place->height = height;
  if (!isnan (width) && !isnan (height) &&
      rake_svg_style_find (node->style, RAKE_SVG_OVERFLOW, TRUE) == NULL)
    {
      *frame = (RakeSvgFrame){ place->frame, node->name, place->matrix, width, height };
      place->frame = frame;
    }
  /* No room: it is not there. */
  if (width <= 0 || height <= 0)
    return TRUE;
  return fit (node, place, error);
}

gboolean
rake_svg_lies_in_frame (const RakeSvgFrame *frame, const GArray *ring, double within_mm)
{
  const RakeSvgMatrix *m = &frame->matrix;
  const double det = m->a * m->d - m->b * m->c;
  const double room = within_mm / sqrt (fabs (det));

  for (guint i = 0; det != 0 && i < ring->len; i += 2)
    {
      double x = g_array_index (ring, double, i) - m->e;
      double y = g_array_index (ring, double, i + 1) - m->f;
      double across = (m->d * x - m->c * y) / det, down = (m->a * y - m->b * x) / det;
      if (across < -room || across > frame->width + room || down < -room ||
          down > frame->height + room)
        return FALSE;
    }
  return TRUE;
}

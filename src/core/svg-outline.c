/* svg-outline.c - an outline out of a drawing: the largest closed path, and the holes in it.
 *
 * Only what is drawn is followed: svg, g, a and switch are gone into, everything else that is not
 * a shape is passed over with all it holds. Nothing refers to anything: "use", links, style sheets
 * and entities stay unread, so a drawing cannot make us open a file or grow without end. */
#include <math.h>
#include <string.h>

#include "i18n.h"
#include "shape-private.h"
#include "svg-private.h"

#define MOST_BYTES (16 * 1024 * 1024)
#define DEEPEST 100

/* CSS's pixel, the user unit of a drawing that states lengths inside it. */
#define UNITS_PER_MM (96 / 25.4)

/* A closed path covering more of the outline than this is a line drawn beside its edge (a binding,
 * a copy for the fill), not a hole that leaves a thread of wood. */
#define LARGEST_HOLE_FRACTION 0.9

G_DEFINE_QUARK (rake-svg-error-quark, rake_svg_error)

typedef struct
{
  RakeSvgTracer tracer;
  GArray *matrices;   /* of the groups gone into */
  guint depth;        /* of elements open */
  guint passing_over; /* the depth of the element being passed over, or 0 */
  double mm_per_unit; /* 0: from the drawing */
} Reader;

/* An element's attributes as GMarkup gives them. */
typedef struct
{
  const char **names, **values;
} Attributes;

static const char *
get_local_name (const char *name)
{
  return g_str_has_prefix (name, "svg:") ? name + 4 : name;
}

static const char *
find_attribute (Attributes attributes, const char *name)
{
  for (guint i = 0; attributes.names[i] != NULL; i++)
    if (strcmp (attributes.names[i], name) == 0)
      return attributes.values[i];
  return NULL;
}

/* --- sizes ---------------------------------------------------------------------------------- */

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

/* The outermost svg element: how many millimetres a user unit is. Where it lies is no matter. */
static gboolean
read_root_size (Reader *reader, Attributes attributes, RakeSvgMatrix *matrix, GError **error)
{
  double width_mm, height_mm, view_box[4];
  gboolean has_width = rake_svg_read_length (find_attribute (attributes, "width"), &width_mm) ==
                           RAKE_SVG_LENGTH_PHYSICAL &&
                       width_mm > 0;
  gboolean has_height = rake_svg_read_length (find_attribute (attributes, "height"), &height_mm) ==
                            RAKE_SVG_LENGTH_PHYSICAL &&
                        height_mm > 0;
  double scale_x = reader->mm_per_unit, scale_y = reader->mm_per_unit;

  if (reader->mm_per_unit == 0)
    {
      /* A physical width without a viewBox is what some programs write whatever the scale. */
      if (!read_view_box (find_attribute (attributes, "viewBox"), view_box) ||
          (!has_width && !has_height))
        {
          g_set_error_literal (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NO_SIZE,
                               _ ("The drawing does not say how large it is: tell how many "
                                  "millimetres one unit of it stands for."));
          return FALSE;
        }
      scale_x = has_width ? width_mm / view_box[2] : height_mm / view_box[3];
      scale_y = has_height ? height_mm / view_box[3] : scale_x;
      keep_proportion (find_attribute (attributes, "preserveAspectRatio"), &scale_x, &scale_y);
    }
  *matrix = (RakeSvgMatrix){ scale_x, 0, 0, scale_y, 0, 0 };
  return TRUE;
}

/* A length in user units; FALSE when it is absent, unreadable or a share of something. */
static gboolean
read_units (Attributes attributes, const char *name, double *units)
{
  switch (rake_svg_read_length (find_attribute (attributes, name), units))
    {
    case RAKE_SVG_LENGTH_USER:
      return TRUE;
    case RAKE_SVG_LENGTH_PHYSICAL:
      *units *= UNITS_PER_MM;
      return TRUE;
    default:
      return FALSE;
    }
}

/* One that is 0 when absent. FALSE when it is there and cannot be used. */
static gboolean
read_units_or_zero (Attributes attributes, const char *name, double *units)
{
  *units = 0;
  return find_attribute (attributes, name) == NULL || read_units (attributes, name, units);
}

/* An svg element within: placed, and fitted into its size when it has a viewBox. */
static void
enter_inner_svg (Attributes attributes, RakeSvgMatrix *matrix)
{
  const char *proportion = find_attribute (attributes, "preserveAspectRatio");
  double x, y, width, height, view_box[4], scale_x, scale_y;

  if (!read_units_or_zero (attributes, "x", &x) || !read_units_or_zero (attributes, "y", &y))
    x = y = 0;
  *matrix = rake_svg_matrix_multiply (*matrix, (RakeSvgMatrix){ 1, 0, 0, 1, x, y });
  if (!read_view_box (find_attribute (attributes, "viewBox"), view_box) ||
      !read_units (attributes, "width", &width) || !read_units (attributes, "height", &height) ||
      width <= 0 || height <= 0)
    return;
  scale_x = width / view_box[2];
  scale_y = height / view_box[3];
  keep_proportion (proportion, &scale_x, &scale_y);
  x = align (proportion, "xMin", "xMax", width - scale_x * view_box[2]);
  y = align (proportion, "YMin", "YMax", height - scale_y * view_box[3]);
  *matrix = rake_svg_matrix_multiply (*matrix, (RakeSvgMatrix){ scale_x, 0, 0, scale_y,
                                                                x - scale_x * view_box[0],
                                                                y - scale_y * view_box[1] });
}

/* --- shapes --------------------------------------------------------------------------------- */

static gboolean
trace_rect (RakeSvgTracer *tracer, Attributes attributes, GError **error)
{
  double x, y, width, height, rx, ry;
  gboolean has_rx = read_units (attributes, "rx", &rx), has_ry = read_units (attributes, "ry", &ry);

  if (!read_units_or_zero (attributes, "x", &x) || !read_units_or_zero (attributes, "y", &y) ||
      !read_units (attributes, "width", &width) || !read_units (attributes, "height", &height) ||
      width <= 0 || height <= 0)
    return TRUE;
  /* 9.2: one radius stands for both, and neither is more than half the side. */
  if (!has_rx)
    rx = has_ry ? ry : 0;
  if (!has_ry)
    ry = rx;
  rx = CLAMP (rx, 0, width / 2);
  ry = CLAMP (ry, 0, height / 2);
  return rake_svg_tracer_move (tracer, x + rx, y, error) &&
         rake_svg_tracer_line (tracer, x + width - rx, y, error) &&
         rake_svg_tracer_arc (tracer, rx, ry, 0, FALSE, TRUE, x + width, y + ry, error) &&
         rake_svg_tracer_line (tracer, x + width, y + height - ry, error) &&
         rake_svg_tracer_arc (tracer, rx, ry, 0, FALSE, TRUE, x + width - rx, y + height, error) &&
         rake_svg_tracer_line (tracer, x + rx, y + height, error) &&
         rake_svg_tracer_arc (tracer, rx, ry, 0, FALSE, TRUE, x, y + height - ry, error) &&
         rake_svg_tracer_line (tracer, x, y + ry, error) &&
         rake_svg_tracer_arc (tracer, rx, ry, 0, FALSE, TRUE, x + rx, y, error) &&
         rake_svg_tracer_close (tracer, error);
}

static gboolean
trace_ellipse (RakeSvgTracer *tracer, Attributes attributes, const char *name_of_rx,
               const char *name_of_ry, GError **error)
{
  double x, y, rx, ry;

  if (!read_units_or_zero (attributes, "cx", &x) || !read_units_or_zero (attributes, "cy", &y) ||
      !read_units (attributes, name_of_rx, &rx) || !read_units (attributes, name_of_ry, &ry) ||
      rx <= 0 || ry <= 0)
    return TRUE;
  return rake_svg_tracer_ellipse (tracer, x, y, rx, ry, error);
}

/* FALSE also, without an error, when @name is no shape. */
static gboolean
trace_shape (RakeSvgTracer *tracer, const char *name, Attributes attributes, GError **error)
{
  const char *data = find_attribute (attributes, "d");
  const char *points = find_attribute (attributes, "points");

  if (strcmp (name, "path") == 0)
    return data == NULL || rake_svg_trace_path (tracer, data, error);
  if (strcmp (name, "rect") == 0)
    return trace_rect (tracer, attributes, error);
  if (strcmp (name, "circle") == 0)
    return trace_ellipse (tracer, attributes, "r", "r", error);
  if (strcmp (name, "ellipse") == 0)
    return trace_ellipse (tracer, attributes, "rx", "ry", error);
  if (strcmp (name, "polygon") == 0 || strcmp (name, "polyline") == 0)
    return points == NULL ||
           rake_svg_trace_points (tracer, points, strcmp (name, "polygon") == 0, error);
  return FALSE;
}

/* --- the tree ------------------------------------------------------------------------------- */

static gboolean
is_group (const char *name)
{
  return strcmp (name, "svg") == 0 || strcmp (name, "g") == 0 || strcmp (name, "a") == 0 ||
         strcmp (name, "switch") == 0;
}

/* "display" as an attribute or as a declaration in "style". */
static gboolean
is_hidden (Attributes attributes)
{
  const char *display = find_attribute (attributes, "display");
  const char *style = find_attribute (attributes, "style");
  g_auto (GStrv) declarations = g_strsplit (style != NULL ? style : "", ";", -1);

  for (guint i = 0; declarations[i] != NULL; i++)
    {
      char *colon = strchr (declarations[i], ':');
      if (colon == NULL)
        continue;
      *colon = '\0';
      if (strcmp (g_strstrip (declarations[i]), "display") == 0)
        return g_str_has_prefix (g_strchug (colon + 1), "none");
    }
  return display != NULL && strcmp (display, "none") == 0;
}

static gboolean
open_element (Reader *reader, const char *name, Attributes attributes, GError **error)
{
  const char *transform = find_attribute (attributes, "transform");
  RakeSvgMatrix matrix = { 1, 0, 0, 1, 0, 0 };
  GError *failure = NULL;

  if (reader->matrices->len > 0)
    matrix = g_array_index (reader->matrices, RakeSvgMatrix, reader->matrices->len - 1);
  else if (strcmp (name, "svg") != 0)
    {
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                   _ ("This is not an SVG drawing: it begins with “%.40s”."), name);
      return FALSE;
    }
  else if (!read_root_size (reader, attributes, &matrix, error))
    return FALSE;
  if (is_hidden (attributes))
    {
      reader->passing_over = reader->depth;
      return TRUE;
    }
  if (transform != NULL && !rake_svg_read_transform (transform, &matrix, error))
    return FALSE;
  if (is_group (name))
    {
      if (reader->matrices->len > 0 && strcmp (name, "svg") == 0)
        enter_inner_svg (attributes, &matrix);
      g_array_append_val (reader->matrices, matrix);
      return TRUE;
    }
  reader->passing_over = reader->depth; /* what a shape holds is a title or a movement */
  reader->tracer.matrix = matrix;
  if (!trace_shape (&reader->tracer, name, attributes, &failure) && failure != NULL)
    {
      g_propagate_error (error, failure);
      return FALSE;
    }
  return TRUE;
}

static void
start_element (GMarkupParseContext *context, const char *name, const char **names,
               const char **values, gpointer data, GError **error)
{
  Reader *reader = data;

  if (++reader->depth > DEEPEST)
    g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                 _ ("The drawing is nested more than %d deep."), DEEPEST);
  else if (reader->passing_over == 0)
    open_element (reader, get_local_name (name), (Attributes){ names, values }, error);
}

static void
end_element (GMarkupParseContext *context, const char *name, gpointer data, GError **error)
{
  Reader *reader = data;

  if (reader->passing_over == 0)
    g_array_set_size (reader->matrices, reader->matrices->len - 1);
  else if (reader->passing_over == reader->depth)
    reader->passing_over = 0;
  reader->depth--;
}

/* Comments, processing instructions and the document type come here. */
static void
take_passthrough (GMarkupParseContext *context, const char *text, gsize length, gpointer data,
                  GError **error)
{
  /* A document type may declare entities that stand for files, or for each other a billion times
   * over. GMarkup expands none; say plainly why the drawing will not do. */
  if (length >= 9 && g_ascii_strncasecmp (text, "<!DOCTYPE", 9) == 0 &&
      memchr (text, '[', length) != NULL)
    g_set_error_literal (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                         _ ("The drawing declares entities of its own: save it as plain SVG."));
}

static gboolean
read_drawing (Reader *reader, const char *svg, gsize length, GError **error)
{
  static const GMarkupParser parser = { start_element, end_element, NULL, take_passthrough, NULL };
  g_autoptr (GMarkupParseContext) context = NULL;
  g_autoptr (GError) failure = NULL;

  /* The mark some editors begin with is no part of the text. */
  if (length >= 3 && memcmp (svg, "\xef\xbb\xbf", 3) == 0)
    {
      svg += 3;
      length -= 3;
    }
  /* GMarkup meets bad bytes only after it has read what stands before them, and then reports two
   * errors for one. */
  if (!g_utf8_validate_len (svg, length, NULL))
    {
      g_set_error_literal (
          error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
          _ ("This is not an SVG drawing that can be read: it is not UTF-8 text."));
      return FALSE;
    }
  context = g_markup_parse_context_new (&parser, 0, reader, NULL);
  if (g_markup_parse_context_parse (context, svg, (gssize) length, &failure) &&
      g_markup_parse_context_end_parse (context, &failure))
    return TRUE;
  if (failure->domain == G_MARKUP_ERROR)
    g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                 _ ("This is not an SVG drawing that can be read: %s"), failure->message);
  else
    g_propagate_error (error, g_steal_pointer (&failure));
  return FALSE;
}

/* --- the outline among the rings ------------------------------------------------------------ */

static int
compare_areas (gconstpointer a, gconstpointer b)
{
  const RakeShape *left = *(RakeShape *const *) a, *right = *(RakeShape *const *) b;

  return left->area_mm2 < right->area_mm2 ? 1 : left->area_mm2 > right->area_mm2 ? -1 : 0;
}

/* The rings as areas, largest first, near the origin. */
static GPtrArray *
list_areas (GPtrArray *rings, GError **error)
{
  g_autoptr (GPtrArray) areas = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  double least_x = INFINITY, least_y = INFINITY;

  for (guint r = 0; r < rings->len; r++)
    {
      const GArray *ring = rings->pdata[r];
      for (guint i = 0; i < ring->len; i += 2)
        {
          least_x = fmin (least_x, g_array_index (ring, double, i));
          least_y = fmin (least_y, g_array_index (ring, double, i + 1));
        }
    }
  for (guint r = 0; r < rings->len; r++)
    {
      GArray *ring = rings->pdata[r];
      g_autoptr (GError) failure = NULL;
      RakeShape *area;

      for (guint i = 0; i < ring->len; i += 2)
        {
          g_array_index (ring, double, i) -= least_x;
          g_array_index (ring, double, i + 1) -= least_y;
        }
      area = rake_shape_new_area ((double *) (gpointer) ring->data, ring->len / 2, &failure);
      if (area != NULL)
        g_ptr_array_add (areas, area);
      else if (!g_error_matches (failure, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY))
        {
          g_propagate_error (error, g_steal_pointer (&failure));
          return NULL;
        }
    }
  g_ptr_array_sort (areas, compare_areas);
  return g_steal_pointer (&areas);
}

static gboolean
lies_within (const RakeShape *inner, const RakeShape *outer)
{
  g_autoptr (RakeShape) outside = NULL;

  if (inner->bounds.min_x_mm < outer->bounds.min_x_mm ||
      inner->bounds.max_x_mm > outer->bounds.max_x_mm ||
      inner->bounds.min_y_mm < outer->bounds.min_y_mm ||
      inner->bounds.max_y_mm > outer->bounds.max_y_mm)
    return FALSE;
  outside = rake_shape_difference (inner, outer, NULL);
  return outside == NULL;
}

static RakeShape *
cut_out_holes (const GPtrArray *areas, GError **error)
{
  RakeShape *outline = areas->pdata[0];
  g_autoptr (GPtrArray) inside = g_ptr_array_new ();
  g_autoptr (RakeShape) holes = NULL;

  for (guint i = 1; i < areas->len; i++)
    {
      RakeShape *area = areas->pdata[i];
      if (area->area_mm2 <= LARGEST_HOLE_FRACTION * outline->area_mm2 &&
          lies_within (area, outline))
        g_ptr_array_add (inside, area);
    }
  if (inside->len == 0)
    return rake_shape_ref (outline);
  /* United first: what is drawn inside a hole is no wood again. */
  holes = rake_shape_union_all ((RakeShape *const *) inside->pdata, inside->len, error);
  return holes != NULL ? rake_shape_difference (outline, holes, error) : NULL;
}

static RakeShape *
find_outline (GPtrArray *rings, GError **error)
{
  g_autoptr (GPtrArray) areas = list_areas (rings, error);
  g_autoptr (RakeShape) outline = NULL;

  if (areas == NULL)
    return NULL;
  if (areas->len == 0)
    {
      g_set_error_literal (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NO_AREA,
                           _ ("There is no closed line in this drawing: close the outline's path "
                              "and save it again."));
      return NULL;
    }
  outline = cut_out_holes (areas, error);
  if (outline == NULL)
    return NULL;
  return rake_shape_transform (
      outline, (const double[]){ 1, 0, 0, 1, -outline->bounds.min_x_mm, -outline->bounds.min_y_mm },
      error);
}

RakeShape *
rake_outline_new_from_svg (const char *svg, gsize length, double mm_per_unit, GError **error)
{
  Reader reader = { .mm_per_unit = mm_per_unit };
  RakeShape *outline = NULL;

  if (length > MOST_BYTES)
    {
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                   _ ("The drawing is larger than %d MiB: save only the outline and its holes."),
                   MOST_BYTES / 1024 / 1024);
      return NULL;
    }
  if (!(mm_per_unit >= 0 && mm_per_unit <= RAKE_SHAPE_LIMIT_MM))
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                           _ ("The millimetres of one unit must be a number above 0."));
      return NULL;
    }
  rake_svg_tracer_init (&reader.tracer);
  reader.matrices = g_array_new (FALSE, FALSE, sizeof (RakeSvgMatrix));
  if (read_drawing (&reader, svg, length, error))
    outline = find_outline (reader.tracer.rings, error);
  g_array_unref (reader.matrices);
  rake_svg_tracer_clear (&reader.tracer);
  return outline;
}

/* svg-walk.c - goes through a drawing as it is shown, and follows the shapes in it.
 *
 * What would change a closed line and is not followed (a clip, a style's transform, a frame that
 * cuts off) is remembered on the way down, and said when a closed line meets it: around text or a
 * picture it does no harm. */
#include <math.h>
#include <string.h>

#include "i18n.h"
#include "svg-private.h"

/* A drawing that uses its parts over and over is read no further than this. */
#define MOST_BYTES (64 * 1024 * 1024)

/* A line on the frame is not cut off by it. */
#define FRAME_WITHIN_MM 0.05

typedef struct
{
  RakeSvgTracer *tracer;
  const RakeSvgTree *tree;
  guint n_elements;
  gsize n_bytes;
} Walker;

/* --- shapes --------------------------------------------------------------------------------- */

static gboolean
trace_rect (RakeSvgTracer *tracer, const RakeSvgNode *node, const RakeSvgPlace *place,
            GError **error)
{
  double x = 0, y = 0, width = 0, height = 0, rx = NAN, ry = NAN;

  if (!rake_svg_read_units (node, "x", place->width, &x, error) ||
      !rake_svg_read_units (node, "y", place->height, &y, error) ||
      !rake_svg_read_units (node, "width", place->width, &width, error) ||
      !rake_svg_read_units (node, "height", place->height, &height, error) ||
      !rake_svg_read_units (node, "rx", place->width, &rx, error) ||
      !rake_svg_read_units (node, "ry", place->height, &ry, error))
    return FALSE;
  if (width <= 0 || height <= 0)
    return TRUE;
  /* 9.2: one radius stands for both, and neither is more than half the side. */
  if (isnan (rx))
    rx = isnan (ry) ? 0 : ry;
  if (isnan (ry))
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
trace_ellipse (RakeSvgTracer *tracer, const RakeSvgNode *node, const RakeSvgPlace *place,
               GError **error)
{
  gboolean is_circle = strcmp (node->name, "circle") == 0;
  /* 7.10 */
  double diagonal = hypot (place->width, place->height) / G_SQRT2;
  double x = 0, y = 0, rx = NAN, ry = NAN;

  if (!rake_svg_read_units (node, "cx", place->width, &x, error) ||
      !rake_svg_read_units (node, "cy", place->height, &y, error) ||
      !rake_svg_read_units (node, is_circle ? "r" : "rx", is_circle ? diagonal : place->width, &rx,
                            error) ||
      !rake_svg_read_units (node, is_circle ? "r" : "ry", is_circle ? diagonal : place->height, &ry,
                            error))
    return FALSE;
  /* SVG 2, 10.4: one radius stands for both here too. */
  if (isnan (rx))
    rx = ry;
  if (isnan (ry))
    ry = rx;
  return !(rx > 0 && ry > 0) || rake_svg_tracer_ellipse (tracer, x, y, rx, ry, error);
}

static gboolean
trace_shape (RakeSvgTracer *tracer, const RakeSvgNode *node, const RakeSvgPlace *place,
             GError **error)
{
  const char *name = node->name;
  const char *data = rake_svg_node_get (node, "d"), *points = rake_svg_node_get (node, "points");

  if (strcmp (name, "path") == 0)
    return data == NULL || rake_svg_trace_path (tracer, data, error);
  if (strcmp (name, "rect") == 0)
    return trace_rect (tracer, node, place, error);
  if (strcmp (name, "circle") == 0 || strcmp (name, "ellipse") == 0)
    return trace_ellipse (tracer, node, place, error);
  if (strcmp (name, "polygon") == 0 || strcmp (name, "polyline") == 0)
    return points == NULL ||
           rake_svg_trace_points (tracer, points, strcmp (name, "polygon") == 0, error);
  return TRUE;
}

/* --- what is not followed ------------------------------------------------------------------- */

/* Remembers what the element does that is not followed. */
static void
note_faults (const RakeSvgNode *node, gboolean is_root, RakeSvgPlace *place)
{
  const char *name = node->name;
  const char *cut = rake_svg_style_find (node->style, RAKE_SVG_CUT, TRUE);
  const char *placing = rake_svg_style_find (node->style, RAKE_SVG_PLACE, TRUE);

  if (placing == NULL && rake_svg_node_get (node, "transform") != NULL)
    placing = rake_svg_style_find (node->style, RAKE_SVG_TURN, TRUE);
  /* A group has no measures, and the outermost one's are about the page it is shown on. */
  if (placing == NULL && !is_root && strcmp (name, "g") != 0 && strcmp (name, "a") != 0 &&
      strcmp (name, "switch") != 0)
    placing = rake_svg_style_find (node->style, RAKE_SVG_MEASURE, TRUE);
  if (placing == NULL && strcmp (name, "symbol") == 0)
    placing = rake_svg_node_get (node, "refX") != NULL   ? "refX"
              : rake_svg_node_get (node, "refY") != NULL ? "refY"
                                                         : NULL;
  if (cut != NULL)
    place->cut = (RakeSvgFault){ name, cut };
  if (placing != NULL)
    place->placing = (RakeSvgFault){ name, placing };
}

/* The rings from @first on came from @node. */
static gboolean
check_rings (const GPtrArray *rings, guint first, const RakeSvgNode *node,
             const RakeSvgPlace *place, GError **error)
{
  if (first == rings->len)
    return TRUE;
  if (place->cut.element != NULL)
    {
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                   _ ("“%s” in the drawing is cut off by “%s”, which is not read: release it "
                      "in the drawing program, cut the path itself, and save again."),
                   place->cut.element, place->cut.property);
      return FALSE;
    }
  if (place->placing.element != NULL)
    {
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                   _ ("“%s” in the drawing is placed by “%s” in a way that is not read: let the "
                      "drawing program apply it to the path, and save again."),
                   place->placing.element, place->placing.property);
      return FALSE;
    }
  for (const RakeSvgFrame *frame = place->frame; frame != NULL; frame = frame->outer)
    for (guint r = first; r < rings->len; r++)
      if (!rake_svg_lies_in_frame (frame, rings->pdata[r], FRAME_WITHIN_MM))
        {
          g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                       _ ("“%s” in the drawing reaches beyond the “%s” it lies in, which cuts "
                          "it off: take it out of there in the drawing program, and save again."),
                       node->name, frame->name);
          return FALSE;
        }
  return TRUE;
}

/* --- the tree ------------------------------------------------------------------------------- */

static gboolean walk (Walker *walker, const RakeSvgNode *node, const RakeSvgNode *use,
                      RakeSvgPlace place, GError **error);

static gboolean
asks_for_more (const RakeSvgNode *node)
{
  const char *extensions = rake_svg_node_get (node, "requiredExtensions");

  return extensions != NULL && *extensions != '\0';
}

static gboolean
walk_children (Walker *walker, const RakeSvgNode *node, const RakeSvgPlace *place, GError **error)
{
  gboolean is_switch = strcmp (node->name, "switch") == 0;

  for (guint i = 0; i < node->children->len; i++)
    {
      const RakeSvgNode *child = node->children->pdata[i];

      /* 5.8: the first that will do. We read no language, so the one for any does. */
      if (is_switch &&
          (asks_for_more (child) || rake_svg_node_get (child, "systemLanguage") != NULL))
        continue;
      if (!walk (walker, child, NULL, *place, error))
        return FALSE;
      if (is_switch)
        break;
    }
  return TRUE;
}

/* What a "use" stands for; NULL with an error. */
static const RakeSvgNode *
find_used (const Walker *walker, const RakeSvgNode *use, const RakeSvgPlace *place, GError **error)
{
  const char *link = rake_svg_node_get_link (use);
  g_autofree char *excerpt = rake_svg_shorten (link != NULL ? link : "");
  const RakeSvgNode *used = NULL;

  if (link == NULL || *link != '#')
    {
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                   _ ("“use” in the drawing stands for “%s”, which is not a part of it: unlink "
                      "the clone in the drawing program, and save again."),
                   excerpt);
      return NULL;
    }
  used = rake_svg_tree_find (walker->tree, link + 1);
  if (used == NULL)
    {
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                   _ ("“use” in the drawing stands for “%s”, which is not in it: delete or "
                      "unlink the clone in the drawing program, and save again."),
                   excerpt);
      return NULL;
    }
  for (const RakeSvgUse *outer = place->uses; outer != NULL; outer = outer->outer)
    if (outer->used == used)
      {
        g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                     _ ("“use” in the drawing stands for “%s”, which holds itself: delete or "
                        "unlink the clone in the drawing program, and save again."),
                     excerpt);
        return NULL;
      }
  return used;
}

static gboolean
walk_use (Walker *walker, const RakeSvgNode *use, RakeSvgPlace place, GError **error)
{
  const RakeSvgNode *used = find_used (walker, use, &place, error);
  RakeSvgUse within = { place.uses, used };
  double x = 0, y = 0;

  if (used == NULL || !rake_svg_read_units (use, "x", place.width, &x, error) ||
      !rake_svg_read_units (use, "y", place.height, &y, error))
    return FALSE;
  place.matrix = rake_svg_matrix_multiply (place.matrix, (RakeSvgMatrix){ 1, 0, 0, 1, x, y });
  place.uses = &within;
  return walk (walker, used, use, place, error);
}

/* An element that is displayed and stands at @place. */
static gboolean
walk_placed (Walker *walker, const RakeSvgNode *node, const RakeSvgNode *use, RakeSvgPlace place,
             GError **error)
{
  const char *name = node->name;
  gboolean is_root = node == walker->tree->root && use == NULL;
  guint n_rings = walker->tracer->rings->len;
  RakeSvgFrame frame;

  if (strcmp (name, "g") == 0 || strcmp (name, "a") == 0 || strcmp (name, "switch") == 0 || is_root)
    return walk_children (walker, node, &place, error);
  if (strcmp (name, "svg") == 0 || (strcmp (name, "symbol") == 0 && use != NULL))
    return rake_svg_enter_inner (node, use, &place, &frame, error) &&
           (place.width <= 0 || place.height <= 0 || walk_children (walker, node, &place, error));
  if (strcmp (name, "use") == 0)
    return walk_use (walker, node, place, error);
  if (place.is_hidden)
    return TRUE;
  walker->tracer->matrix = place.matrix;
  return trace_shape (walker->tracer, node, &place, error) &&
         check_rings (walker->tracer->rings, n_rings, node, &place, error);
}

/* use  the "use" that stands for the element, or NULL when it stands for itself */
static gboolean
walk (Walker *walker, const RakeSvgNode *node, const RakeSvgNode *use, RakeSvgPlace place,
      GError **error)
{
  const char *transform = rake_svg_node_get (node, "transform");

  walker->n_bytes += node->n_bytes;
  if (!rake_svg_check_n_elements (walker->n_bytes <= MOST_BYTES ? ++walker->n_elements : G_MAXUINT,
                                  error))
    return FALSE;
  if (++place.depth > RAKE_SVG_DEEPEST)
    {
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                   _ ("The drawing is nested more than %d deep."), RAKE_SVG_DEEPEST);
      return FALSE;
    }
  if (asks_for_more (node) || rake_svg_style_find (node->style, RAKE_SVG_DISPLAY, TRUE) != NULL)
    return TRUE;
  if (rake_svg_style_find (node->style, RAKE_SVG_VISIBILITY, FALSE) != NULL)
    place.is_hidden = rake_svg_style_find (node->style, RAKE_SVG_VISIBILITY, TRUE) != NULL;
  note_faults (node, node == walker->tree->root, &place);
  if (transform != NULL && !rake_svg_read_transform (transform, &place.matrix, error))
    return FALSE;
  return walk_placed (walker, node, use, place, error);
}

gboolean
rake_svg_trace_tree (RakeSvgTracer *tracer, const RakeSvgTree *tree, double mm_per_unit,
                     GError **error)
{
  Walker walker = { .tracer = tracer, .tree = tree };
  RakeSvgPlace place = { .depth = 0 };

  return rake_svg_check_style_sheets (tree->style_sheets->str, error) &&
         rake_svg_enter_root (tree->root, mm_per_unit, &place, error) &&
         walk (&walker, tree->root, NULL, place, error);
}

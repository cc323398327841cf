/* outline.c - the outlines that come with the program.
 *
 * Each is given in shares of its width and height, so that it fills its bounds exactly: at every
 * outermost place a curve runs upright or level. */
#include <rakelight/outline.h>

#include <math.h>

#include "path.h"
#include "shape-private.h"

#define LEAST_SIZE_MM 1.0
#define MOST_SIZE_MM 20000.0

/* Less than the thickness of a hair: any closer, and every sum over an outline would take longer
 * for nothing that can be seen or sanded. outline.h promises it. */
#define TOLERANCE_MM 0.05

/* What must remain between a hole and the edge. */
#define LEAST_RIM_MM 0.1

/* A cubic through shares of width and height: two control points and the end. */
typedef struct
{
  double x1, y1, x2, y2, x, y;
} Curve;

typedef struct
{
  const char *name;
  double width_mm, height_mm, hole_mm; /* usual */
  double hole_x, hole_y;               /* its middle, as shares */
  void (*draw) (RakePath *path, double width_mm, double height_mm);
} Kind;

static void
draw_curves (RakePath *path, const Curve *curves, guint n_curves, double width_mm, double height_mm)
{
  for (guint i = 0; i < n_curves; i++)
    {
      const Curve *c = &curves[i];
      rake_path_curve_to (path, c->x1 * width_mm, c->y1 * height_mm, c->x2 * width_mm,
                          c->y2 * height_mm, c->x * width_mm, c->y * height_mm);
    }
}

/* The left half of a piece is its right half seen in a mirror: same points, other way round. */
static void
draw_mirrored (RakePath *path, const RakePath *right, double width_mm)
{
  for (guint i = rake_path_get_n_points (right); i-- > 0;)
    {
      const double *point = rake_path_get_points (right) + 2 * i;
      rake_path_line_to (path, width_mm - point[0], point[1]);
    }
}

static void
draw_rounded_slab (RakePath *path, double width_mm, double height_mm)
{
  double radius_mm = 0.12 * fmin (width_mm, height_mm);
  double right = width_mm - radius_mm, low = height_mm - radius_mm;

  rake_path_arc (path, right, radius_mm, radius_mm, radius_mm, -G_PI_2, G_PI_2);
  rake_path_arc (path, right, low, radius_mm, radius_mm, 0, G_PI_2);
  draw_mirrored (path, path, width_mm);
}

static void
draw_pear (RakePath *path, double width_mm, double height_mm)
{
  static const Curve right[] = {
    { 0.640, 0.045, 0.690, 0.090, 0.770, 0.180 },
    { 0.880, 0.305, 1.000, 0.440, 1.000, 0.640 },
    { 1.000, 0.845, 0.780, 1.000, 0.500, 1.000 },
  };

  rake_path_line_to (path, 0.60 * width_mm, 0);
  draw_curves (path, right, G_N_ELEMENTS (right), width_mm, height_mm);
  draw_mirrored (path, path, width_mm);
}

/* From the top of the upper bout down the right side to the middle below. */
static const Curve bouts_right[] = {
  { 0.780, 0.000, 0.880, 0.100, 0.880, 0.200 },
  { 0.880, 0.275, 0.812, 0.315, 0.812, 0.415 },
  { 0.812, 0.530, 1.000, 0.590, 1.000, 0.740 },
  { 1.000, 0.910, 0.790, 1.000, 0.500, 1.000 },
};

static void
draw_waisted (RakePath *path, double width_mm, double height_mm)
{
  rake_path_line_to (path, 0.58 * width_mm, 0);
  draw_curves (path, bouts_right, G_N_ELEMENTS (bouts_right), width_mm, height_mm);
  draw_mirrored (path, path, width_mm);
}

static void
draw_cut_away (RakePath *path, double width_mm, double height_mm)
{
  static const Curve horn[] = {
    { 0.588, 0.080, 0.600, 0.165, 0.675, 0.172 },
    { 0.740, 0.178, 0.765, 0.105, 0.812, 0.105 },
    { 0.862, 0.105, 0.880, 0.160, 0.880, 0.205 },
    { 0.880, 0.275, 0.812, 0.315, 0.812, 0.415 },
  };
  g_autoptr (RakePath) whole = rake_path_new (path->tolerance_mm);

  rake_path_line_to (whole, 0.58 * width_mm, 0);
  draw_curves (whole, bouts_right, G_N_ELEMENTS (bouts_right), width_mm, height_mm);
  rake_path_line_to (path, 0.58 * width_mm, 0);
  draw_curves (path, horn, G_N_ELEMENTS (horn), width_mm, height_mm);
  draw_curves (path, bouts_right + 2, 2, width_mm, height_mm);
  draw_mirrored (path, whole, width_mm);
}

static void
draw_lid (RakePath *path, double width_mm, double height_mm)
{
  double radius_mm = 0.025 * fmin (width_mm, height_mm);
  double bow_mm = 0.045 * height_mm;
  double corner_y = height_mm - bow_mm;

  rake_path_arc (path, width_mm - radius_mm, radius_mm, radius_mm, radius_mm, -G_PI_2, G_PI_2);
  rake_path_line_to (path, width_mm, corner_y - radius_mm);
  rake_path_curve_to (path, width_mm, corner_y - 0.4 * radius_mm, width_mm - 0.4 * radius_mm,
                      corner_y, width_mm - radius_mm, corner_y + 0.15 * radius_mm);
  rake_path_curve_to (path, 0.8 * width_mm, height_mm - 0.25 * bow_mm, 0.65 * width_mm, height_mm,
                      0.5 * width_mm, height_mm);
  draw_mirrored (path, path, width_mm);
}

static void
draw_side_strip (RakePath *path, double width_mm, double height_mm)
{
  rake_path_line_to (path, 0, 0.14 * height_mm);
  rake_path_curve_to (path, 0.25 * width_mm, 0.02 * height_mm, 0.35 * width_mm, 0, 0.5 * width_mm,
                      0);
  rake_path_curve_to (path, 0.65 * width_mm, 0, 0.75 * width_mm, 0.02 * height_mm, width_mm,
                      0.14 * height_mm);
  rake_path_line_to (path, width_mm, height_mm);
  rake_path_line_to (path, 0, height_mm);
}

static void
draw_disc (RakePath *path, double width_mm, double height_mm)
{
  rake_path_arc (path, width_mm / 2, height_mm / 2, width_mm / 2, height_mm / 2, -G_PI_2, 2 * G_PI);
}

static void
draw_neck (RakePath *path, double width_mm, double height_mm)
{
  double round_mm = fmin (width_mm, height_mm) / 2;

  rake_path_line_to (path, 0.87 * width_mm, 0);
  rake_path_arc (path, width_mm / 2, height_mm - round_mm, width_mm / 2, round_mm, 0, G_PI_2);
  draw_mirrored (path, path, width_mm);
}

static const Kind kinds[RAKE_N_OUTLINES] = {
  [RAKE_OUTLINE_ROUNDED_SLAB] = { N_ ("Rounded slab"), 600, 300, 0, 0.5, 0.5, draw_rounded_slab },
  [RAKE_OUTLINE_PEAR] = { N_ ("Pear"), 330, 440, 92, 0.5, 0.40, draw_pear },
  [RAKE_OUTLINE_WAISTED] = { N_ ("Waisted"), 390, 490, 98, 0.5, 0.34, draw_waisted },
  [RAKE_OUTLINE_CUT_AWAY] = { N_ ("Cut away"), 390, 490, 98, 0.5, 0.36, draw_cut_away },
  [RAKE_OUTLINE_LID] = { N_ ("Lid"), 340, 240, 0, 0.5, 0.5, draw_lid },
  [RAKE_OUTLINE_SIDE_STRIP] = { N_ ("Side strip"), 1350, 105, 0, 0.5, 0.5, draw_side_strip },
  [RAKE_OUTLINE_DISC] = { N_ ("Disc"), 400, 400, 0, 0.5, 0.5, draw_disc },
  [RAKE_OUTLINE_NECK] = { N_ ("Neck"), 62, 420, 0, 0.5, 0.9, draw_neck },
};

const char *
rake_outline_kind_get_name (RakeOutlineKind kind)
{
  g_return_val_if_fail (kind >= 1 && kind < RAKE_N_OUTLINES, NULL);
  return kinds[kind].name;
}

void
rake_outline_kind_get_usual_size (RakeOutlineKind kind, double *width_mm, double *height_mm,
                                  double *hole_mm)
{
  g_return_if_fail (kind >= 1 && kind < RAKE_N_OUTLINES);
  *width_mm = kinds[kind].width_mm;
  *height_mm = kinds[kind].height_mm;
  *hole_mm = kinds[kind].hole_mm;
}

static gboolean
check_size (double width_mm, double height_mm, double hole_mm, GError **error)
{
  /* Written so that what is not a number fails too. */
  if (!(width_mm >= LEAST_SIZE_MM && width_mm <= MOST_SIZE_MM && height_mm >= LEAST_SIZE_MM &&
        height_mm <= MOST_SIZE_MM))
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("Width and height must be from %.0f to %.0f mm."), LEAST_SIZE_MM,
                   MOST_SIZE_MM);
      return FALSE;
    }
  if (!(hole_mm >= 0 && hole_mm <= MOST_SIZE_MM))
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                           _ ("The hole's diameter must be 0 mm (none) or more."));
      return FALSE;
    }
  return TRUE;
}

RakeShape *
rake_outline_new (RakeOutlineKind kind, double width_mm, double height_mm, double hole_mm,
                  GError **error)
{
  g_autoptr (RakePath) path = rake_path_new (TOLERANCE_MM), hole = rake_path_new (TOLERANCE_MM);
  g_autoptr (RakeShape) outside = NULL;
  double hole_x_mm, hole_y_mm;

  g_return_val_if_fail (kind >= 1 && kind < RAKE_N_OUTLINES, NULL);
  if (!check_size (width_mm, height_mm, hole_mm, error))
    return NULL;
  kinds[kind].draw (path, width_mm, height_mm);
  outside = rake_shape_new_area (rake_path_get_points (path), rake_path_get_n_points (path), error);
  if (outside == NULL || hole_mm == 0)
    return g_steal_pointer (&outside);

  hole_x_mm = kinds[kind].hole_x * width_mm;
  hole_y_mm = kinds[kind].hole_y * height_mm;
  if (!rake_shape_contains (outside, hole_x_mm, hole_y_mm) ||
      rake_shape_get_distance_to_edge_mm (outside, hole_x_mm, hole_y_mm) <
          hole_mm / 2 + LEAST_RIM_MM)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("A hole of %.1f mm does not fit there: the edge is only %.1f mm from its "
                      "middle."),
                   hole_mm, rake_shape_get_distance_to_edge_mm (outside, hole_x_mm, hole_y_mm));
      return NULL;
    }
  rake_path_arc (hole, hole_x_mm, hole_y_mm, hole_mm / 2, hole_mm / 2, 0, 2 * G_PI);
  return rake_shape_new_area_with_holes (
      (const double *const[]){ rake_path_get_points (path), rake_path_get_points (hole) },
      (const guint[]){ rake_path_get_n_points (path), rake_path_get_n_points (hole) }, 2, error);
}

/* svg-path.c - path data after SVG 1.1, 8.3.
 *
 * The traps of the grammar, on which other readers have fallen: numbers need nothing between them
 * when a sign or a second point parts them ("1-2", ".5.5"); the flags of an arc are one digit each
 * and need no separator at all ("a1 1 0 001 1"); any number of argument sets may follow a letter,
 * and those after a moveto are linetos. */
#include "svg-private.h"

#include <string.h>

#include "i18n.h"

typedef struct
{
  RakeSvgScan scan;
  RakeSvgTracer *tracer;
  double control_x,
      control_y; /* the last curve's second control point, where a smooth one starts */
  char last;     /* the letter before, in upper case */
} PathReader;

/* The arguments of one set, made absolute. What they are is in @form, a letter each: coordinates
 * (x, y), numbers (n) and flags (f). */
static gboolean
read_arguments (PathReader *reader, const char *form, gboolean is_relative, double *arguments,
                GError **error)
{
  const double base_x = is_relative ? reader->tracer->x : 0;
  const double base_y = is_relative ? reader->tracer->y : 0;
  RakeSvgScan *scan = &reader->scan;

  for (const char *next = form; *next != '\0'; next++)
    {
      if (next > form)
        rake_svg_skip_comma (scan);
      if (*next == 'f')
        {
          if (*scan->at != '0' && *scan->at != '1')
            return rake_svg_refuse (scan, _ ("a flag (0 or 1)"), error);
          *arguments++ = *scan->at++ - '0';
          continue;
        }
      if (!rake_svg_read_number (scan, arguments, error))
        return FALSE;
      *arguments++ += *next == 'x' ? base_x : *next == 'y' ? base_y : 0;
    }
  return TRUE;
}

/* The first control point of a smooth curve: the last curve's second one, mirrored. */
static void
mirror_control (const PathReader *reader, const char *after, double *x, double *y)
{
  const RakeSvgTracer *tracer = reader->tracer;
  gboolean is_after_curve = reader->last != '\0' && strchr (after, reader->last) != NULL;

  *x = is_after_curve ? 2 * tracer->x - reader->control_x : tracer->x;
  *y = is_after_curve ? 2 * tracer->y - reader->control_y : tracer->y;
}

static gboolean
trace_cubic (PathReader *reader, double x1, double y1, const double *n, GError **error)
{
  reader->control_x = n[0];
  reader->control_y = n[1];
  return rake_svg_tracer_curve (reader->tracer, x1, y1, n[0], n[1], n[2], n[3], error);
}

/* A quadratic curve is the cubic whose control points lie two thirds of the way to its one. */
static gboolean
trace_quadratic (PathReader *reader, double x1, double y1, double x, double y, GError **error)
{
  const RakeSvgTracer *tracer = reader->tracer;

  reader->control_x = x1;
  reader->control_y = y1;
  return rake_svg_tracer_curve (reader->tracer, tracer->x + (x1 - tracer->x) * 2 / 3,
                                tracer->y + (y1 - tracer->y) * 2 / 3, x + (x1 - x) * 2 / 3,
                                y + (y1 - y) * 2 / 3, x, y, error);
}

/* Reads one set of arguments of @command, an upper case letter, and follows it. */
static gboolean
trace_set (PathReader *reader, char command, gboolean is_relative, GError **error)
{
  RakeSvgTracer *tracer = reader->tracer;
  double n[7], x1, y1;

  switch (command)
    {
    case 'M':
      return read_arguments (reader, "xy", is_relative, n, error) &&
             rake_svg_tracer_move (tracer, n[0], n[1], error);
    case 'L':
      return read_arguments (reader, "xy", is_relative, n, error) &&
             rake_svg_tracer_line (tracer, n[0], n[1], error);
    case 'H':
      return read_arguments (reader, "x", is_relative, n, error) &&
             rake_svg_tracer_line (tracer, n[0], tracer->y, error);
    case 'V':
      return read_arguments (reader, "y", is_relative, n, error) &&
             rake_svg_tracer_line (tracer, tracer->x, n[0], error);
    case 'C':
      return read_arguments (reader, "xyxyxy", is_relative, n, error) &&
             trace_cubic (reader, n[0], n[1], n + 2, error);
    case 'S':
      mirror_control (reader, "CS", &x1, &y1);
      return read_arguments (reader, "xyxy", is_relative, n, error) &&
             trace_cubic (reader, x1, y1, n, error);
    case 'Q':
      return read_arguments (reader, "xyxy", is_relative, n, error) &&
             trace_quadratic (reader, n[0], n[1], n[2], n[3], error);
    case 'T':
      mirror_control (reader, "QT", &x1, &y1);
      return read_arguments (reader, "xy", is_relative, n, error) &&
             trace_quadratic (reader, x1, y1, n[0], n[1], error);
    case 'A':
      return read_arguments (reader, "nnnffxy", is_relative, n, error) &&
             rake_svg_tracer_arc (tracer, n[0], n[1], n[2], n[3] == 1, n[4] == 1, n[5], n[6],
                                  error);
    default:
      g_assert_not_reached ();
    }
}

/* A letter and all its sets of arguments. */
static gboolean
trace_command (PathReader *reader, GError **error)
{
  RakeSvgScan *scan = &reader->scan;
  gboolean is_relative = g_ascii_islower (*scan->at);
  char command = g_ascii_toupper (*scan->at);

  if (command == '\0' || strchr ("MLHVCSQTAZ", command) == NULL ||
      (reader->last == '\0' && command != 'M'))
    return rake_svg_refuse (scan, reader->last == '\0' ? _ ("“M”") : _ ("a command letter"), error);
  scan->at++;
  rake_svg_skip_space (scan);
  if (command == 'Z')
    {
      reader->last = command;
      return rake_svg_tracer_close (reader->tracer, error);
    }
  for (;;)
    {
      gboolean has_comma;

      if (!trace_set (reader, command, is_relative, error))
        return FALSE;
      reader->last = command;
      if (command == 'M')
        command = 'L';
      has_comma = rake_svg_skip_comma (scan);
      if (!rake_svg_is_at_number (scan))
        return !has_comma || rake_svg_refuse (scan, _ ("a number"), error);
    }
}

gboolean
rake_svg_trace_path (RakeSvgTracer *tracer, const char *data, GError **error)
{
  PathReader reader = { .scan = { data, data }, .tracer = tracer };

  tracer->x = tracer->y = 0; /* a relative moveto at the start is an absolute one */
  rake_svg_skip_space (&reader.scan);
  while (*reader.scan.at != '\0')
    {
      if (!trace_command (&reader, error))
        return FALSE;
      rake_svg_skip_space (&reader.scan);
    }
  return rake_svg_tracer_end (tracer, error);
}

gboolean
rake_svg_trace_points (RakeSvgTracer *tracer, const char *points, gboolean is_closed,
                       GError **error)
{
  RakeSvgScan scan = { points, points };
  gboolean is_first = TRUE;
  double x, y;

  rake_svg_skip_space (&scan);
  while (*scan.at != '\0')
    {
      if (!rake_svg_read_number (&scan, &x, error))
        return FALSE;
      rake_svg_skip_comma (&scan);
      if (!rake_svg_read_number (&scan, &y, error))
        return FALSE;
      rake_svg_skip_comma (&scan);
      if (is_first ? !rake_svg_tracer_move (tracer, x, y, error)
                   : !rake_svg_tracer_line (tracer, x, y, error))
        return FALSE;
      is_first = FALSE;
    }
  return is_closed ? rake_svg_tracer_close (tracer, error) : rake_svg_tracer_end (tracer, error);
}

/* svg-scan.c - the numbers, lengths and transforms of SVG attributes. */
#include "svg-private.h"

#include <math.h>
#include <string.h>

#include "i18n.h"

void
rake_svg_skip_space (RakeSvgScan *scan)
{
  scan->at += strspn (scan->at, " \t\r\n\f");
}

gboolean
rake_svg_skip_comma (RakeSvgScan *scan)
{
  rake_svg_skip_space (scan);
  if (*scan->at != ',')
    return FALSE;
  scan->at++;
  rake_svg_skip_space (scan);
  return TRUE;
}

gboolean
rake_svg_is_at_number (const RakeSvgScan *scan)
{
  const char *at = scan->at;

  if (*at == '+' || *at == '-')
    at++;
  return g_ascii_isdigit (*at) || (*at == '.' && g_ascii_isdigit (at[1]));
}

gboolean
rake_svg_refuse (const RakeSvgScan *scan, const char *expected, GError **error)
{
  g_autofree char *rest = g_utf8_make_valid (scan->at, (gssize) strnlen (scan->at, 60));
  glong length = g_utf8_strlen (rest, -1);
  g_autofree char *excerpt = g_utf8_substring (rest, 0, MIN (length, 20));

  if (length == 0)
    g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_PATH,
                 _ ("The drawing has a path that cannot be read: it ends where %s should follow."),
                 expected);
  else
    g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_PATH,
                 _ ("The drawing has a path that cannot be read: at character %u there is “%s” "
                    "where %s should be."),
                 (guint) (scan->at - scan->text) + 1, excerpt, expected);
  return FALSE;
}

char *
rake_svg_shorten (const char *text)
{
  g_autofree char *whole = g_utf8_make_valid (text, (gssize) strnlen (text, 400));
  g_autofree char *start = NULL;

  if (g_utf8_strlen (whole, -1) <= 40)
    return g_steal_pointer (&whole);
  start = g_utf8_substring (whole, 0, 39);
  return g_strconcat (start, "…", NULL);
}

static gsize
measure_number (const char *text)
{
  const char *at = text;

  if (*at == '+' || *at == '-')
    at++;
  at += strspn (at, "0123456789");
  if (*at == '.')
    at++;
  at += strspn (at, "0123456789");
  /* An "e" without digits after it belongs to what follows, as in "1em". */
  if (*at == 'e' || *at == 'E')
    {
      const char *exponent = at + 1;
      if (*exponent == '+' || *exponent == '-')
        exponent++;
      if (g_ascii_isdigit (*exponent))
        at = exponent + strspn (exponent, "0123456789");
    }
  return (gsize) (at - text);
}

gboolean
rake_svg_read_number (RakeSvgScan *scan, double *number, GError **error)
{
  g_autofree char *text = NULL;
  gsize length;

  if (!rake_svg_is_at_number (scan))
    return rake_svg_refuse (scan, _ ("a number"), error);
  length = measure_number (scan->at);
  text = g_strndup (scan->at, length);
  *number = g_ascii_strtod (text, NULL);
  if (!isfinite (*number))
    return rake_svg_refuse (scan, _ ("a number of a usable size"), error);
  scan->at += length;
  return TRUE;
}

RakeSvgLengthKind
rake_svg_read_length (const char *text, double *length)
{
  static const struct
  {
    const char *unit;
    RakeSvgLengthKind kind;
    double factor;
  } units[] = {
    { "", RAKE_SVG_LENGTH_USER, 1 },
    { "px", RAKE_SVG_LENGTH_USER, 1 },
    { "mm", RAKE_SVG_LENGTH_PHYSICAL, 1 },
    { "cm", RAKE_SVG_LENGTH_PHYSICAL, 10 },
    { "q", RAKE_SVG_LENGTH_PHYSICAL, 0.25 },
    { "in", RAKE_SVG_LENGTH_PHYSICAL, 25.4 },
    { "pt", RAKE_SVG_LENGTH_PHYSICAL, 25.4 / 72 },
    { "pc", RAKE_SVG_LENGTH_PHYSICAL, 25.4 / 6 },
    { "%", RAKE_SVG_LENGTH_PERCENT, 1 },
  };
  g_autofree char *unit = NULL;
  RakeSvgScan scan = { text, text };

  if (text == NULL)
    return RAKE_SVG_LENGTH_NONE;
  rake_svg_skip_space (&scan);
  if (!rake_svg_read_number (&scan, length, NULL))
    return RAKE_SVG_LENGTH_NONE;
  unit = g_strchomp (g_strdup (scan.at));
  for (gsize i = 0; i < G_N_ELEMENTS (units); i++)
    if (g_ascii_strcasecmp (unit, units[i].unit) == 0)
      {
        *length *= units[i].factor;
        return units[i].kind;
      }
  return RAKE_SVG_LENGTH_NONE;
}

RakeSvgMatrix
rake_svg_matrix_multiply (RakeSvgMatrix outer, RakeSvgMatrix inner)
{
  return (RakeSvgMatrix){
    outer.a * inner.a + outer.c * inner.b,
    outer.b * inner.a + outer.d * inner.b,
    outer.a * inner.c + outer.c * inner.d,
    outer.b * inner.c + outer.d * inner.d,
    outer.a * inner.e + outer.c * inner.f + outer.e,
    outer.b * inner.e + outer.d * inner.f + outer.f,
  };
}

static RakeSvgMatrix
new_rotation (const double *n, guint n_numbers)
{
  double angle = n[0] * G_PI / 180;
  double x = n_numbers == 3 ? n[1] : 0, y = n_numbers == 3 ? n[2] : 0;
  RakeSvgMatrix there = { 1, 0, 0, 1, x, y }, back = { 1, 0, 0, 1, -x, -y };
  RakeSvgMatrix turn = { cos (angle), sin (angle), -sin (angle), cos (angle), 0, 0 };

  return rake_svg_matrix_multiply (there, rake_svg_matrix_multiply (turn, back));
}

/* FALSE when there is no such function, or not with so many numbers. */
static gboolean
find_matrix (const char *name, gsize length, const double *n, guint n_numbers,
             RakeSvgMatrix *matrix)
{
#define IS(word, numbers)                                                                          \
  (length == strlen (word) && strncmp (name, word, length) == 0 && n_numbers == (numbers))
  if (IS ("matrix", 6))
    *matrix = (RakeSvgMatrix){ n[0], n[1], n[2], n[3], n[4], n[5] };
  else if (IS ("translate", 1) || IS ("translate", 2))
    *matrix = (RakeSvgMatrix){ 1, 0, 0, 1, n[0], n_numbers == 2 ? n[1] : 0 };
  else if (IS ("scale", 1) || IS ("scale", 2))
    *matrix = (RakeSvgMatrix){ n[0], 0, 0, n_numbers == 2 ? n[1] : n[0], 0, 0 };
  else if (IS ("rotate", 1) || IS ("rotate", 3))
    *matrix = new_rotation (n, n_numbers);
  else if (IS ("skewX", 1))
    *matrix = (RakeSvgMatrix){ 1, 0, tan (n[0] * G_PI / 180), 1, 0, 0 };
  else if (IS ("skewY", 1))
    *matrix = (RakeSvgMatrix){ 1, tan (n[0] * G_PI / 180), 0, 1, 0, 0 };
  else
    return FALSE;
#undef IS
  return TRUE;
}

/* "name ( number, number … )" */
static gboolean
read_function (RakeSvgScan *scan, RakeSvgMatrix *matrix)
{
  const char *name = scan->at;
  gsize length = strspn (name, "abcdefghijklmnopqrstuvwxyzXY");
  double numbers[6];
  guint n_numbers = 0;

  scan->at += length;
  rake_svg_skip_space (scan);
  if (*scan->at != '(')
    return FALSE;
  scan->at++;
  rake_svg_skip_space (scan);
  while (n_numbers < 6 && rake_svg_read_number (scan, &numbers[n_numbers], NULL))
    {
      n_numbers++;
      rake_svg_skip_comma (scan);
    }
  rake_svg_skip_space (scan);
  if (*scan->at != ')' || !find_matrix (name, length, numbers, n_numbers, matrix))
    return FALSE;
  scan->at++;
  return TRUE;
}

gboolean
rake_svg_read_transform (const char *text, RakeSvgMatrix *matrix, GError **error)
{
  RakeSvgScan scan = { text, text };

  rake_svg_skip_space (&scan);
  while (*scan.at != '\0')
    {
      RakeSvgMatrix inner;

      if (!read_function (&scan, &inner))
        {
          g_autofree char *excerpt = rake_svg_shorten (text);
          g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_PATH,
                       _ ("The drawing has a transform that cannot be read: “%s”."), excerpt);
          return FALSE;
        }
      *matrix = rake_svg_matrix_multiply (*matrix, inner);
      rake_svg_skip_comma (&scan);
    }
  return TRUE;
}

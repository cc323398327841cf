/* shape-wkt.c - shapes as well-known text.
 *
 * Our own writer and reader: the text is sealed, so every letter of it is ours to fix, and it comes
 * by mail, so every letter of it may be meant to hurt. */
#include "shape-private.h"

#include <math.h>
#include <string.h>

typedef struct
{
  const char *text;
  const char *at;
  RakeTracing *tracing;
} Reader;

/* Digit by digit from the last one: each entry's seal is over its shape's text, and printf took a
 * third of what an entry costs besides the disk. */
static void
write_number (GString *out, double mm)
{
  gint64 um = llround (mm * 1000);
  guint64 rest = (guint64) ABS (um);
  char text[24]; /* 19 digits, a sign and a point at most */
  char *end = text + sizeof text, *at = end;

  for (int place = -3; place <= 0 || rest > 0; place++, rest /= 10)
    {
      /* no zeros at the end, and no point before nothing */
      if (place == 0 && at < end)
        *--at = '.';
      if (place >= 0 || at < end || rest % 10 != 0)
        *--at = (char) ('0' + rest % 10);
    }
  if (um < 0)
    *--at = '-';
  g_string_append_len (out, at, end - at);
}

static void
write_path (GString *out, const RakeShape *shape, guint ring)
{
  const double *points = shape->points_mm + 2 * shape->rings[ring].first;

  for (guint i = 0; i < shape->rings[ring].n_points; i++)
    {
      g_string_append (out, i == 0 ? "(" : ", ");
      write_number (out, points[2 * i]);
      g_string_append_c (out, ' ');
      write_number (out, points[2 * i + 1]);
    }
  g_string_append_c (out, ')');
}

static void
write_polygons (GString *out, const RakeShape *shape)
{
  for (guint ring = 0; ring < shape->n_rings; ring++)
    {
      if (!shape->rings[ring].is_hole)
        g_string_append (out, ring == 0 ? "(" : "), (");
      else
        g_string_append (out, ", ");
      write_path (out, shape, ring);
    }
  g_string_append_c (out, ')');
}

static guint
count_parts (const RakeShape *shape)
{
  guint n_parts = 0;

  for (guint ring = 0; ring < shape->n_rings; ring++)
    n_parts += !shape->rings[ring].is_hole;
  return n_parts;
}

char *
rake_shape_to_wkt (const RakeShape *shape)
{
  static const char *const names[] = {
    [RAKE_SHAPE_POINT] = "POINT ", [RAKE_SHAPE_LINE] = "LINESTRING ", [RAKE_SHAPE_AREA] = "POLYGON "
  };
  GString *out = g_string_new (NULL);
  gboolean is_multi = count_parts (shape) > 1;

  if (is_multi)
    g_string_append (out, "MULTI");
  g_string_append (out, names[shape->kind]);
  if (is_multi)
    g_string_append_c (out, '(');
  if (shape->kind == RAKE_SHAPE_AREA)
    write_polygons (out, shape);
  else
    for (guint ring = 0; ring < shape->n_rings; ring++)
      {
        if (ring > 0)
          g_string_append (out, ", ");
        write_path (out, shape, ring);
      }
  if (is_multi)
    g_string_append_c (out, ')');
  return g_string_free (out, FALSE);
}

static gboolean
refuse (const Reader *reader, const char *expected, GError **error)
{
  g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
               _ ("well-known text, character %d: expected %s"),
               (int) (reader->at - reader->text) + 1, expected);
  return FALSE;
}

static void
skip_space (Reader *reader)
{
  while (g_ascii_isspace (*reader->at))
    reader->at++;
}

static gboolean
take (Reader *reader, char letter)
{
  skip_space (reader);
  if (*reader->at != letter)
    return FALSE;
  reader->at++;
  return TRUE;
}

static gboolean
expect (Reader *reader, char letter, GError **error)
{
  const char expected[] = { '"', letter, '"', '\0' };

  return take (reader, letter) || refuse (reader, expected, error);
}

static gboolean
read_number (Reader *reader, double *number, GError **error)
{
  gsize length;
  char *end = NULL;

  skip_space (reader);
  /* The span first: the C reader also takes "nan", "inf" and hexadecimals. */
  length = strspn (reader->at, "0123456789+-.eE");
  if (length > 0)
    *number = g_ascii_strtod (reader->at, &end);
  if (length == 0 || end != reader->at + length)
    return refuse (reader, _ ("a number"), error);
  reader->at = end;
  return TRUE;
}

static gboolean
read_point (Reader *reader, GError **error)
{
  double x_mm, y_mm;

  if (!read_number (reader, &x_mm, error) || !read_number (reader, &y_mm, error))
    return FALSE;
  return rake_tracing_add_point (reader->tracing, x_mm, y_mm, error);
}

static gboolean
read_path (Reader *reader, gboolean is_hole, GError **error)
{
  rake_tracing_start_ring (reader->tracing, is_hole);
  if (!expect (reader, '(', error))
    return FALSE;
  do
    if (!read_point (reader, error))
      return FALSE;
  while (reader->tracing->kind != RAKE_SHAPE_POINT && take (reader, ','));
  return expect (reader, ')', error);
}

static gboolean
read_polygon (Reader *reader, gboolean unused, GError **error)
{
  gboolean is_hole = FALSE;

  if (!expect (reader, '(', error))
    return FALSE;
  do
    {
      if (!read_path (reader, is_hole, error))
        return FALSE;
      is_hole = TRUE;
    }
  while (take (reader, ','));
  return expect (reader, ')', error);
}

typedef gboolean (*ReadPart) (Reader *, gboolean is_hole, GError **);

static gboolean
read_parts (Reader *reader, ReadPart read_part, GError **error)
{
  if (!expect (reader, '(', error))
    return FALSE;
  do
    if (!read_part (reader, FALSE, error))
      return FALSE;
  while (take (reader, ','));
  return expect (reader, ')', error);
}

static const struct
{
  const char *name;
  RakeShapeKind kind;
  ReadPart read_part;
  gboolean is_multi;
} kinds[] = {
  { "POINT", RAKE_SHAPE_POINT, read_path, FALSE },
  { "LINESTRING", RAKE_SHAPE_LINE, read_path, FALSE },
  { "MULTILINESTRING", RAKE_SHAPE_LINE, read_path, TRUE },
  { "POLYGON", RAKE_SHAPE_AREA, read_polygon, FALSE },
  { "MULTIPOLYGON", RAKE_SHAPE_AREA, read_polygon, TRUE },
};

RakeShape *
rake_shape_from_wkt (const char *wkt, GError **error)
{
  Reader reader = { wkt, wkt, NULL };
  gsize length, kind = 0;

  skip_space (&reader);
  length = strspn (reader.at, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz");
  while (kind < G_N_ELEMENTS (kinds) &&
         (strlen (kinds[kind].name) != length ||
          g_ascii_strncasecmp (kinds[kind].name, reader.at, length) != 0))
    kind++;
  if (kind == G_N_ELEMENTS (kinds))
    {
      refuse (&reader, _ ("POINT, LINESTRING or POLYGON"), error);
      return NULL;
    }
  reader.at += length;
  g_autoptr (RakeTracing) tracing = reader.tracing = rake_tracing_new (kinds[kind].kind);
  if (kinds[kind].is_multi ? !read_parts (&reader, kinds[kind].read_part, error)
                           : !kinds[kind].read_part (&reader, FALSE, error))
    return NULL;
  skip_space (&reader);
  if (*reader.at != '\0')
    {
      refuse (&reader, _ ("the end"), error);
      return NULL;
    }
  return rake_tracing_finish (tracing, error);
}

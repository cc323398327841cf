/* shape-wkb.c - shapes as well-known binary: written little-endian, read in either order.
 *
 * A count in the bytes is believed only as far as bytes follow it. */
#include "shape-private.h"

#include <string.h>

/* Codes of OGC Simple Feature Access 1.2.1, table 7. */
enum
{
  WKB_POINT = 1,
  WKB_LINE = 2,
  WKB_POLYGON = 3,
  WKB_MULTI_LINE = 5,
  WKB_MULTI_POLYGON = 6,
};

typedef struct
{
  const guint8 *bytes;
  gsize n_bytes;
  gsize at;
  gboolean is_little_endian;
  RakeTracing *tracing;
} Reader;

static void
write_count (GByteArray *out, guint32 count)
{
  count = GUINT32_TO_LE (count);
  g_byte_array_append (out, (const guint8 *) &count, sizeof count);
}

static void
write_head (GByteArray *out, guint32 code)
{
  static const guint8 little_endian = 1;

  g_byte_array_append (out, &little_endian, 1);
  write_count (out, code);
}

static void
write_points (GByteArray *out, const RakeShape *shape, guint ring)
{
  const double *points = shape->points_mm + 2 * shape->rings[ring].first;

  for (guint i = 0; i < 2 * shape->rings[ring].n_points; i++)
    {
      guint64 bits;
      memcpy (&bits, &points[i], sizeof bits);
      bits = GUINT64_TO_LE (bits);
      g_byte_array_append (out, (const guint8 *) &bits, sizeof bits);
    }
}

static guint
find_end_of_part (const RakeShape *shape, guint ring)
{
  do
    ring++;
  while (ring < shape->n_rings && shape->rings[ring].is_hole);
  return ring;
}

static void
write_part (GByteArray *out, const RakeShape *shape, guint ring, guint end)
{
  write_head (out, shape->kind == RAKE_SHAPE_AREA ? WKB_POLYGON : WKB_LINE);
  if (shape->kind == RAKE_SHAPE_AREA)
    write_count (out, end - ring);
  for (; ring < end; ring++)
    {
      write_count (out, shape->rings[ring].n_points);
      write_points (out, shape, ring);
    }
}

GBytes *
rake_shape_to_wkb (const RakeShape *shape)
{
  GByteArray *out = g_byte_array_new ();
  guint n_parts = 0;

  for (guint ring = 0; ring < shape->n_rings; ring = find_end_of_part (shape, ring))
    n_parts++;
  if (shape->kind == RAKE_SHAPE_POINT)
    {
      write_head (out, WKB_POINT);
      write_points (out, shape, 0);
      return g_byte_array_free_to_bytes (out);
    }
  if (n_parts > 1)
    {
      write_head (out, shape->kind == RAKE_SHAPE_AREA ? WKB_MULTI_POLYGON : WKB_MULTI_LINE);
      write_count (out, n_parts);
    }
  for (guint ring = 0; ring < shape->n_rings; ring = find_end_of_part (shape, ring))
    write_part (out, shape, ring, find_end_of_part (shape, ring));
  return g_byte_array_free_to_bytes (out);
}

static gboolean
refuse (const Reader *reader, const char *what, GError **error)
{
  g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
               _ ("well-known binary, byte %zu: %s"), reader->at, what);
  return FALSE;
}

static gboolean
read_raw (Reader *reader, gpointer out, gsize n_bytes, GError **error)
{
  if (reader->n_bytes - reader->at < n_bytes)
    return refuse (reader, _ ("the data end too early"), error);
  memcpy (out, reader->bytes + reader->at, n_bytes);
  reader->at += n_bytes;
  return TRUE;
}

/* A count of things of which each takes at least @least_bytes. */
static gboolean
read_count (Reader *reader, guint32 *count, gsize least_bytes, GError **error)
{
  if (!read_raw (reader, count, sizeof *count, error))
    return FALSE;
  *count = reader->is_little_endian ? GUINT32_FROM_LE (*count) : GUINT32_FROM_BE (*count);
  if (*count > (reader->n_bytes - reader->at) / least_bytes)
    return refuse (reader, _ ("the data promise more than they hold"), error);
  return TRUE;
}

static gboolean
read_head (Reader *reader, guint32 *code, GError **error)
{
  guint8 order;

  if (!read_raw (reader, &order, 1, error))
    return FALSE;
  if (order > 1)
    return refuse (reader, _ ("the byte order is neither 0 nor 1"), error);
  reader->is_little_endian = order == 1;
  if (!read_raw (reader, code, sizeof *code, error))
    return FALSE;
  *code = order == 1 ? GUINT32_FROM_LE (*code) : GUINT32_FROM_BE (*code);
  return TRUE;
}

static gboolean
read_points (Reader *reader, guint32 n_points, gboolean is_hole, GError **error)
{
  rake_tracing_start_ring (reader->tracing, is_hole);
  for (guint32 i = 0; i < n_points; i++)
    {
      guint64 bits[2];
      double point[2];

      if (!read_raw (reader, bits, sizeof bits, error))
        return FALSE;
      for (int k = 0; k < 2; k++)
        bits[k] = reader->is_little_endian ? GUINT64_FROM_LE (bits[k]) : GUINT64_FROM_BE (bits[k]);
      memcpy (point, bits, sizeof point);
      if (!rake_tracing_add_point (reader->tracing, point[0], point[1], error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
read_path (Reader *reader, gboolean is_hole, GError **error)
{
  guint32 n_points;

  return read_count (reader, &n_points, 2 * sizeof (double), error) &&
         read_points (reader, n_points, is_hole, error);
}

static gboolean
read_polygon (Reader *reader, GError **error)
{
  guint32 n_rings;

  if (!read_count (reader, &n_rings, sizeof (guint32), error))
    return FALSE;
  for (guint32 i = 0; i < n_rings; i++)
    if (!read_path (reader, i > 0, error))
      return FALSE;
  return TRUE;
}

static gboolean
read_parts (Reader *reader, guint32 part_code, GError **error)
{
  guint32 n_parts, code;

  /* A byte order, a code and a count: nine bytes at least. */
  if (!read_count (reader, &n_parts, 9, error))
    return FALSE;
  for (guint32 i = 0; i < n_parts; i++)
    {
      if (!read_head (reader, &code, error))
        return FALSE;
      if (code != part_code)
        return refuse (reader, _ ("a part is not of the kind its whole is"), error);
      if (code == WKB_POLYGON ? !read_polygon (reader, error) : !read_path (reader, FALSE, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
read_body (Reader *reader, guint32 code, GError **error)
{
  switch (code)
    {
    case WKB_POINT:
      reader->tracing->kind = RAKE_SHAPE_POINT;
      return read_points (reader, 1, FALSE, error);
    case WKB_LINE:
      reader->tracing->kind = RAKE_SHAPE_LINE;
      return read_path (reader, FALSE, error);
    case WKB_MULTI_LINE:
      reader->tracing->kind = RAKE_SHAPE_LINE;
      return read_parts (reader, WKB_LINE, error);
    case WKB_POLYGON:
      reader->tracing->kind = RAKE_SHAPE_AREA;
      return read_polygon (reader, error);
    case WKB_MULTI_POLYGON:
      reader->tracing->kind = RAKE_SHAPE_AREA;
      return read_parts (reader, WKB_POLYGON, error);
    default:
      return refuse (reader, _ ("not a flat point, line or polygon"), error);
    }
}

RakeShape *
rake_shape_from_wkb (GBytes *wkb, GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_POINT);
  Reader reader = { .tracing = tracing };
  guint32 code;

  reader.bytes = g_bytes_get_data (wkb, &reader.n_bytes);
  if (!read_head (&reader, &code, error) || !read_body (&reader, code, error))
    return NULL;
  if (reader.at != reader.n_bytes)
    {
      refuse (&reader, _ ("something follows the shape"), error);
      return NULL;
    }
  return rake_tracing_finish (tracing, error);
}

/* photo-parts.c - the parts of a JPEG or a PNG: found, and left out of a copy.
 *
 * Sources: ITU-T T.81 annex B (markers), Exif 2.32 4.7.2 (APP1), PNG specification 2nd edition 4.7
 * (chunks) and its registered extensions (eXIf); from memory. */
#include "photo-parts.h"

#include <rakelight/photo-heif.h>
#include <rakelight/photo-intake.h>

#include <string.h>

#include "../core/i18n.h"
#include "photo-shrink.h"

static const guint8 exif_head[6] = { 'E', 'x', 'i', 'f', 0, 0 };
static const guint8 png_head[8] = { 0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n' };

enum
{
  SOI = 0xd8,
  EOI = 0xd9,
  SOS = 0xda,
  APP0 = 0xe0,
  APP1 = 0xe1,
  APP2 = 0xe2,
  APP14 = 0xee,
  APP15 = 0xef,
  COM = 0xfe,
};

/* One part: of a JPEG a marker with its segment, of a PNG a chunk. */
typedef struct
{
  const guint8 *start, *body;
  gsize length, n_body; /* the whole and what is in it */
  int marker;           /* JPEG */
} Part;

/* --- JPEG ------------------------------------------------------------------------------------------ */

/* Compressed data after a start of scan: it ends at a marker that is none of its own. */
static const guint8 *
skip_scan (const guint8 *at, const guint8 *end)
{
  while (end - at >= 2 &&
         !(at[0] == 0xff && at[1] != 0 && at[1] != 0xff && !(at[1] >= 0xd0 && at[1] <= 0xd7)))
    at++;
  return at;
}

/* The part at *@at, which is moved behind it; with a start of scan goes what it starts. FALSE when there
 * is none, or it is cut short. */
static gboolean
next_segment (const guint8 **at, const guint8 *end, Part *part)
{
  const guint8 *next;

  while (end - *at >= 2 && (*at)[0] == 0xff && (*at)[1] == 0xff)
    (*at)++; /* fill bytes */
  if (end - *at < 2 || (*at)[0] != 0xff)
    return FALSE;
  part->start = *at;
  part->marker = (*at)[1];
  part->body = next = *at + 2;
  part->n_body = 0;
  if (part->marker != SOI && part->marker != EOI)
    {
      gsize n_segment;

      if (end - next < 2)
        return FALSE;
      n_segment = (gsize) next[0] << 8 | next[1];
      if (n_segment < 2 || (gsize) (end - next) < n_segment)
        return FALSE;
      part->body = next + 2;
      part->n_body = n_segment - 2;
      next += n_segment;
    }
  if (part->marker == SOS)
    next = skip_scan (next, end);
  part->length = (gsize) (next - *at);
  *at = next;
  return TRUE;
}

static gboolean
begins_with (const Part *part, const char *text, gsize length)
{
  return part->n_body >= length && memcmp (part->body, text, length) == 0;
}

static guint8 *
find_exif_in_jpeg (const guint8 *bytes, gsize n_bytes, gsize *length)
{
  const guint8 *at = bytes, *end = bytes + n_bytes;
  Part part;

  while (next_segment (&at, end, &part) && part.marker != SOS && part.marker != EOI)
    if (part.marker == APP1 && begins_with (&part, (const char *) exif_head, sizeof exif_head))
      {
        *length = part.n_body;
        return g_memdup2 (part.body, part.n_body);
      }
  return NULL;
}

/* What a decoder needs to show the same colours: density, profile, how the colours were mixed. */
static gboolean
is_kept_segment (const Part *part)
{
  if (part->marker == APP0)
    return begins_with (part, "JFIF", 5);
  if (part->marker == APP2)
    return begins_with (part, "ICC_PROFILE", 12);
  if (part->marker == APP14)
    return begins_with (part, "Adobe", 5);
  return part->marker != COM && !(part->marker > APP0 && part->marker <= APP15);
}

/* An Exif block that says how the picture is turned and nothing else. */
static void
add_turn (GByteArray *copy, RakeTurn turn)
{
  const guint8 block[] = {
    0xff, APP1, 0, 34, 'E', 'x', 'i', 'f', 0, 0, 'M', 'M', 0, 42, 0, 0, 0, 8, /* one directory */
    0,    1,    0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, (guint8) turn, 0, 0,         /* Orientation */
    0,    0,    0, 0,
  };

  g_byte_array_append (copy, block, sizeof block);
}

static GByteArray *
copy_jpeg (const guint8 *bytes, gsize n_bytes)
{
  g_autoptr (GByteArray) copy = g_byte_array_sized_new ((guint) n_bytes);
  const guint8 *at = bytes, *end = bytes + n_bytes;
  gboolean has_turn = FALSE;
  RakePhotoExif exif;
  Part part;

  rake_photo_exif_read (bytes, n_bytes, &exif);
  while (next_segment (&at, end, &part))
    {
      /* after the start of the file and JFIF's own segment, which wants to be first */
      if (part.marker != SOI && part.marker != APP0 && !has_turn)
        {
          has_turn = TRUE;
          if (exif.turn != 1)
            add_turn (copy, exif.turn);
        }
      if (is_kept_segment (&part))
        g_byte_array_append (copy, part.start, (guint) part.length);
      /* what stands behind the end are other pictures, with tales of their own */
      if (part.marker == EOI)
        return g_steal_pointer (&copy);
    }
  return NULL;
}

/* --- PNG ------------------------------------------------------------------------------------------- */

static guint32
read_32 (const guint8 *at)
{
  return (guint32) at[0] << 24 | (guint32) at[1] << 16 | (guint32) at[2] << 8 | at[3];
}

static gboolean
next_chunk (const guint8 **at, const guint8 *end, Part *part)
{
  gsize n_body;

  if (end - *at < 12)
    return FALSE;
  n_body = read_32 (*at);
  if (n_body > (gsize) (end - *at) - 12)
    return FALSE;
  part->start = *at;
  part->body = *at + 8;
  part->n_body = n_body;
  part->length = n_body + 12;
  *at += part->length;
  return TRUE;
}

static gboolean
is_chunk (const Part *part, const char *name)
{
  return memcmp (part->start + 4, name, 4) == 0;
}

static guint8 *
find_exif_in_png (const guint8 *bytes, gsize n_bytes, gsize *length)
{
  const guint8 *at = bytes + sizeof png_head, *end = bytes + n_bytes;
  Part part;

  while (next_chunk (&at, end, &part))
    if (is_chunk (&part, "eXIf"))
      {
        guint8 *block = g_malloc (sizeof exif_head + part.n_body);

        memcpy (block, exif_head, sizeof exif_head);
        memcpy (block + sizeof exif_head, part.body, part.n_body);
        *length = sizeof exif_head + part.n_body;
        return block;
      }
  return NULL;
}

/* ISO 3309, as the PNG specification's annex D counts it. */
static guint32
sum_chunk (const guint8 *bytes, gsize n_bytes)
{
  guint32 sum = 0xffffffff;

  for (gsize i = 0; i < n_bytes; i++)
    {
      sum ^= bytes[i];
      for (int bit = 0; bit < 8; bit++)
        sum = sum & 1 ? sum >> 1 ^ 0xedb88320 : sum >> 1;
    }
  return ~sum;
}

/* The same block as in a JPEG, without the head that stands before it there. */
static void
add_turn_chunk (GByteArray *copy, RakeTurn turn)
{
  guint8 chunk[] = {
    0, 0, 0, 26, 'e', 'X', 'I', 'f', 'M', 'M', 0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0,
    1, 0, (guint8) turn, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
  };
  guint32 sum = sum_chunk (chunk + 4, sizeof chunk - 8);

  for (int i = 0; i < 4; i++)
    chunk[sizeof chunk - 4 + (gsize) i] = (guint8) (sum >> (24 - 8 * i));
  g_byte_array_append (copy, chunk, sizeof chunk);
}

static GByteArray *
copy_png (const guint8 *bytes, gsize n_bytes)
{
  static const char *const kept[] = { "IHDR", "PLTE", "IDAT", "IEND", "tRNS", "gAMA", "cHRM",
                                      "sRGB", "iCCP", "sBIT", "bKGD", "pHYs" };
  g_autoptr (GByteArray) copy = g_byte_array_sized_new ((guint) n_bytes);
  const guint8 *at = bytes + sizeof png_head, *end = bytes + n_bytes;
  RakePhotoExif exif;
  Part part;

  rake_photo_exif_read (bytes, n_bytes, &exif);
  g_byte_array_append (copy, png_head, sizeof png_head);
  while (next_chunk (&at, end, &part))
    {
      for (gsize i = 0; i < G_N_ELEMENTS (kept); i++)
        if (is_chunk (&part, kept[i]))
          g_byte_array_append (copy, part.start, (guint) part.length);
      if (is_chunk (&part, "IHDR") && exif.turn != 1)
        add_turn_chunk (copy, exif.turn);
      if (is_chunk (&part, "IEND"))
        return g_steal_pointer (&copy);
    }
  return NULL;
}

/* --- either ---------------------------------------------------------------------------------------- */

static gboolean
is_jpeg (const guint8 *bytes, gsize n_bytes)
{
  return n_bytes > 3 && bytes[0] == 0xff && bytes[1] == SOI && bytes[2] == 0xff;
}

static gboolean
is_png (const guint8 *bytes, gsize n_bytes)
{
  return n_bytes > sizeof png_head && memcmp (bytes, png_head, sizeof png_head) == 0;
}

guint8 *
rake_photo_find_exif (const guint8 *bytes, gsize n_bytes, gsize *length)
{
  if (is_jpeg (bytes, n_bytes))
    return find_exif_in_jpeg (bytes, n_bytes, length);
  if (is_png (bytes, n_bytes))
    return find_exif_in_png (bytes, n_bytes, length);
  return NULL;
}

/* Where in a HEIC what is written is a matter of many boxes that point at each other: the picture is
 * written anew instead, as what everybody can open. */
static GBytes *
convert_heif (GBytes *photo, GError **error)
{
  g_autoptr (RakePhotoPicture) picture =
      rake_photo_picture_new_from_heif (photo, NULL, NULL, error);

  return picture != NULL ? rake_photo_to_jpeg (picture, 95) : NULL;
}

GBytes *
rake_photo_without_private (GBytes *photo, GError **error)
{
  gsize n_bytes;
  const guint8 *bytes = g_bytes_get_data (photo, &n_bytes);
  GByteArray *copy;

  if (rake_photo_is_heif (bytes, n_bytes))
    return convert_heif (photo, error);
  copy = is_jpeg (bytes, n_bytes)  ? copy_jpeg (bytes, n_bytes)
         : is_png (bytes, n_bytes) ? copy_png (bytes, n_bytes)
                                   : NULL;
  if (copy != NULL)
    return g_byte_array_free_to_bytes (copy);
  g_set_error (error, RAKE_PHOTO_INTAKE_ERROR, RAKE_PHOTO_INTAKE_ERROR_NOT_A_PICTURE,
               _ ("what was written beside this picture cannot be left out: it is no whole JPEG or "
                  "PNG"));
  return NULL;
}

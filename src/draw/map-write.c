/* map-write.c - a face's map as a file: PNG, SVG or PDF, whole or not at all.
 *
 * The picture is made in memory and handed to GLib, which writes a file beside, syncs it and renames
 * it over the old one. */
#include "page.h"
#include "words.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <string.h>

#define MIN_WIDTH_PX 64
#define MAX_WIDTH_PX 8192
#define MAX_SIDE_PX 32767 /* of a cairo image */

static cairo_status_t
append_bytes (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

static cairo_status_t
draw_png (const RakePage *page, GByteArray *bytes, double width_px)
{
  double scale = width_px / page->width;
  int height_px = (int) CLAMP (round (page->height * scale), 1, MAX_SIDE_PX);
  cairo_surface_t *surface =
      cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) round (width_px), height_px);
  cairo_t *cr = cairo_create (surface);
  cairo_status_t status;

  cairo_scale (cr, scale, scale);
  rake_page_draw (page, cr);
  status = cairo_status (cr);
  cairo_destroy (cr);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_write_to_png_stream (surface, append_bytes, bytes);
  cairo_surface_destroy (surface);
  return status;
}

static void
set_metadata (const RakePage *page, cairo_surface_t *surface)
{
  g_autofree char *title = rake_page_get_title (page);
  g_autoptr (GDateTime) time = rake_page_get_time (page);
  g_autofree char *date = time != NULL ? g_date_time_format_iso8601 (time) : NULL;

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, title);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Rakelight");
  /* The job's time, not the clock's: the same job is the same file. */
  if (date != NULL)
    cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
}

static cairo_status_t
draw_vector (const RakePage *page, GByteArray *bytes, gboolean is_pdf)
{
  cairo_surface_t *surface =
      is_pdf ? cairo_pdf_surface_create_for_stream (append_bytes, bytes, page->width, page->height)
             : cairo_svg_surface_create_for_stream (append_bytes, bytes, page->width, page->height);
  cairo_t *cr;
  cairo_status_t status;

  if (is_pdf)
    set_metadata (page, surface);
  else
    cairo_svg_surface_set_document_unit (surface, CAIRO_SVG_UNIT_PT);
  cr = cairo_create (surface);
  rake_page_draw (page, cr);
  cairo_show_page (cr);
  status = cairo_status (cr);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return status;
}

/* cairo gives an SVG no title; readers announce it and browsers show it. */
static void
add_svg_title (const RakePage *page, GByteArray *bytes)
{
  g_autofree char *title = rake_page_get_title (page);
  g_autofree char *element = g_markup_printf_escaped ("\n<title>%s</title>", title);
  const char *text = (const char *) bytes->data;
  const char *svg = g_strstr_len (text, (gssize) bytes->len, "<svg");
  const char *end = svg != NULL ? memchr (svg, '>', (gsize) (text + bytes->len - svg)) : NULL;
  gsize n_head, n_title = strlen (element), n_all = bytes->len;

  if (end == NULL)
    return;
  n_head = (gsize) (end + 1 - text);
  g_byte_array_set_size (bytes, (guint) (n_all + n_title));
  memmove (bytes->data + n_head + n_title, bytes->data + n_head, n_all - n_head);
  memcpy (bytes->data + n_head, element, n_title);
}

static gboolean
ends_with (const char *path, const char *ending)
{
  gsize length = strlen (path), tail = strlen (ending);

  /* A name that is nothing but the ending is a hidden file without one. */
  return length > tail && !G_IS_DIR_SEPARATOR (path[length - tail - 1]) &&
         g_ascii_strcasecmp (path + length - tail, ending) == 0;
}

gboolean
rake_map_write (const char *path, const RakeJob *job, const RakeFace *face,
                RakeJudgement *const *judgements, RakeTheme theme, double width_px, double lamp_deg,
                GError **error)
{
  gboolean is_png = ends_with (path, ".png"), is_pdf = ends_with (path, ".pdf");
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  g_autoptr (GError) why = NULL;
  RakePage page = { job, face, judgements, theme, lamp_deg, !is_png || theme == RAKE_THEME_PAPER,
                    0, 0 };
  cairo_status_t status;

  if (!is_png && !is_pdf && !ends_with (path, ".svg"))
    {
      g_set_error (error, RAKE_MAP_ERROR, RAKE_MAP_ERROR_WRITE,
                   _ ("%s ends in none of .png, .svg and .pdf; a map is one of these"), path);
      return FALSE;
    }
  if (is_png && !(width_px >= MIN_WIDTH_PX && width_px <= MAX_WIDTH_PX))
    {
      g_set_error (error, RAKE_MAP_ERROR, RAKE_MAP_ERROR_WRITE,
                   _ ("the picture would be %.0f pixels wide; it can be %d to %d"), width_px,
                   MIN_WIDTH_PX, MAX_WIDTH_PX);
      return FALSE;
    }
  rake_page_choose_size (&page);
  status = is_png ? draw_png (&page, bytes, width_px) : draw_vector (&page, bytes, is_pdf);
  if (status != CAIRO_STATUS_SUCCESS)
    {
      g_set_error (error, RAKE_MAP_ERROR, RAKE_MAP_ERROR_WRITE, _ ("%s could not be drawn: %s"),
                   path, cairo_status_to_string (status));
      return FALSE;
    }
  if (!is_png && !is_pdf)
    add_svg_title (&page, bytes);
  if (!g_file_set_contents_full (path, (const char *) bytes->data, (gssize) bytes->len,
                                 G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0666,
                                 &why))
    {
      g_set_error (error, RAKE_MAP_ERROR, RAKE_MAP_ERROR_WRITE, "%s", why->message);
      return FALSE;
    }
  return TRUE;
}

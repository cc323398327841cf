/* bare-report.c - see bare-report.h. */
#include "bare-report.h"
#include "bench.h"

#include <cairo-pdf.h>
#include <glib/gstdio.h>
#include <pango/pangocairo.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define WIDTH_PT 595.0
#define HEIGHT_PT 842.0
#define SIDE_PT 56.0
#define LEADING_PT 10.6
#define SIZE_PT 7.8
#define N_A_PAGE 6
#define PICTURE_PX 8

static FILE *
open_beside (const char *path, char **beside)
{
  FILE *file;

  *beside = g_strconcat (path, ".floor", NULL);
  file = g_fopen (*beside, "wb");
  bench_must (file != NULL, NULL);
  return file;
}

static void
take_place (FILE *file, const char *beside, const char *path)
{
  bench_must (fflush (file) == 0 && fsync (fileno (file)) == 0 && fclose (file) == 0 &&
                  g_rename (beside, path) == 0,
              NULL);
}

void
bare_report_write_bytes (const char *path, const guint8 *picture, gsize n_bytes, guint n_pictures)
{
  g_autofree char *beside = NULL;
  FILE *file = open_beside (path, &beside);

  for (guint i = 0; i < n_pictures; i++)
    bench_must (fwrite (picture, n_bytes, 1, file) == 1, NULL);
  take_place (file, beside, path);
}

static cairo_status_t
write_some (void *closure, const unsigned char *bytes, unsigned int n_bytes)
{
  return fwrite (bytes, 1, n_bytes, closure) == n_bytes ? CAIRO_STATUS_SUCCESS
                                                        : CAIRO_STATUS_WRITE_ERROR;
}

static void
show_lines (cairo_t *cr, PangoContext *context, const PangoFontDescription *font, const char *page)
{
  g_auto (GStrv) lines = g_strsplit (page, "\n", -1);

  for (guint i = 0; lines[i] != NULL; i++)
    {
      g_autoptr (PangoLayout) layout = pango_layout_new (context);

      pango_layout_set_font_description (layout, font);
      pango_layout_set_text (layout, lines[i], -1);
      cairo_move_to (cr, SIDE_PT, SIDE_PT + i * LEADING_PT);
      pango_cairo_show_layout (cr, layout);
    }
}

/* As the report does it: the JPEG hangs on a surface of a few pixels, nothing is decoded. */
static void
show_picture (cairo_t *cr, const guint8 *picture, gsize n_bytes, guint index)
{
  cairo_surface_t *surface =
      cairo_image_surface_create (CAIRO_FORMAT_RGB24, PICTURE_PX, PICTURE_PX);
  char *name = g_strdup_printf ("%u", index);

  cairo_surface_set_mime_data (surface, CAIRO_MIME_TYPE_JPEG, picture, n_bytes, NULL, NULL);
  cairo_surface_set_mime_data (surface, CAIRO_MIME_TYPE_UNIQUE_ID, (guchar *) name, strlen (name),
                               g_free, name);
  cairo_save (cr);
  cairo_translate (cr, SIDE_PT + index % 2 * 250.0, SIDE_PT + index % N_A_PAGE / 2 * 210.0);
  cairo_scale (cr, 233.0 / PICTURE_PX, 175.0 / PICTURE_PX);
  cairo_set_source_surface (cr, surface, 0, 0);
  cairo_rectangle (cr, 0, 0, PICTURE_PX, PICTURE_PX);
  cairo_fill (cr);
  cairo_restore (cr);
  cairo_surface_destroy (surface);
}

void
bare_report_write_pdf (const char *path, const char *text, const guint8 *picture, gsize n_bytes,
                       guint n_pictures)
{
  g_autofree char *beside = NULL;
  FILE *file = open_beside (path, &beside);
  cairo_surface_t *surface =
      cairo_pdf_surface_create_for_stream (write_some, file, WIDTH_PT, HEIGHT_PT);
  cairo_t *cr = cairo_create (surface);
  PangoContext *context = pango_cairo_create_context (cr);
  PangoFontDescription *font = pango_font_description_from_string ("Cantarell,Noto Sans,Sans");
  g_auto (GStrv) pages = g_strsplit (text, "\f", -1);
  guint n_shown = 0;

  pango_font_description_set_absolute_size (font, SIZE_PT * PANGO_SCALE);
  for (guint i = 0; pages[i] != NULL; i++)
    {
      show_lines (cr, context, font, pages[i]);
      for (guint last = n_shown + N_A_PAGE; n_shown < MIN (last, n_pictures); n_shown++)
        show_picture (cr, picture, n_bytes, n_shown);
      cairo_show_page (cr);
    }
  bench_must (n_shown == n_pictures, NULL);
  pango_font_description_free (font);
  g_object_unref (context);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  bench_must (cairo_surface_status (surface) == CAIRO_STATUS_SUCCESS, NULL);
  cairo_surface_destroy (surface);
  take_place (file, beside, path);
}

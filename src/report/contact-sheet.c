/* contact-sheet.c - see contact-sheet.h. Thumbnails pass into the PDF as they are, see report-photos.c. */
#include "flow.h"
#include "pdf-finish.h"
#include "print-words.h"
#include "whole-file.h"

#include <rakelight/contact-sheet.h>
#include <rakelight/photo.h>

#include <cairo-pdf.h>
#include <math.h>

#define N_ACROSS 4
#define GAP_PT 12.0
#define PICTURE_PT 96.0
#define CAPTION_LINES 5
#define PLACEHOLDER_PX 8

typedef struct
{
  RakeFlow flow;
  RakeJobFile *file;
  const RakeJob *job;
  GPtrArray *photos; /* const RakePhoto * */
  GError *error;     /* the first that a thumbnail met */
} Sheet;

typedef struct
{
  Sheet *sheet;
  guint first, n;
} Row;

/* --- what stands under each ---------------------------------------------------------------------- */

static guint
get_number (const Sheet *sheet, const RakePhoto *photo)
{
  for (guint i = 0; i < rake_job_get_n_photos (sheet->job); i++)
    if (rake_job_get_photo (sheet->job, i) == photo)
      return i + 1;
  g_return_val_if_reached (0);
}

static char *
describe (const Sheet *sheet, const RakePhoto *photo)
{
  const RakePhotoBody *place = &photo->placed->photo;
  const RakeStage *stage = rake_job_find_stage (sheet->job, place->stage);
  g_autofree char *step = stage != NULL ? rake_print_stage (stage) : NULL;
  g_autofree char *time =
      rake_print_time (photo->entry->happened_ms, photo->entry->utc_offset_minutes);
  g_autoptr (GString) text = g_string_new (NULL);

  g_string_append_printf (text, "%u  ", get_number (sheet, photo));
  g_string_append (text, photo->face != NULL ? photo->face->name : _ ("the piece"));
  rake_print_add (text, step);
  g_string_append_printf (text, "\n%s", time);
  if (isfinite (place->lamp_deg))
    {
      g_autofree char *deg = rake_print_direction (place->lamp_deg);
      g_autofree char *lamp = g_strdup_printf (_ ("lamp at %s"), deg);

      rake_print_add (text, lamp);
    }
  if (photo->entry->photo.name != NULL)
    g_string_append_printf (text, "\n%s", photo->entry->photo.name);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static char *
describe_row (const Row *row)
{
  GString *text = g_string_new (NULL);

  for (guint i = row->first; i < row->first + row->n; i++)
    {
      g_autofree char *caption = describe (row->sheet, row->sheet->photos->pdata[i]);

      g_strdelimit (caption, "\n", ' ');
      g_string_append_printf (text, "%s%s", text->len > 0 ? "; " : "", caption);
    }
  return g_string_free (text, FALSE);
}

/* --- one ------------------------------------------------------------------------------------------ */

static void
free_bytes (void *bytes)
{
  g_bytes_unref (bytes);
}

static void
paint (cairo_t *cr, const RakePhotoCopy *copy, double width, double height)
{
  cairo_surface_t *surface =
      cairo_image_surface_create (CAIRO_FORMAT_RGB24, PLACEHOLDER_PX, PLACEHOLDER_PX);
  gsize n_bytes;
  const guchar *bytes = g_bytes_get_data (copy->bytes, &n_bytes);

  if (cairo_surface_set_mime_data (surface, CAIRO_MIME_TYPE_JPEG, bytes, n_bytes, free_bytes,
                                   g_bytes_ref (copy->bytes)) != CAIRO_STATUS_SUCCESS)
    g_bytes_unref (copy->bytes);
  cairo_save (cr);
  cairo_scale (cr, width / PLACEHOLDER_PX, height / PLACEHOLDER_PX);
  cairo_set_source_surface (cr, surface, 0, 0);
  /* filled, not painted: see report-photos.c */
  cairo_rectangle (cr, 0, 0, PLACEHOLDER_PX, PLACEHOLDER_PX);
  cairo_fill (cr);
  cairo_restore (cr);
  cairo_surface_destroy (surface);
}

static void
draw_box (RakeFlow *flow, const char *why, double room)
{
  g_autoptr (PangoLayout) layout = rake_flow_lay (flow, RAKE_TYPE_SMALL_SOFT, why, room - 12);
  guint n_lines = MIN (rake_flow_count_lines (layout), 7);

  rake_flow_set_ink (flow, RAKE_TYPE_SOFT);
  cairo_set_line_width (flow->cr, 0.5);
  cairo_rectangle (flow->cr, 0.25, 0.25, room - 0.5, PICTURE_PT - 0.5);
  cairo_stroke (flow->cr);
  rake_flow_draw_lines (flow, layout, RAKE_TYPE_SMALL_SOFT, 0, n_lines, 6, 6, room - 12,
                        RAKE_ALIGN_LEFT);
}

static char *
say_withdrawn (const RakePhoto *photo)
{
  const RakeEntry *entry = photo->withdrawal;
  g_autofree char *day = rake_print_day (entry->happened_ms, entry->utc_offset_minutes);

  /* Translators: a day, and the reason that was given. */
  return g_strdup_printf (_ ("Withdrawn on %s: %s"), day, entry->withdrawal.reason);
}

static void
draw_picture (Sheet *sheet, const RakePhoto *photo, double room)
{
  RakePhotoCopy copy = { 0 };
  g_autofree char *withdrawn = photo->withdrawal != NULL ? say_withdrawn (photo) : NULL;

  if (withdrawn == NULL && sheet->error == NULL)
    rake_job_file_read_photo_copy (sheet->file, photo->entry->photo.sha256,
                                   RAKE_PHOTO_COPY_THUMBNAIL, &copy, &sheet->error);
  if (copy.bytes != NULL && copy.width_px > 0 && copy.height_px > 0)
    {
      double scale = MIN (room / copy.width_px, PICTURE_PT / copy.height_px);

      cairo_save (sheet->flow.cr);
      cairo_translate (sheet->flow.cr, 0, PICTURE_PT - scale * copy.height_px);
      paint (sheet->flow.cr, &copy, scale * copy.width_px, scale * copy.height_px);
      cairo_restore (sheet->flow.cr);
    }
  else
    draw_box (&sheet->flow,
              withdrawn != NULL
                  ? withdrawn
                  : _ ("No small copy yet: open the job once in the window, which makes one."),
              room);
  g_clear_pointer (&copy.bytes, g_bytes_unref);
}

static void
draw_row (RakeFlow *flow, double width, double height, gpointer user_data)
{
  const Row *row = user_data;
  double room = (width - GAP_PT * (N_ACROSS - 1)) / N_ACROSS;

  for (guint i = 0; i < row->n; i++)
    {
      const RakePhoto *photo = row->sheet->photos->pdata[row->first + i];
      g_autofree char *caption = describe (row->sheet, photo);
      g_autoptr (PangoLayout) layout = rake_flow_lay (flow, RAKE_TYPE_SMALL, caption, room);

      cairo_save (flow->cr);
      cairo_translate (flow->cr, i * (room + GAP_PT), 0);
      draw_picture (row->sheet, photo, room);
      rake_flow_draw_lines (flow, layout, RAKE_TYPE_SMALL, 0,
                            MIN (rake_flow_count_lines (layout), CAPTION_LINES), 0, PICTURE_PT + 3,
                            room, RAKE_ALIGN_LEFT);
      cairo_restore (flow->cr);
    }
}

/* --- all of them ------------------------------------------------------------------------------------ */

static const char *
get_name (const Sheet *sheet)
{
  const RakeJobFacts *facts = rake_job_find_facts (sheet->job);

  return facts != NULL && facts->name != NULL ? facts->name : _ ("Job");
}

static void
print (Sheet *sheet, gboolean is_drawn)
{
  RakeFlow *flow = &sheet->flow;
  g_autofree char *title = g_strdup_printf (_ ("Photographs: %s"), get_name (sheet));

  rake_flow_begin (flow, is_drawn);
  rake_flow_heading (flow, 1, title);
  for (guint i = 0; i < sheet->photos->len; i += N_ACROSS)
    {
      Row row = { sheet, i, MIN (N_ACROSS, sheet->photos->len - i) };
      g_autofree char *alternative = describe_row (&row);

      rake_flow_figure (flow,
                        PICTURE_PT + 3 + CAPTION_LINES * rake_type_get_leading (RAKE_TYPE_SMALL),
                        draw_row, &row, alternative, NULL);
    }
  rake_flow_end_section (flow);
  rake_flow_end (flow);
}

static cairo_status_t
write_bytes (void *closure, const unsigned char *bytes, unsigned int n_bytes)
{
  /* A full disk is told by the commit; cairo 1.16 may abort when it is told one. */
  rake_whole_file_write (closure, bytes, n_bytes);
  return CAIRO_STATUS_SUCCESS;
}

static cairo_status_t
draw (Sheet *sheet, RakeSheet size, RakeWholeFile *file)
{
  double width, height;
  g_autofree char *title = g_strdup_printf (_ ("Photographs: %s"), get_name (sheet));
  cairo_surface_t *surface;
  cairo_status_t status;

  rake_sheet_get_size (size, &width, &height);
  surface = cairo_pdf_surface_create_for_stream (write_bytes, file, width, height);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, title);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Rakelight");
  rake_flow_init (&sheet->flow, surface, size, NULL);
  sheet->flow.footer = g_strdup (title);
  print (sheet, FALSE);
  print (sheet, TRUE);
  status = cairo_status (sheet->flow.cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return status;
}

static GPtrArray *
list (const RakeJob *job, RakeId face)
{
  GPtrArray *photos = g_ptr_array_new ();

  for (guint i = 0; i < rake_job_get_n_photos (job); i++)
    {
      const RakePhoto *photo = rake_job_get_photo (job, i);

      if (rake_id_is_nil (face) || (photo->face != NULL && rake_id_equal (photo->face->id, face)))
        g_ptr_array_add (photos, (gpointer) photo);
    }
  return photos;
}

gboolean
rake_contact_sheet_write (const char *path, RakeJobFile *job_file, const RakeJob *job, RakeId face,
                          RakeSheet size, GError **error)
{
  g_autoptr (RakeWholeFile) file = rake_whole_file_new (path, error);
  g_autoptr (GPtrArray) photos = list (job, face);
  Sheet sheet = { .file = job_file, .job = job, .photos = photos };
  cairo_status_t status;
  gboolean is_written = FALSE;

  if (file == NULL)
    return FALSE;
  status = draw (&sheet, size, file);
  if (sheet.error != NULL)
    g_propagate_error (error, sheet.error);
  else if (status != CAIRO_STATUS_SUCCESS && !rake_whole_file_has_failed (file))
    g_set_error (error, RAKE_REPORT_ERROR, RAKE_REPORT_ERROR_DRAW,
                 _ ("the contact sheet could not be drawn: %s"), cairo_status_to_string (status));
  else
    {
      if (status == CAIRO_STATUS_SUCCESS)
        /* Translators: the code of the language this is translated into, as "de". */
        rake_pdf_finish (file, C_ ("language code", "en"), sheet.flow.alternatives);
      is_written = rake_whole_file_commit (file, error);
    }
  rake_flow_clear (&sheet.flow);
  return is_written;
}

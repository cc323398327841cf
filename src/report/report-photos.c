/* report-photos.c - photographs, two beside each other, the JPEGs passed through as they are.
 *
 * cairo writes the JPEG itself into the file when it hangs on the surface that is painted; that surface
 * can then be of a few pixels, and nothing is decoded. A reader does not heed the turn that a camera
 * notes, so the picture is turned here. */
#include "report-private.h"

#include <rakelight/photo-picture.h>

#include <math.h>

#define GAP_PT 16.0
#define HIGHEST_PT 190.0
#define PLACEHOLDER_PX 8
#define SEEN_PX 900 /* the long side of a picture on a screen */
#define N_ACROSS 2
#define CAPTION_LINES 3

typedef struct
{
  RakeReport *report;
  guint indexes[N_ACROSS];
  guint n;
} Row;

static void
get_photo (const RakeReport *report, guint index, RakeReportPhoto *photo)
{
  const RakeReportPhotos *photos = report->options->photos;

  *photo = (RakeReportPhoto){ .lamp_deg = NAN };
  photos->get (index, photo, photos->user_data);
}

static double
aspect_of (const RakeReportPhoto *photo)
{
  double aspect = photo->width_px > 0 && photo->height_px > 0
                      ? (double) photo->width_px / photo->height_px
                      : 4.0 / 3;

  return photo->quarter_turns % 2 == 0 ? aspect : 1 / aspect;
}

static void
fit_photo (const RakeReportPhoto *photo, double room, double *width, double *height)
{
  double aspect = CLAMP (aspect_of (photo), 0.2, 5);

  *height = MIN (HIGHEST_PT, room / aspect);
  *width = *height * aspect;
}

static void
free_bytes (void *bytes)
{
  g_bytes_unref (bytes);
}

/* The file itself hangs on the surface: whoever writes PDF takes that and no pixel. */
static void
attach_jpeg (cairo_surface_t *surface, GBytes *jpeg, RakeId id)
{
  char *name = g_malloc (RAKE_ID_TEXT_LENGTH + 1);
  gsize n_bytes;
  const guchar *bytes = g_bytes_get_data (jpeg, &n_bytes);

  rake_id_to_text (id, name);
  if (cairo_surface_set_mime_data (surface, CAIRO_MIME_TYPE_JPEG, bytes, n_bytes, free_bytes,
                                   g_bytes_ref (jpeg)) != CAIRO_STATUS_SUCCESS)
    g_bytes_unref (jpeg);
  if (cairo_surface_set_mime_data (surface, CAIRO_MIME_TYPE_UNIQUE_ID, (guchar *) name,
                                   RAKE_ID_TEXT_LENGTH, g_free, name) != CAIRO_STATUS_SUCCESS)
    g_free (name);
}

/* For a screen: the picture decoded, no larger than is seen there. */
static cairo_surface_t *
new_decoded (GBytes *jpeg, const RakeReportPhoto *photo, GError **error)
{
  gsize n_bytes;
  const void *bytes = g_bytes_get_data (jpeg, &n_bytes);
  int longest = MAX (photo->width_px, photo->height_px);
  int shrink = longest > 4 * SEEN_PX ? 8 : longest > 2 * SEEN_PX ? 4 : longest > SEEN_PX ? 2 : 1;
  g_autoptr (RakePhotoPicture) picture = rake_photo_picture_new (bytes, n_bytes, shrink, error);
  cairo_surface_t *surface;
  const guint8 *rgb;

  if (picture == NULL)
    return NULL;
  rgb = rake_photo_picture_get_rgb (picture);
  surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, rake_photo_picture_get_width (picture),
                                        rake_photo_picture_get_height (picture));
  for (int y = 0; y < rake_photo_picture_get_height (picture); y++)
    {
      guint32 *row = (guint32 *) (gpointer) (cairo_image_surface_get_data (surface) +
                                             y * cairo_image_surface_get_stride (surface));

      for (int x = 0; x < rake_photo_picture_get_width (picture); x++, rgb += 3)
        row[x] = (guint32) rgb[0] << 16 | (guint32) rgb[1] << 8 | rgb[2];
    }
  cairo_surface_mark_dirty (surface);
  return surface;
}

static cairo_surface_t *
new_picture (const RakeFlow *flow, GBytes *jpeg, const RakeReportPhoto *photo, GError **error)
{
  cairo_surface_t *surface =
      flow->is_pdf ? cairo_image_surface_create (CAIRO_FORMAT_RGB24, PLACEHOLDER_PX, PLACEHOLDER_PX)
                   : new_decoded (jpeg, photo, error);

  if (surface != NULL)
    attach_jpeg (surface, jpeg, photo->id);
  return surface;
}

/* Turned about its middle, then brought to the size it has when it stands upright. */
static void
paint_photo (cairo_t *cr, cairo_surface_t *surface, const RakeReportPhoto *photo, double width,
             double height)
{
  gboolean is_lying = photo->quarter_turns % 2 != 0;
  int wide = cairo_image_surface_get_width (surface);
  int high = cairo_image_surface_get_height (surface);

  cairo_save (cr);
  cairo_translate (cr, width / 2, height / 2);
  cairo_rotate (cr, photo->quarter_turns * G_PI / 2);
  cairo_scale (cr, (is_lying ? height : width) / wide * (photo->is_mirrored ? -1 : 1),
               (is_lying ? width : height) / high);
  cairo_translate (cr, -wide / 2.0, -high / 2.0);
  /* Filled, not painted: a page that begins with a painted picture forgets the tag around it (cairo
   * 1.16 takes the painting for a fresh start of the page). */
  cairo_set_source_surface (cr, surface, 0, 0);
  cairo_rectangle (cr, 0, 0, wide, high);
  cairo_fill (cr);
  cairo_restore (cr);
}

static void
draw_missing (RakeFlow *flow, const char *why, double width, double height)
{
  g_autoptr (PangoLayout) layout =
      rake_flow_lay (flow, RAKE_TYPE_SMALL_SOFT, why, MAX (width - 16, 20));

  rake_flow_set_ink (flow, RAKE_TYPE_SOFT);
  cairo_set_line_width (flow->cr, 0.5);
  cairo_rectangle (flow->cr, 0.25, 0.25, width - 0.5, height - 0.5);
  cairo_stroke (flow->cr);
  rake_flow_draw_lines (flow, layout, RAKE_TYPE_SMALL_SOFT, 0, rake_flow_count_lines (layout), 8,
                        height / 2 - 10, width - 16, RAKE_ALIGN_LEFT);
}

static char *
describe_photo (const RakeReport *report, const RakeReportPhoto *photo)
{
  g_autofree char *time = rake_print_time (photo->taken_ms, photo->utc_offset_minutes);
  const char *about = rake_names_find (report->names, photo->about);
  g_autoptr (GString) line = g_string_new (NULL);
  g_autofree char *lamp = NULL;

  rake_print_add (line, photo->caption);
  rake_print_add (line, about);
  rake_print_add (line, time);
  if (isfinite (photo->lamp_deg))
    {
      g_autofree char *deg = rake_print_direction (photo->lamp_deg);
      lamp = g_strdup_printf (_ ("lamp at %s"), deg);
      rake_print_add (line, lamp);
    }
  return g_string_free (g_steal_pointer (&line), FALSE);
}

static void
draw_photo (RakeReport *report, guint index, double room, double highest)
{
  RakeFlow *flow = &report->flow;
  const RakeReportPhotos *photos = report->options->photos;
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) jpeg = NULL;
  g_autofree char *caption = NULL;
  g_autoptr (PangoLayout) layout = NULL;
  cairo_surface_t *surface = NULL;
  RakeReportPhoto photo;
  double width, height;

  get_photo (report, index, &photo);
  fit_photo (&photo, room, &width, &height);
  caption = describe_photo (report, &photo);
  if (!photo.is_withdrawn)
    jpeg = photos->load_jpeg (index, photos->user_data, &error);
  if (jpeg != NULL)
    surface = new_picture (flow, jpeg, &photo, &error);
  if (surface != NULL)
    {
      paint_photo (flow->cr, surface, &photo, width, height);
      cairo_surface_destroy (surface);
    }
  else
    draw_missing (flow,
                  photo.is_withdrawn ? _ ("This photograph was withdrawn; its place in the logbook "
                                          "stays.")
                                     : error->message,
                  width, height);
  layout = rake_flow_lay (flow, RAKE_TYPE_SMALL, caption, room);
  rake_flow_draw_lines (flow, layout, RAKE_TYPE_SMALL, 0,
                        MIN (rake_flow_count_lines (layout), CAPTION_LINES), 0, highest + 4, room,
                        RAKE_ALIGN_LEFT);
}

static double
height_of_row (const Row *row, double room)
{
  double highest = 0, width, height;

  for (guint i = 0; i < row->n; i++)
    {
      RakeReportPhoto photo;

      get_photo (row->report, row->indexes[i], &photo);
      fit_photo (&photo, room, &width, &height);
      highest = MAX (highest, height);
    }
  return highest;
}

static double
room_of (const RakeFlow *flow)
{
  return (flow->width - GAP_PT * (N_ACROSS - 1)) / N_ACROSS;
}

static void
draw_row (RakeFlow *flow, double width, double height, gpointer user_data)
{
  const Row *row = user_data;
  double room = room_of (flow);
  double highest = height_of_row (row, room);

  for (guint i = 0; i < row->n && !g_cancellable_is_cancelled (flow->cancellable); i++)
    {
      cairo_save (flow->cr);
      cairo_translate (flow->cr, i * (room + GAP_PT), 0);
      draw_photo (row->report, row->indexes[i], room, highest);
      cairo_restore (flow->cr);
    }
}

static char *
describe_row (const Row *row)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < row->n; i++)
    {
      RakeReportPhoto photo;
      g_autofree char *caption = NULL;

      get_photo (row->report, row->indexes[i], &photo);
      caption = describe_photo (row->report, &photo);
      g_string_append_printf (text, "%s%s", i > 0 ? "; " : "", caption);
    }
  return g_string_free (text, FALSE);
}

static double
height_with_captions (const Row *row)
{
  return height_of_row (row, room_of (&row->report->flow)) + 4 +
         CAPTION_LINES * rake_type_get_leading (RAKE_TYPE_SMALL);
}

static void
print_row (const Row *row)
{
  g_autofree char *alternative = describe_row (row);

  rake_flow_figure (&row->report->flow, height_with_captions (row), draw_row, (gpointer) row,
                    alternative, NULL);
}

guint
rake_report_find_photo (const RakeReport *report, RakeId id)
{
  const RakeReportPhotos *photos = report->options->photos;
  guint n = photos != NULL ? photos->get_n (photos->user_data) : 0;

  for (guint i = 0; i < n; i++)
    {
      RakeReportPhoto photo;

      get_photo (report, i, &photo);
      if (rake_id_equal (photo.id, id))
        return i;
    }
  return G_MAXUINT;
}

static Row
take_row (RakeReport *report, const GArray *indexes, guint first)
{
  Row row = { .report = report, .n = MIN (N_ACROSS, indexes->len - first) };

  for (guint i = 0; i < row.n; i++)
    row.indexes[i] = g_array_index (indexes, guint, first + i);
  return row;
}

void
rake_report_print_some_photos (RakeReport *report, const GArray *indexes)
{
  for (guint i = 0; i < indexes->len && !report->flow.is_stopped; i += N_ACROSS)
    {
      const Row row = take_row (report, indexes, i);

      print_row (&row);
    }
}

void
rake_report_print_photos (RakeReport *report)
{
  const RakeReportPhotos *photos = report->options->photos;
  guint n = photos != NULL ? photos->get_n (photos->user_data) : 0;
  g_autoptr (GArray) indexes = g_array_sized_new (FALSE, FALSE, sizeof (guint), n);
  Row first;

  if (n == 0)
    return;
  for (guint i = 0; i < n; i++)
    g_array_append_val (indexes, i);
  first = take_row (report, indexes, 0);
  rake_flow_keep (&report->flow, height_with_captions (&first));
  rake_flow_heading (&report->flow, 1, _ ("Photographs"));
  rake_report_print_some_photos (report, indexes);
  rake_flow_end_section (&report->flow);
}

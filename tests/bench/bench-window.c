/* bench-window.c - what a frame of the face map costs: 500 zones, 20 000 entries, 1920 by 1080 px.
 *
 * A frame is what this program works from the frame clock's before-paint to its after-paint. Beside
 * each stands, in a window of the same size in the same process, a bare widget that shows the same
 * and decides nothing:
 *
 *   one zone   the map's own nodes as they are kept; the zone and its marks drawn anew on top of them
 *   pan, zoom  the kept picture, moved or stretched
 *   lamp       the kept picture between a new glow and a new lamp
 *   timeline   as for one zone: the moments gone through differ in one
 *   all anew   the whole face drawn in one go
 *   photograph of 12 megapixels, laid on the face: the same as without
 *
 * Processor time, of all threads. The X server's part and the screen are not in it. */
#include "bench.h"
#include "../imaging/picture-maker.h"
#include "face-map-private.h"
#include "photo-desk.h"
#include "photo-under.h"

#include <adwaita.h>
#include <glib/gstdio.h>
#include <math.h>

#define N_ENTRIES 20000
#define WIDTH_PX 1920
#define HEIGHT_PX 1080
#define N_FRAMES 40
#define N_WHOLE_FRAMES 10

/* --- a bare widget --------------------------------------------------------------------------- */

#define BENCH_TYPE_BARE (bench_bare_get_type ())
G_DECLARE_FINAL_TYPE (BenchBare, bench_bare, BENCH, BARE, GtkWidget)

struct _BenchBare
{
  GtkWidget parent_instance;
  void (*show) (GtkSnapshot *snapshot);
};

G_DEFINE_FINAL_TYPE (BenchBare, bench_bare, GTK_TYPE_WIDGET)

static void
bench_bare_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BenchBare *self = BENCH_BARE (widget);

  if (self->show)
    self->show (snapshot);
}

static void
bench_bare_class_init (BenchBareClass *klass)
{
  GTK_WIDGET_CLASS (klass)->snapshot = bench_bare_snapshot;
}

static void
bench_bare_init (BenchBare *self)
{
}

/* --- frames ---------------------------------------------------------------------------------- */

typedef struct
{
  GtkWidget *window, *widget;
  double began_ms, spent_ms;
  gboolean is_painted;
} Shown;

static Shown ours, bare;
static RakeFaceMap *map;
static RakeSession *session;

static void
before_paint (GdkFrameClock *clock, Shown *shown)
{
  shown->began_ms = bench_now_processor_ms ();
}

static void
after_paint (GdkFrameClock *clock, Shown *shown)
{
  shown->spent_ms = bench_now_processor_ms () - shown->began_ms;
  shown->is_painted = TRUE;
}

static void
show (Shown *shown, GtkWidget *widget)
{
  GdkFrameClock *clock;

  shown->widget = widget;
  shown->window = adw_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (shown->window), WIDTH_PX, HEIGHT_PX);
  adw_window_set_content (ADW_WINDOW (shown->window), widget);
  gtk_window_present (GTK_WINDOW (shown->window));
  gtk_test_widget_wait_for_draw (shown->window);
  clock = gtk_widget_get_frame_clock (shown->window);
  g_signal_connect (clock, "before-paint", G_CALLBACK (before_paint), shown);
  g_signal_connect (clock, "after-paint", G_CALLBACK (after_paint), shown);
}

/* What is pending was brought about by the change, so it belongs to the frame. */
static double
take_frame_ms (Shown *shown)
{
  gtk_widget_queue_draw (shown->widget);
  shown->is_painted = FALSE;
  while (!shown->is_painted)
    g_main_context_iteration (NULL, TRUE);
  return shown->spent_ms;
}

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

/* Frames until all that changed is drawn; the longest of them. */
static double
take_frames_ms (Shown *shown, double *all_ms)
{
  double longest_ms = 0;

  *all_ms = 0;
  do
    {
      double frame_ms = take_frame_ms (shown);
      longest_ms = MAX (longest_ms, frame_ms);
      *all_ms += frame_ms;
    }
  while (map->following != 0);
  return longest_ms;
}

/* --- one zone -------------------------------------------------------------------------------- */

static GskRenderNode *all_nodes;              /* what the map shows */
static GskRenderNode *zone_node, *marks_node; /* drawn by the bare widget, and shown on top */
static const RakeZone *zone;
static const RakeJudgement *judgement;

static GskRenderNode *
take_nodes (void)
{
  GtkSnapshot *snapshot = gtk_snapshot_new ();

  rake_face_map_paint (map, snapshot);
  return gtk_snapshot_free_to_node (snapshot);
}

static GskRenderNode *
draw_anew (gboolean is_marks)
{
  double x, y, width, height;
  graphene_rect_t box;
  GskRenderNode *node;
  cairo_t *cr;

  if (is_marks)
    rake_map_marks_extents (&map->view, zone, &x, &y, &width, &height);
  else
    rake_map_zone_extents (&map->view, zone, &x, &y, &width, &height);
  graphene_rect_init (&box, (float) x, (float) y, (float) width, (float) height);
  graphene_rect_round_extents (&box, &box);
  node = gsk_cairo_node_new (&box);
  cr = gsk_cairo_node_get_draw_context (node);
  if (is_marks)
    rake_map_draw_marks (cr, &map->view, zone, judgement);
  else
    rake_map_draw_zone (cr, &map->view, zone, judgement);
  cairo_destroy (cr);
  return node;
}

static void
show_nodes (GtkSnapshot *snapshot)
{
  g_clear_pointer (&zone_node, gsk_render_node_unref);
  g_clear_pointer (&marks_node, gsk_render_node_unref);
  zone_node = draw_anew (FALSE);
  marks_node = draw_anew (TRUE);
  gtk_snapshot_append_node (snapshot, all_nodes);
  gtk_snapshot_append_node (snapshot, zone_node);
  gtk_snapshot_append_node (snapshot, marks_node);
}

/* The bare widget shows what the map shows; then the zone and its marks are drawn again. */
static double
take_bare_zone_ms (RakeId id)
{
  g_autoptr (GPtrArray) judgements = NULL;
  const RakeFace *face = rake_session_get_face (session);

  g_clear_pointer (&all_nodes, gsk_render_node_unref);
  all_nodes = take_nodes ();
  judgements = rake_session_get_judgements (session, face);
  for (guint i = 0; i < face->zones->len; i++)
    if (rake_id_equal (((const RakeZone *) face->zones->pdata[i])->id, id))
      {
        zone = face->zones->pdata[i];
        judgement = judgements->pdata[i];
      }
  BENCH_BARE (bare.widget)->show = show_nodes;
  take_frame_ms (&bare);
  return take_frame_ms (&bare);
}

static void
bench_mark (const BenchLogbook *logbook, const char *what_is_recorded, const char *what_is_drawn)
{
  BenchTimes *recorded = bench_times_new (what_is_recorded),
             *drawn = bench_times_new (what_is_drawn);

  for (guint i = 0; i < N_FRAMES; i++)
    {
      guint where = 3 + i * 11 % (logbook->zones->len - 3);
      g_autoptr (RakeShape) patch = bench_logbook_new_patch (logbook, where, i);
      double began, frame_ms, all_ms;

      settle ();
      began = bench_now_processor_ms ();
      bench_must (rake_session_mark (session, RAKE_MARK_LOW_SPOT, patch), NULL);
      bench_times_add (recorded, bench_now_processor_ms () - began, 0);
      frame_ms = take_frames_ms (&ours, &all_ms);
      bench_times_add (drawn, frame_ms,
                       take_bare_zone_ms (g_array_index (logbook->zones, RakeId, where)));
    }
  bench_times_tell (recorded);
  bench_times_tell (drawn);
}

/* --- the kept picture ------------------------------------------------------------------------ */

static void
show_still (GtkSnapshot *snapshot)
{
  graphene_rect_t box =
      GRAPHENE_RECT_INIT (0, 0, (float) map->view.width_px, (float) map->view.height_px);
  double factor = map->view.px_per_mm / map->still_view.px_per_mm;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);

  cairo_translate (cr, map->view.origin_x_px - map->still_view.origin_x_px * factor,
                   map->view.origin_y_px - map->still_view.origin_y_px * factor);
  cairo_scale (cr, factor, factor);
  cairo_set_source_surface (cr, map->still, 0, 0);
  cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_FAST);
  cairo_paint (cr);
  cairo_destroy (cr);
}

static void
show_still_under_lamp (GtkSnapshot *snapshot)
{
  graphene_rect_t box =
      GRAPHENE_RECT_INIT (0, 0, (float) map->view.width_px, (float) map->view.height_px);
  const RakeFace *face = rake_session_get_face (session);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);

  rake_map_draw_glow (cr, &map->view, face);
  cairo_destroy (cr);
  show_still (snapshot);
  cr = gtk_snapshot_append_cairo (snapshot, &box);
  rake_map_draw_lamp (cr, &map->view, face, FALSE);
  cairo_destroy (cr);
}

static void
bench_moving (const char *what, void (*move) (guint frame), void (*show_bare) (GtkSnapshot *))
{
  BenchTimes *times = bench_times_new (what);

  for (guint i = 0; i < N_FRAMES; i++)
    {
      double frame_ms;

      move (i);
      frame_ms = take_frame_ms (&ours);
      /* The map takes its picture in the first frame, and lets it go when no frame came for a
       * while, as may happen on a busy machine: such frames are no frames of moving. */
      if (i == 0 || !rake_face_map_is_moving (map))
        continue;
      BENCH_BARE (bare.widget)->show = show_bare;
      bench_times_add (times, frame_ms, take_frame_ms (&bare));
    }
  bench_times_tell (times);
  rake_face_map_finish (map);
  take_frame_ms (&ours);
}

static void
pan (guint frame)
{
  rake_face_map_pan (map, frame % 2 ? 3 : -2, 2);
}

static void
zoom (guint frame)
{
  rake_face_map_zoom_at (map, frame < N_FRAMES / 2 ? 1.02 : 1 / 1.02, WIDTH_PX / 2, HEIGHT_PX / 2);
}

static void
drag_lamp (guint frame)
{
  rake_face_map_hold_still (map, FALSE);
  rake_face_map_turn_lamp (map, 3 * frame);
}

/* --- all of it ------------------------------------------------------------------------------- */

static void
show_face (GtkSnapshot *snapshot)
{
  graphene_rect_t box =
      GRAPHENE_RECT_INIT (0, 0, (float) map->view.width_px, (float) map->view.height_px);
  const RakeFace *face = rake_session_get_face (session);
  g_autoptr (GPtrArray) judgements = rake_session_get_judgements (session, face);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);

  rake_map_draw_face (cr, &map->view, face, (RakeJudgement *const *) judgements->pdata);
  cairo_destroy (cr);
}

static void
bench_all (void)
{
  BenchTimes *longest = bench_times_new ("window: all 500 zones drawn anew, the longest frame"),
             *all = bench_times_new ("window: all 500 zones drawn anew, all frames");

  BENCH_BARE (bare.widget)->show = show_face;
  for (guint i = 0; i < N_WHOLE_FRAMES; i++)
    {
      double all_ms, floor_ms;

      settle ();
      rake_face_map_forget_paint (map);
      bench_times_add (longest, take_frames_ms (&ours, &all_ms), 0);
      floor_ms = take_frame_ms (&bare);
      bench_times_add (all, all_ms, floor_ms);
    }
  bench_times_tell (longest);
  bench_times_tell (all);
}

/* --- the timeline ---------------------------------------------------------------------------- */

static double
walk (guint n_entries)
{
  const RakeJob *job = rake_session_get_live_job (session);
  double began = bench_now_processor_ms ();

  for (guint i = 0; i < n_entries; i++)
    bench_sink += (guint64) rake_job_get_entry (job, i)->happened_ms;
  return bench_now_processor_ms () - began;
}

/* The frames until all of the face is judged as of then, and shown. */
static double
take_frames_of_moment_ms (void)
{
  const RakeFace *face = rake_session_get_face (session);
  double longest_ms = 0, all_ms;
  gboolean is_judged;

  do
    {
      double frame_ms;
      is_judged = rake_session_find_gate (session, face) != NULL;
      frame_ms = take_frames_ms (&ours, &all_ms);
      longest_ms = MAX (longest_ms, frame_ms);
    }
  while (!is_judged);
  return longest_ms;
}

/* Ten entries back are one round on one zone. */
static void
bench_timeline (const BenchLogbook *logbook)
{
  BenchTimes *built = bench_times_new ("window: timeline dragged a step, the job"),
             *drawn = bench_times_new ("window: timeline dragged a step, the longest frame");

  for (guint i = 0; i < N_FRAMES; i++)
    {
      guint n_entries = N_ENTRIES - 5 - 10 * (i + 1),
            where = (n_entries - 5) / 10 % logbook->zones->len;
      double began, spent_ms, frame_ms;

      settle ();
      began = bench_now_processor_ms ();
      rake_session_show_entries (session, n_entries);
      spent_ms = bench_now_processor_ms () - began;
      frame_ms = take_frames_of_moment_ms ();
      if (i == 0)
        continue;
      bench_times_add (built, spent_ms, walk (n_entries));
      bench_times_add (drawn, frame_ms,
                       take_bare_zone_ms (g_array_index (logbook->zones, RakeId, where)));
    }
  bench_times_tell (built);
  bench_times_tell (drawn);
  rake_session_show_entries (session, G_MAXUINT);
}

/* --- with a photograph under it -------------------------------------------------------------- */

#define PHOTO_PX 4000
#define PHOTO_HEIGHT_PX 3000
#define PHOTO_PX_PER_MM 3.0

static RakeId
add_photo (const BenchLogbook *logbook)
{
  RakePhotoDesk *desk = rake_photo_desk_get (session);
  g_autofree guint8 *rgb = make_colours (PHOTO_PX, PHOTO_HEIGHT_PX);
  g_autoptr (GBytes) bytes =
      g_byte_array_free_to_bytes (make_jpeg (rgb, PHOTO_PX, PHOTO_HEIGHT_PX, 90, FALSE));
  g_autoptr (RakePhotoPlace) place = rake_photo_place_new ();
  const RakeJob *job = rake_session_get_live_job (session);

  place->face = logbook->face;
  bench_must (rake_photo_desk_add_bytes (desk, bytes, "p.jpg", 0, place), NULL);
  while (rake_photo_desk_get_n_waiting (desk) > 0)
    g_main_context_iteration (NULL, TRUE);
  bench_must (rake_job_get_n_photos (job) == 1, NULL);
  return rake_job_get_photo (job, 0)->id;
}

/* Straight from above. */
static void
lay_photo (const BenchLogbook *logbook, RakeId photo)
{
  static const double corners_mm[][2] = { { 0, 0 }, { 1200, 0 }, { 1200, 900 }, { 0, 900 } };
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  RakeRegistrationBody *body = &entry->registration;

  body->face = logbook->face;
  body->photo = photo;
  for (guint i = 0; i < G_N_ELEMENTS (corners_mm); i++)
    {
      RakePairSpec pair = { .x_mm = corners_mm[i][0],
                            .y_mm = corners_mm[i][1],
                            .x_px = corners_mm[i][0] * PHOTO_PX_PER_MM,
                            .y_px = corners_mm[i][1] * PHOTO_PX_PER_MM };
      g_array_append_val (body->pairs, pair);
    }
  body->m12 = body->m13 = body->m21 = body->m23 = body->m31 = body->m32 = 0;
  body->m11 = body->m22 = PHOTO_PX_PER_MM;
  body->m33 = 1;
  bench_must (rake_session_append (session, &entry, 1), NULL);
}

static void
bench_photo (const BenchLogbook *logbook)
{
  RakePhotoUnder *under = rake_photo_under_get (session);
  RakeId photo = add_photo (logbook);
  graphene_rect_t box_mm;

  lay_photo (logbook, photo);
  rake_photo_under_set_opacity (under, 0.6);
  rake_photo_under_choose (under, photo);
  while (!rake_photo_under_peek (under, &box_mm))
    g_main_context_iteration (NULL, TRUE);
  settle ();
  rake_face_map_finish (map);
  take_frame_ms (&ours);
  bench_mark (logbook, "window: over a photograph, one mark recorded",
              "window: over a photograph, one zone drawn after one mark");
  bench_moving ("window: over a photograph, moved", pan, show_still);
  rake_face_map_fit (map);
  rake_photo_under_choose (under, RAKE_ID_NIL);
}

/* --- the job --------------------------------------------------------------------------------- */

static void
open_session (BenchLogbook *logbook, const char *folder)
{
  g_autofree char *path = g_build_filename (folder, "bench.rakejob", NULL);
  g_autoptr (GPtrArray) entries = bench_logbook_take_entries (logbook, N_ENTRIES - 1);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeRules) rules =
      rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, &error);

  bench_must (rules != NULL, error);
  session =
      rake_session_create (path, rules, (RakeEntry *const *) entries->pdata, entries->len, &error);
  bench_must (session != NULL, error);
}

static void
remove_folder (const char *folder)
{
  g_autoptr (GDir) files = g_dir_open (folder, 0, NULL);
  const char *name;

  while (files != NULL && (name = g_dir_read_name (files)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      g_unlink (path);
    }
  g_rmdir (folder);
}

int
main (void)
{
  g_autofree char *folder = g_dir_make_tmp ("rakelight-bench-XXXXXX", NULL);
  g_autoptr (BenchLogbook) logbook = bench_logbook_new (25, 20);

  g_setenv ("GSK_RENDERER", "cairo", FALSE);
  g_setenv ("GDK_DEBUG", "gl-disable", FALSE);
  adw_init ();
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  open_session (logbook, folder);
  map = rake_face_map_new ();
  rake_face_map_set_session (map, session);
  show (&bare, g_object_new (BENCH_TYPE_BARE, NULL));
  show (&ours, GTK_WIDGET (map));
  bench_mark (logbook, "window: one mark recorded, commit and all",
              "window: one zone drawn after one mark");
  bench_moving ("window: moved", pan, show_still);
  rake_face_map_fit (map);
  bench_moving ("window: zoomed", zoom, show_still);
  rake_face_map_fit (map);
  bench_moving ("window: lamp dragged", drag_lamp, show_still_under_lamp);
  bench_all ();
  bench_timeline (logbook);
  bench_photo (logbook);
  gtk_window_destroy (GTK_WINDOW (ours.window));
  gtk_window_destroy (GTK_WINDOW (bare.window));
  settle ();
  g_clear_pointer (&all_nodes, gsk_render_node_unref);
  g_clear_pointer (&zone_node, gsk_render_node_unref);
  g_clear_pointer (&marks_node, gsk_render_node_unref);
  g_object_unref (session);
  remove_folder (folder);
  return 0;
}

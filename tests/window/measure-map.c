/* measure-map.c - what a frame of the face map costs: meson test --benchmark map-frames -v
 *
 *   measure-map JOB…   the shown face of each job, and a face of 500 zones made here
 *
 * Processor time of this program from the frame clock's before-paint to its after-paint, the map at
 * 1200 by 900 px; least and middle of 40 frames. Processor time, because the machine may be busy with
 * other things; it is what the program needs, not what a screen shows. Figures of one machine stand
 * in docs/window.md. */
#include "face-map-private.h"
#include "side-window.h"

#include <adwaita.h>
#include <math.h>
#include <rakelight/zoning.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define N_FRAMES 40

typedef struct
{
  GtkWidget *window;
  RakeFaceMap *map;
  RakeSession *session;
  gint64 start_us, spent_us;
  gboolean is_painted;
} Measured;

static gint64
get_processor_us (void)
{
  struct timespec spent;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &spent);
  return spent.tv_sec * G_GINT64_CONSTANT (1000000) + spent.tv_nsec / 1000;
}

static void
before_paint (GdkFrameClock *clock, Measured *self)
{
  self->start_us = get_processor_us ();
}

static void
after_paint (GdkFrameClock *clock, Measured *self)
{
  self->spent_us = get_processor_us () - self->start_us;
  self->is_painted = TRUE;
}

static int
compare (gconstpointer a, gconstpointer b)
{
  double difference = *(const double *) a - *(const double *) b;

  return difference < 0 ? -1 : difference > 0;
}

static void
measure (Measured *self, const char *what, void (*change) (Measured *self, int frame))
{
  double spent_ms[N_FRAMES];

  for (int i = 0; i < N_FRAMES; i++)
    {
      while (g_main_context_iteration (NULL, FALSE))
        ;
      change (self, i);
      gtk_widget_queue_draw (GTK_WIDGET (self->map));
      self->is_painted = FALSE;
      while (!self->is_painted)
        g_main_context_iteration (NULL, TRUE);
      spent_ms[i] = (double) self->spent_us / 1000;
    }
  qsort (spent_ms, N_FRAMES, sizeof (double), compare);
  printf ("  %-28s least %6.1f  middle %6.1f ms\n", what, spent_ms[0], spent_ms[N_FRAMES / 2]);
}

/* --- what changes ---------------------------------------------------------------------------- */

static void
nothing (Measured *self, int frame)
{
}

static void
hover (Measured *self, int frame)
{
  rake_face_map_hover (self->map, 200 + 20 * frame, 300 + 8 * frame);
}

static void
turn_lamp (Measured *self, int frame)
{
  rake_face_map_turn_lamp (self->map, 4 * frame);
}

/* As the hand does it: the zones are lit anew when it stops. */
static void
drag_lamp (Measured *self, int frame)
{
  rake_face_map_hold_still (self->map, FALSE);
  rake_face_map_turn_lamp (self->map, 3 * frame);
}

static void
pan (Measured *self, int frame)
{
  rake_face_map_pan (self->map, frame % 2 ? 3 : -2, 2);
}

static void
zoom (Measured *self, int frame)
{
  rake_face_map_zoom_at (self->map, frame < N_FRAMES / 2 ? 1.03 : 1 / 1.03, 600, 450);
}

static void
redraw (Measured *self, int frame)
{
  rake_face_map_forget_paint (self->map);
}

static void
paint_patch (Measured *self, int frame)
{
  if (frame == 0)
    {
      RakeBench bench = *rake_session_get_bench (self->session);
      bench.brush = RAKE_MARK_LOW_SPOT;
      rake_session_set_bench (self->session, &bench);
      rake_face_map_hand_down (self->map, 500, 450);
    }
  rake_face_map_hand_move (self->map, 500 + 5 * frame, 450 + 3 * (frame % 5));
  if (frame == N_FRAMES - 1)
    rake_face_map_hand_cancel (self->map);
}

/* The commit is in it: what a tap costs until its picture stands. */
static void
say_state (Measured *self, int frame)
{
  const RakeFace *face = rake_session_get_face (self->session);
  const RakeZone *zone = face->zones->pdata[(guint) frame % face->zones->len];

  rake_session_say_state (self->session, zone->id,
                          frame % 2 ? RAKE_STATE_UNIFORM : RAKE_STATE_LOW_SPOT, 0.2, NAN);
}

static void
measure_session (RakeSession *session, const char *name)
{
  Measured self = { .session = session, .map = rake_face_map_new () };
  GdkFrameClock *clock;
  gint64 start_us = get_processor_us ();

  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  rake_face_map_set_session (self.map, session);
  self.window = adw_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (self.window), 1200, 900);
  adw_window_set_content (ADW_WINDOW (self.window), GTK_WIDGET (self.map));
  gtk_window_present (GTK_WINDOW (self.window));
  gtk_test_widget_wait_for_draw (self.window);
  printf ("%s: %u zones, first picture after %.0f ms\n", name,
          rake_session_get_face (session)->zones->len,
          (double) (get_processor_us () - start_us) / 1000);
  clock = gtk_widget_get_frame_clock (self.window);
  g_signal_connect (clock, "before-paint", G_CALLBACK (before_paint), &self);
  g_signal_connect (clock, "after-paint", G_CALLBACK (after_paint), &self);
  measure (&self, "nothing changes", nothing);
  measure (&self, "pointer over zones", hover);
  measure (&self, "a zone changes, commit too", say_state);
  measure (&self, "a patch is painted", paint_patch);
  measure (&self, "the lamp turns by keys", turn_lamp);
  measure (&self, "the lamp is dragged", drag_lamp);
  measure (&self, "moved", pan);
  measure (&self, "zoomed", zoom);
  measure (&self, "all drawn anew", redraw);
  g_signal_handlers_disconnect_by_data (clock, &self);
  gtk_window_destroy (GTK_WINDOW (self.window));
}

/* --- a face of 500 zones --------------------------------------------------------------------- */

static void
divide (Bench *bench)
{
  const RakeFace *face = rake_session_get_face (bench->session);
  g_autoptr (GPtrArray) shapes = rake_zoning_grid (face->outline, 25, 20, NULL);
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_ZONES);
  const RakeField *field = rake_entry_kind_get_fields (RAKE_ENTRY_ZONES);
  g_autoptr (RakeEntry) joined = rake_entry_new (RAKE_ENTRY_ZONES);
  RakeZoneSpec whole = { .id = rake_id_new (1), .name = g_strdup ("Whole"), .edge_factor = NAN,
                         .reserve_um = NAN, .shape = rake_shape_ref ((RakeShape *) face->outline) };

  for (; field->name; field++)
    {
      if (g_str_equal (field->name, "removed"))
        {
          entry->zones.removed = rake_field_new_list (field);
          joined->zones.removed = rake_field_new_list (field);
        }
      else if (g_str_equal (field->name, "added"))
        {
          entry->zones.added = rake_field_new_list (field);
          joined->zones.added = rake_field_new_list (field);
        }
    }
  joined->zones.face = entry->zones.face = face->id;
  joined->zones.division = RAKE_DIVISION_JOIN;
  g_array_append_val (joined->zones.removed, bench->left);
  g_array_append_val (joined->zones.removed, bench->middle);
  g_array_append_val (joined->zones.removed, bench->right);
  g_array_append_val (joined->zones.added, whole);
  entry->zones.division = RAKE_DIVISION_GRID;
  g_array_append_val (entry->zones.removed, whole.id);
  for (guint i = 0; i < shapes->len; i++)
    {
      RakeZoneSpec spec = { .id = rake_id_new (2), .name = g_strdup_printf ("Z%u", i + 1),
                            .edge_factor = NAN, .reserve_um = NAN,
                            .shape = rake_shape_ref (shapes->pdata[i]) };
      g_array_append_val (entry->zones.added, spec);
    }
  g_assert (rake_session_append (bench->session, &joined, 1));
  g_assert (rake_session_append (bench->session, &entry, 1));
}

int
main (int argc, char **argv)
{
  Bench *bench = NULL;
  void *state;

  bench_use_own_folders ();
  side_set_up_group (NULL);
  for (int i = 1; i < argc; i++)
    {
      g_autoptr (RakeRules) rules =
          rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, NULL);
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeSession) session = rake_session_open (argv[i], rules, &error);
      if (!session)
        g_error ("%s", error->message);
      measure_session (session, argv[i]);
    }
  bench_set_up ((void **) &bench);
  divide (bench);
  measure_session (bench->session, "a grid");
  state = bench;
  bench_take_down (&state);
  return 0;
}

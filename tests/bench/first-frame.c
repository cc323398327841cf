/* first-frame.c - the start of a program, and how it tells when its first frame stood.
 *
 * Linked to a program in place of its main(), which is called bench_main() then. From outside it is
 * told when it was started (RAKE_BENCH_STARTED, as bench_now_ms() tells time); after the first frame
 * of its first window, and a second in which nothing happens, it prints one line and ends:
 * "frame-ms processor-ms RSS-KiB PSS-KiB". */
#include "bench.h"

#include <gtk/gtk.h>
#include <stdio.h>
#include <stdlib.h>

int bench_main (int argc, char **argv);

static double frame_ms, processor_ms;

static guint64
find_kib (const char *rollup, const char *name)
{
  const char *line = strstr (rollup, name);

  return line != NULL ? g_ascii_strtoull (line + strlen (name), NULL, 10) : 0;
}

static gboolean
tell (gpointer user_data)
{
  g_autofree char *rollup = NULL;
  g_autoptr (GError) error = NULL;

  bench_must (g_file_get_contents ("/proc/self/smaps_rollup", &rollup, NULL, &error), error);
  printf ("%.3f %.3f %u %u\n", frame_ms, processor_ms, (guint) find_kib (rollup, "\nRss:"),
          (guint) find_kib (rollup, "\nPss:"));
  fflush (stdout);
  g_application_quit (g_application_get_default ());
  return G_SOURCE_REMOVE;
}

static void
after_paint (GdkFrameClock *clock, gpointer user_data)
{
  const char *started = g_getenv ("RAKE_BENCH_STARTED");

  if (frame_ms > 0 || started == NULL)
    return;
  frame_ms = bench_now_ms () - g_ascii_strtod (started, NULL);
  processor_ms = bench_now_processor_ms ();
  g_timeout_add (1000, tell, NULL);
}

static gboolean
on_realize (GSignalInvocationHint *hint, guint n_values, const GValue *values, gpointer user_data)
{
  GtkWidget *widget = g_value_get_object (values);

  if (!GTK_IS_WINDOW (widget))
    return TRUE;
  g_signal_connect (gtk_widget_get_frame_clock (widget), "after-paint", G_CALLBACK (after_paint),
                    NULL);
  return FALSE;
}

/* Only now is GTK there to be listened to. */
static gboolean
on_startup (GSignalInvocationHint *hint, guint n_values, const GValue *values, gpointer user_data)
{
  g_type_class_unref (g_type_class_ref (GTK_TYPE_WIDGET));
  g_signal_add_emission_hook (g_signal_lookup ("realize", GTK_TYPE_WIDGET), 0, on_realize, NULL,
                              NULL);
  return FALSE;
}

int
main (int argc, char **argv)
{
  g_type_class_unref (g_type_class_ref (G_TYPE_APPLICATION));
  g_signal_add_emission_hook (g_signal_lookup ("startup", G_TYPE_APPLICATION), 0, on_startup, NULL,
                              NULL);
  return bench_main (argc, argv);
}

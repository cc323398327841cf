/* test-cool-watch.c - a buffed face's cooling is reckoned from the log, so it goes on over a restart, and
 * its end is told once: in the window, and on the desktop by way of a notification server of our own on
 * a session bus of our own. */
#include "bench-job.h"
#include "cool-watch.h"

#include <math.h>
#include <rakelight/nominal.h>
#include <string.h>

/* Half an hour between compounds: common practice, no source. */
#define USUAL_COOL_S (30 * 60)

/* A watch waits in whole seconds of the real clock, a little longer than is left; here, a second or
 * two. The bound is only for a broken one. */
#define LONGEST_WAIT_MS 30000

typedef struct
{
  GTestDBus *bus;
  GDBusConnection *server; /* another than the application's */
  GApplication *application;
  GPtrArray *notices;      /* "summary: body", as the desktop would show them */
} Desktop;

static Desktop desktop;

/* --- a desktop that notes what it is told ------------------------------------------------------- */

static const char notifications_xml[] =
    "<node><interface name='org.freedesktop.Notifications'>"
    "<method name='Notify'><arg type='s' direction='in'/><arg type='u' direction='in'/>"
    "<arg type='s' direction='in'/><arg type='s' direction='in'/><arg type='s' direction='in'/>"
    "<arg type='as' direction='in'/><arg type='a{sv}' direction='in'/><arg type='i' "
    "direction='in'/>"
    "<arg type='u' direction='out'/></method></interface></node>";

static void
on_notify (GDBusConnection *connection, const char *sender, const char *path, const char *interface,
           const char *method, GVariant *parameters, GDBusMethodInvocation *invocation,
           gpointer data)
{
  const char *summary, *body;

  g_variant_get_child (parameters, 3, "&s", &summary);
  g_variant_get_child (parameters, 4, "&s", &body);
  g_ptr_array_add (desktop.notices, g_strdup_printf ("%s: %s", summary, body));
  g_dbus_method_invocation_return_value (invocation, g_variant_new ("(u)", desktop.notices->len));
}

static void
serve_notifications (void)
{
  static const GDBusInterfaceVTable vtable = { .method_call = on_notify };
  g_autoptr (GError) error = NULL;
  g_autoptr (GDBusNodeInfo) node = g_dbus_node_info_new_for_xml (notifications_xml, &error);
  g_autoptr (GVariant) answer = NULL;

  g_assert_no_error (error);
  desktop.server =
      g_dbus_connection_new_for_address_sync (g_test_dbus_get_bus_address (desktop.bus),
                                              G_DBUS_CONNECTION_FLAGS_AUTHENTICATION_CLIENT |
                                                  G_DBUS_CONNECTION_FLAGS_MESSAGE_BUS_CONNECTION,
                                              NULL, NULL, &error);
  g_assert_no_error (error);
  g_dbus_connection_register_object (desktop.server, "/org/freedesktop/Notifications",
                                     node->interfaces[0], &vtable, NULL, NULL, &error);
  g_assert_no_error (error);
  answer = g_dbus_connection_call_sync (
      desktop.server, "org.freedesktop.DBus", "/org/freedesktop/DBus", "org.freedesktop.DBus",
      "RequestName", g_variant_new ("(su)", "org.freedesktop.Notifications", 0), NULL, 0, -1, NULL,
      &error);
  g_assert_no_error (error);
}

static int
set_up_desktop (void **state)
{
  g_autoptr (GError) error = NULL;

  desktop.bus = g_test_dbus_new (G_TEST_DBUS_NONE);
  g_test_dbus_up (desktop.bus);
  desktop.notices = g_ptr_array_new_with_free_func (g_free);
  serve_notifications ();
  desktop.application = g_application_new ("org.rakelight.Test", G_APPLICATION_DEFAULT_FLAGS);
  g_assert_true (g_application_register (desktop.application, NULL, &error));
  return 0;
}

/* GLib 2.74 falls when its bus goes while a notice is still out. A bus that outlives the program, as a
 * desktop's does, is none the wiser. */
static void
withdraw_notice (Bench *bench)
{
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (bench->face, id);
  g_application_withdraw_notification (desktop.application, id);
}

static int
take_down_desktop (void **state)
{
  g_clear_object (&desktop.application);
  g_dbus_connection_close_sync (desktop.server, NULL, NULL);
  g_clear_object (&desktop.server);
  g_clear_pointer (&desktop.notices, g_ptr_array_unref);
  g_test_dbus_stop (desktop.bus);
  g_clear_object (&desktop.bus);
  return 0;
}

static gboolean
stop_waiting (gpointer is_over)
{
  *(gboolean *) is_over = TRUE;
  return G_SOURCE_REMOVE;
}

/* Lets things happen until the desktop has @n notices, or for @most_ms. */
static void
wait_for_notices (guint n, guint most_ms)
{
  gboolean is_over = FALSE;
  guint timeout = g_timeout_add (most_ms, stop_waiting, &is_over);

  while (!is_over && desktop.notices->len < n)
    g_main_context_iteration (NULL, TRUE);
  if (!is_over)
    g_source_remove (timeout);
}

/* --- at the bench --------------------------------------------------------------------------------- */

static int
set_up (void **state)
{
  g_ptr_array_set_size (desktop.notices, 0);
  return bench_set_up (state);
}

static const RakeFace *
get_face (Bench *bench)
{
  return bench_get_zone (bench, bench->left)->face;
}

static gint64
get_end_ms (Bench *bench)
{
  return rake_cool_get_end_ms (bench->session, get_face (bench), NULL);
}

static gint64
buff (Bench *bench, RakeId zone)
{
  bench_select (bench, zone);
  assert_true (rake_session_pass_done (bench->session));
  return bench_get_last (bench, 0)->happened_ms;
}

static void
begin_buffing (Bench *bench)
{
  assert_true (rake_session_begin_stage (bench->session, bench->stages[3], NULL, NULL));
}

static void
the_end_is_reckoned_from_the_log (void **state)
{
  Bench *bench = *state;
  gint64 buffed_ms, told_ms;

  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session)); /* sanding heats nothing */
  assert_true (get_end_ms (bench) == 0);
  begin_buffing (bench);
  buff (bench, bench->left);
  bench_let_time_pass (60);
  buffed_ms = buff (bench, bench->right); /* the face's last zone counts */
  assert_true (get_end_ms (bench) == buffed_ms + USUAL_COOL_S * 1000);
  bench_close (bench);
  bench_reopen (bench);
  assert_true (get_end_ms (bench) == buffed_ms + USUAL_COOL_S * 1000);
  rake_cool_get_end_ms (bench->session, get_face (bench), &told_ms);
  assert_true (told_ms == buffed_ms);
  /* struck out, it never was */
  assert_true (rake_session_undo (bench->session));
  assert_true (get_end_ms (bench) < buffed_ms + USUAL_COOL_S * 1000);
}

static void
the_job_may_have_its_own_time (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeEntry) facts = rake_nominal_new_entry (rake_session_get_job (bench->session), NAN);
  gint64 buffed_ms;

  facts->job.cool_minutes = 45;
  assert_true (rake_session_append (bench->session, &facts, 1));
  begin_buffing (bench);
  buffed_ms = buff (bench, bench->left);
  assert_true (get_end_ms (bench) == buffed_ms + 45 * 60 * G_GINT64_CONSTANT (1000));
}

/* So much before the end that a watch made now waits a second or two. */
static void
go_near_the_end (Bench *bench)
{
  bench_let_time_pass ((double) (get_end_ms (bench) - rake_session_now_ms ()) / 1000 - 4);
}

/* Across a restart in the middle of it: the desktop is told when the time is over, and once. */
static void
the_end_is_told_after_a_restart_and_once (void **state)
{
  Bench *bench = *state;
  RakeCoolWatch *watch;

  begin_buffing (bench);
  buff (bench, bench->left);
  watch = rake_cool_watch_new (bench->session, desktop.application);
  bench_let_time_pass (USUAL_COOL_S / 2.0);
  rake_cool_watch_free (watch);
  bench_close (bench);
  bench_reopen (bench);
  bench_forget_messages (bench);
  go_near_the_end (bench);
  watch = rake_cool_watch_new (bench->session, desktop.application);
  wait_for_notices (1, 200);
  assert_int_equal (desktop.notices->len, 0); /* it is warm yet */
  bench_let_time_pass (10);
  wait_for_notices (1, LONGEST_WAIT_MS);
  assert_int_equal (desktop.notices->len, 1);
  assert_string_equal (
      desktop.notices->pdata[0],
      "Cool enough: Top has cooled: wipe it clear and look before the next compound.");
  assert_non_null (strstr (bench_get_message (bench), "Top has cooled"));
  /* What else is done does not tell it again. */
  assert_true (rake_session_note (bench->session, bench->left, "smells of wax"));
  wait_for_notices (2, 2500);
  assert_int_equal (desktop.notices->len, 1);
  withdraw_notice (bench);
  rake_cool_watch_free (watch);
}

static void
what_cooled_while_the_window_was_closed_is_not_told (void **state)
{
  Bench *bench = *state;
  RakeCoolWatch *watch;

  begin_buffing (bench);
  buff (bench, bench->left);
  bench_close (bench);
  bench_let_time_pass (2 * USUAL_COOL_S);
  bench_reopen (bench);
  watch = rake_cool_watch_new (bench->session, desktop.application);
  assert_true (rake_session_note (bench->session, bench->left, "the day after"));
  wait_for_notices (1, 2500);
  assert_int_equal (desktop.notices->len, 0);
  rake_cool_watch_free (watch);
}

int
main (void)
{
#define ON_A_BENCH(name) cmocka_unit_test_setup_teardown (name, set_up, bench_take_down)
  const struct CMUnitTest tests[] = {
    ON_A_BENCH (the_end_is_reckoned_from_the_log),
    ON_A_BENCH (the_job_may_have_its_own_time),
    ON_A_BENCH (the_end_is_told_after_a_restart_and_once),
    ON_A_BENCH (what_cooled_while_the_window_was_closed_is_not_told),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, set_up_desktop, take_down_desktop);
}

/* window.c - the frame: header, pages, the job at the bench. */
#include "window-private.h"
#include "compare-page.h"
#include "lay-photo-page.h"
#include "new-job.h"
#include "photo-bar.h"
#include "photo-ways.h"
#include "photos-page.h"
#include "camera-page.h"
#include "planner-page.h"
#include "proposals-page.h"
#include "report-page.h"
#include "record-page.h"
#include "say.h"
#include "settings.h"
#include "shelf.h"
#include "shop-rules.h"
#include "wheels-page.h"
#include "zone-editor.h"

#include "words.h"

#define DEFAULT_WIDTH_PX 1440
#define DEFAULT_HEIGHT_PX 900
#define TOAST_S 5

enum
{
  PROP_0,
  PROP_BRUSH,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

G_DEFINE_FINAL_TYPE (RakeWindow, rake_window, ADW_TYPE_APPLICATION_WINDOW)

/* --- title ----------------------------------------------------------------------------------- */

static void
add_part (GString *text, const char *part)
{
  if (part && *part)
    g_string_append_printf (text, "%s%s", text->len ? " · " : "", part);
}

static void
add_coats (GString *text, const RakeFace *face)
{
  guint n_coats = face->coats->len;
  g_autofree char *coats = NULL, *cured = NULL;
  const RakeEntry *last;
  int days;

  if (n_coats == 0)
    return;
  coats = g_strdup_printf (ngettext ("%u coat", "%u coats", n_coats), n_coats);
  add_part (text, coats);
  last = face->coats->pdata[n_coats - 1];
  days = (int) MAX (0, (rake_session_now_ms () - last->happened_ms) / (24 * 3600 * 1000));
  cured = g_strdup_printf (ngettext ("cured %d day", "cured %d days", (gulong) days), days);
  add_part (text, cured);
}

static char *
new_subtitle (RakeSession *session)
{
  const RakeFace *face = rake_session_get_face (session);
  const RakeJobFacts *facts = rake_job_find_facts (rake_session_get_job (session));
  GString *text = g_string_new (NULL);

  if (facts && facts->finish != RAKE_FINISH_UNSAID)
    add_part (text, _ (rake_finish_get_label (facts->finish)));
  if (face)
    add_coats (text, face);
  add_part (text,
            rake_session_is_read_only (session) ? _ ("can only be read") : _ ("saved as you work"));
  return g_string_free (text, FALSE);
}

static char *
new_title (RakeSession *session)
{
  const RakeFace *face = rake_session_get_face (session);
  const RakeJobFacts *facts = rake_job_find_facts (rake_session_get_job (session));
  g_autofree char *file_name = g_path_get_basename (rake_session_get_path (session));
  const char *name = facts && facts->name ? facts->name : file_name;

  /* Translators: a piece and the face on the bench: "Octave mandola 14 — front". */
  return face ? g_strdup_printf (C_ ("title", "%s — %s"), name, face->name) : g_strdup (name);
}

/* What a page beside the bench is for; NULL for the other pages. */
static const char *
find_page_word (const char *page)
{
  if (g_strcmp0 (page, "zones") == 0)
    return _ ("dividing into zones");
  if (g_strcmp0 (page, "planner") == 0)
    return _ ("which grits");
  if (g_strcmp0 (page, "report") == 0)
    return _ ("report");
  if (g_strcmp0 (page, "wheels") == 0)
    return _ ("wheels and cooling");
  if (g_strcmp0 (page, "photos") == 0)
    return _ ("photographs");
  if (g_strcmp0 (page, "compare") == 0)
    return _ ("comparing photographs");
  if (g_strcmp0 (page, "lay-photo") == 0)
    return _ ("laying a photograph on the map");
  if (g_strcmp0 (page, "read-photo") == 0)
    return _ ("what the photograph shows");
  if (g_strcmp0 (page, "camera") == 0)
    return _ ("camera");
  if (g_strcmp0 (page, "record") == 0)
    return _ ("record of the piece");
  return NULL;
}

static void
show_title (RakeWindow *self)
{
  const char *page = gtk_stack_get_visible_child_name (GTK_STACK (self->pages));
  g_autofree char *title = self->session ? new_title (self->session) : NULL;
  g_autofree char *subtitle = self->session ? new_subtitle (self->session) : NULL;
  const char *word = find_page_word (page);
  gboolean is_bench = g_strcmp0 (page, "bench") == 0, is_beside = word != NULL;

  if ((is_bench || is_beside) && title)
    {
      adw_window_title_set_title (ADW_WINDOW_TITLE (self->title), title);
      adw_window_title_set_subtitle (ADW_WINDOW_TITLE (self->title), is_beside ? word : subtitle);
      gtk_window_set_title (GTK_WINDOW (self), title);
    }
  else
    {
      adw_window_title_set_title (ADW_WINDOW_TITLE (self->title), g_strcmp0 (page, "new-job") == 0
                                                                      ? _ ("New job")
                                                                      : _ ("Rakelight"));
      adw_window_title_set_subtitle (ADW_WINDOW_TITLE (self->title), NULL);
      gtk_window_set_title (GTK_WINDOW (self), _ ("Rakelight"));
    }
  gtk_widget_set_visible (self->back, g_strcmp0 (page, "shelf") != 0);
  gtk_label_set_label (GTK_LABEL (self->back_label), is_beside ? _ ("Bench") : _ ("Shelf"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->back),
                                  is_beside ? "win.show-bench" : "win.back-to-shelf");
  gtk_widget_set_visible (self->undo, is_bench || is_beside);
  gtk_widget_set_visible (self->redo, is_bench || is_beside);
}

void
rake_window_show_page (RakeWindow *self, const char *name)
{
  gtk_stack_set_visible_child_name (GTK_STACK (self->pages), name);
  if (g_str_equal (name, "bench"))
    rake_face_map_grab_keys (rake_bench_page_get_map (RAKE_BENCH_PAGE (self->bench)));
}

static void
page_changed (RakeWindow *self)
{
  show_title (self);
  rake_window_update_actions (self);
}

/* --- telling --------------------------------------------------------------------------------- */

void
rake_window_tell (RakeWindow *self, const char *heading, const char *sentence)
{
  GtkWidget *dialog = adw_message_dialog_new (GTK_WINDOW (self), heading, sentence);

  adw_message_dialog_add_response (ADW_MESSAGE_DIALOG (dialog), "close", _ ("_Close"));
  gtk_window_present (GTK_WINDOW (dialog));
}

static void
message (RakeSession *session, const char *sentence, RakeWindow *self)
{
  AdwToast *toast;
  g_autofree char *escaped = g_markup_escape_text (sentence, -1);

  /* A toast takes markup; a name with an ampersand must not lose the sentence. */
  toast = adw_toast_new (escaped);
  adw_toast_set_timeout (toast, TOAST_S);
  adw_toast_set_priority (toast, ADW_TOAST_PRIORITY_HIGH);
  adw_toast_overlay_add_toast (ADW_TOAST_OVERLAY (self->toasts), toast);
}

/* --- session --------------------------------------------------------------------------------- */

static void
session_changed (RakeWindow *self)
{
  show_title (self);
  rake_window_update_actions (self);
}

static void
bench_changed (RakeWindow *self)
{
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_BRUSH]);
}

RakeSession *
rake_window_get_session (RakeWindow *self)
{
  return self->session;
}

void
rake_window_set_session (RakeWindow *self, RakeSession *session)
{
  if (self->session == session)
    return;
  if (self->session)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_set_object (&self->session, session);
  g_object_set (self->bench, "session", session, NULL);
  g_object_set (self->zone_editor, "session", session, NULL);
  g_object_set (self->planner, "session", session, NULL);
  g_object_set (self->proposals, "session", session, NULL);
  g_object_set (self->report, "session", session, NULL);
  g_object_set (self->wheels, "session", session, NULL);
  g_object_set (self->photos, "session", session, NULL);
  g_object_set (self->photo_bar, "session", session, NULL);
  g_object_set (self->lay_photo, "session", session, NULL);
  g_object_set (self->compare, "session", session, NULL);
  g_object_set (self->camera, "session", session, NULL);
  g_object_set (self->record, "session", session, NULL);
  g_clear_pointer (&self->cooling, rake_cool_watch_free);
  if (session)
    {
      g_signal_connect_swapped (session, "changed", G_CALLBACK (session_changed), self);
      g_signal_connect_swapped (session, "selected", G_CALLBACK (session_changed), self);
      g_signal_connect_swapped (session, "bench", G_CALLBACK (bench_changed), self);
      g_signal_connect (session, "message", G_CALLBACK (message), self);
      self->cooling = rake_cool_watch_new (
          session, G_APPLICATION (gtk_window_get_application (GTK_WINDOW (self))));
    }
  rake_window_show_page (self, session ? "bench" : "shelf");
  bench_changed (self);
  session_changed (self);
}

gboolean
rake_window_open (RakeWindow *self, const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (RakeSession) session = NULL;

  rules = rake_shop_rules_load (&error);
  if (error)
    {
      /* The built-in rules hold then: a slip of the pen in the shop's file must not keep a job shut. */
      rake_window_tell (self, _ ("The shop's own rules cannot be read"), error->message);
      g_clear_error (&error);
    }
  session = rake_session_open (path, rules, &error);
  if (!session)
    {
      rake_window_tell (self, _ ("This job cannot be opened"), error->message);
      return FALSE;
    }
  rake_window_set_session (self, session);
  return TRUE;
}

/* --- class ----------------------------------------------------------------------------------- */

static void
remember_size (RakeWindow *self)
{
  int width, height;

  gtk_window_get_default_size (GTK_WINDOW (self), &width, &height);
  rake_settings_set_number ("window", "width", width);
  rake_settings_set_number ("window", "height", height);
  rake_settings_set_number ("window", "is_maximized", gtk_window_is_maximized (GTK_WINDOW (self)));
}

static gboolean
rake_window_close_request (GtkWindow *window)
{
  remember_size (RAKE_WINDOW (window));
  return GTK_WINDOW_CLASS (rake_window_parent_class)->close_request (window);
}

/* As last time, but never larger than the screen: a window that hangs over it hides "pass done". */
static void
take_remembered_size (RakeWindow *self)
{
  int width = rake_settings_get_number ("window", "width", DEFAULT_WIDTH_PX);
  int height = rake_settings_get_number ("window", "height", DEFAULT_HEIGHT_PX);
  GListModel *monitors = gdk_display_get_monitors (gtk_widget_get_display (GTK_WIDGET (self)));
  g_autoptr (GdkMonitor) monitor = g_list_model_get_item (monitors, 0);

  if (monitor)
    {
      GdkRectangle screen;
      gdk_monitor_get_geometry (monitor, &screen);
      width = MIN (width, screen.width);
      height = MIN (height, screen.height);
    }
  gtk_window_set_default_size (GTK_WINDOW (self), MAX (width, 640), MAX (height, 480));
}

static void
rake_window_dispose (GObject *object)
{
  RakeWindow *self = RAKE_WINDOW (object);

  if (self->session)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_clear_pointer (&self->cooling, rake_cool_watch_free);
  g_clear_object (&self->session);
  g_clear_object (&self->chooser);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_WINDOW);
  G_OBJECT_CLASS (rake_window_parent_class)->dispose (object);
}

static void
rake_window_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  RakeSession *session = RAKE_WINDOW (object)->session;

  if (id == PROP_BRUSH)
    g_value_set_string (value,
                        session ? rake_brush_find_word (rake_session_get_bench (session)) : "none");
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_window_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  RakeWindow *self = RAKE_WINDOW (object);
  RakeBench bench;

  if (id != PROP_BRUSH)
    {
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
      return;
    }
  if (!self->session)
    return;
  bench = *rake_session_get_bench (self->session);
  /* Asking for the brush that is in hand puts it down. */
  if (g_strcmp0 (g_value_get_string (value), rake_brush_find_word (&bench)) == 0)
    rake_brush_take (&bench, "none");
  else
    rake_brush_take (&bench, g_value_get_string (value));
  rake_session_set_bench (self->session, &bench);
}

static void
rake_window_class_init (RakeWindowClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  g_type_ensure (RAKE_TYPE_BENCH_PAGE);
  g_type_ensure (RAKE_TYPE_COMPARE_PAGE);
  g_type_ensure (RAKE_TYPE_LAY_PHOTO_PAGE);
  g_type_ensure (RAKE_TYPE_NEW_JOB);
  g_type_ensure (RAKE_TYPE_PHOTO_BAR);
  g_type_ensure (RAKE_TYPE_PHOTOS_PAGE);
  g_type_ensure (RAKE_TYPE_PLANNER_PAGE);
  g_type_ensure (RAKE_TYPE_PROPOSALS_PAGE);
  g_type_ensure (RAKE_TYPE_REPORT_PAGE);
  g_type_ensure (RAKE_TYPE_RECORD_PAGE);
  g_type_ensure (RAKE_TYPE_SHELF);
  g_type_ensure (RAKE_TYPE_WHEELS_PAGE);
  g_type_ensure (RAKE_TYPE_CAMERA_PAGE);
  g_type_ensure (RAKE_TYPE_ZONE_EDITOR);
  object_class->dispose = rake_window_dispose;
  object_class->get_property = rake_window_get_property;
  object_class->set_property = rake_window_set_property;
  GTK_WINDOW_CLASS (klass)->close_request = rake_window_close_request;
  props[PROP_BRUSH] =
      g_param_spec_string ("brush", NULL, NULL, "none",
                           G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS | G_PARAM_EXPLICIT_NOTIFY);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "window.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, toasts);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, pages);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, bench);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, shelf);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, new_job);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, zone_editor);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, planner);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, proposals);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, report);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, wheels);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, photos);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, photo_bar);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, lay_photo);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, compare);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, camera);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, record);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, back);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, back_label);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, title);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, undo);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, redo);
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, menu);
  gtk_widget_class_bind_template_callback (widget_class, page_changed);
  rake_window_install_actions (widget_class);
}

/* Wherever a job is shown a picture can be dropped. */
static RakeSession *
take_drop (gpointer user_data, RakePhotoPlace **place)
{
  RakeWindow *self = user_data;

  *place = rake_window_get_photo_place (self);
  return self->session;
}

static void
rake_window_init (RakeWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  rake_window_add_keys (self);
  rake_photo_ways_take_drops (self->pages, take_drop, self);
  take_remembered_size (self);
  page_changed (self);
}

RakeWindow *
rake_window_new (GtkApplication *application)
{
  RakeWindow *self = g_object_new (RAKE_TYPE_WINDOW, "application", application, NULL);
  GtkShortcutsWindow *help =
      gtk_application_window_get_help_overlay (GTK_APPLICATION_WINDOW (self));

  /* The first section, as one would expect; GTK shows the last otherwise. */
  if (help)
    g_object_set (help, "section-name", "work", NULL);
  /* Not while it is being made: its construction would set it back. */
  if (rake_settings_get_number ("window", "is_maximized", FALSE))
    gtk_window_maximize (GTK_WINDOW (self));
  return self;
}

/* window.c - the one window: its pages, its actions. */
#include "window.h"
#include "face-list.h"
#include "new-job.h"
#include "shelf.h"
#include "stage-rail.h"
#include "timeline.h"
#include "zone-editor.h"
#include "zone-slip.h"

struct _RakeWindow
{
  AdwApplicationWindow parent_instance;

  RakeSession *session;
  GtkWidget *pages;
};

G_DEFINE_FINAL_TYPE (RakeWindow, rake_window, ADW_TYPE_APPLICATION_WINDOW)

static void
rake_window_dispose (GObject *object)
{
  g_clear_object (&RAKE_WINDOW (object)->session);
  G_OBJECT_CLASS (rake_window_parent_class)->dispose (object);
}

static void
rake_window_class_init (RakeWindowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_window_dispose;
  g_type_ensure (RAKE_TYPE_FACE_LIST);
  g_type_ensure (RAKE_TYPE_NEW_JOB);
  g_type_ensure (RAKE_TYPE_SHELF);
  g_type_ensure (RAKE_TYPE_STAGE_RAIL);
  g_type_ensure (RAKE_TYPE_TIMELINE);
  g_type_ensure (RAKE_TYPE_ZONE_EDITOR);
  g_type_ensure (RAKE_TYPE_ZONE_SLIP);
  gtk_widget_class_set_template_from_resource (widget_class,
                                               "/org/rakelight/Rakelight/ui/window.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeWindow, pages);
}

static void
rake_window_init (RakeWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

RakeWindow *
rake_window_new (GtkApplication *application)
{
  return g_object_new (RAKE_TYPE_WINDOW, "application", application, NULL);
}

RakeSession *
rake_window_get_session (RakeWindow *self)
{
  return self->session;
}

void
rake_window_set_session (RakeWindow *self, RakeSession *session)
{
  g_set_object (&self->session, session);
}

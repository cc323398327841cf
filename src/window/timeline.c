/* timeline.c - the logbook as a ribbon that can be drawn back to any entry. */
#include "timeline.h"
#include "timeline-ribbon.h"

#include "words.h"

struct _RakeTimeline
{
  RakeSessionView parent_instance;

  GtkWidget *content, *past, *where;
  RakeTimelineRibbon *ribbon;
};

G_DEFINE_FINAL_TYPE (RakeTimeline, rake_timeline, RAKE_TYPE_SESSION_VIEW)

static void
back_to_now (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeSession *session = rake_session_view_get_session (widget);

  if (session)
    rake_session_show_entries (session, G_MAXUINT);
}

static void
rake_timeline_show (RakeSessionView *view, RakeShow what)
{
  RakeTimeline *self = RAKE_TIMELINE (view);
  RakeSession *session = rake_session_view_get_session (self);
  gboolean is_past = session && rake_session_is_in_the_past (session);
  g_autofree char *place = NULL;
  g_autofree char *sentence = NULL;

  if (what != RAKE_SHOW_SESSION && what != RAKE_SHOW_JOB)
    return;
  g_object_set (self->ribbon, "session", session, NULL);
  gtk_widget_set_visible (self->past, is_past);
  if (!is_past)
    return;
  place = rake_timeline_ribbon_describe (self->ribbon);
  /* Translators: %s is a time and a line of the logbook: "09:41, Pass at P800 on Lower bass". */
  sentence = g_strdup_printf (_ ("You are looking at %s"), place ? place : "");
  gtk_label_set_label (GTK_LABEL (self->where), sentence);
}

static void
rake_timeline_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_TIMELINE);
  G_OBJECT_CLASS (rake_timeline_parent_class)->dispose (object);
}

static void
rake_timeline_class_init (RakeTimelineClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_timeline_dispose;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_timeline_show;
  g_type_ensure (RAKE_TYPE_TIMELINE_RIBBON);
  gtk_widget_class_set_css_name (widget_class, "timeline");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "timeline.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeTimeline, content);
  gtk_widget_class_bind_template_child (widget_class, RakeTimeline, past);
  gtk_widget_class_bind_template_child (widget_class, RakeTimeline, where);
  gtk_widget_class_bind_template_child (widget_class, RakeTimeline, ribbon);
  gtk_widget_class_install_action (widget_class, "timeline.back-to-now", NULL, back_to_now);
}

static void
rake_timeline_init (RakeTimeline *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

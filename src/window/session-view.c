/* session-view.c - a widget that shows a session. */
#include "session-view.h"

#include <adwaita.h>

typedef struct
{
  RakeSession *session;
  GSignalGroup *signals;
} RakeSessionViewPrivate;

enum
{
  PROP_0,
  PROP_SESSION,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

G_DEFINE_ABSTRACT_TYPE_WITH_PRIVATE (RakeSessionView, rake_session_view, GTK_TYPE_WIDGET)

static void
show (RakeSessionView *self, RakeShow what)
{
  RakeSessionViewClass *klass = RAKE_SESSION_VIEW_GET_CLASS (self);

  if (klass->show)
    klass->show (self, what);
}

static void
on_changed (RakeSessionView *self)
{
  show (self, RAKE_SHOW_JOB);
}

static void
on_selected (RakeSessionView *self)
{
  show (self, RAKE_SHOW_SELECTION);
}

static void
on_bench (RakeSessionView *self)
{
  show (self, RAKE_SHOW_BENCH);
}

static void
on_dark (RakeSessionView *self)
{
  show (self, RAKE_SHOW_THEME);
}

RakeSession *
rake_session_view_get_session (gpointer view)
{
  RakeSessionViewPrivate *private =
      rake_session_view_get_instance_private (RAKE_SESSION_VIEW (view));

  return private->session;
}

static void
set_session (RakeSessionView *self, RakeSession *session)
{
  RakeSessionViewPrivate *private = rake_session_view_get_instance_private (self);

  if (!g_set_object (&private->session, session))
    return;
  g_signal_group_set_target (private->signals, session);
  show (self, RAKE_SHOW_SESSION);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_SESSION]);
}

static void
rake_session_view_dispose (GObject *object)
{
  RakeSessionViewPrivate *private =
      rake_session_view_get_instance_private (RAKE_SESSION_VIEW (object));

  if (private->signals)
    g_signal_group_set_target (private->signals, NULL);
  g_clear_object (&private->signals);
  g_clear_object (&private->session);
  G_OBJECT_CLASS (rake_session_view_parent_class)->dispose (object);
}

static void
rake_session_view_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, rake_session_view_get_session (object));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_session_view_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    set_session (RAKE_SESSION_VIEW (object), g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_session_view_class_init (RakeSessionViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->dispose = rake_session_view_dispose;
  object_class->get_property = rake_session_view_get_property;
  object_class->set_property = rake_session_view_set_property;
  props[PROP_SESSION] =
      g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                           G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS | G_PARAM_EXPLICIT_NOTIFY);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
rake_session_view_init (RakeSessionView *self)
{
  RakeSessionViewPrivate *private = rake_session_view_get_instance_private (self);

  private->signals = g_signal_group_new (RAKE_TYPE_SESSION);
  g_signal_group_connect_swapped (private->signals, "changed", G_CALLBACK (on_changed), self);
  g_signal_group_connect_swapped (private->signals, "selected", G_CALLBACK (on_selected), self);
  g_signal_group_connect_swapped (private->signals, "bench", G_CALLBACK (on_bench), self);
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark", G_CALLBACK (on_dark),
                           self, G_CONNECT_SWAPPED);
}

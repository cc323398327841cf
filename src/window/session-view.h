/* session-view.h - a widget that shows a session: what every part of the bench page has in common.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 *
 * A view keeps ids, never the job's structs, between two calls of show(): they are gone with the
 * next entry. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

typedef enum
{
  RAKE_SHOW_SESSION,   /* another session, or none */
  RAKE_SHOW_JOB,       /* the session's "changed" */
  RAKE_SHOW_SELECTION, /* its "selected" */
  RAKE_SHOW_BENCH,     /* its "bench" */
  RAKE_SHOW_THEME,     /* dark or light: drop what was drawn */
} RakeShow;

#define RAKE_TYPE_SESSION_VIEW (rake_session_view_get_type ())
G_DECLARE_DERIVABLE_TYPE (RakeSessionView, rake_session_view, RAKE, SESSION_VIEW, GtkWidget)

struct _RakeSessionViewClass
{
  GtkWidgetClass parent_class;

  /* Brings the widget up to date; with RAKE_SHOW_SESSION everything, and there may be none. */
  void (*show) (RakeSessionView *self, RakeShow what);
};

/* NULL when there is none. Not owned by the caller. @view is a RakeSessionView. */
RakeSession *rake_session_view_get_session (gpointer view);

/* trace-dialog.h - the outline of a face drawn over a photograph, before there is a job to keep either. */
#pragma once
#include <adwaita.h>
#include <rakelight/photo-intake.h>
#include <rakelight/photo-trace.h>

#include "session.h"

/* An outline and the photograph that it was drawn over, laid under it. */
typedef struct
{
  RakeId face; /* nil until it is known */
  RakeShape *outline;
  RakePhotoIntake *intake;
  RakePhotoPair pairs[4]; /* in pixels of the picture as it lies in its file */
} RakeTraced;

void rake_traced_free (RakeTraced *traced);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeTraced, rake_traced_free)

/* Keeps the photograph in the session's job, of the face it is told and laid on it, as one gesture. FALSE
 * with a "message" of the session. */
gboolean rake_traced_keep (const RakeTraced *traced, RakeSession *session);

#define RAKE_TYPE_TRACE_DIALOG (rake_trace_dialog_get_type ())
G_DECLARE_FINAL_TYPE (RakeTraceDialog, rake_trace_dialog, RAKE, TRACE_DIALOG, AdwWindow)

/* @traced is the caller's to free. Not called when the person gives it up, or when @owner is gone. */
typedef void (*RakeTraceTaken) (RakeTraced *traced, GObject *owner);

/* Reads the picture behind, and says in the dialog what cannot be read. */
RakeTraceDialog *rake_trace_dialog_present (GtkWindow *parent, const char *path,
                                            RakeTraceTaken taken, GObject *owner);

/* window-private.h - what window.c (the frame) and window-actions.c (what it offers) share. */
#pragma once
#include "bench-page.h"
#include "cool-watch.h"
#include "photo-place.h"
#include "window.h"

struct _RakeWindow
{
  AdwApplicationWindow parent_instance;

  RakeSession *session;
  GtkWidget *toasts, *pages, *bench, *shelf, *new_job, *zone_editor, *planner, *report, *wheels, *photos, *photo_bar, *lay_photo,
      *compare, *camera, *record;
  GtkWidget *proposals;
  GtkWidget *back, *back_label, *title, *undo, *redo, *menu;
  RakeCoolWatch *cooling; /* of the session's job */
  GtkFileChooserNative *chooser; /* while it is open */
};

/* "shelf", "new-job", "bench", "zones", "planner", "report", "wheels", "photos", "lay-photo",
 * "compare", "camera", "record" */
void rake_window_show_page (RakeWindow *self, const char *name);

/* A heading and a sentence, with one button. */
void rake_window_tell (RakeWindow *self, const char *heading, const char *sentence);

/* Where a photograph added now belongs: on the photographs' page to the face shown there, else to what
 * is selected at the bench. NULL: as guessed. Caller frees. */
RakePhotoPlace *rake_window_get_photo_place (RakeWindow *self);

/* window-actions.c */
void rake_window_install_actions (GtkWidgetClass *widget_class);
void rake_window_add_keys (RakeWindow *self);
void rake_window_update_actions (RakeWindow *self);

/* window-photo-actions.c: of the photograph whose id is the parameter; "": of one that offers itself. */
void rake_window_lay_photo (GtkWidget *widget, const char *name, GVariant *parameter);
void rake_window_compare_photos (GtkWidget *widget, const char *name, GVariant *parameter);

/* The photograph under the bench's map, on and off. */
void rake_window_toggle_photo_under (GtkWidget *widget, const char *name, GVariant *parameter);

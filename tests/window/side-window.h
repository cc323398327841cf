/* side-window.h - a window around one widget, for tests of what stands around the map.
 *
 * Between show and close, "win." actions that the real window has are there and note what they were
 * asked: side_window_get_asked(). */
#pragma once
#include "bench-job.h"
#include <adwaita.h>

typedef struct _SideWindow SideWindow;

/* For cmocka's group setup: GTK and Adwaita are ready, style sheets and resources as in the program. */
int side_set_up_group (void **state);

GtkApplication *side_get_application (void);

/* Shows @widget (which the window takes over), drawn once. */
SideWindow *side_window_show (GtkWidget *widget, int width_px, int height_px);
GtkWindow *side_window_get_window (SideWindow *self);

/* Draws once more, after whatever is pending. */
void side_window_settle (SideWindow *self);

/* "win.gone 0198…" for the last action asked for; "" when none was since the last call. Caller frees. */
char *side_window_take_asked (SideWindow *self);

/* Destroys the window and fails when it, or the widget, stays alive. */
void side_window_close (SideWindow *self);

/* The first descendant of the type, or with that label; NULL when there is none that is mapped. */
GtkWidget *side_find (GtkWidget *root, GType type);
GtkWidget *side_find_labelled (GtkWidget *root, const char *label);

/* All labels' texts below @root that are mapped, one a line. Caller frees. */
char *side_read (GtkWidget *root);

/* Fails unless the text shown below @root holds @part. */
void side_assert_reads (GtkWidget *root, const char *part);
void side_assert_does_not_read (GtkWidget *root, const char *part);

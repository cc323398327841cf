/* trace-dialog.c - the outline of a face drawn over a photograph. */
#include "trace-dialog.h"
#include "say.h"
#include "trace-view.h"

#include <math.h>
#include <rakelight/photo-picture.h>
#include <rakelight/photo-store.h>

#include "words.h"

struct _RakeTraceDialog
{
  AdwWindow parent_instance;

  GtkWidget *slot, *as_size, *as_edge, *by_rectangle, *first, *second, *first_label, *second_label;
  GtkWidget *is_smooth, *for_size, *for_edge, *hint, *refusal, *summary;
  RakeTraceView *view;

  RakePhotoIntake *intake;
  GCancellable *reading;
  RakeShape *outline;        /* what the points come to; NULL: nothing yet */
  RakePhotoTraceSize size;
  gboolean had_size;
  RakeTraceTaken taken;
  GWeakRef owner;
};

G_DEFINE_FINAL_TYPE (RakeTraceDialog, rake_trace_dialog, ADW_TYPE_WINDOW)

static gboolean
is_rectangle (RakeTraceDialog *self)
{
  return gtk_check_button_get_active (GTK_CHECK_BUTTON (self->by_rectangle));
}

static guint
get_n_needed (RakeTraceDialog *self)
{
  return is_rectangle (self) ? 4 : 2;
}

/* --- what the points come to ----------------------------------------------------------------------- */

static void
get_upright (RakeTraceDialog *self, int *width_px, int *height_px)
{
  double width, height;

  rake_turn_size (self->intake->exif.turn, self->intake->width_px, self->intake->height_px, &width,
                  &height);
  *width_px = (int) width;
  *height_px = (int) height;
}

static gboolean
find_size (RakeTraceDialog *self, RakePhotoTraceSize *size, GError **error)
{
  double first = gtk_spin_button_get_value (GTK_SPIN_BUTTON (self->first));
  double second = gtk_spin_button_get_value (GTK_SPIN_BUTTON (self->second));
  int width_px, height_px;
  guint n_points;
  const double *points = rake_trace_view_get_points (self->view, RAKE_TRACE_SIZE, &n_points);

  get_upright (self, &width_px, &height_px);
  return n_points == get_n_needed (self) &&
         (is_rectangle (self) ? rake_photo_trace_size_from_rectangle (size, width_px, height_px,
                                                                      points, first, second, error)
                              : rake_photo_trace_size_from_length (size, width_px, height_px,
                                                                   points, first, error));
}

/* The curve where the photograph shows it. */
static void
show_curve (RakeTraceDialog *self)
{
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (RakePhotoFit) fit =
      self->outline ? rake_photo_fit_new (self->size.pairs, 4, self->size.width_px,
                                          self->size.height_px, RAKE_PHOTO_FIT_PROJECTIVE, NULL)
                    : NULL;
  guint n_points = 0;
  const double *at = fit ? rake_shape_get_ring (self->outline, 0, &n_points, NULL) : NULL;

  for (guint i = 0; i < n_points; i++)
    {
      double px[2];

      if (rake_photo_fit_to_image (fit, at[2 * i], at[2 * i + 1], &px[0], &px[1]))
        g_array_append_vals (points, px, 2);
    }
  rake_trace_view_show_outline (self->view, (const double *) (gconstpointer) points->data,
                                points->len / 2);
}

static char *
say_outline (const RakeShape *outline)
{
  RakeBounds box = rake_shape_get_bounds (outline);
  g_autofree char *width = rake_say_length (box.max_x_mm - box.min_x_mm);
  g_autofree char *height = rake_say_length (box.max_y_mm - box.min_y_mm);
  g_autofree char *area = rake_say_area (rake_shape_get_area_mm2 (outline));

  /* Translators: an outline's width, height and area: "302 mm × 190 mm, 448 cm²". */
  return g_strdup_printf (_ ("%s × %s, %s"), width, height, area);
}

static const char *
get_hint (RakeTraceDialog *self, gboolean has_size)
{
  if (!self->intake)
    return self->reading ? _ ("The photograph is being read…") : "";
  if (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->as_size)))
    return is_rectangle (self)
               ? _ ("Tap the four corners of something rectangular that lies flat on the face, and "
                    "enter its sides.")
               : _ ("Tap the two ends of a length that you know, and enter it. For a photograph "
                    "from "
                    "straight above.");
  if (!has_size)
    return _ ("First say how large it is: the points of the size are not set yet.");
  return rake_trace_view_is_closed (self->view)
             ? _ ("Drag a point to where it belongs, or take the outline.")
             : _ ("Tap points along the edge, all around; tap the first one again to close it.");
}

static void
say_refusal (RakeTraceDialog *self, const GError *error)
{
  gtk_label_set_label (GTK_LABEL (self->refusal), error ? error->message : "");
  gtk_widget_set_visible (self->refusal, error != NULL);
}

static void
show (RakeTraceDialog *self)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *summary = NULL;
  gboolean has_size = FALSE;

  g_clear_pointer (&self->outline, rake_shape_unref);
  if (self->intake)
    {
      guint n_points;
      const double *points = rake_trace_view_get_points (self->view, RAKE_TRACE_EDGE, &n_points);

      has_size = find_size (self, &self->size, &error);
      if (has_size && rake_trace_view_is_closed (self->view))
        self->outline = rake_photo_trace_outline (
            &self->size, points, n_points,
            gtk_check_button_get_active (GTK_CHECK_BUTTON (self->is_smooth)), &error);
    }
  show_curve (self);
  summary = self->outline ? say_outline (self->outline) : g_strdup ("");
  gtk_label_set_label (GTK_LABEL (self->summary), summary);
  if (self->intake || self->reading)
    say_refusal (self, error);
  gtk_label_set_label (GTK_LABEL (self->hint), get_hint (self, has_size));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "trace.take", self->outline != NULL);
  /* On to the edge by itself, the first time. */
  if (has_size && !self->had_size)
    {
      self->had_size = TRUE;
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->as_edge), TRUE);
    }
}

static void
part_changed (RakeTraceDialog *self)
{
  gboolean is_size = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->as_size));

  rake_trace_view_set_part (self->view, is_size ? RAKE_TRACE_SIZE : RAKE_TRACE_EDGE);
  gtk_widget_set_visible (self->for_size, is_size);
  gtk_widget_set_visible (self->for_edge, !is_size);
  show (self);
}

static void
way_changed (RakeTraceDialog *self)
{
  gboolean is_wide = is_rectangle (self);

  gtk_widget_set_visible (self->second, is_wide);
  gtk_widget_set_visible (self->second_label, is_wide);
  gtk_label_set_label (GTK_LABEL (self->first_label),
                       is_wide ? _ ("Its upper side, mm") : _ ("The length, mm"));
  self->had_size = FALSE;
  rake_trace_view_set_n_size (self->view, get_n_needed (self));
}

static void
take_back (GtkWidget *widget, const char *action, GVariant *parameter)
{
  rake_trace_view_take_back (RAKE_TRACE_DIALOG (widget)->view);
}

/* Upright places become those of the picture as it lies in its file. */
static void
turn_pairs (RakeTraceDialog *self, RakePhotoPair *pairs)
{
  const RakePhotoIntake *intake = self->intake;

  for (guint i = 0; i < 4; i++)
    {
      pairs[i] = self->size.pairs[i];
      rake_turn_from_upright (intake->exif.turn, intake->width_px, intake->height_px,
                              self->size.pairs[i].image_x_px, self->size.pairs[i].image_y_px,
                              &pairs[i].image_x_px, &pairs[i].image_y_px);
    }
}

static void
take (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeTraceDialog *self = RAKE_TRACE_DIALOG (widget);
  g_autoptr (GObject) owner = g_weak_ref_get (&self->owner);
  RakeTraced *traced;

  if (!self->outline || !self->intake)
    return;
  traced = g_new0 (RakeTraced, 1);
  turn_pairs (self, traced->pairs);
  traced->outline = g_steal_pointer (&self->outline);
  traced->intake = g_steal_pointer (&self->intake);
  if (owner)
    self->taken (traced, owner);
  else
    rake_traced_free (traced);
  gtk_window_destroy (GTK_WINDOW (self));
}

/* --- reading --------------------------------------------------------------------------------------- */

static void
read_in_thread (GTask *task, gpointer source, gpointer path, GCancellable *cancellable)
{
  GError *error = NULL;
  RakePhotoIntake *intake = rake_photo_intake_new (
      path, RAKE_PHOTO_WORKING_PX, RAKE_PHOTO_THUMBNAIL_PX, NULL, NULL, cancellable, &error);

  if (intake)
    g_task_return_pointer (task, intake, (GDestroyNotify) rake_photo_intake_free);
  else
    g_task_return_error (task, error);
}

static void
show_picture (RakeTraceDialog *self)
{
  gsize n_bytes;
  const void *bytes = g_bytes_get_data (self->intake->working, &n_bytes);
  g_autoptr (RakePhotoPicture) picture = rake_photo_picture_new (bytes, n_bytes, 1, NULL);
  int width_px, height_px;

  get_upright (self, &width_px, &height_px);
  if (picture)
    rake_trace_view_set_picture (self->view, rake_photo_picture_get_rgb (picture),
                                 rake_photo_picture_get_width (picture),
                                 rake_photo_picture_get_height (picture), width_px, height_px);
}

static void
is_read (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (RakeTraceDialog) self = user_data;
  g_autoptr (GError) error = NULL;
  RakePhotoIntake *intake = g_task_propagate_pointer (G_TASK (result), &error);

  g_clear_object (&self->reading);
  if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED) || !self->view)
    {
      g_clear_pointer (&intake, rake_photo_intake_free);
      return;
    }
  self->intake = intake;
  if (intake)
    show_picture (self);
  else
    say_refusal (self, error);
  show (self);
}

RakeTraceDialog *
rake_trace_dialog_present (GtkWindow *parent, const char *path, RakeTraceTaken taken,
                           GObject *owner)
{
  RakeTraceDialog *self = g_object_new (RAKE_TYPE_TRACE_DIALOG, "transient-for", parent, NULL);
  g_autoptr (GTask) task = NULL;

  self->taken = taken;
  g_weak_ref_set (&self->owner, owner);
  self->reading = g_cancellable_new ();
  task = g_task_new (NULL, self->reading, is_read, g_object_ref (self));
  g_task_set_task_data (task, g_strdup (path), g_free);
  g_task_run_in_thread (task, read_in_thread);
  show (self);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

/* --- class ------------------------------------------------------------------------------------------- */

static void
rake_trace_dialog_dispose (GObject *object)
{
  RakeTraceDialog *self = RAKE_TRACE_DIALOG (object);

  if (self->reading)
    g_cancellable_cancel (self->reading);
  g_clear_pointer (&self->intake, rake_photo_intake_free);
  g_clear_pointer (&self->outline, rake_shape_unref);
  if (self->view)
    g_signal_handlers_disconnect_by_data (self->view, self);
  self->view = NULL;
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_TRACE_DIALOG);
  G_OBJECT_CLASS (rake_trace_dialog_parent_class)->dispose (object);
}

static void
rake_trace_dialog_finalize (GObject *object)
{
  g_weak_ref_clear (&RAKE_TRACE_DIALOG (object)->owner);
  g_clear_object (&RAKE_TRACE_DIALOG (object)->reading);
  G_OBJECT_CLASS (rake_trace_dialog_parent_class)->finalize (object);
}

static void
rake_trace_dialog_class_init (RakeTraceDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_trace_dialog_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_trace_dialog_finalize;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "trace-dialog.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, slot);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, as_size);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, as_edge);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, by_rectangle);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, first);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, second);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, first_label);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, second_label);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, is_smooth);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, for_size);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, for_edge);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, hint);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, refusal);
  gtk_widget_class_bind_template_child (widget_class, RakeTraceDialog, summary);
  gtk_widget_class_bind_template_callback (widget_class, part_changed);
  gtk_widget_class_bind_template_callback (widget_class, way_changed);
  gtk_widget_class_bind_template_callback (widget_class, show);
  gtk_widget_class_install_action (widget_class, "trace.take", NULL, take);
  gtk_widget_class_install_action (widget_class, "trace.take-back", NULL, take_back);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_z, GDK_CONTROL_MASK, "trace.take-back",
                                       NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_trace_dialog_init (RakeTraceDialog *self)
{
  g_weak_ref_init (&self->owner, NULL);
  self->view = rake_trace_view_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_hexpand (GTK_WIDGET (self->view), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self->view), TRUE);
  gtk_box_append (GTK_BOX (self->slot), GTK_WIDGET (self->view));
  g_signal_connect_swapped (self->view, "points-changed", G_CALLBACK (show), self);
  way_changed (self);
  part_changed (self);
}

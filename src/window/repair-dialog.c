/* repair-dialog.c - what was done about a zone's faults. */
#include "repair-dialog.h"
#include "dialog-watch.h"
#include "say.h"

#include "words.h"

struct _RakeRepairDialog
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId zone;
  RakeRepairMethod method;
  GtkWidget *heading, *faults, *methods, *outcome, *hint;
};

G_DEFINE_FINAL_TYPE (RakeRepairDialog, rake_repair_dialog, ADW_TYPE_WINDOW)

static void
record (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeRepairDialog *self = RAKE_REPAIR_DIALOG (widget);
  g_autoptr (RakeRepairDialog) alive = g_object_ref (self);
  g_autofree char *outcome =
      g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->outcome))));

  if (rake_session_repair (self->session, self->zone, self->method, *outcome ? outcome : NULL))
    gtk_window_destroy (GTK_WINDOW (self));
}

/* What follows from the method, said before it is entered. */
static char *
say_consequence (RakeRepairDialog *self)
{
  const RakeJob *job = rake_session_get_job (self->session);
  RakeAnswer fuse = rake_job_get_coats_fuse (job);

  switch (self->method)
    {
    case RAKE_REPAIR_RECOAT:
      return g_strdup_printf (
          _ ("The whole face starts again from its first stage, after about %.0f "
             "days of cure. A coat that ends in the middle leaves a line of its "
             "own: carry it to a natural break."),
          rake_job_get_cure_days (job));
    case RAKE_REPAIR_DROP_FILL:
    case RAKE_REPAIR_FILL:
      return g_strdup (
          fuse == RAKE_ANSWER_NO
              ? _ ("These coats do not fuse: the rim of a fill stays visible. It wants "
                   "its own wait before it is levelled.")
              : _ ("It sinks as it dries and wants its own wait before it is levelled. "
                   "The zones around it are to be looked at again."));
    case RAKE_REPAIR_COLOUR:
      return g_strdup (_ ("Colour needs clear film over it before it is sanded again."));
    case RAKE_REPAIR_UNSAID:
      return g_strdup ("");
    case RAKE_REPAIR_LEVELLED:
    case RAKE_REPAIR_SCRAPED:
    default:
      return g_strdup (_ ("Took film and added none; the zone is to be looked at again."));
    }
}

static void
on_method (GtkCheckButton *button, GParamSpec *pspec, RakeRepairDialog *self)
{
  g_autofree char *hint = NULL;

  if (!gtk_check_button_get_active (button))
    return;
  self->method =
      (RakeRepairMethod) GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "method"));
  hint = say_consequence (self);
  gtk_label_set_label (GTK_LABEL (self->hint), hint);
  gtk_widget_set_visible (self->hint, *hint != '\0');
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "repair.record", TRUE);
}

static void
add_methods (RakeRepairDialog *self)
{
  GtkCheckButton *group = NULL;

  for (int method = RAKE_REPAIR_LEVELLED; method <= RAKE_REPAIR_RECOAT; method++)
    {
      GtkWidget *row =
          gtk_check_button_new_with_label (rake_say_repair_method ((RakeRepairMethod) method));

      g_object_set_data (G_OBJECT (row), "method", GINT_TO_POINTER (method));
      gtk_check_button_set_group (GTK_CHECK_BUTTON (row), group);
      group = group ? group : GTK_CHECK_BUTTON (row);
      gtk_widget_add_css_class (row, "big-row");
      g_signal_connect_object (row, "notify::active", G_CALLBACK (on_method), self, 0);
      gtk_box_append (GTK_BOX (self->methods), row);
    }
}

static void
show_faults (RakeRepairDialog *self, const RakeZone *zone)
{
  GString *faults = g_string_new (NULL);

  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      g_autofree char *words = NULL;

      if (mark->closed_by || mark->kind == RAKE_MARK_LOW_SPOT)
        continue;
      words = rake_say_mark (mark);
      g_string_append_printf (faults, "%s%s", faults->len ? "\n" : "", words);
    }
  gtk_label_set_label (GTK_LABEL (self->faults), faults->str);
  gtk_widget_set_visible (self->faults, faults->len > 0);
  g_string_free (faults, TRUE);
}

RakeRepairDialog *
rake_repair_dialog_present (GtkWindow *parent, RakeSession *session, RakeId zone_id)
{
  const RakeZone *zone = rake_job_find_zone (rake_session_get_job (session), zone_id);
  g_autofree char *heading = NULL;
  RakeRepairDialog *self;

  if (!zone)
    return NULL;
  self = g_object_new (RAKE_TYPE_REPAIR_DIALOG, "transient-for", parent, NULL);
  self->session = g_object_ref (session);
  self->zone = zone_id;
  heading = g_strdup_printf (_ ("What was done on “%s”?"), zone->name);
  gtk_window_set_title (GTK_WINDOW (self), heading);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  show_faults (self, zone);
  add_methods (self);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "repair.record", FALSE);
  rake_dialog_watch (GTK_WINDOW (self), session, zone_id);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

static void
rake_repair_dialog_dispose (GObject *object)
{
  g_clear_object (&RAKE_REPAIR_DIALOG (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_REPAIR_DIALOG);
  G_OBJECT_CLASS (rake_repair_dialog_parent_class)->dispose (object);
}

static void
rake_repair_dialog_class_init (RakeRepairDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_repair_dialog_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "repair-dialog.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, faults);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, methods);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, outcome);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, hint);
  gtk_widget_class_install_action (widget_class, "repair.record", NULL, record);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_repair_dialog_init (RakeRepairDialog *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

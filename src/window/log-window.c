/* log-window.c - the whole logbook as a list. */
#include "log-window.h"
#include "dialogs.h"
#include "log-model.h"
#include "log-row.h"

#include "words.h"

struct _RakeLogWindow
{
  AdwWindow parent_instance;

  RakeSession *session;
  GSignalGroup *signals;
  RakeLogModel *model;
  GArray *zones; /* RakeId of each choice; nil first: all */
  GtkWidget *title, *chooser, *list, *voids, *nothing;
  GtkSingleSelection *selection;
  gboolean is_filling;
};

G_DEFINE_FINAL_TYPE (RakeLogWindow, rake_log_window, ADW_TYPE_WINDOW)

static RakeId
get_chosen (RakeLogWindow *self)
{
  guint chosen = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->chooser));

  return chosen < self->zones->len ? g_array_index (self->zones, RakeId, chosen) : RAKE_ID_NIL;
}

/* A void line is kept and shows nothing; whoever wrote it would look for it in vain. */
static void
show_voids (RakeLogWindow *self)
{
  guint n_void = rake_job_get_n_void (rake_session_get_live_job (self->session));
  g_autofree char *sentence = g_strdup_printf (
      ngettext ("%u line is void, because another bench had divided, joined or struck out what it "
                "speaks of: write down again what still holds.",
                "%u lines are void, because another bench had divided, joined or struck out what "
                "they speak of: write down again what still holds.",
                n_void),
      n_void);

  gtk_label_set_label (GTK_LABEL (self->voids), sentence);
  gtk_widget_set_visible (self->voids, n_void > 0);
}

static void
show_lines (RakeLogWindow *self)
{
  if (self->is_filling || !self->session)
    return;
  show_voids (self);
  rake_log_model_show (self->model, rake_session_get_live_job (self->session), get_chosen (self));
  gtk_widget_set_visible (self->nothing,
                          g_list_model_get_n_items (G_LIST_MODEL (self->model)) == 0);
}

/* --- the choice of zones --------------------------------------------------------------------- */

static gboolean
has_same_zones (RakeLogWindow *self, GArray *zones, GtkStringList *names)
{
  GListModel *shown = gtk_drop_down_get_model (GTK_DROP_DOWN (self->chooser));

  if (!shown || zones->len != self->zones->len)
    return FALSE;
  for (guint i = 0; i < zones->len; i++)
    if (!rake_id_equal (g_array_index (zones, RakeId, i), g_array_index (self->zones, RakeId, i)) ||
        g_strcmp0 (gtk_string_list_get_string (names, i),
                   gtk_string_list_get_string (GTK_STRING_LIST (shown), i)) != 0)
      return FALSE;
  return TRUE;
}

/* The choice stays with its zone while zones come and go. */
static void
choose (RakeLogWindow *self, GArray *zones, GtkStringList *names, RakeId chosen)
{
  guint position = 0;

  if (has_same_zones (self, zones, names))
    return;
  for (guint i = 0; i < zones->len; i++)
    if (rake_id_equal (g_array_index (zones, RakeId, i), chosen))
      position = i;
  self->is_filling = TRUE;
  g_array_unref (self->zones);
  self->zones = g_array_ref (zones);
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->chooser), G_LIST_MODEL (names));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->chooser), position);
  self->is_filling = FALSE;
}

static void
show_zones (RakeLogWindow *self, RakeId chosen)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  g_autoptr (GArray) zones = g_array_new (FALSE, FALSE, sizeof (RakeId));
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);

  g_array_append_val (zones, RAKE_ID_NIL);
  gtk_string_list_append (names, _ ("All zones"));
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);

      for (guint j = 0; j < face->zones->len; j++)
        {
          const RakeZone *zone = face->zones->pdata[j];

          g_array_append_val (zones, zone->id);
          /* Translators: a face and a zone of it: "Front: Lower bass". */
          gtk_string_list_take (names,
                                g_strdup_printf (C_ ("zone", "%s: %s"), face->name, zone->name));
        }
    }
  choose (self, zones, names, chosen);
}

static void
on_chosen (RakeLogWindow *self)
{
  show_lines (self);
}

static void
on_changed (RakeLogWindow *self)
{
  show_zones (self, get_chosen (self));
  show_lines (self);
}

/* --- lines ----------------------------------------------------------------------------------- */

static void
on_setup (RakeLogWindow *self, GtkListItem *item)
{
  gtk_list_item_set_child (item, rake_log_row_new ());
}

static void
on_bind (RakeLogWindow *self, GtkListItem *item)
{
  rake_log_row_show (RAKE_LOG_ROW (gtk_list_item_get_child (item)), gtk_list_item_get_item (item));
}

static void
strike (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeLogWindow *self = RAKE_LOG_WINDOW (widget);
  RakeId entry;

  if (rake_id_from_text (g_variant_get_string (parameter, NULL), &entry))
    rake_dialogs_strike (GTK_WINDOW (self), self->session, entry);
}

static void
strike_selected (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeLogWindow *self = RAKE_LOG_WINDOW (widget);
  RakeLogItem *item = gtk_single_selection_get_selected_item (self->selection);

  if (item && rake_log_item_can_strike (item))
    rake_dialogs_strike (GTK_WINDOW (self), self->session, rake_log_item_get_entry (item)->id);
}

/* --- the window ------------------------------------------------------------------------------ */

RakeLogWindow *
rake_log_window_present (GtkWindow *parent, RakeSession *session, RakeId zone)
{
  RakeLogWindow *self = g_object_new (RAKE_TYPE_LOG_WINDOW, "transient-for", parent, NULL);
  const RakeJobFacts *facts = rake_job_find_facts (rake_session_get_live_job (session));

  self->session = g_object_ref (session);
  adw_window_title_set_subtitle (ADW_WINDOW_TITLE (self->title), facts ? facts->name : "");
  g_signal_group_set_target (self->signals, session);
  show_zones (self, zone);
  show_lines (self);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

static void
rake_log_window_dispose (GObject *object)
{
  RakeLogWindow *self = RAKE_LOG_WINDOW (object);

  if (self->signals)
    g_signal_group_set_target (self->signals, NULL);
  g_clear_object (&self->signals);
  /* The lines speak of the session's job. */
  if (self->model)
    rake_log_model_show (self->model, NULL, RAKE_ID_NIL);
  g_clear_object (&self->model);
  g_clear_object (&self->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_LOG_WINDOW);
  G_OBJECT_CLASS (rake_log_window_parent_class)->dispose (object);
}

static void
rake_log_window_finalize (GObject *object)
{
  g_array_unref (RAKE_LOG_WINDOW (object)->zones);
  G_OBJECT_CLASS (rake_log_window_parent_class)->finalize (object);
}

static void
rake_log_window_class_init (RakeLogWindowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_log_window_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_log_window_finalize;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "log-window.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeLogWindow, title);
  gtk_widget_class_bind_template_child (widget_class, RakeLogWindow, chooser);
  gtk_widget_class_bind_template_child (widget_class, RakeLogWindow, list);
  gtk_widget_class_bind_template_child (widget_class, RakeLogWindow, voids);
  gtk_widget_class_bind_template_child (widget_class, RakeLogWindow, nothing);
  gtk_widget_class_bind_template_child (widget_class, RakeLogWindow, selection);
  gtk_widget_class_bind_template_callback (widget_class, on_chosen);
  gtk_widget_class_bind_template_callback (widget_class, on_setup);
  gtk_widget_class_bind_template_callback (widget_class, on_bind);
  gtk_widget_class_install_action (widget_class, "log.strike", "s", strike);
  gtk_widget_class_install_action (widget_class, "log.strike-selected", NULL, strike_selected);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Delete, 0, "log.strike-selected",
                                       NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_log_window_init (RakeLogWindow *self)
{
  self->zones = g_array_new (FALSE, FALSE, sizeof (RakeId));
  self->model = rake_log_model_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_single_selection_set_model (self->selection, G_LIST_MODEL (self->model));
  self->signals = g_signal_group_new (RAKE_TYPE_SESSION);
  g_signal_group_connect_swapped (self->signals, "changed", G_CALLBACK (on_changed), self);
}

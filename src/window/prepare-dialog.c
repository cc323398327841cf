/* prepare-dialog.c - the short list before a face goes to the next stage. */
#include "prepare-dialog.h"
#include "dialog-watch.h"
#include "say.h"

#include <rakelight/caution.h>
#include <rakelight/wheel.h>
#include "words.h"

struct _RakePrepareDialog
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId stage;
  GtkWidget *heading, *gate, *preparations, *caution, *start;
};

G_DEFINE_FINAL_TYPE (RakePrepareDialog, rake_prepare_dialog, ADW_TYPE_WINDOW)

static GPtrArray *
get_ticked (RakePrepareDialog *self)
{
  GPtrArray *ticked = g_ptr_array_new_with_free_func (g_free);

  for (GtkWidget *row = gtk_widget_get_first_child (self->preparations); row;
       row = gtk_widget_get_next_sibling (row))
    if (gtk_check_button_get_active (GTK_CHECK_BUTTON (row)))
      g_ptr_array_add (ticked, g_strdup (gtk_widget_get_name (row)));
  return ticked;
}

/* RakeId of the wheels that were ticked as looked over. */
static GArray *
get_looked_over (RakePrepareDialog *self)
{
  GArray *wheels = g_array_new (FALSE, FALSE, sizeof (RakeId));

  for (GtkWidget *row = gtk_widget_get_first_child (self->preparations); row;
       row = gtk_widget_get_next_sibling (row))
    {
      const RakeId *wheel = g_object_get_data (G_OBJECT (row), "wheel");

      if (wheel && gtk_check_button_get_active (GTK_CHECK_BUTTON (row)))
        g_array_append_vals (wheels, wheel, 1);
    }
  return wheels;
}

static void
start (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePrepareDialog *self = RAKE_PREPARE_DIALOG (widget);
  g_autoptr (RakePrepareDialog) alive = g_object_ref (self);
  g_autoptr (GPtrArray) ticked = get_ticked (self);
  g_autoptr (GArray) looked_over = get_looked_over (self);

  /* Refused, the dialog stays with what was ticked; the window says why. */
  if (rake_session_begin_stage (self->session, self->stage, ticked, looked_over))
    gtk_window_destroy (GTK_WINDOW (self));
}

/* --- the list ------------------------------------------------------------------------------------ */

static GtkWidget *
add_row (RakePrepareDialog *self, const char *name, const char *sentence)
{
  GtkWidget *row = gtk_check_button_new ();
  GtkWidget *label = gtk_label_new (sentence);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_natural_wrap_mode (GTK_LABEL (label), GTK_NATURAL_WRAP_NONE);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_check_button_set_child (GTK_CHECK_BUTTON (row), label);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, sentence,
                                  -1);
  gtk_widget_set_name (row, name);
  gtk_widget_add_css_class (row, "big-row");
  gtk_box_append (GTK_BOX (self->preparations), row);
  return row;
}

/* The wheel that the compound would go on, by its name, unless it was looked over since its last pass.
 * FALSE when there is none on record. */
static gboolean
add_wheel (RakePrepareDialog *self, const char *name, const RakeStage *stage)
{
  const RakeJob *job = rake_session_get_job (self->session);
  RakeId wheel = rake_wheel_find_for (job, stage->grade);
  RakeWheelStanding standing;
  g_autofree char *advice = NULL;
  g_autofree char *sentence = NULL;

  if (rake_id_is_nil (wheel) || !rake_wheel_take (job, wheel, &standing))
    return FALSE;
  advice = rake_wheel_advise (&standing);
  if (!advice)
    return TRUE;
  /* Translators: %s is a wheel's name. */
  sentence =
      g_strdup_printf (_ ("%s unplugged and looked over: seams, hardened compound, nut and arbor"),
                       standing.entry->wheel.name);
  g_object_set_data_full (G_OBJECT (add_row (self, name, sentence)), "wheel",
                          g_memdup2 (&wheel, sizeof wheel), g_free);
  return TRUE;
}

/* With the names of the zones that the wide wheel does not reach. */
static void
add_narrow (RakePrepareDialog *self, const RakePreparation *preparation, const RakeFace *face)
{
  g_autoptr (GString) sentence = g_string_new (_ (preparation->sentence));
  gboolean has_any = FALSE;

  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];

      if (!zone->is_hard_to_reach)
        continue;
      g_string_append_printf (sentence, "%s%s", has_any ? ", " : ": ", zone->name);
      has_any = TRUE;
    }
  if (has_any)
    add_row (self, preparation->name, sentence->str);
}

static void
add_preparation (RakePrepareDialog *self, const RakePreparation *preparation,
                 const RakeStage *stage, const RakeFace *face)
{
  if (g_str_equal (preparation->name, "wheel") && add_wheel (self, preparation->name, stage))
    return;
  if (g_str_equal (preparation->name, "narrow"))
    add_narrow (self, preparation, face);
  else
    add_row (self, preparation->name, _ (preparation->sentence));
}

static void
add_preparations (RakePrepareDialog *self, const RakeStage *stage)
{
  GPtrArray *preparations = rake_rules_get_preparations (rake_session_get_rules (self->session));
  const RakeFace *face = rake_session_get_face (self->session);
  const RakeStage *before = face && stage->position > 0 && stage->position <= face->stages->len
                                ? face->stages->pdata[stage->position - 1]
                                : NULL;

  for (guint i = 0; face && i < preparations->len; i++)
    if (rake_preparation_is_for (preparations->pdata[i], stage, before))
      add_preparation (self, preparations->pdata[i], stage, face);
}

/* Whether the job has begun a stage of that kind before: then the caution was said, and to say it at
 * every grit would be to have it overlooked. */
static gboolean
was_said (const RakeJob *job, RakeAction action)
{
  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      const RakeStage *stage = entry->kind == RAKE_ENTRY_BEGIN_STAGE
                                   ? rake_job_find_stage (job, entry->begin_stage.stage)
                                   : NULL;

      if (stage && (stage->action == RAKE_ACTION_BUFF) == (action == RAKE_ACTION_BUFF))
        return TRUE;
    }
  return FALSE;
}

static char *
take_caution (RakePrepareDialog *self, const RakeStage *stage)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  const RakeJobFacts *facts = rake_job_find_facts (job);

  if (was_said (job, stage->action))
    return NULL;
  return rake_caution_for_stage (stage->action, facts ? facts->finish : RAKE_FINISH_UNSAID);
}

static void
show (RakePrepareDialog *self, const RakeStage *stage)
{
  const RakeFace *face = rake_session_get_face (self->session);
  const RakeGate *gate = face ? rake_session_get_gate (self->session, face) : NULL;
  g_autofree char *caution = take_caution (self, stage);
  g_autofree char *name = rake_say_stage (stage);
  /* Translators: %s is a step of the schedule: "Refine P1200". */
  g_autofree char *heading = g_strdup_printf (_ ("Before %s"), name);
  /* Translators: %s is a grit, a compound, or "Last look". */
  g_autofree char *label = g_strdup_printf (_ ("_Start %s"), rake_say_grade (stage));

  gtk_window_set_title (GTK_WINDOW (self), heading);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  gtk_button_set_label (GTK_BUTTON (self->start), label);
  gtk_label_set_label (GTK_LABEL (self->gate), gate && gate->sentence ? gate->sentence : "");
  gtk_widget_set_visible (self->gate, gate && gate->sentence);
  gtk_label_set_label (GTK_LABEL (self->caution), caution ? caution : "");
  gtk_widget_set_visible (self->caution, caution != NULL);
}

RakePrepareDialog *
rake_prepare_dialog_present (GtkWindow *parent, RakeSession *session, RakeId stage_id)
{
  const RakeStage *stage = rake_job_find_stage (rake_session_get_job (session), stage_id);
  RakePrepareDialog *self;

  if (!stage)
    return NULL;
  self = g_object_new (RAKE_TYPE_PREPARE_DIALOG, "transient-for", parent, NULL);
  self->session = g_object_ref (session);
  self->stage = stage_id;
  add_preparations (self, stage);
  show (self, stage);
  rake_dialog_watch (GTK_WINDOW (self), session, stage_id);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

static void
rake_prepare_dialog_dispose (GObject *object)
{
  g_clear_object (&RAKE_PREPARE_DIALOG (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_PREPARE_DIALOG);
  G_OBJECT_CLASS (rake_prepare_dialog_parent_class)->dispose (object);
}

static void
rake_prepare_dialog_class_init (RakePrepareDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_prepare_dialog_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "prepare-dialog.ui");
  gtk_widget_class_bind_template_child (widget_class, RakePrepareDialog, heading);
  gtk_widget_class_bind_template_child (widget_class, RakePrepareDialog, gate);
  gtk_widget_class_bind_template_child (widget_class, RakePrepareDialog, preparations);
  gtk_widget_class_bind_template_child (widget_class, RakePrepareDialog, caution);
  gtk_widget_class_bind_template_child (widget_class, RakePrepareDialog, start);
  gtk_widget_class_install_action (widget_class, "prepare.start", NULL, start);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_prepare_dialog_init (RakePrepareDialog *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

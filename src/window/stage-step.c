/* stage-step.c - one step of the schedule in the stage rail. */
#include "stage-step.h"
#include "picture.h"
#include "say.h"
#include "step-words.h"

#include "words.h"

struct _RakeStageStep
{
  GtkButton parent_instance;

  RakePicture *ring;
  RakeStepWords *words;
};

G_DEFINE_FINAL_TYPE (RakeStageStep, rake_stage_step, GTK_TYPE_BUTTON)

static const char *const kind_classes[] = {
  [RAKE_STEP_DONE] = "done",   [RAKE_STEP_PRESENT] = "present", [RAKE_STEP_OPEN] = "open",
  [RAKE_STEP_SHUT] = "shut",   [RAKE_STEP_LATER] = "later",
};

static char *
describe (RakeStepKind kind, double ready_fraction, const char *why)
{
  g_autofree char *share = rake_say_share (ready_fraction);

  switch (kind)
    {
    case RAKE_STEP_DONE:
      return g_strdup (_ ("Done. Press to go back to it."));
    case RAKE_STEP_PRESENT:
      return g_strdup_printf (_ ("The face stands here; %s of its area is ready."), share);
    case RAKE_STEP_OPEN:
      return why ? g_strdup (why) : g_strdup (_ ("Press to go on to it."));
    case RAKE_STEP_SHUT:
      return why ? g_strdup (why) : g_strdup (_ ("Not every zone is ready for it."));
    case RAKE_STEP_LATER:
    default:
      return g_strdup (_ ("Comes later."));
    }
}

void
rake_stage_step_show (RakeStageStep *self, const RakeStage *stage, RakeStepKind kind,
                      double ready_fraction, const char *why)
{
  gboolean has_grade = stage->grade && *stage->grade;
  g_autofree char *name = rake_say_stage (stage);
  g_autofree char *description = describe (kind, ready_fraction, why);
  g_autofree char *label = NULL;

  for (gsize i = 0; i < G_N_ELEMENTS (kind_classes); i++)
    if (i == kind)
      gtk_widget_add_css_class (GTK_WIDGET (self), kind_classes[i]);
    else
      gtk_widget_remove_css_class (GTK_WIDGET (self), kind_classes[i]);

  rake_picture_show_ring (self->ring, ready_fraction, kind == RAKE_STEP_PRESENT);
  if (kind == RAKE_STEP_OPEN)
    {
      rake_step_words_show (self->words, C_ ("stage rail", "Go on"), rake_say_grade (stage), TRUE);
      /* Translators: the button that leads to the next step of the schedule: "Go on: Refine P1200". */
      label = g_strdup_printf (C_ ("stage rail", "Go on: %s"), name);
    }
  else
    {
      rake_step_words_show (self->words,
                            has_grade ? _ (rake_action_get_label (stage->action)) : NULL,
                            rake_say_grade (stage), kind == RAKE_STEP_PRESENT);
      /* Translators: the step of the schedule where the face stands: "Level P800, present step". */
      label = kind == RAKE_STEP_PRESENT
                  ? g_strdup_printf (C_ ("stage rail", "%s, present step"), name)
                  : g_strdup (name);
    }

  gtk_widget_set_tooltip_text (GTK_WIDGET (self), description);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, description, -1);
  gtk_accessible_update_state (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_STATE_DISABLED,
                               kind != RAKE_STEP_DONE && kind != RAKE_STEP_OPEN, -1);
}

GtkWidget *
rake_stage_step_new (void)
{
  return g_object_new (RAKE_TYPE_STAGE_STEP, NULL);
}

static void
rake_stage_step_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_STAGE_STEP);
  G_OBJECT_CLASS (rake_stage_step_parent_class)->dispose (object);
}

static void
rake_stage_step_class_init (RakeStageStepClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_stage_step_dispose;
  g_type_ensure (RAKE_TYPE_PICTURE);
  g_type_ensure (RAKE_TYPE_STEP_WORDS);
  gtk_widget_class_set_css_name (widget_class, "stagestep");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "stage-step.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeStageStep, ring);
  gtk_widget_class_bind_template_child (widget_class, RakeStageStep, words);
}

static void
rake_stage_step_init (RakeStageStep *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

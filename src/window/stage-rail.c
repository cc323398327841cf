/* stage-rail.c - the schedule as a row of steps. */
#include "stage-rail.h"
#include "stage-step.h"
#include "wrap-layout.h"

#include "words.h"

struct _RakeStageRail
{
  RakeSessionView parent_instance;

  GtkWidget *content, *steps, *sentence, *warning;
};

G_DEFINE_FINAL_TYPE (RakeStageRail, rake_stage_rail, RAKE_TYPE_SESSION_VIEW)

/* What is settled before it counts whole; what comes later has nothing yet. A stage that was gone
 * back from keeps no ring: its "ready" has lapsed for judging. */
static RakeStepKind
find_kind (const RakeFace *face, const RakeGate *gate, const RakeStage *stage)
{
  if (!face->stage)
    return RAKE_STEP_LATER;
  if (stage == face->stage)
    return RAKE_STEP_PRESENT;
  if (stage->position < face->stage->position)
    return RAKE_STEP_DONE;
  if (gate && stage == gate->next)
    return gate->is_open ? RAKE_STEP_OPEN : RAKE_STEP_SHUT;
  return RAKE_STEP_LATER;
}

static double
find_fraction (RakeStepKind kind, const RakeGate *gate)
{
  if (kind == RAKE_STEP_PRESENT)
    return gate ? gate->ready_fraction : 0;
  return kind == RAKE_STEP_DONE ? 1 : 0;
}

/* No gate: its zones are still being judged, see session.h. */
static const char *
say_gate (const RakeGate *gate)
{
  return gate ? gate->sentence : _ ("The zones are being judged…");
}

static void
show_step (RakeStageRail *self, GtkWidget *step, const RakeFace *face, const RakeGate *gate,
           const RakeStage *stage)
{
  RakeStepKind kind = find_kind (face, gate, stage);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (stage->id, id);
  rake_stage_step_show (RAKE_STAGE_STEP (step), stage, kind, find_fraction (kind, gate),
                        say_gate (gate));
  if (kind == RAKE_STEP_DONE || kind == RAKE_STEP_OPEN)
    {
      gtk_actionable_set_action_target (GTK_ACTIONABLE (step), "s", id);
      gtk_actionable_set_action_name (GTK_ACTIONABLE (step), "win.begin-stage");
    }
  else
    {
      gtk_actionable_set_action_name (GTK_ACTIONABLE (step), NULL);
      gtk_widget_set_sensitive (step, TRUE);
    }
  /* What cannot be pressed is not in the way of the Tab key either. */
  gtk_widget_set_focusable (step, kind == RAKE_STEP_DONE || kind == RAKE_STEP_OPEN);
}

static void
show_steps (RakeStageRail *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeFace *face = session ? rake_session_get_face (session) : NULL;
  const RakeGate *gate = face ? rake_session_find_gate (session, face) : NULL;
  guint n_steps = face ? face->stages->len : 0;
  GtkWidget *step = gtk_widget_get_first_child (self->steps);

  gtk_widget_set_visible (self->content, n_steps > 0);
  for (guint i = 0; i < n_steps; i++)
    {
      if (!step)
        {
          step = rake_stage_step_new ();
          gtk_box_append (GTK_BOX (self->steps), step);
        }
      show_step (self, step, face, gate, face->stages->pdata[i]);
      step = gtk_widget_get_next_sibling (step);
    }
  while (step)
    {
      GtkWidget *gone = step;

      step = gtk_widget_get_next_sibling (step);
      gtk_box_remove (GTK_BOX (self->steps), gone);
    }
  if (n_steps)
    {
      const char *sentence = say_gate (gate);

      gtk_label_set_label (GTK_LABEL (self->warning), gate && gate->warning ? gate->warning : "");
      gtk_widget_set_visible (self->warning, gate && gate->warning);
      gtk_label_set_label (GTK_LABEL (self->sentence), sentence ? sentence : "");
      gtk_widget_set_visible (self->sentence, sentence != NULL);
    }
}

static void
rake_stage_rail_show (RakeSessionView *view, RakeShow what)
{
  if (what != RAKE_SHOW_BENCH && what != RAKE_SHOW_THEME)
    show_steps (RAKE_STAGE_RAIL (view));
}

static void
rake_stage_rail_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_STAGE_RAIL);
  G_OBJECT_CLASS (rake_stage_rail_parent_class)->dispose (object);
}

static void
rake_stage_rail_class_init (RakeStageRailClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_stage_rail_dispose;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_stage_rail_show;
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "stagerail");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "stage-rail.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeStageRail, content);
  gtk_widget_class_bind_template_child (widget_class, RakeStageRail, warning);
  gtk_widget_class_bind_template_child (widget_class, RakeStageRail, steps);
  gtk_widget_class_bind_template_child (widget_class, RakeStageRail, sentence);
}

static void
rake_stage_rail_init (RakeStageRail *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

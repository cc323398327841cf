/* planner-page.c - which grits. What goes into the planner is in planner-input.c. */
#include "planner-page.h"
#include "planner-input.h"
#include "record-row.h"
#include "trade-view.h"

#include <math.h>
#include <rakelight/schedule.h>
#include <rakelight/units.h>

#include "words.h"

struct _RakePlannerPage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *face_name, *grades, *other_grade, *other_fault, *smooth, *usual, *rough, *wheel,
      *machine, *hand, *none, *film_facts, *rates, *fault, *answer, *recommended, *why, *plans, *use;
  RakeTradeView *chart;
  RakePlannerInputs *inputs;
  RakePlanning *planning;
  guint chosen;
  gboolean is_filling; /* what is set now was not touched by the finisher */
};

G_DEFINE_FINAL_TYPE (RakePlannerPage, rake_planner_page, RAKE_TYPE_SESSION_VIEW)

/* --- plans in words ------------------------------------------------------------------------------ */

/* "P800 × 7, P1200 × 3" */
static char *
say_steps (RakePlannerPage *self, const RakePlan *plan)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < plan->steps->len; i++)
    {
      const RakePlanStep *step = &g_array_index (plan->steps, RakePlanStep, i);
      g_autofree char *grade =
          rake_grade_to_text (&self->inputs->planner.grades[step->grade].grade);

      /* Translators: a grit and how many passes: "P800 × 7". */
      g_string_append_printf (text, C_ ("plan", "%s%s × %u"), i > 0 ? ", " : "", grade,
                              step->n_passes);
    }
  return g_string_free (text, FALSE);
}

static char *
say_costs (const RakePlan *plan)
{
  g_autofree char *film =
      rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, plan->film_um, plan->film_sd_um);
  g_autofree char *risk = rake_units_to_text (RAKE_MEASURE_SHARE, plan->risk);
  gulong minutes = (gulong) ceil (plan->minutes);

  /* Translators: film that a schedule takes, how long it takes, and the risk at the thinnest zone. */
  return g_strdup_printf (
      ngettext ("takes %s · %lu minute · risk %s", "takes %s · %lu minutes · risk %s", minutes),
      film, minutes, risk);
}

static GtkWidget *
new_plan_row (RakePlannerPage *self, guint index)
{
  const RakePlan *plan = self->planning->plans->pdata[index];
  g_autofree char *steps = say_steps (self, plan), *costs = say_costs (plan);
  g_autofree char *why = rake_planning_describe (self->planning, index);
  gboolean is_recommended = index == self->planning->recommended;
  /* Translators: a schedule: "P800 × 7, P1200 × 3 — recommended". */
  g_autofree char *title =
      is_recommended ? g_strdup_printf (_ ("%s — recommended"), steps) : g_strdup (steps);
  g_autofree char *detail = g_strdup_printf ("%s\n%s", costs, why);
  GtkWidget *row = gtk_list_box_row_new ();

  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), rake_record_row_new (title, detail));
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, title,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, detail, -1);
  return row;
}

/* --- the answer ---------------------------------------------------------------------------------- */

static void
show_chosen (RakePlannerPage *self, guint index)
{
  GtkListBox *list = GTK_LIST_BOX (self->plans);
  GtkListBoxRow *row = gtk_list_box_get_row_at_index (list, (int) index);
  const RakePlan *plan = self->planning->plans->pdata[index];
  g_autofree char *steps = say_steps (self, plan), *why = NULL;
  g_autofree char *costs = say_costs (plan);

  self->chosen = index;
  if (gtk_list_box_get_selected_row (list) != row)
    gtk_list_box_select_row (list, row);
  why = rake_planning_describe (self->planning, index);
  gtk_label_set_label (GTK_LABEL (self->recommended), steps);
  g_free (g_steal_pointer (&steps));
  steps = g_strdup_printf ("%s\n%s", costs, why);
  gtk_label_set_label (GTK_LABEL (self->why), steps);
  rake_trade_view_show (self->chart, self->planning, (int) index);
}

static void
fill_plans (RakePlannerPage *self)
{
  GtkWidget *row;

  while ((row = gtk_widget_get_first_child (self->plans)))
    gtk_list_box_remove (GTK_LIST_BOX (self->plans), row);
  for (guint i = 0; self->planning && i < self->planning->plans->len; i++)
    gtk_list_box_append (GTK_LIST_BOX (self->plans), new_plan_row (self, i));
}

static void
show_answer (RakePlannerPage *self, const GError *error)
{
  RakeSession *session = rake_session_view_get_session (self);

  gtk_widget_set_visible (self->answer, self->planning != NULL);
  gtk_widget_set_visible (self->fault, error != NULL);
  gtk_label_set_label (GTK_LABEL (self->fault), error ? error->message : "");
  fill_plans (self);
  if (self->planning)
    show_chosen (self, self->planning->recommended);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "planner.use",
                                 self->planning && session &&
                                     !rake_session_is_read_only (session) &&
                                     !rake_session_is_in_the_past (session));
}

static void
plan (RakePlannerPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeFace *face = session ? rake_session_get_face (session) : NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *facts = NULL, *rates = NULL;

  rake_trade_view_show (self->chart, NULL, -1);
  g_clear_pointer (&self->planning, rake_planning_free);
  if (!face)
    return;
  if (rake_planner_inputs_take (self->inputs, session, face, &error))
    self->planning = rake_planner_plan (&self->inputs->planner, &error);
  facts = rake_planner_inputs_describe_film (self->inputs);
  gtk_label_set_label (GTK_LABEL (self->film_facts), facts);
  rates = rake_planner_inputs_describe_rates (self->inputs, session);
  gtk_label_set_label (GTK_LABEL (self->rates), rates);
  gtk_label_set_label (GTK_LABEL (self->face_name), face->name);
  show_answer (self, error);
}

static void
use_schedule (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePlannerPage *self = RAKE_PLANNER_PAGE (widget);
  RakeSession *session = rake_session_view_get_session (self);
  const RakeFace *face = session ? rake_session_get_face (session) : NULL;
  g_autoptr (GPtrArray) grades = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (RakeEntry) entry = NULL;
  const RakePlan *plan;

  if (!face || !self->planning)
    return;
  plan = self->planning->plans->pdata[self->chosen];
  for (guint i = 0; i < plan->steps->len; i++)
    g_ptr_array_add (
        grades, rake_grade_to_text (&self->inputs->planner
                                         .grades[g_array_index (plan->steps, RakePlanStep, i).grade]
                                         .grade));
  g_ptr_array_add (grades, NULL);
  entry = rake_schedule_new_from_grades (face, (const char *const *) grades->pdata,
                                         self->inputs->buffing);
  if (rake_session_append (session, &entry, 1))
    gtk_widget_activate_action (widget, "win.show-bench", NULL);
}

/* --- what is on hand ------------------------------------------------------------------------------ */

static void
on_grade (GtkToggleButton *button, GParamSpec *pspec, RakePlannerPage *self)
{
  if (self->is_filling)
    return;
  rake_planner_inputs_set_on_hand (self->inputs, gtk_button_get_label (GTK_BUTTON (button)),
                                   gtk_toggle_button_get_active (button));
  plan (self);
}

static void
show_grades (RakePlannerPage *self)
{
  GtkWidget *child;

  self->is_filling = TRUE;
  while ((child = gtk_widget_get_first_child (self->grades)))
    gtk_box_remove (GTK_BOX (self->grades), child);
  for (guint i = 0; i < self->inputs->choices->len; i++)
    {
      const char *grade = self->inputs->choices->pdata[i];
      GtkWidget *button = gtk_toggle_button_new_with_label (grade);

      gtk_widget_add_css_class (button, "wide");
      gtk_widget_add_css_class (button, "numbers");
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button),
                                    rake_planner_inputs_is_on_hand (self->inputs, grade));
      g_signal_connect (button, "notify::active", G_CALLBACK (on_grade), self);
      gtk_box_append (GTK_BOX (self->grades), button);
    }
  self->is_filling = FALSE;
}

static void
on_other_grade (RakePlannerPage *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->other_grade));
  g_autoptr (GError) error = NULL;
  gboolean is_read = rake_planner_inputs_add_choice (self->inputs, text, &error);

  gtk_widget_set_visible (self->other_fault, !is_read);
  gtk_label_set_label (GTK_LABEL (self->other_fault), error ? error->message : "");
  if (!is_read)
    return;
  gtk_editable_set_text (GTK_EDITABLE (self->other_grade), "");
  show_grades (self);
  plan (self);
}

static gboolean
is_active (GtkWidget *button)
{
  return gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (button));
}

static void
on_choice (RakePlannerPage *self)
{
  if (self->is_filling)
    return;
  rake_planner_inputs_choose (self->inputs,
                              is_active (self->smooth)  ? RAKE_TEXTURE_SMOOTH
                              : is_active (self->rough) ? RAKE_TEXTURE_ROUGH
                                                        : RAKE_TEXTURE_USUAL,
                              is_active (self->machine) ? RAKE_BUFFING_MACHINE
                              : is_active (self->hand)  ? RAKE_BUFFING_HAND
                              : is_active (self->none)  ? RAKE_BUFFING_NONE
                                                        : RAKE_BUFFING_WHEEL);
  plan (self);
}

static void
show_choices (RakePlannerPage *self)
{
  GtkWidget *texture = self->inputs->texture == RAKE_TEXTURE_SMOOTH  ? self->smooth
                       : self->inputs->texture == RAKE_TEXTURE_ROUGH ? self->rough
                                                                     : self->usual;
  GtkWidget *buffing = self->inputs->buffing == RAKE_BUFFING_MACHINE ? self->machine
                       : self->inputs->buffing == RAKE_BUFFING_HAND  ? self->hand
                       : self->inputs->buffing == RAKE_BUFFING_NONE  ? self->none
                                                                     : self->wheel;

  self->is_filling = TRUE;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (texture), TRUE);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (buffing), TRUE);
  self->is_filling = FALSE;
}

static void
on_chart (RakePlannerPage *self, guint index)
{
  show_chosen (self, index);
}

static void
on_row (RakePlannerPage *self, GtkListBoxRow *row)
{
  if (row && self->planning && gtk_list_box_row_get_index (row) != (int) self->chosen)
    show_chosen (self, (guint) gtk_list_box_row_get_index (row));
}

/* Planning is for when somebody looks: the page is brought up to date as it appears. */
static void
rake_planner_page_show (RakeSessionView *view, RakeShow what)
{
  RakePlannerPage *self = RAKE_PLANNER_PAGE (view);
  RakeSession *session = rake_session_view_get_session (self);

  if (what == RAKE_SHOW_SESSION)
    {
      rake_planner_inputs_begin (self->inputs, session);
      show_choices (self);
      show_grades (self);
    }
  if (gtk_widget_get_mapped (GTK_WIDGET (self)) && what != RAKE_SHOW_BENCH)
    plan (self);
}

static void
rake_planner_page_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_planner_page_parent_class)->map (widget);
  plan (RAKE_PLANNER_PAGE (widget));
}

static void
rake_planner_page_dispose (GObject *object)
{
  RakePlannerPage *self = RAKE_PLANNER_PAGE (object);

  if (self->chart)
    rake_trade_view_show (self->chart, NULL, -1);
  g_clear_pointer (&self->planning, rake_planning_free);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_PLANNER_PAGE);
  G_OBJECT_CLASS (rake_planner_page_parent_class)->dispose (object);
}

static void
rake_planner_page_finalize (GObject *object)
{
  g_clear_pointer (&RAKE_PLANNER_PAGE (object)->inputs, rake_planner_inputs_free);
  G_OBJECT_CLASS (rake_planner_page_parent_class)->finalize (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, content);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, face_name);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, grades);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, other_grade);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, other_fault);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, smooth);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, usual);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, rough);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, wheel);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, machine);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, hand);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, none);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, film_facts);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, rates);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, fault);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, answer);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, recommended);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, why);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, plans);
  gtk_widget_class_bind_template_child (widget_class, RakePlannerPage, chart);
}

static void
rake_planner_page_class_init (RakePlannerPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_planner_page_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_planner_page_finalize;
  widget_class->map = rake_planner_page_map;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_planner_page_show;
  g_type_ensure (RAKE_TYPE_TRADE_VIEW);
  gtk_widget_class_set_css_name (widget_class, "plannerpage");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "planner-page.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_other_grade);
  gtk_widget_class_bind_template_callback (widget_class, on_choice);
  gtk_widget_class_bind_template_callback (widget_class, on_chart);
  gtk_widget_class_bind_template_callback (widget_class, on_row);
  gtk_widget_class_install_action (widget_class, "planner.use", NULL, use_schedule);
}

static void
rake_planner_page_init (RakePlannerPage *self)
{
  self->inputs = rake_planner_inputs_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
}

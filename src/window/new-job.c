/* new-job.c - makes a job: piece, finish, schedule, faces, zones. */
#include "new-job.h"
#include "coat-film.h"

#include "job-plan.h"
#include "say.h"
#include "shop-folder.h"
#include "shop-rates.h"
#include "trace-dialog.h"
#include "window.h"
#include "zone-canvas.h"
#include "zone-editor.h"

#include <adwaita.h>
#include <glib/gi18n.h>
#include <math.h>
#include <rakelight/schedule.h>

struct _RakeNewJob
{
  GtkWidget parent_instance;

  RakeSession *session;
  RakeJobPlan *plan;
  guint step, face; /* shown */
  gboolean is_showing;
  gboolean has_own_schedule;    /* typed, so that another finish does not change it */
  GArray *outlines;             /* RakeOutlineKind as chosen for each face; 0: a drawing's */
  GPtrArray *traced;            /* RakeTraced: outlines drawn over a photograph */
  GtkFileChooserNative *chooser;

  GtkWidget *content, *next_button, *back_button, *face_choice;
  GtkStack *steps;
  GtkLabel *step_title, *step_count, *problem;
  AdwEntryRow *job_name, *piece, *shop, *schedule, *face_name;
  AdwComboRow *finish, *sheen, *outline;
  AdwActionRow *days_row;
  GtkSpinButton *coats, *days, *width, *height, *hole;
  GtkFlowBox *stage_cards;
  GtkListBox *face_rows;
  GtkWidget *width_row, *height_row, *hole_row;
  RakeZoneCanvas *face_view;
  RakeCoatFilm *coat_film;
  RakeZoneEditor *editor;
};

enum
{
  PROP_0,
  PROP_SESSION,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

static const char *const step_names[] = { "piece", "schedule", "faces", "zones" };

G_DEFINE_FINAL_TYPE (RakeNewJob, rake_new_job, GTK_TYPE_WIDGET)

static const char *
get_text (AdwEntryRow *row)
{
  return gtk_editable_get_text (GTK_EDITABLE (row));
}

static void
say_problem (RakeNewJob *self, const GError *error)
{
  gtk_label_set_text (self->problem, error != NULL ? error->message : "");
}

static RakeFinish
get_finish (RakeNewJob *self)
{
  return (RakeFinish) (adw_combo_row_get_selected (self->finish) + RAKE_FINISH_NITROCELLULOSE);
}

static RakeSheen
get_sheen (RakeNewJob *self)
{
  return (RakeSheen) (adw_combo_row_get_selected (self->sheen) + RAKE_SHEEN_GLOSS);
}

/* --- the steps ---------------------------------------------------------------------------------- */

static const RakeJob *
get_plan_job (gpointer owner)
{
  return rake_job_plan_get_job (RAKE_NEW_JOB (owner)->plan);
}

static gboolean
divide_plan (gpointer owner, RakeEntry *const *entries, guint n_entries, char **why)
{
  g_autoptr (GError) error = NULL;

  if (rake_job_plan_divide (RAKE_NEW_JOB (owner)->plan, entries, n_entries, &error))
    return TRUE;
  *why = g_strdup (error->message);
  return FALSE;
}

static void
undo_division (gpointer owner)
{
  rake_job_plan_undo_division (RAKE_NEW_JOB (owner)->plan);
}

static void
edit_face (RakeNewJob *self, guint index)
{
  const RakeZoneHost host = {
    .owner = self,
    .get_job = get_plan_job,
    .append = divide_plan,
    .undo = undo_division,
  };

  self->face = index;
  rake_zone_editor_edit (self->editor, &host, rake_job_plan_get_face (self->plan, index)->id);
}

static void
on_face_button (RakeNewJob *self, GtkToggleButton *button)
{
  if (gtk_toggle_button_get_active (button))
    edit_face (self, GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "face-index")));
}

static void
show_face_choice (RakeNewJob *self)
{
  GtkWidget *first = NULL;
  guint n_faces = rake_job_plan_get_n_faces (self->plan);

  while (gtk_widget_get_first_child (self->face_choice) != NULL)
    gtk_box_remove (GTK_BOX (self->face_choice), gtk_widget_get_first_child (self->face_choice));
  for (guint i = 0; i < n_faces; i++)
    {
      GtkWidget *button =
          gtk_toggle_button_new_with_label (rake_job_plan_get_face (self->plan, i)->name);

      gtk_widget_add_css_class (button, "wide");
      g_object_set_data (G_OBJECT (button), "face-index", GUINT_TO_POINTER (i));
      if (first != NULL)
        gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (first));
      else
        first = button;
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), i == self->face);
      g_signal_connect_swapped (button, "toggled", G_CALLBACK (on_face_button), self);
      gtk_box_append (GTK_BOX (self->face_choice), button);
    }
  gtk_widget_set_visible (self->face_choice, n_faces > 1);
}

static gboolean
can_go_on (RakeNewJob *self)
{
  switch (self->step)
    {
    case 0:
      return *get_text (self->job_name) != '\0';
    case 1:
      {
        g_autoptr (GArray) stages = rake_schedule_parse (get_text (self->schedule), NULL);
        return stages != NULL;
      }
    default:
      return rake_job_plan_get_n_faces (self->plan) > 0;
    }
}

static void
show_step (RakeNewJob *self)
{
  GtkWidget *page = gtk_stack_get_child_by_name (self->steps, step_names[self->step]);
  g_autofree char *count =
      g_strdup_printf (_ ("Step %u of %u"), self->step + 1, (guint) G_N_ELEMENTS (step_names));

  gtk_stack_set_visible_child (self->steps, page);
  gtk_label_set_text (self->step_title,
                      gtk_stack_page_get_title (gtk_stack_get_page (self->steps, page)));
  gtk_label_set_text (self->step_count, count);
  gtk_button_set_label (GTK_BUTTON (self->next_button),
                        self->step + 1 < G_N_ELEMENTS (step_names)
                            ? g_dpgettext2 (NULL, "assistant", "Next")
                            : _ ("Start the job"));
  gtk_widget_set_visible (self->back_button, self->step > 0);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "new-job.next", can_go_on (self));
  say_problem (self, NULL);
  if (g_str_equal (step_names[self->step], "zones"))
    {
      self->face = MIN (self->face, rake_job_plan_get_n_faces (self->plan) - 1);
      show_face_choice (self);
      edit_face (self, self->face);
    }
}

static void
on_changed (RakeNewJob *self)
{
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "new-job.next", can_go_on (self));
}

/* --- schedule ------------------------------------------------------------------------------------ */

static void
show_stages (RakeNewJob *self, const GArray *stages)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->stage_cards))) != NULL)
    gtk_flow_box_remove (self->stage_cards, child);
  for (guint i = 0; stages != NULL && i < stages->len; i++)
    {
      const RakeStageSpec *stage = &g_array_index (stages, RakeStageSpec, i);
      GtkWidget *card = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
      GtkWidget *action = gtk_label_new (_ (rake_action_get_label (stage->action)));
      GtkWidget *grade = gtk_label_new (stage->grade != NULL ? stage->grade : "");

      gtk_widget_add_css_class (card, "slip");
      gtk_widget_add_css_class (card, "stage-card");
      gtk_widget_add_css_class (action, "heading");
      gtk_widget_add_css_class (grade, "soft");
      gtk_box_append (GTK_BOX (card), action);
      gtk_box_append (GTK_BOX (card), grade);
      gtk_flow_box_append (self->stage_cards, card);
    }
}

static void
on_schedule (RakeNewJob *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GArray) stages = rake_schedule_parse (get_text (self->schedule), &error);

  if (!self->is_showing)
    self->has_own_schedule = TRUE;
  show_stages (self, stages);
  say_problem (self, error);
  on_changed (self);
}

static void
take_usual_schedule (RakeNewJob *self)
{
  self->is_showing = TRUE;
  gtk_editable_set_text (GTK_EDITABLE (self->schedule),
                         rake_schedule_get_usual_text (get_finish (self), get_sheen (self)));
  self->is_showing = FALSE;
  self->has_own_schedule = FALSE;
}

static void
usual_schedule (GtkWidget *widget, const char *action, GVariant *parameter)
{
  take_usual_schedule (RAKE_NEW_JOB (widget));
}

static void
on_finish (RakeNewJob *self)
{
  double cure_days = rake_finish_get_cure_days (get_finish (self));
  double days = gtk_spin_button_get_value (self->days);
  g_autofree char *words = NULL;

  words = days < cure_days
              ? g_strdup_printf (
                    _ ("%s usually cures %.0f days before it is rubbed out: wait %.0f more"),
                    _ (rake_finish_get_label (get_finish (self))), cure_days, cure_days - days)
              : g_strdup_printf (_ ("%s usually cures %.0f days before it is rubbed out"),
                                 _ (rake_finish_get_label (get_finish (self))), cure_days);
  adw_action_row_set_subtitle (self->days_row, words);
  if (!self->has_own_schedule)
    take_usual_schedule (self);
}

/* --- faces ---------------------------------------------------------------------------------------- */

static RakeOutlineKind
get_outline_kind (RakeNewJob *self)
{
  return (RakeOutlineKind) (adw_combo_row_get_selected (self->outline) + 1);
}

static void
show_face_rows (RakeNewJob *self)
{
  GtkWidget *row;
  guint n_faces = rake_job_plan_get_n_faces (self->plan);

  while ((row = gtk_widget_get_first_child (GTK_WIDGET (self->face_rows))) != NULL)
    gtk_list_box_remove (self->face_rows, row);
  for (guint i = 0; i < n_faces; i++)
    {
      const RakeFace *face = rake_job_plan_get_face (self->plan, i);
      GtkWidget *face_row = adw_action_row_new ();
      g_autofree char *area = rake_say_area (rake_shape_get_area_mm2 (face->outline));

      adw_preferences_row_set_use_markup (ADW_PREFERENCES_ROW (face_row), FALSE);
      adw_preferences_row_set_title (ADW_PREFERENCES_ROW (face_row), face->name);
      adw_action_row_set_subtitle (ADW_ACTION_ROW (face_row), area);
      gtk_list_box_append (self->face_rows, face_row);
    }
  gtk_widget_set_visible (GTK_WIDGET (self->face_rows), n_faces > 0);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "new-job.remove-face", n_faces > 1);
}

/* Fills in the form for the shown face. */
static void
show_face (RakeNewJob *self)
{
  const RakeFace *face = rake_job_plan_get_face (self->plan, self->face);
  RakeBounds box = rake_shape_get_bounds (face->outline);
  RakeOutlineKind kind = g_array_index (self->outlines, RakeOutlineKind, self->face);

  self->is_showing = TRUE;
  gtk_list_box_select_row (self->face_rows,
                           gtk_list_box_get_row_at_index (self->face_rows, (int) self->face));
  gtk_editable_set_text (GTK_EDITABLE (self->face_name), face->name);
  if (kind != 0)
    adw_combo_row_set_selected (self->outline, (guint) kind - 1);
  gtk_spin_button_set_value (self->width, round (box.max_x_mm - box.min_x_mm));
  gtk_spin_button_set_value (self->height, round (box.max_y_mm - box.min_y_mm));
  gtk_widget_set_visible (self->width_row, kind != 0);
  gtk_widget_set_visible (self->height_row, kind != 0);
  gtk_widget_set_visible (self->hole_row, kind != 0);
  rake_zone_canvas_show (self->face_view, face);
  self->is_showing = FALSE;
}

static void
refresh_faces (RakeNewJob *self, const GError *error)
{
  rake_zone_canvas_show (self->face_view, NULL);
  self->is_showing = TRUE;
  show_face_rows (self);
  self->is_showing = FALSE;
  show_face (self);
  say_problem (self, error);
  on_changed (self);
}

static void
set_face_outline (RakeNewJob *self, RakeShape *outline)
{
  g_autoptr (GError) error = NULL;

  rake_zone_canvas_show (self->face_view, NULL);
  rake_job_plan_set_face (self->plan, self->face, get_text (self->face_name), outline, &error);
  self->is_showing = TRUE;
  show_face_rows (self);
  gtk_list_box_select_row (self->face_rows,
                           gtk_list_box_get_row_at_index (self->face_rows, (int) self->face));
  self->is_showing = FALSE;
  rake_zone_canvas_show (self->face_view, rake_job_plan_get_face (self->plan, self->face));
  say_problem (self, error);
}

/* Name or size was typed. */
static void
on_face (RakeNewJob *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) outline = NULL;
  const RakeFace *face;

  if (self->is_showing || rake_job_plan_get_n_faces (self->plan) == 0)
    return;
  face = rake_job_plan_get_face (self->plan, self->face);
  if (g_array_index (self->outlines, RakeOutlineKind, self->face) == 0)
    outline = rake_shape_ref ((RakeShape *) face->outline);
  else
    outline = rake_outline_new (get_outline_kind (self), gtk_spin_button_get_value (self->width),
                                gtk_spin_button_get_value (self->height),
                                gtk_spin_button_get_value (self->hole), &error);
  if (outline == NULL)
    say_problem (self, error);
  else
    set_face_outline (self, outline);
}

/* Another kind was chosen: its usual size is a better start than the old one's. */
static void
on_outline (RakeNewJob *self)
{
  RakeOutlineKind kind = get_outline_kind (self);
  double width_mm, height_mm, hole_mm;

  if (self->is_showing || rake_job_plan_get_n_faces (self->plan) == 0)
    return;
  rake_outline_kind_get_usual_size (kind, &width_mm, &height_mm, &hole_mm);
  self->is_showing = TRUE;
  gtk_spin_button_set_value (self->width, width_mm);
  gtk_spin_button_set_value (self->height, height_mm);
  gtk_spin_button_set_value (self->hole, hole_mm);
  self->is_showing = FALSE;
  g_array_index (self->outlines, RakeOutlineKind, self->face) = kind;
  gtk_widget_set_visible (self->width_row, TRUE);
  gtk_widget_set_visible (self->height_row, TRUE);
  gtk_widget_set_visible (self->hole_row, TRUE);
  on_face (self);
}

static void
on_face_row (RakeNewJob *self, GtkListBoxRow *row)
{
  if (self->is_showing || row == NULL)
    return;
  self->face = (guint) gtk_list_box_row_get_index (row);
  show_face (self);
}

static void
add_face_named (RakeNewJob *self, const char *name, RakeOutlineKind kind)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) outline = NULL;
  double width_mm, height_mm, hole_mm;

  rake_outline_kind_get_usual_size (kind, &width_mm, &height_mm, &hole_mm);
  outline = rake_outline_new (kind, width_mm, height_mm, hole_mm, &error);
  rake_zone_canvas_show (self->face_view, NULL);
  if (outline == NULL || !rake_job_plan_add_face (self->plan, name, outline, &error))
    {
      say_problem (self, error);
      return;
    }
  g_array_append_val (self->outlines, kind);
  self->face = rake_job_plan_get_n_faces (self->plan) - 1;
  self->is_showing = TRUE;
  gtk_spin_button_set_value (self->hole, hole_mm);
  self->is_showing = FALSE;
  refresh_faces (self, NULL);
}

static void
add_face (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeNewJob *self = RAKE_NEW_JOB (widget);
  static const char *const usual[] = { N_ ("Front"), N_ ("Back"), N_ ("Sides"), N_ ("Neck") };
  static const RakeOutlineKind kinds[] = { RAKE_OUTLINE_ROUNDED_SLAB, RAKE_OUTLINE_ROUNDED_SLAB,
                                           RAKE_OUTLINE_SIDE_STRIP, RAKE_OUTLINE_NECK };
  guint n_faces = rake_job_plan_get_n_faces (self->plan);
  g_autofree char *name = n_faces < G_N_ELEMENTS (usual)
                              ? g_strdup (_ (usual[n_faces]))
                              : g_strdup_printf (_ ("Face %u"), n_faces + 1);
  RakeOutlineKind kind =
      n_faces < G_N_ELEMENTS (kinds) ? kinds[n_faces] : RAKE_OUTLINE_ROUNDED_SLAB;

  /* A back has the front's outline as a rule. */
  if (n_faces == 1 && g_array_index (self->outlines, RakeOutlineKind, 0) != 0)
    kind = g_array_index (self->outlines, RakeOutlineKind, 0);
  add_face_named (self, name, kind);
}

static void
remove_face (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeNewJob *self = RAKE_NEW_JOB (widget);

  if (rake_job_plan_get_n_faces (self->plan) < 2)
    return;
  rake_zone_canvas_show (self->face_view, NULL);
  rake_job_plan_remove_face (self->plan, self->face);
  g_array_remove_index (self->outlines, self->face);
  self->face = self->face > 0 ? self->face - 1 : 0;
  refresh_faces (self, NULL);
}

/* --- a drawing -------------------------------------------------------------------------------------- */

static void
take_drawing (RakeNewJob *self, const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) outline = NULL;
  g_autofree char *text = NULL;
  gsize length;

  if (g_file_get_contents (path, &text, &length, &error))
    {
      outline = rake_outline_new_from_svg (text, length, 0, &error);
      if (g_error_matches (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NO_SIZE))
        {
          /* Without a physical size a unit is taken as a millimetre; the form shows the size. */
          g_clear_error (&error);
          outline = rake_outline_new_from_svg (text, length, 1, &error);
        }
    }
  if (outline == NULL)
    {
      say_problem (self, error);
      return;
    }
  g_array_index (self->outlines, RakeOutlineKind, self->face) = (RakeOutlineKind) 0;
  set_face_outline (self, outline);
  show_face (self);
}

typedef void (*OnChosen) (RakeNewJob *self, int response);

static void
choose_file (RakeNewJob *self, const char *title, GtkFileFilter *filter, OnChosen on_chosen)
{
  g_clear_object (&self->chooser);
  self->chooser =
      gtk_file_chooser_native_new (title, GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))),
                                   GTK_FILE_CHOOSER_ACTION_OPEN, _ ("Take it"), _ ("Cancel"));
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
  g_signal_connect_swapped (self->chooser, "response", G_CALLBACK (on_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

/* The path of what was chosen, or NULL; the chooser is done with. Caller frees. */
static char *
take_chosen (RakeNewJob *self, int response)
{
  g_autoptr (GFile) file = NULL;

  if (response == GTK_RESPONSE_ACCEPT)
    file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (self->chooser));
  g_clear_object (&self->chooser);
  return file != NULL ? g_file_get_path (file) : NULL;
}

static void
on_drawing_chosen (RakeNewJob *self, int response)
{
  g_autofree char *path = take_chosen (self, response);

  if (path != NULL)
    take_drawing (self, path);
}

static void
open_svg (GtkWidget *widget, const char *action, GVariant *parameter)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, _ ("SVG drawings"));
  gtk_file_filter_add_suffix (filter, "svg");
  choose_file (RAKE_NEW_JOB (widget), _ ("Outline from a drawing"), filter, on_drawing_chosen);
}

/* --- a photograph ------------------------------------------------------------------------------------ */

static void
take_traced (RakeTraced *traced, GObject *owner)
{
  RakeNewJob *self = RAKE_NEW_JOB (owner);

  g_array_index (self->outlines, RakeOutlineKind, self->face) = (RakeOutlineKind) 0;
  set_face_outline (self, traced->outline);
  show_face (self);
  /* Another outline makes another face of it, so what was drawn before is kept for none. */
  traced->face = rake_job_plan_get_face (self->plan, self->face)->id;
  g_ptr_array_add (self->traced, traced);
}

static void
on_photo_chosen (RakeNewJob *self, int response)
{
  g_autofree char *path = take_chosen (self, response);

  if (path != NULL)
    rake_trace_dialog_present (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))), path,
                               take_traced, G_OBJECT (self));
}

static void
open_photo (GtkWidget *widget, const char *action, GVariant *parameter)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, _ ("Photographs"));
  gtk_file_filter_add_mime_type (filter, "image/jpeg");
  gtk_file_filter_add_mime_type (filter, "image/png");
  gtk_file_filter_add_mime_type (filter, "image/heic");
  gtk_file_filter_add_mime_type (filter, "image/heif");
  choose_file (RAKE_NEW_JOB (widget), _ ("Outline over a photograph"), filter, on_photo_chosen);
}

static void
note_sentence (RakeSession *session, const char *sentence, char **noted)
{
  g_free (*noted);
  *noted = g_strdup (sentence);
}

/* Those whose outline a face still has. Gives what is to be told where one was not kept, or NULL. */
static char *
keep_photographs (RakeNewJob *self, RakeSession *session)
{
  g_autofree char *why = NULL;
  gulong listening = g_signal_connect (session, "message", G_CALLBACK (note_sentence), &why);
  gboolean is_kept = TRUE;

  for (guint i = 0; i < self->traced->len; i++)
    {
      const RakeTraced *traced = self->traced->pdata[i];

      if (rake_job_find_face (rake_session_get_live_job (session), traced->face) != NULL)
        is_kept = rake_traced_keep (traced, session) && is_kept;
    }
  g_ptr_array_set_size (self->traced, 0);
  g_signal_handler_disconnect (session, listening);
  /* Translators: %s is a sentence that says why. */
  return is_kept ? NULL
                 : g_strdup_printf (_ ("The photograph under the outline was not kept: %s"),
                                    why ? why : "");
}

/* --- going on ----------------------------------------------------------------------------------------- */

/* For the next job: shop, finish and schedule are likely to be the same again, the piece is not. */
static void
begin_anew (RakeNewJob *self)
{
  rake_zone_editor_edit (self->editor, NULL, RAKE_ID_NIL);
  rake_zone_canvas_show (self->face_view, NULL);
  g_clear_pointer (&self->plan, rake_job_plan_free);
  self->plan = rake_job_plan_new ();
  g_array_set_size (self->outlines, 0);
  g_ptr_array_set_size (self->traced, 0);
  self->face = 0;
  self->step = 0;
  gtk_editable_set_text (GTK_EDITABLE (self->job_name), "");
  gtk_editable_set_text (GTK_EDITABLE (self->piece), "");
  show_step (self);
}

/* The bench is in front by now, and says it. */
static void
tell (RakeNewJob *self, const char *sentence)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  RakeSession *session =
      RAKE_IS_WINDOW (root) ? rake_window_get_session (RAKE_WINDOW (root)) : NULL;

  if (session)
    g_signal_emit_by_name (session, "message", sentence);
}

static gboolean
start_job (RakeNewJob *self, GError **error)
{
  RakeCoatBody coat = { 0 };
  RakeJobPlanFacts facts = {
    .name = get_text (self->job_name),
    .piece = get_text (self->piece),
    .shop = get_text (self->shop),
    .finish = get_finish (self),
    .sheen = get_sheen (self),
    .n_coats = (guint) gtk_spin_button_get_value_as_int (self->coats),
    .last_coat_ms = g_get_real_time () / 1000 -
                    (gint64) gtk_spin_button_get_value_as_int (self->days) * 86400000,
  };
  g_autoptr (GPtrArray) entries = NULL, rates = NULL;
  g_autoptr (RakeRules) rules =
      rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, error);
  g_autofree char *path = NULL, *not_kept = NULL;
  g_autoptr (RakeSession) session = NULL;

  if (rules == NULL || !rake_coat_film_take (self->coat_film, &coat, error))
    return FALSE;
  facts.wet_um = coat.wet_um;
  facts.dry_um = coat.dry_um;
  facts.volume_solids_fraction = coat.volume_solids_fraction;
  entries = rake_job_plan_get_entries (self->plan, &facts);
  rates = rake_shop_rates_learn ();
  g_ptr_array_extend_and_steal (entries, g_steal_pointer (&rates));
  path = rake_shop_folder_new_path (facts.name, error);
  if (path == NULL)
    return FALSE;
  session =
      rake_session_create (path, rules, (RakeEntry *const *) entries->pdata, entries->len, error);
  if (session == NULL)
    return FALSE;
  not_kept = keep_photographs (self, session);
  g_clear_object (&session); /* the window opens it like any other */
  begin_anew (self);
  gtk_widget_activate_action (GTK_WIDGET (self), "win.open-job", "s", path);
  if (not_kept)
    tell (self, not_kept);
  return TRUE;
}

static void
go_on (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeNewJob *self = RAKE_NEW_JOB (widget);
  g_autoptr (GError) error = NULL;

  if (self->step == 1)
    {
      rake_zone_canvas_show (self->face_view, NULL);
      if (!rake_job_plan_set_schedule (self->plan, get_text (self->schedule), &error))
        {
          say_problem (self, error);
          return;
        }
      if (rake_job_plan_get_n_faces (self->plan) == 0)
        add_face (widget, NULL, NULL);
      else
        refresh_faces (self, NULL);
    }
  if (self->step + 1 < G_N_ELEMENTS (step_names))
    {
      self->step++;
      show_step (self);
    }
  else if (!start_job (self, &error))
    say_problem (self, error);
}

static void
go_back (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeNewJob *self = RAKE_NEW_JOB (widget);

  if (self->step == 0)
    return;
  rake_zone_editor_edit (self->editor, NULL, RAKE_ID_NIL);
  self->step--;
  show_step (self);
  if (g_str_equal (step_names[self->step], "faces"))
    refresh_faces (self, NULL);
}

static void
on_next (RakeNewJob *self)
{
  gtk_widget_activate_action (GTK_WIDGET (self), "new-job.next", NULL);
}

/* --- class ---------------------------------------------------------------------------------------------- */

static void
fill_choices (RakeNewJob *self)
{
  g_autoptr (GtkStringList) finishes = gtk_string_list_new (NULL);
  g_autoptr (GtkStringList) outlines = gtk_string_list_new (NULL);

  for (int i = RAKE_FINISH_NITROCELLULOSE; i < RAKE_N_FINISHES; i++)
    gtk_string_list_append (finishes, _ (rake_finish_get_label ((RakeFinish) i)));
  for (int i = 1; i < RAKE_N_OUTLINES; i++)
    gtk_string_list_append (outlines, _ (rake_outline_kind_get_name ((RakeOutlineKind) i)));
  self->is_showing = TRUE;
  adw_combo_row_set_model (self->finish, G_LIST_MODEL (finishes));
  adw_combo_row_set_model (self->outline, G_LIST_MODEL (outlines));
  self->is_showing = FALSE;
}

static void
rake_new_job_dispose (GObject *object)
{
  RakeNewJob *self = RAKE_NEW_JOB (object);

  if (self->editor != NULL)
    rake_zone_editor_edit (self->editor, NULL, RAKE_ID_NIL);
  if (self->face_view != NULL)
    rake_zone_canvas_show (self->face_view, NULL);
  g_clear_object (&self->session);
  g_clear_object (&self->chooser);
  gtk_widget_dispose_template (GTK_WIDGET (self), RAKE_TYPE_NEW_JOB);
  self->editor = NULL;
  self->face_view = NULL;
  g_clear_pointer (&self->plan, rake_job_plan_free);
  g_clear_pointer (&self->outlines, g_array_unref);
  g_clear_pointer (&self->traced, g_ptr_array_unref);
  G_OBJECT_CLASS (rake_new_job_parent_class)->dispose (object);
}

static void
rake_new_job_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, RAKE_NEW_JOB (object)->session);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_new_job_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_set_object (&RAKE_NEW_JOB (object)->session, g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, content);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, next_button);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, back_button);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, face_choice);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, steps);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, step_title);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, step_count);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, problem);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, job_name);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, piece);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, shop);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, schedule);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, face_name);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, finish);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, sheen);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, outline);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, days_row);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, coats);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, coat_film);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, days);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, width);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, height);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, hole);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, width_row);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, height_row);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, hole_row);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, stage_cards);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, face_rows);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, face_view);
  gtk_widget_class_bind_template_child (widget_class, RakeNewJob, editor);
  gtk_widget_class_bind_template_callback (widget_class, on_changed);
  gtk_widget_class_bind_template_callback (widget_class, on_next);
  gtk_widget_class_bind_template_callback (widget_class, on_finish);
  gtk_widget_class_bind_template_callback (widget_class, on_schedule);
  gtk_widget_class_bind_template_callback (widget_class, on_face);
  gtk_widget_class_bind_template_callback (widget_class, on_face_row);
  gtk_widget_class_bind_template_callback (widget_class, on_outline);
}

static void
rake_new_job_class_init (RakeNewJobClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = rake_new_job_dispose;
  object_class->get_property = rake_new_job_get_property;
  object_class->set_property = rake_new_job_set_property;
  props[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);

  g_type_ensure (RAKE_TYPE_COAT_FILM);
  g_type_ensure (RAKE_TYPE_ZONE_CANVAS);
  g_type_ensure (RAKE_TYPE_ZONE_EDITOR);
  gtk_widget_class_set_template_from_resource (widget_class,
                                               "/org/rakelight/Rakelight/ui/new-job.ui");
  bind_children (widget_class);
  gtk_widget_class_install_action (widget_class, "new-job.next", NULL, go_on);
  gtk_widget_class_install_action (widget_class, "new-job.back", NULL, go_back);
  gtk_widget_class_install_action (widget_class, "new-job.usual-schedule", NULL, usual_schedule);
  gtk_widget_class_install_action (widget_class, "new-job.add-face", NULL, add_face);
  gtk_widget_class_install_action (widget_class, "new-job.remove-face", NULL, remove_face);
  gtk_widget_class_install_action (widget_class, "new-job.open-svg", NULL, open_svg);
  gtk_widget_class_install_action (widget_class, "new-job.open-photo", NULL, open_photo);
}

static void
rake_new_job_init (RakeNewJob *self)
{
  self->plan = rake_job_plan_new ();
  self->outlines = g_array_new (FALSE, FALSE, sizeof (RakeOutlineKind));
  self->traced = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_traced_free);
  gtk_widget_init_template (GTK_WIDGET (self));
  fill_choices (self);
  on_finish (self);
  show_step (self);
}

/* photo-form.c - where a photograph belongs, to be changed. */
#include "photo-form.h"
#include "photo-place.h"
#include "say.h"
#include "typed.h"
#include "wrap-layout.h"

#include <math.h>
#include <rakelight/units.h>
#include <string.h>

#include "words.h"

/* So many zones can be offered at once; of a face with more, those of the photograph and those that
 * are selected at the bench. */
#define OFFERED_ZONES 24

/* One of several things of the job, or none of them. */
typedef struct
{
  GtkWidget *down;
  GArray *ids; /* RakeId, the first nil */
} Choice;

struct _RakePhotoForm
{
  GtkWidget parent_instance;

  GtkWidget *content, *face, *stage, *pass, *mark, *zones, *zones_hint, *lamp, *view, *look, *words,
      *fault, *answers;
  Choice faces, stages, passes, marks;
  RakeSession *session; /* not owned; as given with the photograph */
  RakeId photo;
  RakeEntry *draft;     /* as the form says it; NULL without a photograph */
  gboolean is_filling;  /* what is set now was not touched by the person */
};

G_DEFINE_FINAL_TYPE (RakePhotoForm, rake_photo_form, GTK_TYPE_WIDGET)

static void fill (RakePhotoForm *self);

/* --- choices --------------------------------------------------------------------------------------- */

static void
begin_choice (Choice *choice, GtkStringList **words, const char *none)
{
  g_array_set_size (choice->ids, 0);
  g_array_append_val (choice->ids, RAKE_ID_NIL);
  *words = gtk_string_list_new (NULL);
  gtk_string_list_append (*words, none);
}

static void
add_to_choice (Choice *choice, GtkStringList *words, RakeId id, const char *word)
{
  g_array_append_val (choice->ids, id);
  gtk_string_list_append (words, word);
}

static void
end_choice (Choice *choice, GtkStringList *words, RakeId chosen)
{
  guint position = 0;

  for (guint i = 0; i < choice->ids->len; i++)
    if (rake_id_equal (g_array_index (choice->ids, RakeId, i), chosen))
      position = i;
  gtk_drop_down_set_model (GTK_DROP_DOWN (choice->down), G_LIST_MODEL (words));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice->down), position);
  gtk_widget_set_sensitive (choice->down, choice->ids->len > 1);
  g_object_unref (words);
}

static RakeId
get_chosen (const Choice *choice)
{
  guint position = gtk_drop_down_get_selected (GTK_DROP_DOWN (choice->down));

  return position < choice->ids->len ? g_array_index (choice->ids, RakeId, position) : RAKE_ID_NIL;
}

/* --- filling --------------------------------------------------------------------------------------- */

static const RakeFace *
find_face (RakePhotoForm *self)
{
  return rake_job_find_face (rake_session_get_job (self->session), self->draft->photo.face);
}

static void
fill_faces (RakePhotoForm *self)
{
  const RakeJob *job = rake_session_get_job (self->session);
  GtkStringList *words;

  begin_choice (&self->faces, &words, _ ("the whole piece"));
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      add_to_choice (&self->faces, words, face->id, face->name);
    }
  end_choice (&self->faces, words, self->draft->photo.face);
}

static void
fill_stages (RakePhotoForm *self, const RakeFace *face)
{
  GtkStringList *words;

  begin_choice (&self->stages, &words, C_ ("photograph", "not said"));
  for (guint i = 0; face && i < face->stages->len; i++)
    {
      const RakeStage *stage = face->stages->pdata[i];
      g_autofree char *word = rake_say_stage (stage);
      add_to_choice (&self->stages, words, stage->id, word);
    }
  end_choice (&self->stages, words, self->draft->photo.stage);
}

static gboolean
is_pass_at (const RakeJob *job, const RakeEntry *entry, const RakeFace *face, RakeId stage)
{
  if (entry->kind != RAKE_ENTRY_PASS || rake_job_is_struck (job, entry->id))
    return FALSE;
  if (!rake_id_is_nil (stage))
    return rake_id_equal (entry->pass.stage, stage);
  for (guint i = 0; i < face->stages->len; i++)
    if (rake_id_equal (((const RakeStage *) face->stages->pdata[i])->id, entry->pass.stage))
      return TRUE;
  return FALSE;
}

static void
fill_passes (RakePhotoForm *self, const RakeFace *face)
{
  const RakeJob *job = rake_session_get_job (self->session);
  GtkStringList *words;

  begin_choice (&self->passes, &words, C_ ("photograph", "not said"));
  for (guint i = rake_job_get_n_entries (job); face && i-- > 0;)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      g_autofree char *when = NULL, *word = NULL;

      if (!is_pass_at (job, entry, face, self->draft->photo.stage))
        continue;
      when = rake_say_when (entry, rake_session_now_ms ());
      /* Translators: a pass and when it was made: "pass of Tue 09:41". */
      word = g_strdup_printf (_ ("pass of %s"), when);
      add_to_choice (&self->passes, words, entry->id, word);
    }
  end_choice (&self->passes, words, self->draft->photo.pass);
}

static gboolean
has_zone (const RakePhotoBody *body, RakeId zone)
{
  for (guint i = 0; i < body->zones->len; i++)
    if (rake_id_equal (g_array_index (body->zones, RakeId, i), zone))
      return TRUE;
  return FALSE;
}

static RakeId
get_mark (const RakePhotoBody *body)
{
  return body->marks->len > 0 ? g_array_index (body->marks, RakeId, 0) : RAKE_ID_NIL;
}

/* Of the zones that it shows; of all of a face, when it is not said which. */
static void
fill_marks (RakePhotoForm *self, const RakeFace *face)
{
  const RakePhotoBody *body = &self->draft->photo;
  GtkStringList *words;

  begin_choice (&self->marks, &words, C_ ("photograph", "not said"));
  for (guint i = 0; face && i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];

      if (body->zones->len > 0 && !has_zone (body, zone->id))
        continue;
      for (guint j = 0; j < zone->marks->len; j++)
        {
          const RakeMark *mark = zone->marks->pdata[j];
          g_autofree char *what = rake_say_mark (mark);
          /* Translators: a zone and a mark in it: "Lower bass: Scratch, 49 mm". */
          g_autofree char *word = g_strdup_printf (_ ("%s: %s"), zone->name, what);
          add_to_choice (&self->marks, words, mark->entry->id, word);
        }
    }
  end_choice (&self->marks, words, get_mark (body));
}

/* --- zones ----------------------------------------------------------------------------------------- */

static void on_zone (GtkToggleButton *button, GParamSpec *pspec, RakePhotoForm *self);

static void
add_zone_button (RakePhotoForm *self, const RakeZone *zone)
{
  GtkWidget *button = gtk_toggle_button_new_with_label (zone->name);

  gtk_widget_add_css_class (button, "row-button");
  g_object_set_data_full (G_OBJECT (button), "zone", g_memdup2 (&zone->id, sizeof zone->id),
                          g_free);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button),
                                has_zone (&self->draft->photo, zone->id));
  g_signal_connect (button, "notify::active", G_CALLBACK (on_zone), self);
  gtk_box_append (GTK_BOX (self->zones), button);
}

static void
fill_zones (RakePhotoForm *self, const RakeFace *face)
{
  gboolean has_many = face && face->zones->len > OFFERED_ZONES;
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->zones)))
    gtk_box_remove (GTK_BOX (self->zones), child);
  gtk_widget_set_visible (self->zones_hint, has_many);
  for (guint i = 0; face && i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      if (!has_many || has_zone (&self->draft->photo, zone->id) ||
          rake_session_is_selected (self->session, zone->id))
        add_zone_button (self, zone);
    }
  gtk_widget_set_visible (self->zones, face != NULL);
}

/* --- all of it ------------------------------------------------------------------------------------- */

static void
set_text (GtkWidget *entry, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (entry), text ? text : "");
}

static gboolean
are_same_ids (const GArray *one, const GArray *other)
{
  return one->len == other->len &&
         (one->len == 0 || memcmp (one->data, other->data, one->len * sizeof (RakeId)) == 0);
}

static gboolean
are_same_numbers (double one, double other)
{
  return (isnan (one) && isnan (other)) || fabs (one - other) < 1e-9;
}

static gboolean
is_changed (RakePhotoForm *self)
{
  const RakeJob *job = rake_session_get_job (self->session);
  const RakePhoto *photo = rake_job_find_photo (job, self->photo);
  const RakePhotoBody *new = &self->draft->photo, *is = photo ? &photo->placed->photo : NULL;

  return is && (!rake_id_equal (new->face, is->face) || !rake_id_equal (new->stage, is->stage) ||
                !rake_id_equal (new->pass, is->pass) || !are_same_ids (new->zones, is->zones) ||
                !are_same_ids (new->marks, is->marks) ||
                !are_same_numbers (new->lamp_deg, is->lamp_deg) || new->is_look != is->is_look ||
                g_strcmp0 (new->view, is->view) != 0 || g_strcmp0 (new->note, is->note) != 0);
}

static void
show_answers (RakePhotoForm *self)
{
  gboolean is_faulty = gtk_widget_get_visible (self->fault);

  gtk_widget_set_visible (self->answers, is_faulty || (self->draft && is_changed (self)));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "photo-form.keep", !is_faulty);
}

static void
fill (RakePhotoForm *self)
{
  const RakeFace *face = find_face (self);
  const RakePhotoBody *body = &self->draft->photo;

  self->is_filling = TRUE;
  fill_faces (self);
  fill_stages (self, face);
  fill_passes (self, face);
  fill_zones (self, face);
  fill_marks (self, face);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->look), body->is_look == RAKE_ANSWER_YES);
  self->is_filling = FALSE;
  show_answers (self);
}

static void
fill_texts (RakePhotoForm *self)
{
  const RakePhotoBody *body = &self->draft->photo;
  g_autofree char *lamp =
      isfinite (body->lamp_deg) ? rake_units_to_number (RAKE_MEASURE_ANGLE, body->lamp_deg) : NULL;

  self->is_filling = TRUE;
  set_text (self->lamp, lamp);
  set_text (self->view, body->view);
  set_text (self->words, body->note);
  gtk_widget_set_visible (self->fault, FALSE);
  self->is_filling = FALSE;
}

static void
begin_draft (RakePhotoForm *self, const RakePhoto *photo)
{
  g_clear_pointer (&self->draft, rake_entry_unref);
  if (photo)
    self->draft = rake_photo_new_placement (rake_session_get_job (self->session), photo);
}

void
rake_photo_form_show (RakePhotoForm *self, RakeSession *session, RakeId id)
{
  const RakePhoto *photo =
      session ? rake_job_find_photo (rake_session_get_job (session), id) : NULL;
  gboolean is_same = self->session == session && photo && rake_id_equal (self->photo, photo->id);

  if (is_same && self->draft && is_changed (self) && gtk_widget_get_visible (self->answers))
    {
      fill (self);
      return;
    }
  self->session = photo ? session : NULL;
  self->photo = photo ? photo->id : RAKE_ID_NIL;
  begin_draft (self, photo);
  gtk_widget_set_visible (GTK_WIDGET (self), photo != NULL);
  if (!photo)
    return;
  gtk_widget_set_sensitive (self->content, !rake_session_is_read_only (session) &&
                                               !rake_session_is_in_the_past (session));
  fill_texts (self);
  fill (self);
}

/* --- what the person changes ------------------------------------------------------------------------ */

static void
on_face (RakePhotoForm *self)
{
  RakePhotoBody *body;

  if (self->is_filling || !self->draft)
    return;
  body = &self->draft->photo;
  if (rake_id_equal (body->face, get_chosen (&self->faces)))
    return;
  body->face = get_chosen (&self->faces);
  body->stage = body->pass = RAKE_ID_NIL;
  g_array_set_size (body->zones, 0);
  g_array_set_size (body->marks, 0);
  fill (self);
}

static void
on_stage (RakePhotoForm *self)
{
  RakePhotoBody *body;

  if (self->is_filling || !self->draft)
    return;
  body = &self->draft->photo;
  if (rake_id_equal (body->stage, get_chosen (&self->stages)))
    return;
  body->stage = get_chosen (&self->stages);
  body->pass = RAKE_ID_NIL;
  fill (self);
}

static void
on_pass (RakePhotoForm *self)
{
  if (self->is_filling || !self->draft)
    return;
  self->draft->photo.pass = get_chosen (&self->passes);
  show_answers (self);
}

/* The others that it may belong to stay, unless it is said to belong to none. */
static void
on_mark (RakePhotoForm *self)
{
  GArray *marks;
  RakeId mark;

  if (self->is_filling || !self->draft)
    return;
  mark = get_chosen (&self->marks);
  marks = self->draft->photo.marks;
  if (rake_id_is_nil (mark))
    g_array_set_size (marks, 0);
  else if (marks->len > 0)
    g_array_index (marks, RakeId, 0) = mark;
  else
    g_array_append_val (marks, mark);
  show_answers (self);
}

static void
on_zone (GtkToggleButton *button, GParamSpec *pspec, RakePhotoForm *self)
{
  const RakeId *zone = g_object_get_data (G_OBJECT (button), "zone");
  GArray *zones;

  if (self->is_filling || !self->draft)
    return;
  zones = self->draft->photo.zones;
  for (guint i = zones->len; i-- > 0;)
    if (rake_id_equal (g_array_index (zones, RakeId, i), *zone))
      g_array_remove_index (zones, i);
  if (gtk_toggle_button_get_active (button))
    g_array_append_vals (zones, zone, 1);
  self->is_filling = TRUE;
  fill_marks (self, find_face (self));
  self->is_filling = FALSE;
  show_answers (self);
}

static void
on_look (RakePhotoForm *self)
{
  gboolean is_look = gtk_check_button_get_active (GTK_CHECK_BUTTON (self->look));

  if (self->is_filling || !self->draft)
    return;
  self->draft->photo.is_look = is_look ? RAKE_ANSWER_YES : RAKE_ANSWER_NO;
  show_answers (self);
}

static void
take_text (char **text, GtkWidget *entry)
{
  g_free (*text);
  *text = rake_typed_words (entry);
}

static void
take_lamp (RakePhotoForm *self)
{
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  double lamp_deg = NAN;

  take_text (&text, self->lamp);
  if (text)
    rake_units_parse (RAKE_MEASURE_ANGLE, text, 0, 360, &lamp_deg, &error);
  if (!error)
    self->draft->photo.lamp_deg = isfinite (lamp_deg) ? fmod (lamp_deg, 360) : NAN;
  gtk_label_set_label (GTK_LABEL (self->fault), error ? error->message : "");
  gtk_widget_set_visible (self->fault, error != NULL);
}

static void
on_typed (RakePhotoForm *self)
{
  if (self->is_filling || !self->draft)
    return;
  take_text (&self->draft->photo.view, self->view);
  take_text (&self->draft->photo.note, self->words);
  take_lamp (self);
  show_answers (self);
}

static void
take_bench_lamp (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePhotoForm *self = RAKE_PHOTO_FORM (widget);
  g_autofree char *lamp = NULL;

  if (!self->session)
    return;
  lamp =
      rake_units_to_number (RAKE_MEASURE_ANGLE, rake_session_get_bench (self->session)->lamp_deg);
  set_text (self->lamp, lamp);
}

/* The entry is told when it is the session's: the job's change shows the form anew. */
static void
keep (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePhotoForm *self = RAKE_PHOTO_FORM (widget);
  g_autoptr (RakeEntry) entry = g_steal_pointer (&self->draft);
  g_autoptr (RakeSession) session = self->session ? g_object_ref (self->session) : NULL;
  RakeId photo = self->photo;

  if (!entry || !session)
    return;
  if (rake_session_append (session, &entry, 1))
    rake_photo_form_show (self, session, photo);
  else
    self->draft = g_steal_pointer (&entry);
}

static void
leave (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePhotoForm *self = RAKE_PHOTO_FORM (widget);

  g_clear_pointer (&self->draft, rake_entry_unref);
  rake_photo_form_show (self, self->session, self->photo);
}

/* --- class ------------------------------------------------------------------------------------------ */

static void
rake_photo_form_dispose (GObject *object)
{
  RakePhotoForm *self = RAKE_PHOTO_FORM (object);

  self->session = NULL;
  self->is_filling = TRUE;
  g_clear_pointer (&self->draft, rake_entry_unref);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_PHOTO_FORM);
  G_OBJECT_CLASS (rake_photo_form_parent_class)->dispose (object);
}

static void
rake_photo_form_finalize (GObject *object)
{
  RakePhotoForm *self = RAKE_PHOTO_FORM (object);

  g_array_unref (self->faces.ids);
  g_array_unref (self->stages.ids);
  g_array_unref (self->passes.ids);
  g_array_unref (self->marks.ids);
  G_OBJECT_CLASS (rake_photo_form_parent_class)->finalize (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, content);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, face);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, stage);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, pass);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, mark);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, zones);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, zones_hint);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, lamp);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, view);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, look);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, words);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, fault);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoForm, answers);
}

static void
rake_photo_form_class_init (RakePhotoFormClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_photo_form_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_photo_form_finalize;
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "photoform");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "photo-form.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_face);
  gtk_widget_class_bind_template_callback (widget_class, on_stage);
  gtk_widget_class_bind_template_callback (widget_class, on_pass);
  gtk_widget_class_bind_template_callback (widget_class, on_mark);
  gtk_widget_class_bind_template_callback (widget_class, on_look);
  gtk_widget_class_bind_template_callback (widget_class, on_typed);
  gtk_widget_class_install_action (widget_class, "photo-form.lamp", NULL, take_bench_lamp);
  gtk_widget_class_install_action (widget_class, "photo-form.keep", NULL, keep);
  gtk_widget_class_install_action (widget_class, "photo-form.leave", NULL, leave);
}

static void
rake_photo_form_init (RakePhotoForm *self)
{
  self->is_filling = TRUE;
  gtk_widget_init_template (GTK_WIDGET (self));
  self->faces = (Choice){ self->face, g_array_new (FALSE, FALSE, sizeof (RakeId)) };
  self->stages = (Choice){ self->stage, g_array_new (FALSE, FALSE, sizeof (RakeId)) };
  self->passes = (Choice){ self->pass, g_array_new (FALSE, FALSE, sizeof (RakeId)) };
  self->marks = (Choice){ self->mark, g_array_new (FALSE, FALSE, sizeof (RakeId)) };
  self->is_filling = FALSE;
}

/* defects-part.c - the defects on record. */
#include "defects-part.h"
#include "defect-list.h"
#include "defect-slip.h"
#include "say.h"
#include "slip-words.h"
#include "wrap-layout.h"

#include "words.h"

struct _RakeDefectsPart
{
  RakeSessionView parent_instance;

  GtkWidget *content, *standing, *face, *severity, *order, *nothing, *list, *slip_scroller;
  RakeDefectSlip *slip;
  RakeId chosen;
  GPtrArray *faces;      /* char *: ids as text, in the order of "face", the first one "" */
  GPtrArray *severities; /* char *, likewise, the first one NULL */
  gboolean is_filling;   /* what the list and the filters say then is not the finisher's doing */
};

G_DEFINE_FINAL_TYPE (RakeDefectsPart, rake_defects_part, RAKE_TYPE_SESSION_VIEW)

/* --- the filter ---------------------------------------------------------------------------------- */

static guint
get_selected (GtkWidget *choice)
{
  guint selected = gtk_drop_down_get_selected (GTK_DROP_DOWN (choice));

  return selected == GTK_INVALID_LIST_POSITION ? 0 : selected;
}

/* The words of @choice, only when they are others: else what was chosen would be lost. */
static void
offer (GtkWidget *choice, GPtrArray *values, const char *const *words)
{
  guint selected = get_selected (choice);
  g_autoptr (GtkStringList) model = gtk_string_list_new (words);

  gtk_drop_down_set_model (GTK_DROP_DOWN (choice), G_LIST_MODEL (model));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice), selected < values->len ? selected : 0);
  gtk_widget_set_visible (choice, values->len > 2);
}

static gboolean
are_same (GPtrArray *one, GPtrArray *other)
{
  gboolean same = one && one->len == other->len;

  for (guint i = 0; same && i < one->len; i++)
    same = g_strcmp0 (one->pdata[i], other->pdata[i]) == 0;
  return same;
}

static void
offer_faces (RakeDefectsPart *self, const RakeJob *job)
{
  g_autoptr (GPtrArray) ids = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GPtrArray) names = g_ptr_array_new ();

  g_ptr_array_add (ids, g_strdup (""));
  g_ptr_array_add (names, (gpointer) _ ("Every face"));
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      char id[RAKE_ID_TEXT_LENGTH + 1];

      rake_id_to_text (face->id, id);
      g_ptr_array_add (ids, g_strdup (id));
      g_ptr_array_add (names, (gpointer) face->name);
    }
  g_ptr_array_add (names, NULL);
  if (are_same (self->faces, ids))
    return;
  g_clear_pointer (&self->faces, g_ptr_array_unref);
  self->faces = g_steal_pointer (&ids);
  offer (self->face, self->faces, (const char *const *) names->pdata);
}

static void
offer_severities (RakeDefectsPart *self, const RakeJob *job)
{
  g_autoptr (GPtrArray) said = rake_defects_list_severities (job);
  g_autoptr (GPtrArray) values = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GPtrArray) names = g_ptr_array_new ();

  g_ptr_array_add (values, NULL);
  g_ptr_array_add (names, (gpointer) _ ("However bad"));
  for (guint i = 0; i < said->len; i++)
    {
      const char *severity = said->pdata[i];

      g_ptr_array_add (values, g_strdup (severity));
      g_ptr_array_add (names, (gpointer) (*severity ? severity : _ ("Not said how bad")));
    }
  g_ptr_array_add (names, NULL);
  if (are_same (self->severities, values))
    return;
  g_clear_pointer (&self->severities, g_ptr_array_unref);
  self->severities = g_steal_pointer (&values);
  offer (self->severity, self->severities, (const char *const *) names->pdata);
}

static RakeDefectsWanted
get_wanted (RakeDefectsPart *self)
{
  RakeDefectsWanted wanted = { .standing = (RakeDefectsStanding) get_selected (self->standing),
                               .order = (RakeDefectsOrder) get_selected (self->order) };
  const char *face = self->faces->pdata[get_selected (self->face)];

  if (*face)
    rake_id_from_text (face, &wanted.face);
  wanted.severity = self->severities->pdata[get_selected (self->severity)];
  return wanted;
}

/* --- the list ------------------------------------------------------------------------------------ */

static GtkWidget *
new_row (const RakeDefect *defect)
{
  const RakeDefectBody *told = &defect->told->defect;
  g_autofree char *place = rake_say_place (defect);
  const RakeEntry *found = defect->look ? defect->look : defect->entry;
  g_autofree char *when = rake_say_when (found, rake_session_now_ms ());
  g_autofree char *state =
      g_strconcat (_ (rake_standing_get_label (told->standing)), " · ", when, NULL);
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  GtkWidget *title = rake_slip_add_words (box, defect->what, "record-title");
  g_autofree char *name = g_strdup_printf ("%s. %s. %s", defect->what, place, state);

  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_NONE);
  rake_slip_add_words (box, place, "numbers");
  if (told->severity)
    rake_slip_add_words (box, told->severity, NULL);
  gtk_widget_add_css_class (rake_slip_add_words (box, state, "soft"), "small");
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  g_object_set_data_full (G_OBJECT (row), "defect", g_memdup2 (&defect->id, sizeof defect->id),
                          g_free);
  return row;
}

static void
show_slip (RakeDefectsPart *self)
{
  rake_defect_slip_show (self->slip, rake_session_view_get_session (self), self->chosen);
}

static void
fill_list (RakeDefectsPart *self, const GPtrArray *defects)
{
  GtkWidget *row, *chosen_row = NULL;

  while ((row = gtk_widget_get_first_child (self->list)))
    gtk_list_box_remove (GTK_LIST_BOX (self->list), row);
  for (guint i = 0; i < defects->len; i++)
    {
      const RakeDefect *defect = defects->pdata[i];

      row = new_row (defect);
      gtk_list_box_append (GTK_LIST_BOX (self->list), row);
      if (!chosen_row || rake_id_equal (defect->id, self->chosen))
        chosen_row = row;
    }
  if (chosen_row)
    gtk_list_box_select_row (GTK_LIST_BOX (self->list), GTK_LIST_BOX_ROW (chosen_row));
  self->chosen =
      chosen_row ? *(RakeId *) g_object_get_data (G_OBJECT (chosen_row), "defect") : RAKE_ID_NIL;
}

static void
show_all (RakeDefectsPart *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  g_autoptr (GPtrArray) defects = NULL, all = NULL;
  RakeDefectsWanted wanted;

  if (!job)
    {
      rake_defect_slip_show (self->slip, NULL, RAKE_ID_NIL);
      return;
    }
  self->is_filling = TRUE;
  offer_faces (self, job);
  offer_severities (self, job);
  wanted = get_wanted (self);
  defects = rake_defects_choose (job, &wanted);
  all = rake_job_list_defects (job);
  fill_list (self, defects);
  self->is_filling = FALSE;
  gtk_label_set_label (GTK_LABEL (self->nothing),
                       all->len == 0
                           ? _ ("No defect is on record. On the bench, hold a mark or press the "
                                "right button on it, and choose “Keep for the record”.")
                           : _ ("None is like that. Choose others above."));
  gtk_widget_set_visible (self->nothing, defects->len == 0);
  gtk_widget_set_visible (self->list, defects->len > 0);
  show_slip (self);
}

static void
on_filter (RakeDefectsPart *self)
{
  if (!self->is_filling && rake_session_view_get_session (self))
    show_all (self);
}

static void
on_row (RakeDefectsPart *self, GtkListBoxRow *row)
{
  if (self->is_filling || !row)
    return;
  self->chosen = *(RakeId *) g_object_get_data (G_OBJECT (row), "defect");
  gtk_adjustment_set_value (
      gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->slip_scroller)), 0);
  show_slip (self);
}

void
rake_defects_part_choose (RakeDefectsPart *self, RakeId defect)
{
  RakeSession *session = rake_session_view_get_session (self);
  g_autoptr (RakeDefect) found =
      session ? rake_job_find_defect (rake_session_get_live_job (session), defect) : NULL;

  if (!found)
    return;
  self->chosen = found->id;
  show_all (self);
  if (rake_id_equal (self->chosen, found->id))
    return;
  self->is_filling = TRUE;
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->standing), 0);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->face), 0);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->severity), 0);
  self->is_filling = FALSE;
  self->chosen = found->id;
  show_all (self);
}

/* --- class --------------------------------------------------------------------------------------- */

static void
rake_defects_part_show (RakeSessionView *view, RakeShow what)
{
  if (what == RAKE_SHOW_SESSION ||
      (what == RAKE_SHOW_JOB && gtk_widget_get_mapped (GTK_WIDGET (view))))
    show_all (RAKE_DEFECTS_PART (view));
}

static void
rake_defects_part_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_defects_part_parent_class)->map (widget);
  show_all (RAKE_DEFECTS_PART (widget));
}

static void
rake_defects_part_dispose (GObject *object)
{
  RakeDefectsPart *self = RAKE_DEFECTS_PART (object);

  self->is_filling = TRUE;
  g_clear_pointer (&self->faces, g_ptr_array_unref);
  g_clear_pointer (&self->severities, g_ptr_array_unref);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_DEFECTS_PART);
  G_OBJECT_CLASS (rake_defects_part_parent_class)->dispose (object);
}

static void
rake_defects_part_class_init (RakeDefectsPartClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_defects_part_dispose;
  widget_class->map = rake_defects_part_map;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_defects_part_show;
  g_type_ensure (RAKE_TYPE_DEFECT_SLIP);
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "defectspart");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "defects-part.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, content);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, standing);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, face);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, severity);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, order);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, nothing);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, list);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, slip_scroller);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectsPart, slip);
  gtk_widget_class_bind_template_callback (widget_class, on_filter);
  gtk_widget_class_bind_template_callback (widget_class, on_row);
}

static void
rake_defects_part_init (RakeDefectsPart *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

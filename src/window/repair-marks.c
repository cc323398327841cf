/* repair-marks.c - which marks a repair puts an end to. */
#include "repair-marks.h"
#include "say.h"

#include "words.h"

struct _RakeRepairMarks
{
  GtkBox parent_instance;

  GArray *buried; /* RakeId: all of the face's marks, under a recoat; NULL: what is ticked */
};

G_DEFINE_FINAL_TYPE (RakeRepairMarks, rake_repair_marks, GTK_TYPE_BOX)

static void
clear (RakeRepairMarks *self)
{
  GtkWidget *child;

  g_clear_pointer (&self->buried, g_array_unref);
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self))))
    gtk_box_remove (GTK_BOX (self), child);
}

static void
add_sentence (RakeRepairMarks *self, const char *sentence)
{
  GtkWidget *label = gtk_label_new (sentence);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (label, "soft");
  gtk_box_append (GTK_BOX (self), label);
}

/* A hollow or a deep scratch may be filled: proposed where there is nothing else to fill. */
static gboolean
is_proposed (const RakeZone *zone, const RakeMark *mark, RakeRepairMethod method)
{
  if (rake_repair_settles (method, mark->kind))
    return TRUE;
  if (method != RAKE_REPAIR_DROP_FILL && method != RAKE_REPAIR_FILL)
    return FALSE;
  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *other = zone->marks->pdata[i];

      if (!other->closed_by && rake_repair_settles (method, other->kind))
        return FALSE;
    }
  return mark->kind == RAKE_MARK_LOW_SPOT || mark->kind == RAKE_MARK_SCRATCH;
}

static void
add_mark (RakeRepairMarks *self, const RakeMark *mark, gboolean is_ticked)
{
  g_autofree char *words = rake_say_mark (mark);
  GtkWidget *row = gtk_check_button_new_with_label (words);
  RakeId *id = g_new (RakeId, 1);

  *id = mark->entry->id;
  g_object_set_data_full (G_OBJECT (row), "mark", id, g_free);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (row), is_ticked);
  gtk_widget_add_css_class (row, "big-row");
  gtk_box_append (GTK_BOX (self), row);
}

/* A mark across a seam is in two zones, and is buried once. */
static void
bury_mark (RakeRepairMarks *self, const RakeMark *mark)
{
  if (mark->closed_by)
    return;
  for (guint i = 0; i < self->buried->len; i++)
    if (rake_id_equal (g_array_index (self->buried, RakeId, i), mark->entry->id))
      return;
  g_array_append_val (self->buried, mark->entry->id);
}

static void
bury (RakeRepairMarks *self, const RakeFace *face)
{
  g_autofree char *sentence = NULL;

  self->buried = g_array_new (FALSE, FALSE, sizeof (RakeId));
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];

      for (guint j = 0; j < zone->marks->len; j++)
        bury_mark (self, zone->marks->pdata[j]);
    }
  if (self->buried->len == 0)
    sentence = g_strdup (_ ("Nothing is marked on the face."));
  else
    sentence =
        g_strdup_printf (ngettext ("The coat buries the %u mark on the face.",
                                   "The coat buries all %u marks on the face.", self->buried->len),
                         self->buried->len);
  add_sentence (self, sentence);
}

void
rake_repair_marks_show (RakeRepairMarks *self, const RakeZone *zone, RakeRepairMethod method)
{
  gboolean has_any = FALSE;

  clear (self);
  if (method == RAKE_REPAIR_RECOAT)
    {
      bury (self, zone->face);
      return;
    }
  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];

      if (mark->closed_by)
        continue;
      add_mark (self, mark, is_proposed (zone, mark, method));
      has_any = TRUE;
    }
  if (!has_any)
    add_sentence (self, _ ("Nothing that is marked here is open."));
}

GArray *
rake_repair_marks_get_ticked (RakeRepairMarks *self)
{
  g_autoptr (GArray) ticked = NULL;

  if (self->buried)
    return self->buried->len > 0 ? g_array_ref (self->buried) : NULL;
  ticked = g_array_new (FALSE, FALSE, sizeof (RakeId));
  for (GtkWidget *row = gtk_widget_get_first_child (GTK_WIDGET (self)); row;
       row = gtk_widget_get_next_sibling (row))
    if (GTK_IS_CHECK_BUTTON (row) && gtk_check_button_get_active (GTK_CHECK_BUTTON (row)))
      g_array_append_vals (ticked, g_object_get_data (G_OBJECT (row), "mark"), 1);
  return ticked->len > 0 ? g_steal_pointer (&ticked) : NULL;
}

static void
rake_repair_marks_finalize (GObject *object)
{
  g_clear_pointer (&RAKE_REPAIR_MARKS (object)->buried, g_array_unref);
  G_OBJECT_CLASS (rake_repair_marks_parent_class)->finalize (object);
}

static void
rake_repair_marks_class_init (RakeRepairMarksClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = rake_repair_marks_finalize;
}

static void
rake_repair_marks_init (RakeRepairMarks *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
}

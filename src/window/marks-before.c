/* marks-before.c - the marks from before the last pass on a zone: are they still there? */
#include "marks-before.h"
#include "record-row.h"
#include "say.h"
#include "wrap-layout.h"

#include "words.h"

struct _RakeMarksBefore
{
  GtkWidget parent_instance;

  RakeSession *session;
  RakeId zone;
  GtkWidget *content, *question, *rows, *all;
};

G_DEFINE_FINAL_TYPE (RakeMarksBefore, rake_marks_before, GTK_TYPE_WIDGET)

static void
all_still_there (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeMarksBefore *self = RAKE_MARKS_BEFORE (widget);

  if (self->session)
    rake_session_revisit_all (self->session, self->zone, RAKE_OUTCOME_STILL_THERE);
}

static void
all_gone (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeMarksBefore *self = RAKE_MARKS_BEFORE (widget);

  if (self->session)
    rake_session_revisit_all (self->session, self->zone, RAKE_OUTCOME_GONE);
}

static void
add_row (RakeMarksBefore *self, const RakeMark *mark)
{
  g_autofree char *title = rake_say_mark (mark);
  g_autofree char *when = rake_say_when (mark->entry, rake_session_now_ms ());
  g_autofree char *detail = NULL;
  /* Translators: what a button says of one mark: "Still there: Scratch, 49 mm". */
  g_autofree char *still = g_strdup_printf (_ ("Still there: %s"), title);
  g_autofree char *gone = g_strdup_printf (_ ("Gone: %s"), title);
  GtkWidget *row;

  if (mark->stage)
    /* Translators: where a mark was found and when: "found at P800, Tue 09:41". */
    detail = g_strdup_printf (_ ("found at %s, %s"), rake_say_grade (mark->stage), when);
  else
    detail = g_strdup_printf (_ ("found %s"), when);
  row = rake_record_row_new (title, detail);
  rake_picture_show_mark (rake_record_row_get_picture (RAKE_RECORD_ROW (row)), mark->kind);
  rake_record_row_add_button (RAKE_RECORD_ROW (row), C_ ("mark", "Still there"), still,
                              "win.still-there", mark->entry->id);
  rake_record_row_add_button (RAKE_RECORD_ROW (row), C_ ("mark", "Gone"), gone, "win.gone",
                              mark->entry->id);
  gtk_box_append (GTK_BOX (self->rows), row);
}

/* A row that was answered goes; the next one takes its place under the finger and the focus. */
static void
restore_focus (RakeMarksBefore *self, gboolean had_focus)
{
  GtkWidget *row = gtk_widget_get_first_child (self->rows);

  if (had_focus && row)
    gtk_widget_child_focus (row, GTK_DIR_TAB_FORWARD);
}

static gboolean
has_focus_inside (GtkWidget *widget)
{
  GtkRoot *root = gtk_widget_get_root (widget);
  GtkWidget *focus = root ? gtk_root_get_focus (root) : NULL;

  return focus && gtk_widget_is_ancestor (focus, widget);
}

void
rake_marks_before_show (RakeMarksBefore *self, RakeSession *session, const RakeZone *zone)
{
  g_autoptr (GPtrArray) ghosts = zone ? rake_session_get_ghosts (session, zone) : NULL;
  guint n_ghosts = ghosts ? ghosts->len : 0;
  gboolean had_focus = has_focus_inside (GTK_WIDGET (self));
  g_autofree char *question = NULL;
  GtkWidget *row;

  g_set_object (&self->session, session);
  self->zone = zone ? zone->id : RAKE_ID_NIL;
  while ((row = gtk_widget_get_first_child (self->rows)))
    gtk_box_remove (GTK_BOX (self->rows), row);
  gtk_widget_set_visible (GTK_WIDGET (self), n_ghosts > 0);
  for (guint i = 0; i < n_ghosts; i++)
    add_row (self, ghosts->pdata[i]);
  question = g_strdup_printf (ngettext ("%u mark from before: still there or gone?",
                                        "%u marks from before: still there or gone?", n_ghosts),
                              n_ghosts);
  gtk_label_set_label (GTK_LABEL (self->question), question);
  gtk_widget_set_visible (self->all, n_ghosts > 1);
  restore_focus (self, had_focus);
}

static void
rake_marks_before_dispose (GObject *object)
{
  g_clear_object (&RAKE_MARKS_BEFORE (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_MARKS_BEFORE);
  G_OBJECT_CLASS (rake_marks_before_parent_class)->dispose (object);
}

static void
rake_marks_before_class_init (RakeMarksBeforeClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_marks_before_dispose;
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "marksbefore");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "marks-before.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeMarksBefore, content);
  gtk_widget_class_bind_template_child (widget_class, RakeMarksBefore, question);
  gtk_widget_class_bind_template_child (widget_class, RakeMarksBefore, rows);
  gtk_widget_class_bind_template_child (widget_class, RakeMarksBefore, all);
  gtk_widget_class_install_action (widget_class, "marks.all-still-there", NULL, all_still_there);
  gtk_widget_class_install_action (widget_class, "marks.all-gone", NULL, all_gone);
}

static void
rake_marks_before_init (RakeMarksBefore *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

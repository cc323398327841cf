/* brush-bar.c - what is in the hand. */
#include "brush-bar.h"
#include "picture.h"

#include <adwaita.h>
#include "words.h"

#define PICTURE_WIDTH_PX 62
#define PICTURE_HEIGHT_PX 26
#define N_OTHER_COLUMNS 3

struct _RakeBrushBar
{
  RakeSessionView parent_instance;

  GtkWidget *content, *brushes, *more, *more_content, *more_dots, *more_picture, *more_label;
  GtkWidget *more_grid;
  GtkWidget *uniform_label;
};

G_DEFINE_FINAL_TYPE (RakeBrushBar, rake_brush_bar, RAKE_TYPE_SESSION_VIEW)

/* --- brushes --------------------------------------------------------------------------------- */

/* Short enough to stand under a picture at arm's length; the full words are the logbook's. */
static const char *const brush_labels[RAKE_N_STATE_BRUSHES] = {
  NC_ ("brush", "Low spot"), NC_ ("brush", "Even matte"),   NC_ ("brush", "Scratch"),
  NC_ ("brush", "Witness line"), NC_ ("brush", "Burn"), NC_ ("brush", "Sand-through"),
};

static GtkWidget *
new_brush (const char *word, const char *key, const char *label, GtkWidget **label_widget)
{
  RakeBench bench = { 0 };
  GtkWidget *button = gtk_toggle_button_new ();
  GtkWidget *content = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkWidget *top = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 5);
  GtkWidget *picture = rake_picture_new (PICTURE_WIDTH_PX, PICTURE_HEIGHT_PX);
  GtkWidget *name = gtk_label_new (label);

  rake_brush_take (&bench, word);
  if (bench.brush_is_uniform)
    rake_picture_show_state (RAKE_PICTURE (picture), RAKE_STATE_UNIFORM);
  else
    rake_picture_show_mark (RAKE_PICTURE (picture), bench.brush);
  gtk_label_set_ellipsize (GTK_LABEL (name), PANGO_ELLIPSIZE_END);
  gtk_widget_set_halign (picture, GTK_ALIGN_CENTER);
  gtk_widget_set_halign (top, GTK_ALIGN_CENTER);
  gtk_widget_set_valign (content, GTK_ALIGN_CENTER);
  /* The key stands beside the picture: the name has the whole width, which long words need. */
  gtk_box_append (GTK_BOX (top), picture);
  if (key)
    {
      GtkWidget *number = gtk_label_new (key);
      gtk_widget_add_css_class (number, "soft");
      gtk_widget_add_css_class (number, "numbers");
      gtk_widget_set_valign (number, GTK_ALIGN_START);
      gtk_box_prepend (GTK_BOX (top), number);
    }
  gtk_box_append (GTK_BOX (content), top);
  gtk_box_append (GTK_BOX (content), name);
  gtk_button_set_child (GTK_BUTTON (button), content);
  gtk_widget_add_css_class (button, "brush");
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", word);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "win.brush");
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  -1);
  if (label_widget)
    *label_widget = name;
  return button;
}

static void
add_state_brushes (RakeBrushBar *self)
{
  for (guint i = 0; i < RAKE_N_STATE_BRUSHES; i++)
    {
      const char key[2] = { (char) ('1' + i), '\0' };
      const char *label = g_dpgettext2 (GETTEXT_PACKAGE, "brush", brush_labels[i]);
      const char *word = rake_brush_get_word (i);
      gboolean is_uniform = g_strcmp0 (word, "uniform") == 0;
      GtkWidget *button = new_brush (word, key, label, is_uniform ? &self->uniform_label : NULL);

      gtk_widget_set_hexpand (button, TRUE);
      gtk_box_insert_child_after (GTK_BOX (self->brushes), button,
                                  gtk_widget_get_prev_sibling (self->more));
    }
}

static void
add_other_brushes (RakeBrushBar *self)
{
  const char *word;

  for (guint i = RAKE_N_STATE_BRUSHES; (word = rake_brush_get_word (i)); i++)
    {
      guint cell = i - RAKE_N_STATE_BRUSHES;
      RakeBench bench = { 0 };
      GtkWidget *button;

      rake_brush_take (&bench, word);
      button = new_brush (word, NULL, _ (rake_mark_kind_get_label (bench.brush)), NULL);
      gtk_widget_set_focus_on_click (button, TRUE);
      g_signal_connect_swapped (button, "clicked", G_CALLBACK (gtk_menu_button_popdown),
                                self->more);
      gtk_grid_attach (GTK_GRID (self->more_grid), button, (int) (cell % N_OTHER_COLUMNS),
                       (int) (cell / N_OTHER_COLUMNS), 1, 1);
    }
}

void
rake_brush_bar_show_more (RakeBrushBar *self)
{
  gtk_menu_button_popup (GTK_MENU_BUTTON (self->more));
}

/* "More" has the word and the picture of the fault in hand, so that one sees what a tap would mark. */
static void
show_brush (RakeBrushBar *self, const RakeBench *bench)
{
  gboolean is_other = bench->brush > RAKE_MARK_SAND_THROUGH;
  const char *word = is_other ? _ (rake_mark_kind_get_label (bench->brush)) : _ ("More");
  g_autofree char *name =
      /* Translators: the button of the other faults, and the one of them that is in hand. */
      is_other ? g_strdup_printf (_ ("Other faults: %s"), word) : g_strdup (_ ("Other faults"));

  gtk_label_set_label (GTK_LABEL (self->more_label), word);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->more), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  -1);
  gtk_widget_set_visible (self->more_dots, !is_other);
  gtk_widget_set_visible (self->more_picture, is_other);
  if (is_other)
    rake_picture_show_mark (RAKE_PICTURE (self->more_picture), bench->brush);
  if (is_other)
    gtk_widget_add_css_class (self->more, "in-hand");
  else
    gtk_widget_remove_css_class (self->more, "in-hand");
}

/* What is even about an even surface depends on the stage: dull while it is sanded, shining after
 * the wheel. */
static void
show_stage (RakeBrushBar *self, RakeSession *session)
{
  const RakeZone *zone = rake_session_get_zone (session);
  gboolean is_gloss =
      zone && zone->stage &&
      (zone->stage->action == RAKE_ACTION_BUFF || zone->stage->action == RAKE_ACTION_REST);

  gtk_label_set_label (GTK_LABEL (self->uniform_label),
                       is_gloss ? C_ ("brush", "Even gloss") : C_ ("brush", "Even matte"));
}

static void
rake_brush_bar_show (RakeSessionView *view, RakeShow what)
{
  RakeBrushBar *self = RAKE_BRUSH_BAR (view);
  RakeSession *session = rake_session_view_get_session (view);

  gtk_widget_set_sensitive (GTK_WIDGET (self), session != NULL);
  if (!session)
    return;
  if (what == RAKE_SHOW_SESSION || what == RAKE_SHOW_BENCH)
    show_brush (self, rake_session_get_bench (session));
  if (what != RAKE_SHOW_BENCH)
    show_stage (self, session);
}

static void
rake_brush_bar_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_BRUSH_BAR);
  G_OBJECT_CLASS (rake_brush_bar_parent_class)->dispose (object);
}

static void
rake_brush_bar_class_init (RakeBrushBarClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_brush_bar_dispose;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_brush_bar_show;
  gtk_widget_class_set_css_name (widget_class, "brushbar");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "brush-bar.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, content);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, brushes);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, more);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, more_content);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, more_dots);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, more_label);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, more_grid);
}

static void
rake_brush_bar_init (RakeBrushBar *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  self->more_picture = rake_picture_new (PICTURE_WIDTH_PX, PICTURE_HEIGHT_PX);
  gtk_widget_set_visible (self->more_picture, FALSE);
  gtk_box_prepend (GTK_BOX (self->more_content), self->more_picture);
  add_state_brushes (self);
  add_other_brushes (self);
}

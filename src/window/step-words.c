/* step-words.c - two lines of words of which only the second is left where the width is small. */
#include "step-words.h"

struct _RakeStepWords
{
  GtkWidget parent_instance;

  GtkWidget *upper, *lower;
  gboolean has_upper, keeps_all;
};

G_DEFINE_FINAL_TYPE (RakeStepWords, rake_step_words, GTK_TYPE_WIDGET)

static int
get_size (GtkWidget *label, GtkOrientation orientation)
{
  int natural_px;

  gtk_widget_measure (label, orientation, -1, NULL, &natural_px, NULL, NULL);
  return natural_px;
}

static gboolean
has_room_for_upper (RakeStepWords *self, int width_px)
{
  return self->has_upper && (width_px < 0 || self->keeps_all ||
                             width_px >= get_size (self->upper, GTK_ORIENTATION_HORIZONTAL));
}

/* The height is that of two lines in any case, so that all steps of a row stand alike. */
static void
rake_step_words_measure (GtkWidget *widget, GtkOrientation orientation, int for_size_px,
                         int *minimum_px, int *natural_px, int *minimum_baseline,
                         int *natural_baseline)
{
  RakeStepWords *self = RAKE_STEP_WORDS (widget);
  int upper_px = get_size (self->upper, orientation);
  int lower_px = get_size (self->lower, orientation);

  if (orientation == GTK_ORIENTATION_VERTICAL)
    {
      *minimum_px = *natural_px = upper_px + lower_px;
      return;
    }
  *natural_px = self->has_upper ? MAX (upper_px, lower_px) : lower_px;
  *minimum_px = self->keeps_all ? *natural_px : lower_px;
}

static void
rake_step_words_allocate (GtkWidget *widget, int width_px, int height_px, int baseline)
{
  RakeStepWords *self = RAKE_STEP_WORDS (widget);
  gboolean has_upper = has_room_for_upper (self, width_px);
  int upper_px = get_size (self->upper, GTK_ORIENTATION_VERTICAL);
  int lower_px = get_size (self->lower, GTK_ORIENTATION_VERTICAL);
  int y_px = (height_px - lower_px - (has_upper ? upper_px : 0)) / 2;

  gtk_widget_set_child_visible (self->upper, has_upper);
  if (has_upper)
    {
      gtk_widget_size_allocate (self->upper, &(GtkAllocation){ 0, y_px, width_px, upper_px }, -1);
      y_px += upper_px;
    }
  gtk_widget_size_allocate (self->lower, &(GtkAllocation){ 0, y_px, width_px, lower_px }, -1);
}

void
rake_step_words_show (RakeStepWords *self, const char *upper, const char *lower, gboolean keeps_all)
{
  self->has_upper = upper != NULL;
  self->keeps_all = keeps_all;
  gtk_label_set_label (GTK_LABEL (self->upper), upper ? upper : " ");
  gtk_label_set_label (GTK_LABEL (self->lower), lower);
  if (upper)
    gtk_widget_remove_css_class (self->lower, "alone");
  else
    gtk_widget_add_css_class (self->lower, "alone");
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

static void
rake_step_words_dispose (GObject *object)
{
  RakeStepWords *self = RAKE_STEP_WORDS (object);

  g_clear_pointer (&self->upper, gtk_widget_unparent);
  g_clear_pointer (&self->lower, gtk_widget_unparent);
  G_OBJECT_CLASS (rake_step_words_parent_class)->dispose (object);
}

static void
rake_step_words_class_init (RakeStepWordsClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_step_words_dispose;
  widget_class->measure = rake_step_words_measure;
  widget_class->size_allocate = rake_step_words_allocate;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static GtkWidget *
add_label (RakeStepWords *self, const char *style_class)
{
  GtkWidget *label = g_object_new (GTK_TYPE_LABEL, "xalign", 0.0f, NULL);

  gtk_widget_add_css_class (label, style_class);
  gtk_widget_set_parent (label, GTK_WIDGET (self));
  return label;
}

static void
rake_step_words_init (RakeStepWords *self)
{
  self->upper = add_label (self, "step-action");
  self->lower = add_label (self, "step-grade");
}

/* photo-under-chip.c - which photograph lies under the map, and how strongly it shows. */
#include "photo-under-chip.h"

#include "bench-chip.h"
#include "photo-under.h"
#include "say.h"

#include "words.h"

#define LIST_PX 240 /* of a longer list the rest is scrolled to */

struct _RakePhotoUnderChip
{
  RakeSessionView parent_instance;

  GtkWidget *chip, *popover, *list, *scale;
  GArray *photos; /* RakeId: what the list offers, after "None" */
  RakePhotoUnder *under; /* the session's; NULL: no session */
  gboolean is_filling;
};

G_DEFINE_FINAL_TYPE (RakePhotoUnderChip, rake_photo_under_chip, RAKE_TYPE_SESSION_VIEW)

/* --- the list -------------------------------------------------------------------------------------- */

static void
photo_chosen (GtkCheckButton *button, RakePhotoUnderChip *self)
{
  guint index = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "index"));

  if (self->is_filling || !gtk_check_button_get_active (button) || !self->under)
    return;
  rake_photo_under_choose (
      self->under, index == 0 ? RAKE_ID_NIL : g_array_index (self->photos, RakeId, index - 1));
}

static GtkWidget *
add_choice (RakePhotoUnderChip *self, GtkWidget *first, const char *words)
{
  GtkWidget *button = gtk_check_button_new_with_label (words);
  guint index = first ? self->photos->len : 0;

  gtk_widget_set_size_request (button, -1, 44);
  gtk_check_button_set_group (GTK_CHECK_BUTTON (button), GTK_CHECK_BUTTON (first));
  g_object_set_data (G_OBJECT (button), "index", GUINT_TO_POINTER (index));
  g_signal_connect (button, "toggled", G_CALLBACK (photo_chosen), self);
  gtk_box_append (GTK_BOX (self->list), button);
  return button;
}

static gboolean
is_list_the_same (RakePhotoUnderChip *self, const GPtrArray *photos)
{
  if (photos->len != self->photos->len)
    return FALSE;
  for (guint i = 0; i < photos->len; i++)
    if (!rake_id_equal (((const RakePhoto *) photos->pdata[i])->id,
                        g_array_index (self->photos, RakeId, i)))
      return FALSE;
  return TRUE;
}

static void
fill_list (RakePhotoUnderChip *self, const RakeJob *job, const GPtrArray *photos)
{
  GtkWidget *child, *none;

  while ((child = gtk_widget_get_first_child (self->list)))
    gtk_box_remove (GTK_BOX (self->list), child);
  g_array_set_size (self->photos, 0);
  none = add_choice (self, NULL, C_ ("photograph", "None"));
  for (guint i = 0; i < photos->len; i++)
    {
      const RakePhoto *photo = photos->pdata[i];
      g_autofree char *words = rake_say_photo (job, photo, rake_session_now_ms ());

      g_array_append_val (self->photos, photo->id);
      add_choice (self, none, words);
    }
}

static void
tick_chosen (RakePhotoUnderChip *self, const RakePhoto *chosen)
{
  GtkWidget *button = gtk_widget_get_first_child (self->list);
  gboolean is_none = !chosen;

  for (guint i = 0; button; i++, button = gtk_widget_get_next_sibling (button))
    if (i == 0
            ? is_none
            : !is_none && rake_id_equal (chosen->id, g_array_index (self->photos, RakeId, i - 1)))
      gtk_check_button_set_active (GTK_CHECK_BUTTON (button), TRUE);
}

/* --- showing ----------------------------------------------------------------------------------------- */

static void
show_under (RakePhotoUnderChip *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  g_autoptr (GPtrArray) photos = rake_photo_under_list (self->under);
  const RakePhoto *photo = rake_photo_under_get_photo (self->under);
  g_autofree char *when = photo ? rake_say_when (photo->entry, rake_session_now_ms ()) : NULL;

  self->is_filling = TRUE;
  if (!is_list_the_same (self, photos))
    fill_list (self, rake_session_get_job (session), photos);
  tick_chosen (self, photo);
  gtk_range_set_value (GTK_RANGE (self->scale), 100 * rake_photo_under_get_opacity (self->under));
  self->is_filling = FALSE;
  gtk_widget_set_sensitive (self->scale, photo != NULL);
  rake_bench_chip_show (RAKE_BENCH_CHIP (self->chip), photo ? when : C_ ("photograph", "None"));
  gtk_widget_set_visible (GTK_WIDGET (self), photos->len > 0);
}

static void
follow (RakePhotoUnderChip *self, RakeSession *session)
{
  RakePhotoUnder *under = session ? rake_photo_under_get (session) : NULL;

  if (self->under)
    g_signal_handlers_disconnect_by_data (self->under, self);
  g_set_object (&self->under, under);
  if (self->under)
    g_signal_connect_swapped (self->under, "changed", G_CALLBACK (show_under), self);
}

static void
rake_photo_under_chip_show (RakeSessionView *view, RakeShow what)
{
  RakePhotoUnderChip *self = RAKE_PHOTO_UNDER_CHIP (view);

  if (what == RAKE_SHOW_SESSION)
    {
      gtk_popover_popdown (GTK_POPOVER (self->popover));
      follow (self, rake_session_view_get_session (self));
    }
  if (!self->under)
    gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  else if (what != RAKE_SHOW_BENCH && what != RAKE_SHOW_THEME)
    show_under (self);
}

static void
scale_moved (RakePhotoUnderChip *self)
{
  if (!self->is_filling && self->under)
    rake_photo_under_set_opacity (self->under, gtk_range_get_value (GTK_RANGE (self->scale)) / 100);
}

static void
ask (GtkWidget *widget, const char *name, GVariant *parameter)
{
  gtk_popover_popup (GTK_POPOVER (RAKE_PHOTO_UNDER_CHIP (widget)->popover));
}

/* --- class ------------------------------------------------------------------------------------------- */

static void
rake_photo_under_chip_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  RakePhotoUnderChip *self = RAKE_PHOTO_UNDER_CHIP (widget);

  gtk_widget_allocate (self->chip, width, height, baseline, NULL);
  gtk_popover_present (GTK_POPOVER (self->popover));
}

static void
rake_photo_under_chip_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                               int *minimum, int *natural, int *minimum_baseline,
                               int *natural_baseline)
{
  gtk_widget_measure (RAKE_PHOTO_UNDER_CHIP (widget)->chip, orientation, for_size, minimum, natural,
                      minimum_baseline, natural_baseline);
}

static void
rake_photo_under_chip_dispose (GObject *object)
{
  RakePhotoUnderChip *self = RAKE_PHOTO_UNDER_CHIP (object);

  follow (self, NULL);
  g_clear_pointer (&self->popover, gtk_widget_unparent);
  g_clear_pointer (&self->chip, gtk_widget_unparent);
  G_OBJECT_CLASS (rake_photo_under_chip_parent_class)->dispose (object);
}

static void
rake_photo_under_chip_finalize (GObject *object)
{
  g_array_unref (RAKE_PHOTO_UNDER_CHIP (object)->photos);
  G_OBJECT_CLASS (rake_photo_under_chip_parent_class)->finalize (object);
}

static void
rake_photo_under_chip_class_init (RakePhotoUnderChipClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_photo_under_chip_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_photo_under_chip_finalize;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_photo_under_chip_show;
  widget_class->measure = rake_photo_under_chip_measure;
  widget_class->size_allocate = rake_photo_under_chip_size_allocate;
  gtk_widget_class_install_action (widget_class, "under.ask", NULL, ask);
}

static GtkWidget *
new_section (const char *words)
{
  GtkWidget *label = gtk_label_new (words);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "section-heading");
  return label;
}

static GtkWidget *
new_content (RakePhotoUnderChip *self)
{
  GtkWidget *content = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  GtkWidget *scroller = gtk_scrolled_window_new ();

  self->list = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), self->list);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER,
                                  GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_propagate_natural_height (GTK_SCROLLED_WINDOW (scroller), TRUE);
  gtk_scrolled_window_set_max_content_height (GTK_SCROLLED_WINDOW (scroller), LIST_PX);
  self->scale = gtk_scale_new_with_range (GTK_ORIENTATION_HORIZONTAL, 0, 100, 5);
  gtk_widget_set_size_request (self->scale, 220, 44);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->scale), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("How strongly the photograph shows under the map"), -1);
  g_signal_connect_swapped (self->scale, "value-changed", G_CALLBACK (scale_moved), self);
  gtk_box_append (GTK_BOX (content), new_section (_ ("Photograph under the map")));
  gtk_box_append (GTK_BOX (content), scroller);
  gtk_box_append (GTK_BOX (content), new_section (_ ("How strongly it shows")));
  gtk_box_append (GTK_BOX (content), self->scale);
  return content;
}

static void
rake_photo_under_chip_init (RakePhotoUnderChip *self)
{
  self->photos = g_array_new (FALSE, FALSE, sizeof (RakeId));
  self->chip = GTK_WIDGET (rake_bench_chip_new_asking ("under.ask", C_ ("bench", "Photograph")));
  gtk_widget_set_parent (self->chip, GTK_WIDGET (self));
  self->popover = gtk_popover_new ();
  gtk_popover_set_position (GTK_POPOVER (self->popover), GTK_POS_LEFT);
  gtk_popover_set_child (GTK_POPOVER (self->popover), new_content (self));
  gtk_widget_set_parent (self->popover, GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

RakePhotoUnderChip *
rake_photo_under_chip_new (void)
{
  return g_object_new (RAKE_TYPE_PHOTO_UNDER_CHIP, NULL);
}

/* compare-strip.c - photographs in a row. */
#include "compare-strip.h"

#include "photo-desk.h"
#include "photo-work.h"
#include "say.h"

#include "words.h"

#define PICTURE_PX 420

struct _RakeCompareStrip
{
  GtkWidget parent_instance;

  GtkWidget *scroller, *row;
  RakeSession *session;
  GArray *photos;      /* RakeId */
  GPtrArray *pictures; /* GtkPicture, of @row */
  guint n_read;        /* so many are shown, or failed */
  gboolean are_laid;
  GCancellable *reading;
};

G_DEFINE_FINAL_TYPE (RakeCompareStrip, rake_compare_strip, GTK_TYPE_WIDGET)

static void read_next (RakeCompareStrip *self);

static const RakePhoto *
find_photo (RakeCompareStrip *self, guint index)
{
  return rake_job_find_photo (rake_session_get_live_job (self->session),
                              g_array_index (self->photos, RakeId, index));
}

/* --- reading, one after the other ------------------------------------------------------------------ */

static void
take_texture (RakeCompareStrip *self, GdkTexture *texture)
{
  g_clear_object (&self->reading);
  gtk_picture_set_paintable (self->pictures->pdata[self->n_read], GDK_PAINTABLE (texture));
  self->n_read++;
  read_next (self);
}

static void
take_laid (GdkTexture *texture, double x_mm, double y_mm, double px_per_mm, const GError *error,
           gpointer data)
{
  take_texture (data, texture);
}

static void
take_upright (GdkTexture *texture, const GError *error, gpointer data)
{
  take_texture (data, texture);
}

static void
read_next (RakeCompareStrip *self)
{
  const RakePhoto *photo;

  if (self->reading || !self->session || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    return;
  for (; self->n_read < self->photos->len; self->n_read++)
    {
      photo = find_photo (self, self->n_read);
      if (!photo || photo->withdrawal)
        continue;
      self->reading = g_cancellable_new ();
      if (self->are_laid && photo->registration && photo->face)
        rake_photo_work_lay (self->session, photo, 2 * PICTURE_PX, self->reading, take_laid, self);
      else
        rake_photo_desk_load (rake_photo_desk_get (self->session), photo, RAKE_PHOTO_COPY_WORKING,
                              self->reading, take_upright, self);
      return;
    }
}

/* --- the row ---------------------------------------------------------------------------------------- */

static GtkWidget *
new_card (RakeCompareStrip *self, const RakePhoto *photo)
{
  const RakeStage *stage =
      rake_job_find_stage (rake_session_get_live_job (self->session), photo->placed->photo.stage);
  g_autofree char *when = rake_say_when (photo->entry, rake_session_now_ms ());
  g_autofree char *where = stage ? rake_say_stage (stage) : g_strdup ("");
  g_autofree char *words = g_strdup_printf ("%s\n%s", when, where);
  GtkWidget *card = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkWidget *picture = gtk_picture_new (), *label = gtk_label_new (words);

  gtk_picture_set_can_shrink (GTK_PICTURE (picture), TRUE);
  gtk_picture_set_alternative_text (GTK_PICTURE (picture), words);
  gtk_widget_set_size_request (picture, PICTURE_PX, -1);
  gtk_widget_set_vexpand (picture, TRUE);
  gtk_widget_add_css_class (label, "numbers");
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_box_append (GTK_BOX (card), picture);
  gtk_box_append (GTK_BOX (card), label);
  g_ptr_array_add (self->pictures, picture);
  return card;
}

static gboolean
are_all_laid (RakeCompareStrip *self)
{
  for (guint i = 0; i < self->photos->len; i++)
    {
      const RakePhoto *photo = find_photo (self, i);
      if (photo && (!photo->registration || !photo->face))
        return FALSE;
    }
  return TRUE;
}

static void
clear (RakeCompareStrip *self)
{
  GtkWidget *child;

  if (self->reading)
    g_cancellable_cancel (self->reading);
  g_clear_object (&self->reading);
  while (self->row && (child = gtk_widget_get_first_child (self->row)))
    gtk_box_remove (GTK_BOX (self->row), child);
  g_ptr_array_set_size (self->pictures, 0);
  g_array_set_size (self->photos, 0);
  self->n_read = 0;
}

void
rake_compare_strip_show (RakeCompareStrip *self, RakeSession *session, const GArray *photos)
{
  clear (self);
  g_set_object (&self->session, session);
  if (!session || !photos || photos->len == 0)
    return;
  g_array_append_vals (self->photos, photos->data, photos->len);
  self->are_laid = are_all_laid (self);
  for (guint i = 0; i < photos->len; i++)
    gtk_box_append (GTK_BOX (self->row), new_card (self, find_photo (self, i)));
  read_next (self);
}

/* --- class ------------------------------------------------------------------------------------------ */

static void
rake_compare_strip_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_compare_strip_parent_class)->map (widget);
  read_next (RAKE_COMPARE_STRIP (widget));
}

static void
rake_compare_strip_dispose (GObject *object)
{
  RakeCompareStrip *self = RAKE_COMPARE_STRIP (object);

  if (self->scroller)
    clear (self);
  self->row = NULL;
  g_clear_pointer (&self->scroller, gtk_widget_unparent);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (rake_compare_strip_parent_class)->dispose (object);
}

static void
rake_compare_strip_finalize (GObject *object)
{
  RakeCompareStrip *self = RAKE_COMPARE_STRIP (object);

  g_clear_pointer (&self->photos, g_array_unref);
  g_clear_pointer (&self->pictures, g_ptr_array_unref);
  G_OBJECT_CLASS (rake_compare_strip_parent_class)->finalize (object);
}

static void
rake_compare_strip_class_init (RakeCompareStripClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_compare_strip_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_compare_strip_finalize;
  widget_class->map = rake_compare_strip_map;
  gtk_widget_class_set_css_name (widget_class, "comparestrip");
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static void
rake_compare_strip_init (RakeCompareStrip *self)
{
  self->photos = g_array_new (FALSE, FALSE, sizeof (RakeId));
  self->pictures = g_ptr_array_new ();
  self->scroller = gtk_scrolled_window_new ();
  self->row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  gtk_widget_set_margin_start (self->row, 16);
  gtk_widget_set_margin_end (self->row, 16);
  gtk_widget_set_margin_top (self->row, 12);
  gtk_widget_set_margin_bottom (self->row, 16);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scroller), GTK_POLICY_AUTOMATIC,
                                  GTK_POLICY_NEVER);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), self->row);
  gtk_widget_set_parent (self->scroller, GTK_WIDGET (self));
}

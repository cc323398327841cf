/* photo-section.c - the photographs of the zone in the slip. */
#include "photo-section.h"
#include "photo-thumb.h"
#include "say.h"
#include "stamp.h"
#include "wrap-layout.h"

#include <rakelight/photo.h>

#include "words.h"

#define THUMB_PX 76
#define MOST_SHOWN 6

struct _RakePhotoSection
{
  GtkWidget parent_instance;

  GtkWidget *heading, *thumbs;
  guint64 stamp; /* of what is shown */
};

G_DEFINE_FINAL_TYPE (RakePhotoSection, rake_photo_section, GTK_TYPE_WIDGET)

static void
add_thumb (RakePhotoSection *self, RakeSession *session, const RakePhoto *photo)
{
  GtkWidget *button = gtk_button_new (), *thumb = rake_photo_thumb_new (THUMB_PX);
  const RakeStage *stage =
      rake_job_find_stage (rake_session_get_job (session), photo->placed->photo.stage);
  g_autofree char *when = rake_say_when (photo->entry, rake_session_now_ms ());
  /* Translators: a stage and when a photograph was taken: "Photograph, P800, Tue 09:41". */
  g_autofree char *name =
      stage ? g_strdup_printf (_ ("Photograph, %s, %s"), rake_say_grade (stage), when)
            : g_strdup_printf (_ ("Photograph, %s"), when);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (photo->id, id);
  rake_photo_thumb_show (RAKE_PHOTO_THUMB (thumb), session, photo->id);
  gtk_button_set_child (GTK_BUTTON (button), thumb);
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_widget_add_css_class (button, "photo-button");
  gtk_widget_set_tooltip_text (button, name);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "win.show-photo");
  gtk_actionable_set_action_target_value (GTK_ACTIONABLE (button), g_variant_new_string (id));
  gtk_box_append (GTK_BOX (self->thumbs), button);
}

static guint64
stamp_of (RakeSession *session, const GPtrArray *photos)
{
  guint64 stamp = rake_stamp_mix_pointer (RAKE_STAMP_START, session);

  for (guint i = 0; i < photos->len; i++)
    {
      const RakePhoto *photo = photos->pdata[i];
      stamp = rake_stamp_mix_pointer (stamp, photo->entry);
      stamp = rake_stamp_mix_pointer (stamp, photo->placed);
      stamp = rake_stamp_mix_pointer (stamp, photo->withdrawal);
    }
  return stamp;
}

static void
fill (RakePhotoSection *self, RakeSession *session, const GPtrArray *photos)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->thumbs)))
    gtk_box_remove (GTK_BOX (self->thumbs), child);
  for (guint i = 0; i < MIN (photos->len, MOST_SHOWN); i++)
    add_thumb (self, session, photos->pdata[i]);
}

void
rake_photo_section_show (RakePhotoSection *self, RakeSession *session, const RakeZone *zone)
{
  g_autoptr (GPtrArray) photos =
      zone ? rake_job_list_photos (rake_session_get_job (session), zone->id) : g_ptr_array_new ();
  guint64 stamp = stamp_of (session, photos);
  /* Translators: the heading of a list and how many are in it: "Photographs 3". */
  g_autofree char *heading =
      g_strdup_printf (C_ ("section", "%s  %u"), _ ("Photographs"), photos->len);

  gtk_widget_set_visible (GTK_WIDGET (self), photos->len > 0);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  if (stamp != self->stamp)
    fill (self, session, photos);
  self->stamp = stamp;
}

static void
rake_photo_section_dispose (GObject *object)
{
  RakePhotoSection *self = RAKE_PHOTO_SECTION (object);

  g_clear_pointer (&self->heading, gtk_widget_unparent);
  g_clear_pointer (&self->thumbs, gtk_widget_unparent);
  G_OBJECT_CLASS (rake_photo_section_parent_class)->dispose (object);
}

static void
rake_photo_section_class_init (RakePhotoSectionClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_photo_section_dispose;
  gtk_widget_class_set_css_name (widget_class, "photosection");
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
rake_photo_section_init (RakePhotoSection *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));

  gtk_orientable_set_orientation (GTK_ORIENTABLE (layout), GTK_ORIENTATION_VERTICAL);
  gtk_box_layout_set_spacing (GTK_BOX_LAYOUT (layout), 6);
  self->heading = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->heading), 0);
  gtk_widget_add_css_class (self->heading, "section-heading");
  gtk_widget_set_parent (self->heading, GTK_WIDGET (self));
  self->thumbs = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  gtk_widget_set_layout_manager (self->thumbs, rake_wrap_layout_new (6));
  gtk_widget_set_parent (self->thumbs, GTK_WIDGET (self));
}

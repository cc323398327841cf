/* photo-slip.c - what is known of one photograph, beside it. Saving its file is photo-save.c, taking it
 * out of the job is asked in dialogs.c. */
#include "photo-slip.h"
#include "dialogs.h"
#include "photo-desk.h"
#include "photo-form.h"
#include "photo-save.h"
#include "say.h"

#include "words.h"

struct _RakePhotoSlip
{
  GtkWidget parent_instance;

  GtkWidget *content, *name, *facts, *gone, *location, *form;
  RakeSession *session; /* not owned; as given with the photograph */
  RakeId photo;
  GCancellable *asking; /* whether the picture tells where it was taken */
};

G_DEFINE_FINAL_TYPE (RakePhotoSlip, rake_photo_slip, GTK_TYPE_WIDGET)

/* --- what it says ------------------------------------------------------------------------------------ */

static const char *
say_whose_clock (RakeTimeFrom from)
{
  switch (from)
    {
    case RAKE_TIME_FROM_EXIF:
      return _ ("by the camera's clock");
    case RAKE_TIME_FROM_FILE:
      return _ ("by the file's date");
    case RAKE_TIME_FROM_SAID:
      return _ ("as it was said");
    default:
      return _ ("when it was added");
    }
}

static char *
say_facts (const RakePhoto *photo)
{
  const RakePhotoBody *body = &photo->entry->photo;
  g_autofree char *when = rake_say_when (photo->entry, rake_session_now_ms ());
  g_autofree char *size = g_format_size ((guint64) body->n_bytes);
  double width, height;

  rake_turn_size (rake_photo_get_turn (body), body->width_px, body->height_px, &width, &height);
  /* Translators: when a photograph was taken and by which clock, its pixels, its size in the file. */
  return g_strdup_printf (_ ("%s %s\n%.0f × %.0f pixels, %s"), when,
                          say_whose_clock (body->time_from), width, height, size);
}

/* Why there is no picture; NULL when there is one, as far as the logbook knows. */
static char *
say_gone (const RakePhoto *photo)
{
  g_autofree char *when = NULL;

  if (!photo->withdrawal)
    return NULL;
  when = rake_say_when (photo->withdrawal, rake_session_now_ms ());
  /* Translators: when a photograph was taken out of the job, and why. */
  return g_strdup_printf (_ ("Withdrawn %s: %s"), when, photo->withdrawal->withdrawal.reason);
}

static void
on_original (GBytes *original, gboolean has_location, const GError *error, gpointer user_data)
{
  RakePhotoSlip *self = user_data;

  g_clear_object (&self->asking);
  gtk_widget_set_visible (self->location, has_location);
  if (!error)
    return;
  gtk_label_set_label (GTK_LABEL (self->gone), error->message);
  gtk_widget_set_visible (self->gone, TRUE);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "photo.save", FALSE);
}

static void
stop_asking (RakePhotoSlip *self)
{
  if (self->asking)
    g_cancellable_cancel (self->asking);
  g_clear_object (&self->asking);
}

static void
ask_for_location (RakePhotoSlip *self, const RakePhoto *photo)
{
  gtk_widget_set_visible (self->location, FALSE);
  stop_asking (self);
  if (photo->withdrawal)
    return;
  self->asking = g_cancellable_new ();
  rake_photo_desk_read_original (rake_photo_desk_get (self->session), photo, self->asking,
                                 on_original, self);
}

static void
show_photo (RakePhotoSlip *self, const RakePhoto *photo, gboolean is_another)
{
  g_autofree char *facts = say_facts (photo), *gone = say_gone (photo);
  const char *name = photo->entry->photo.name;
  gboolean writes =
      !rake_session_is_read_only (self->session) && !rake_session_is_in_the_past (self->session);

  gtk_label_set_label (GTK_LABEL (self->name), name ? name : _ ("A picture without a name"));
  gtk_label_set_label (GTK_LABEL (self->facts), facts);
  if (is_another || gone)
    {
      gtk_label_set_label (GTK_LABEL (self->gone), gone ? gone : "");
      gtk_widget_set_visible (self->gone, gone != NULL);
      gtk_widget_action_set_enabled (GTK_WIDGET (self), "photo.save", !gone);
      ask_for_location (self, photo);
    }
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "photo.withdraw", writes && !gone);
}

void
rake_photo_slip_show (RakePhotoSlip *self, RakeSession *session, RakeId id)
{
  const RakePhoto *photo =
      session ? rake_job_find_photo (rake_session_get_job (session), id) : NULL;
  gboolean is_another =
      !photo || self->session != session || !rake_id_equal (photo->id, self->photo);

  self->session = photo ? session : NULL;
  self->photo = photo ? photo->id : RAKE_ID_NIL;
  gtk_widget_set_visible (self->content, photo != NULL);
  rake_photo_form_show (RAKE_PHOTO_FORM (self->form), session, self->photo);
  if (photo)
    show_photo (self, photo, is_another);
  else
    stop_asking (self);
}

/* --- what can be done --------------------------------------------------------------------------------- */

static void
save (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePhotoSlip *self = RAKE_PHOTO_SLIP (widget);
  GtkRoot *root = gtk_widget_get_root (widget);

  if (self->session && GTK_IS_WINDOW (root))
    rake_photo_save (GTK_WINDOW (root), self->session, self->photo,
                     gtk_widget_get_visible (self->location));
}

static void
withdraw (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePhotoSlip *self = RAKE_PHOTO_SLIP (widget);
  GtkRoot *root = gtk_widget_get_root (widget);

  if (self->session && GTK_IS_WINDOW (root))
    rake_dialogs_withdraw_photo (GTK_WINDOW (root), self->session, self->photo);
}

/* --- class ---------------------------------------------------------------------------------------------- */

static void
rake_photo_slip_dispose (GObject *object)
{
  RakePhotoSlip *self = RAKE_PHOTO_SLIP (object);

  stop_asking (self);
  self->session = NULL;
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_PHOTO_SLIP);
  G_OBJECT_CLASS (rake_photo_slip_parent_class)->dispose (object);
}

static void
rake_photo_slip_class_init (RakePhotoSlipClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_photo_slip_dispose;
  g_type_ensure (RAKE_TYPE_PHOTO_FORM);
  gtk_widget_class_set_css_name (widget_class, "photoslip");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "photo-slip.ui");
  gtk_widget_class_bind_template_child (widget_class, RakePhotoSlip, content);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoSlip, name);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoSlip, facts);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoSlip, gone);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoSlip, location);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoSlip, form);
  gtk_widget_class_install_action (widget_class, "photo.save", NULL, save);
  gtk_widget_class_install_action (widget_class, "photo.withdraw", NULL, withdraw);
}

static void
rake_photo_slip_init (RakePhotoSlip *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

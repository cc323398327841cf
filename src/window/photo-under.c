/* photo-under.c - the photograph that lies under the bench's map. */
#include "photo-under.h"

#include "photo-work.h"
#include "session-private.h"
#include "settings.h"
#include "stamp.h"
#include "words.h"

#include <math.h>

#define DATA "rake-photo-under"
#define GROUP "map"
#define MOST_REMEMBERED 40 /* faces; what was chosen longest ago is forgotten first */
#define OPACITY_PERCENT 70

struct _RakePhotoUnder
{
  GObject parent_instance;

  RakeSession *session; /* the owner */
  double opacity;
  guint64 stamp;        /* of what @texture is, or is going to be; 0: nothing */
  RakeId photo;         /* that one */
  GCancellable *laying;
  GdkTexture *texture;
  graphene_rect_t box_mm;
};

static guint changed_signal;

G_DEFINE_FINAL_TYPE (RakePhotoUnder, rake_photo_under, G_TYPE_OBJECT)

/* --- what is remembered ------------------------------------------------------------------------------ */

/* "FACE=PHOTO;FACE=newest", the face chosen for last first; a face that has none is not in it. */
static char **
read_choices (void)
{
  g_autofree char *text = rake_settings_get_text (GROUP, "under");

  return g_strsplit (text ? text : "", ";", MOST_REMEMBERED);
}

/* What was chosen for @face, NULL when nothing was. The caller frees it. */
static char *
get_choice (RakeId face)
{
  g_auto (GStrv) choices = read_choices ();
  char key[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (face, key);
  for (guint i = 0; choices[i]; i++)
    if (g_str_has_prefix (choices[i], key) && choices[i][RAKE_ID_TEXT_LENGTH] == '=')
      return g_strdup (choices[i] + RAKE_ID_TEXT_LENGTH + 1);
  return NULL;
}

static void
set_choice (RakeId face, const char *choice)
{
  g_auto (GStrv) choices = read_choices ();
  g_autoptr (GString) text = g_string_new (NULL);
  char key[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (face, key);
  if (choice)
    g_string_append_printf (text, "%s=%s", key, choice);
  for (guint i = 0; choices[i]; i++)
    if (*choices[i] && !g_str_has_prefix (choices[i], key))
      g_string_append_printf (text, "%s%s", text->len > 0 ? ";" : "", choices[i]);
  rake_settings_set_text (GROUP, "under", text->len > 0 ? text->str : NULL);
}

/* --- which one --------------------------------------------------------------------------------------- */

/* Also where an earlier state of the job is shown, in which it was not yet. */
static gboolean
is_withdrawn (RakePhotoUnder *self, const RakePhoto *photo)
{
  const RakePhoto *live =
      rake_job_find_photo (rake_session_get_live_job (self->session), photo->id);

  return photo->withdrawal || (live && live->withdrawal);
}

GPtrArray *
rake_photo_under_list (RakePhotoUnder *self)
{
  const RakeFace *face = rake_session_get_face (self->session);
  GPtrArray *photos = face ? rake_job_list_photos (rake_session_get_job (self->session), face->id)
                           : g_ptr_array_new ();

  for (guint i = photos->len; i-- > 0;)
    {
      const RakePhoto *photo = photos->pdata[i];

      if (is_withdrawn (self, photo) || !photo->registration || !photo->face ||
          !rake_id_equal (photo->face->id, face->id))
        g_ptr_array_remove_index (photos, i);
    }
  return photos;
}

/* One that is not there any more, or not yet, is stood in for by the one taken last. */
const RakePhoto *
rake_photo_under_get_photo (RakePhotoUnder *self)
{
  const RakeFace *face = rake_session_get_face (self->session);
  g_autofree char *choice = face ? get_choice (face->id) : NULL;
  g_autoptr (GPtrArray) photos = NULL;
  RakeId id = RAKE_ID_NIL;

  if (!choice)
    return NULL;
  photos = rake_photo_under_list (self);
  rake_id_from_text (choice, &id);
  for (guint i = 0; i < photos->len; i++)
    if (rake_id_equal (((const RakePhoto *) photos->pdata[i])->id, id))
      return photos->pdata[i];
  return photos->len > 0 ? photos->pdata[0] : NULL;
}

/* --- its picture ------------------------------------------------------------------------------------- */

static void
changed (RakePhotoUnder *self)
{
  g_signal_emit (self, changed_signal, 0);
}

/* The job that is shown may be another at every step of the timeline: only what tells them apart. */
static guint64
get_stamp (const RakePhoto *photo)
{
  RakeBounds bounds;
  guint64 stamp;

  if (!photo)
    return 0;
  bounds = rake_shape_get_bounds (photo->face->outline);
  stamp = rake_stamp_mix (RAKE_STAMP_START, rake_id_hash_key (&photo->id));
  stamp = rake_stamp_mix (stamp, rake_id_hash_key (&photo->registration->id));
  stamp = rake_stamp_mix (stamp, rake_id_hash_key (&photo->face->id));
  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, bounds.min_x_mm), bounds.min_y_mm);
  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, bounds.max_x_mm), bounds.max_y_mm);
  return rake_stamp_mix_real (stamp, rake_shape_get_area_mm2 (photo->face->outline)) | 1;
}

static void
take_laid (GdkTexture *texture, double x_mm, double y_mm, double px_per_mm, const GError *error,
           gpointer data)
{
  RakePhotoUnder *self = data;

  g_clear_object (&self->laying);
  if (!texture)
    {
      rake_session_say (self->session, "%s", error->message);
      return;
    }
  self->texture = g_object_ref (texture);
  graphene_rect_init (&self->box_mm, (float) x_mm, (float) y_mm,
                      (float) (gdk_texture_get_width (texture) / px_per_mm),
                      (float) (gdk_texture_get_height (texture) / px_per_mm));
  changed (self);
}

static void
drop_picture (RakePhotoUnder *self)
{
  if (self->laying)
    g_cancellable_cancel (self->laying);
  g_clear_object (&self->laying);
  g_clear_object (&self->texture);
}

/* Somebody may look at it just then, and have withdrawn it nowhere in this window. */
static void
say_if_withdrawn (RakePhotoUnder *self)
{
  const RakePhoto *before =
      rake_job_find_photo (rake_session_get_live_job (self->session), self->photo);

  if (before && before->withdrawal)
    rake_session_say (self->session,
                      _ ("The photograph under the map was withdrawn: its picture is gone."));
}

static void
look_again (RakePhotoUnder *self)
{
  const RakePhoto *photo = rake_photo_under_get_photo (self);
  guint64 stamp = get_stamp (photo);

  if (stamp == self->stamp)
    return;
  say_if_withdrawn (self);
  drop_picture (self);
  self->stamp = stamp;
  self->photo = photo ? photo->id : RAKE_ID_NIL;
  if (photo)
    {
      self->laying = g_cancellable_new ();
      rake_photo_work_lay (self->session, photo, RAKE_PHOTO_FLAT_PX, self->laying, take_laid, self);
    }
  changed (self);
}

GdkTexture *
rake_photo_under_peek (RakePhotoUnder *self, graphene_rect_t *box_mm)
{
  *box_mm = self->box_mm;
  return self->texture;
}

/* --- choosing ---------------------------------------------------------------------------------------- */

void
rake_photo_under_choose (RakePhotoUnder *self, RakeId photo)
{
  const RakeFace *face = rake_session_get_face (self->session);
  g_autoptr (GPtrArray) photos = rake_photo_under_list (self);
  char text[RAKE_ID_TEXT_LENGTH + 1];

  if (!face)
    return;
  rake_id_to_text (photo, text);
  if (rake_id_is_nil (photo))
    set_choice (face->id, NULL);
  else if (photos->len > 0 && rake_id_equal (((const RakePhoto *) photos->pdata[0])->id, photo))
    set_choice (face->id, "newest");
  else
    set_choice (face->id, text);
  look_again (self);
}

double
rake_photo_under_get_opacity (RakePhotoUnder *self)
{
  return self->opacity;
}

void
rake_photo_under_set_opacity (RakePhotoUnder *self, double opacity)
{
  if (!isfinite (opacity) || !(fabs (opacity - self->opacity) > 0))
    return;
  self->opacity = CLAMP (opacity, 0, 1);
  rake_settings_set_number (GROUP, "under_percent", (int) lround (100 * self->opacity));
  changed (self);
}

/* --- class ------------------------------------------------------------------------------------------- */

RakePhotoUnder *
rake_photo_under_get (RakeSession *session)
{
  RakePhotoUnder *self = g_object_get_data (G_OBJECT (session), DATA);

  if (self)
    return self;
  self = g_object_new (RAKE_TYPE_PHOTO_UNDER, NULL);
  self->session = session;
  g_object_set_data_full (G_OBJECT (session), DATA, self, g_object_unref);
  g_signal_connect_object (session, "changed", G_CALLBACK (look_again), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (session, "selected", G_CALLBACK (look_again), self, G_CONNECT_SWAPPED);
  look_again (self);
  return self;
}

static void
rake_photo_under_dispose (GObject *object)
{
  drop_picture (RAKE_PHOTO_UNDER (object));
  G_OBJECT_CLASS (rake_photo_under_parent_class)->dispose (object);
}

static void
rake_photo_under_class_init (RakePhotoUnderClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = rake_photo_under_dispose;
  changed_signal = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
}

static void
rake_photo_under_init (RakePhotoUnder *self)
{
  self->opacity =
      CLAMP (rake_settings_get_number (GROUP, "under_percent", OPACITY_PERCENT), 0, 100) / 100.0;
}

/* window-photo-actions.c - the ways to the pages that lay, read and compare photographs. */
#include "window-private.h"

#include "compare-page.h"
#include "lay-photo-page.h"
#include "photo-under.h"

#include <rakelight/photo.h>
#include "words.h"

/* The photograph meant; for "" the latest of the shown face that is to be seen, with @not_laid one that
 * is not laid yet before the others. */
static const RakePhoto *
find_photo (RakeSession *session, GVariant *parameter, gboolean not_laid)
{
  const RakeJob *job = rake_session_get_live_job (session);
  const char *text = g_variant_get_string (parameter, NULL);
  const RakeFace *face = rake_session_get_face (session);
  const RakePhoto *latest = NULL;
  g_autoptr (GPtrArray) photos = NULL;
  RakeId id;

  if (*text)
    return rake_id_from_text (text, &id) ? rake_job_find_photo (job, id) : NULL;
  photos = rake_job_list_photos (job, face ? face->id : RAKE_ID_NIL);
  for (guint i = 0; i < photos->len; i++)
    {
      const RakePhoto *photo = photos->pdata[i];

      if (photo->withdrawal)
        continue;
      if (!not_laid || !photo->registration)
        return photo;
      if (!latest)
        latest = photo;
    }
  return latest;
}

void
rake_window_lay_photo (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeWindow *self = RAKE_WINDOW (widget);
  const RakePhoto *photo = find_photo (self->session, parameter, TRUE);

  rake_lay_photo_page_open (RAKE_LAY_PHOTO_PAGE (self->lay_photo), photo ? photo->id : RAKE_ID_NIL);
  rake_window_show_page (self, "lay-photo");
}

void
rake_window_compare_photos (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeWindow *self = RAKE_WINDOW (widget);
  const RakePhoto *photo = find_photo (self->session, parameter, FALSE);

  rake_compare_page_open (RAKE_COMPARE_PAGE (self->compare), photo ? photo->id : RAKE_ID_NIL);
  rake_window_show_page (self, "compare");
}

void
rake_window_toggle_photo_under (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakePhotoUnder *under = rake_photo_under_get (RAKE_WINDOW (widget)->session);
  g_autoptr (GPtrArray) photos = rake_photo_under_list (under);

  if (rake_photo_under_get_photo (under))
    rake_photo_under_choose (under, RAKE_ID_NIL);
  else if (photos->len > 0)
    rake_photo_under_choose (under, ((const RakePhoto *) photos->pdata[0])->id);
  else
    g_signal_emit_by_name (
        RAKE_WINDOW (widget)->session, "message",
        _ ("No photograph lies on this face yet: lay one on the map first (Ctrl+R)."));
}

/* traced.c - an outline and the photograph that it was drawn over. */
#include "trace-dialog.h"

void
rake_traced_free (RakeTraced *traced)
{
  if (traced)
    {
      g_clear_pointer (&traced->outline, rake_shape_unref);
      g_clear_pointer (&traced->intake, rake_photo_intake_free);
    }
  g_free (traced);
}

static RakeEntry *
new_photo (const RakeTraced *traced)
{
  g_autoptr (GTimeZone) zone = g_time_zone_new_local ();
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_PHOTO);

  entry->written_ms = entry->happened_ms = rake_session_now_ms ();
  rake_photo_intake_fill_entry (traced->intake, zone, entry);
  entry->photo.face = traced->face;
  return entry;
}

static RakeEntry *
new_registration (const RakeTraced *traced, RakeId photo)
{
  g_autoptr (RakePhotoFit) fit =
      rake_photo_fit_new (traced->pairs, 4, traced->intake->width_px, traced->intake->height_px,
                          RAKE_PHOTO_FIT_PROJECTIVE, NULL);
  RakeEntry *entry;

  if (!fit)
    return NULL;
  entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  entry->registration.face = traced->face;
  entry->registration.photo = photo;
  rake_photo_fit_fill_registration (fit, &entry->registration);
  for (guint i = 0; i < 4; i++)
    {
      const RakePhotoPair *pair = &traced->pairs[i];
      const RakePairSpec spec = { pair->image_x_px, pair->image_y_px, pair->body_x_mm,
                                  pair->body_y_mm };

      g_array_append_val (entry->registration.pairs, spec);
    }
  return entry;
}

gboolean
rake_traced_keep (const RakeTraced *traced, RakeSession *session)
{
  const RakePhotoIntake *intake = traced->intake;
  g_autoptr (RakeEntry) photo = new_photo (traced);
  g_autoptr (RakeEntry) registration = new_registration (traced, photo->id);
  RakeEntry *entries[] = { photo, registration };
  RakePhotoBytes bytes = {
    .original = intake->original,
    .working = { intake->working, intake->working_width_px, intake->working_height_px },
    .thumbnail = { intake->thumbnail, intake->thumbnail_width_px, intake->thumbnail_height_px },
  };

  g_strlcpy (bytes.sha256, intake->sha256, sizeof bytes.sha256);
  return rake_session_append_photos (session, entries, registration ? 2 : 1, &bytes, 1);
}

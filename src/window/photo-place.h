/* photo-place.h - where a photograph belongs, said before it is in the job: face, stage, zones, lamp. */
#pragma once
#include <rakelight/photo.h>

#include "session.h"

/* What is nil, NULL or NaN is unsaid. A place is filled in by hand after rake_photo_place_new(). */
typedef struct
{
  RakeId face;
  RakeId stage; /* nil: as guessed from when it was taken, where the guess is of this face */
  RakeId pass;
  RakeId *zones; /* n_zones, g_malloc()ed, the place's own */
  guint n_zones;
  RakeId mark;
  double lamp_deg;
  char *view;
  gboolean is_look;
} RakePhotoPlace;

/* Nothing said. The caller frees with rake_photo_place_free(). */
RakePhotoPlace *rake_photo_place_new (void);
RakePhotoPlace *rake_photo_place_copy (const RakePhotoPlace *place); /* NULL of NULL */
void rake_photo_place_free (RakePhotoPlace *place);                  /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePhotoPlace, rake_photo_place_free)

/* What is selected at the bench: the face and the zones. NULL when the job has no face. */
RakePhotoPlace *rake_photo_place_new_from_selection (RakeSession *session);

/* Puts @place into @entry, a photograph that knows when it was taken. With NULL, what is guessed from
 * what was worked last before that; nothing when that is more than half a day before. */
void rake_photo_place_fill_entry (const RakePhotoPlace *place, const RakeJob *job,
                                  RakeEntry *entry);

/* The guess alone, told: "Front, P800, Lower bass"; NULL when there is none. Caller frees. */
char *rake_photo_place_describe_guess (const RakeJob *job, gint64 taken_ms);

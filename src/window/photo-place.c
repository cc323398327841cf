/* photo-place.c - where a photograph belongs, said before it is in the job. */
#include "photo-place.h"
#include "say.h"

#include <math.h>

#include "words.h"

/* After so long, what was worked last tells little of what a picture shows. The command line keeps to
 * the same. Assumption, no source. */
#define GUESSES_FOR_HOURS 12

#define NAMED_ZONES 3

RakePhotoPlace *
rake_photo_place_new (void)
{
  RakePhotoPlace *place = g_new0 (RakePhotoPlace, 1);

  place->lamp_deg = NAN;
  return place;
}

RakePhotoPlace *
rake_photo_place_copy (const RakePhotoPlace *place)
{
  RakePhotoPlace *copy;

  if (!place)
    return NULL;
  copy = g_memdup2 (place, sizeof *place);
  copy->zones = g_memdup2 (place->zones, place->n_zones * sizeof *place->zones);
  copy->view = g_strdup (place->view);
  return copy;
}

void
rake_photo_place_free (RakePhotoPlace *place)
{
  if (!place)
    return;
  g_free (place->zones);
  g_free (place->view);
  g_free (place);
}

RakePhotoPlace *
rake_photo_place_new_from_selection (RakeSession *session)
{
  const RakeFace *face = rake_session_get_face (session);
  g_autoptr (GPtrArray) zones = rake_session_get_zones (session);
  RakePhotoPlace *place;

  if (!face)
    return NULL;
  place = rake_photo_place_new ();
  place->face = face->id;
  place->zones = g_new (RakeId, zones->len);
  for (guint i = 0; i < zones->len; i++)
    if (((const RakeZone *) zones->pdata[i])->face == face)
      place->zones[place->n_zones++] = ((const RakeZone *) zones->pdata[i])->id;
  return place;
}

static void
take_guess (const RakeJob *job, gint64 taken_ms, RakePhotoGuess *guess)
{
  rake_job_guess_photo_place (job, taken_ms, guess);
  if (guess->face && guess->hours_before > GUESSES_FOR_HOURS)
    {
      guess->face = NULL;
      guess->stage = NULL;
      guess->pass = NULL;
    }
}

static void
fill_from_guess (const RakePhotoGuess *guess, RakePhotoBody *body)
{
  if (!guess->face)
    return;
  body->face = guess->face->id;
  body->stage = guess->stage ? guess->stage->id : RAKE_ID_NIL;
  body->pass = guess->pass ? guess->pass->id : RAKE_ID_NIL;
  for (guint i = 0; i < guess->zones->len; i++)
    g_array_append_val (body->zones, ((const RakeZone *) guess->zones->pdata[i])->id);
}

void
rake_photo_place_fill_entry (const RakePhotoPlace *place, const RakeJob *job, RakeEntry *entry)
{
  g_auto (RakePhotoGuess) guess = { 0 };
  RakePhotoBody *body = &entry->photo;

  take_guess (job, entry->happened_ms, &guess);
  if (!place)
    {
      fill_from_guess (&guess, body);
      return;
    }
  body->face = place->face;
  body->stage = place->stage;
  if (rake_id_is_nil (place->stage) && guess.face && guess.stage &&
      rake_id_equal (guess.face->id, place->face))
    body->stage = guess.stage->id;
  body->pass = place->pass;
  g_array_append_vals (body->zones, place->zones, place->n_zones);
  if (!rake_id_is_nil (place->mark))
    g_array_append_val (body->marks, place->mark);
  body->lamp_deg = place->lamp_deg;
  g_free (body->view);
  body->view = g_strdup (place->view);
  body->is_look = place->is_look ? RAKE_ANSWER_YES : RAKE_ANSWER_UNSAID;
}

char *
rake_photo_place_describe_guess (const RakeJob *job, gint64 taken_ms)
{
  g_auto (RakePhotoGuess) guess = { 0 };
  GString *text;

  take_guess (job, taken_ms, &guess);
  if (!guess.face)
    return NULL;
  text = g_string_new (guess.face->name);
  if (guess.stage)
    g_string_append_printf (text, ", %s", rake_say_grade (guess.stage));
  if (guess.zones->len <= NAMED_ZONES)
    for (guint i = 0; i < guess.zones->len; i++)
      g_string_append_printf (text, ", %s", ((const RakeZone *) guess.zones->pdata[i])->name);
  else
    {
      g_autofree char *zones =
          g_strdup_printf (ngettext ("%u zone", "%u zones", guess.zones->len), guess.zones->len);
      g_string_append_printf (text, ", %s", zones);
    }
  return g_string_free (text, FALSE);
}

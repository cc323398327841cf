/* take-photo.c - takes a photograph of a demonstration job's face as its logbook tells it now, puts it
 * into the job with its place, and lays it on the face where the whole of it is seen.
 *
 *   take-photo JOB --name FILE [--face NAME] [--mark KIND] [--lamp DEG] [--view NAME] [--note TEXT]
 *              [--who NAME] [--after SECONDS]
 *
 * With --mark it comes close to the latest mark of that kind ("burn"). It is written so long after the
 * job's last entry; the same logbook makes the same picture. */
#include "lit-face.h"
#include "raking-light.h"

#include "photo-shrink.h"

#include <rakelight/photo-fit.h>
#include <rakelight/photo-intake.h>
#include <rakelight/photo-store.h>

#include <locale.h>
#include <math.h>

#define WIDTH_PX 1000
#define LEAST_HEIGHT_PX 320
#define FILLS 0.94     /* of the picture, by the face */
#define QUALITY 76
#define N_PAIRS 6
#define CLICK_PX 0.6   /* how well a person finds a corner */
#define CLOSE_MM 34.0  /* half of what a photograph of a small mark shows */

typedef struct
{
  char *name, *face, *mark, *view, *note, *who;
  double lamp_deg, after_s;
} Wishes;

typedef struct
{
  RakeJobFile *file;
  RakeJob *job;
  const RakeFace *face;
  const RakeMark *mark;
  RakeBounds seen; /* what the picture is of */
  Camera camera;
  guint32 seed;
} Shot;

static gint64 clock_ms;

static gint64
shot_clock (void)
{
  return clock_ms;
}

/* --- what is taken ----------------------------------------------------------------------------- */

static const RakeFace *
find_face (const RakeJob *job, const char *name)
{
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    if (name == NULL || g_str_equal (rake_job_get_face (job, i)->name, name))
      return rake_job_get_face (job, i);
  g_error ("take-photo: the job has no face “%s”", name != NULL ? name : "");
}

static int
find_kind (const char *word)
{
  return rake_field_find_word (rake_entry_kind_find_field (RAKE_ENTRY_MARK, "mark"), word);
}

static const RakeMark *
find_mark (const RakeFace *face, const char *kind)
{
  const RakeMark *latest = NULL;

  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];

      for (guint m = 0; m < zone->marks->len; m++)
        {
          const RakeMark *mark = zone->marks->pdata[m];

          if ((int) mark->kind == find_kind (kind))
            latest = mark;
        }
    }
  if (latest == NULL)
    g_error ("take-photo: the face has no mark of the kind “%s”", kind);
  return latest;
}

static void
choose_seen (Shot *shot)
{
  double middle_x, middle_y, half;

  shot->seen = rake_shape_get_bounds (shot->face->outline);
  if (shot->mark == NULL)
    return;
  half = MAX (CLOSE_MM, 0.75 * rake_shape_get_extent_mm (shot->mark->shape));
  rake_shape_get_inner_point (shot->mark->shape, &middle_x, &middle_y);
  shot->seen = (RakeBounds){ middle_x - half, middle_y - 0.75 * half, middle_x + half,
                             middle_y + 0.75 * half };
}

/* --- the camera -------------------------------------------------------------------------------- */

static void
list_corners (const RakeBounds *box, double corners[4][2])
{
  const double all[4][2] = { { box->min_x_mm, box->min_y_mm },
                             { box->max_x_mm, box->min_y_mm },
                             { box->max_x_mm, box->max_y_mm },
                             { box->min_x_mm, box->max_y_mm } };

  for (int i = 0; i < 4; i++)
    {
      corners[i][0] = all[i][0];
      corners[i][1] = all[i][1];
    }
}

/* A person at the lower edge, a step to the right, bends over it. */
static void
place_camera (Shot *shot)
{
  const RakeBounds *box = &shot->seen;
  double width = box->max_x_mm - box->min_x_mm, height = box->max_y_mm - box->min_y_mm;
  double size = hypot (width, height), x = (box->min_x_mm + box->max_x_mm) / 2;
  double y = (box->min_y_mm + box->max_y_mm) / 2, corners[4][2], reach_x = 0, reach_y = 0;
  Camera *camera = &shot->camera;

  *camera = (Camera){
    { x + 0.08 * size, y + 0.55 * size, 1.25 * size }, { x, y }, WIDTH_PX, 0, WIDTH_PX, WIDTH_PX
  };
  list_corners (box, corners);
  for (int i = 0; i < 4; i++)
    {
      double x_px, y_px;

      camera_see (camera, corners[i][0], corners[i][1], &x_px, &y_px);
      reach_x = MAX (reach_x, fabs (x_px - 0.5 * camera->width));
      reach_y = MAX (reach_y, fabs (y_px - 0.5 * camera->height));
    }
  camera->height = (int) CLAMP (WIDTH_PX * reach_y / reach_x, LEAST_HEIGHT_PX, 0.8 * WIDTH_PX);
  camera->focal_px *= FILLS * 0.5 * MIN (camera->width / reach_x, camera->height / reach_y);
}

/* --- the picture ------------------------------------------------------------------------------- */

/* Everything that the camera may see of the face. */
static RakeBounds
get_lit (const Shot *shot)
{
  RakeBounds box = rake_shape_get_bounds (shot->face->outline), lit = shot->seen;
  double rim = 0.4 * MAX (lit.max_x_mm - lit.min_x_mm, lit.max_y_mm - lit.min_y_mm);

  return (
      RakeBounds){ MAX (lit.min_x_mm - rim, box.min_x_mm), MAX (lit.min_y_mm - rim, box.min_y_mm),
                   MIN (lit.max_x_mm + rim, box.max_x_mm), MIN (lit.max_y_mm + rim, box.max_y_mm) };
}

static GBytes *
take (const Shot *shot, double lamp_deg)
{
  const RakingFilm film = { 0.05, 0.8, 1, 0.012 };
  RakeBounds lit = get_lit (shot);
  double cell_mm = 0.8 * (shot->seen.max_x_mm - shot->seen.min_x_mm) / WIDTH_PX;
  g_autoptr (LitFace) face =
      lit_face_new (shot->job, shot->face, lamp_deg, &lit, cell_mm, shot->seed);
  g_autoptr (GRand) random = g_rand_new_with_seed (shot->seed);
  g_autoptr (RakePhotoPicture) picture =
      raking_light_take (&shot->camera, &film, lit_face_shine, face, random);

  return rake_photo_to_jpeg (picture, QUALITY);
}

/* --- into the job ------------------------------------------------------------------------------ */

/* Those that it is of: all of the face, or where the mark is. */
static void
add_zones (const Shot *shot, GArray *zones)
{
  for (guint i = 0; i < shot->face->zones->len; i++)
    {
      const RakeZone *zone = shot->face->zones->pdata[i];
      gboolean has_mark = FALSE;

      for (guint m = 0; shot->mark != NULL && m < zone->marks->len; m++)
        has_mark |= ((const RakeMark *) zone->marks->pdata[m])->entry == shot->mark->entry;
      if (shot->mark == NULL || has_mark)
        g_array_append_val (zones, zone->id);
    }
}

static RakeEntry *
new_photo (const Shot *shot, const Wishes *wishes, const RakePhotoIntake *intake)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_PHOTO);
  g_autoptr (GTimeZone) utc = g_time_zone_new_utc ();

  rake_photo_intake_fill_entry (intake, utc, entry);
  entry->photo.time_from = RAKE_TIME_FROM_SAID;
  entry->photo.face = shot->face->id;
  entry->photo.lamp_deg = wishes->lamp_deg;
  entry->photo.view = g_strdup (wishes->view);
  entry->photo.note = g_strdup (wishes->note);
  add_zones (shot, entry->photo.zones);
  if (shot->mark != NULL)
    g_array_append_val (entry->photo.marks, shot->mark->entry->id);
  if (shot->face->stage != NULL)
    entry->photo.stage = shot->face->stage->id;
  return entry;
}

/* The corners, and the middles of two edges. */
static void
click (const Shot *shot, RakePhotoPair pairs[N_PAIRS])
{
  g_autoptr (GRand) random = g_rand_new_with_seed (shot->seed + 1);
  double places[N_PAIRS][2];

  list_corners (&shot->seen, places);
  for (int i = 0; i < 2; i++)
    {
      places[4 + i][0] = (shot->seen.min_x_mm + shot->seen.max_x_mm) / 2;
      places[4 + i][1] = i == 0 ? shot->seen.min_y_mm : shot->seen.max_y_mm;
    }
  camera_click (&shot->camera, (const double (*)[2]) places, N_PAIRS, CLICK_PX, random, pairs);
}

static RakeEntry *
new_registration (const Shot *shot, const RakeEntry *photo)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  RakePhotoPair pairs[N_PAIRS];
  g_autoptr (RakePhotoFit) fit = NULL;

  click (shot, pairs);
  fit = rake_photo_fit_new (pairs, N_PAIRS, shot->camera.width, shot->camera.height,
                            RAKE_PHOTO_FIT_PROJECTIVE, NULL);
  rake_photo_fit_fill_registration (fit, &entry->registration);
  for (guint i = 0; i < N_PAIRS; i++)
    {
      const RakePairSpec spec = { pairs[i].image_x_px, pairs[i].image_y_px, pairs[i].body_x_mm,
                                  pairs[i].body_y_mm };

      g_array_append_val (entry->registration.pairs, spec);
    }
  entry->registration.face = shot->face->id;
  entry->registration.photo = photo->id;
  return entry;
}

static void
keep (const Shot *shot, const Wishes *wishes, GBytes *jpeg)
{
  g_autoptr (GError) error = NULL;
  const RakeEntry *last = rake_job_get_entry (shot->job, rake_job_get_n_entries (shot->job) - 1);
  g_autoptr (RakePhotoIntake) intake =
      rake_photo_intake_new_from_bytes (jpeg, wishes->name, 0, RAKE_PHOTO_WORKING_PX,
                                        RAKE_PHOTO_THUMBNAIL_PX, NULL, NULL, NULL, &error);
  RakePhotoBytes bytes = { 0 };
  g_autoptr (RakeEntry) photo = NULL, registration = NULL;
  RakeEntry *entries[2];

  if (intake == NULL)
    g_error ("take-photo: %s", error->message);
  bytes = (RakePhotoBytes){ .original = jpeg,
                            .working = { intake->working, intake->working_width_px, intake->working_height_px },
                            .thumbnail = { intake->thumbnail, intake->thumbnail_width_px, intake->thumbnail_height_px } };
  g_strlcpy (bytes.sha256, intake->sha256, sizeof bytes.sha256);
  clock_ms = last->written_ms + (gint64) (wishes->after_s * 1000);
  entries[0] = photo = new_photo (shot, wishes, intake);
  entries[1] = registration = new_registration (shot, photo);
  photo->utc_offset_minutes = registration->utc_offset_minutes = last->utc_offset_minutes;
  rake_job_file_set_clock (shot_clock);
  if (!rake_job_file_append_photos (shot->file, shot->job, entries, shot->mark == NULL ? 2 : 1,
                                    &bytes, 1, wishes->who, &error))
    g_error ("take-photo: %s", error->message);
}

static void
take_into_job (const char *path, const Wishes *wishes)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_WRITE, &error);
  g_autoptr (RakeJob) job = file != NULL ? rake_job_file_load (file, &error) : NULL;
  g_autoptr (GBytes) jpeg = NULL;
  Shot shot = { .file = file, .job = job };

  if (job == NULL)
    g_error ("take-photo: %s", error->message);
  shot.face = find_face (job, wishes->face);
  shot.mark = wishes->mark != NULL ? find_mark (shot.face, wishes->mark) : NULL;
  shot.seed = g_str_hash (shot.face->name);
  choose_seen (&shot);
  place_camera (&shot);
  jpeg = take (&shot, wishes->lamp_deg);
  keep (&shot, wishes, jpeg);
}

int
main (int argc, char **argv)
{
  Wishes wishes = { .lamp_deg = 90, .after_s = 20 };
  g_autoptr (GError) error = NULL;
  const GOptionEntry options[] = {
    { "name", 0, 0, G_OPTION_ARG_STRING, &wishes.name, "Of the file it would have come in", "FILE" },
    { "face", 0, 0, G_OPTION_ARG_STRING, &wishes.face, "The face; the first unless said", "NAME" },
    { "mark", 0, 0, G_OPTION_ARG_STRING, &wishes.mark, "Close to its latest mark of that kind", "KIND" },
    { "lamp", 0, 0, G_OPTION_ARG_DOUBLE, &wishes.lamp_deg, "From the top edge, clockwise", "DEG" },
    { "view", 0, 0, G_OPTION_ARG_STRING, &wishes.view, "Where it is taken from", "NAME" },
    { "note", 0, 0, G_OPTION_ARG_STRING, &wishes.note, "Words about it", "TEXT" },
    { "who", 0, 0, G_OPTION_ARG_STRING, &wishes.who, "Who takes it", "NAME" },
    { "after", 0, 0, G_OPTION_ARG_DOUBLE, &wishes.after_s, "After the last entry", "SECONDS" },
    { 0 },
  };
  g_autoptr (GOptionContext) context = g_option_context_new ("JOB");

  setlocale (LC_ALL, "C.UTF-8");
  g_option_context_add_main_entries (context, options, NULL);
  if (!g_option_context_parse (context, &argc, &argv, &error) || argc != 2 || wishes.name == NULL)
    {
      g_printerr ("take-photo: %s\n", error != NULL ? error->message : "JOB and --name are needed");
      return 2;
    }
  take_into_job (argv[1], &wishes);
  return 0;
}

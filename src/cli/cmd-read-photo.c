/* cmd-read-photo.c - what a photograph under a low lamp shows, as proposals. Nothing is entered. */
#include "rakelight-config.h"

#include "cmd-photo.h"
#include "photo-scene.h"

#include <rakelight/photo-heif.h>
#include <rakelight/photo-reading.h>

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

typedef struct
{
  char *image, *scene, *out;
  double stroke_deg, sensitivity;
  gboolean wants_json;
} Wishes;

static void
write_ring (JsonText *json, const RakeShape *shape, guint ring)
{
  guint n;
  const double *points = rake_shape_get_ring (shape, ring, &n, NULL);

  json_text_open (json, '[');
  for (guint i = 0; i < n; i++)
    json_text_place (json, points[2 * i], points[2 * i + 1]);
  json_text_close (json, ']');
}

/* A shape of several parts is as many spots. */
static void
write_spot (JsonText *json, const RakePhotoSpot *spot)
{
  guint n_rings = rake_shape_get_n_rings (spot->area);

  for (guint ring = 0; ring < n_rings;)
    {
      gboolean is_hole = FALSE, has_holes = FALSE;

      json_text_open (json, '{');
      json_text_name (json, "polygon");
      write_ring (json, spot->area, ring++);
      for (; ring < n_rings; ring++)
        {
          guint n;
          rake_shape_get_ring (spot->area, ring, &n, &is_hole);
          if (!is_hole)
            break;
          if (!has_holes)
            {
              json_text_name (json, "holes");
              json_text_open (json, '[');
              has_holes = TRUE;
            }
          write_ring (json, spot->area, ring);
        }
      if (has_holes)
        json_text_close (json, ']');
      json_text_name (json, "area_mm2");
      json_text_number (json, round (spot->area_mm2 * 100) / 100);
      json_text_name (json, "contrast");
      json_text_number (json, round (spot->contrast * 1000) / 1000);
      json_text_name (json, "looks");
      json_text_string (json, spot->regime == RAKE_PHOTO_REGIME_AWAY ? "dark" : "bright");
      json_text_name (json, "confidence");
      json_text_number (json, round (spot->confidence * 1000) / 1000);
      json_text_name (json, "why");
      json_text_string (json, spot->why);
      json_text_close (json, '}');
    }
}

static void
write_scratch (JsonText *json, const RakePhotoScratch *scratch)
{
  json_text_open (json, '{');
  json_text_name (json, "line");
  write_ring (json, scratch->line, 0);
  json_text_name (json, "length_mm");
  json_text_number (json, round (scratch->length_mm * 10) / 10);
  json_text_name (json, "looks");
  json_text_string (json, scratch->contrast < 0 ? "dark" : "bright");
  json_text_name (json, "confidence");
  json_text_number (json, round (scratch->confidence * 1000) / 1000);
  json_text_name (json, "why");
  json_text_string (json, scratch->why);
  json_text_close (json, '}');
}

static void
write_zone (JsonText *json, const RakePhotoZone *zone, const char *name)
{
  json_text_open (json, '{');
  json_text_name (json, "name");
  json_text_string (json, name);
  json_text_name (json, "regime");
  json_text_string (json, rake_photo_regime_get_name (zone->regime));
  json_text_name (json, "confidence");
  json_text_number (json, round (zone->confidence * 1000) / 1000);
  json_text_name (json, "seen_fraction");
  json_text_number (json, round (zone->seen_fraction * 1000) / 1000);
  json_text_name (json, "obstacle");
  json_text_string (json, rake_photo_obstacle_get_name (zone->obstacle));
  json_text_name (json, "advice");
  json_text_string (json, zone->advice);
  json_text_close (json, '}');
}

static void
write_fractions (JsonText *json, const RakePhotoReading *reading, const GPtrArray *names)
{
  json_text_name (json, "glossy_fraction");
  json_text_open (json, '{');
  for (guint i = 0; i < reading->n_zones; i++)
    if (reading->zones[i].obstacle == RAKE_PHOTO_READABLE)
      {
        json_text_name (json, names->pdata[i]);
        json_text_number (json, round (reading->zones[i].glossy_fraction * 1e4) / 1e4);
      }
  json_text_close (json, '}');
  json_text_name (json, "declined");
  json_text_open (json, '[');
  for (guint i = 0; i < reading->n_zones; i++)
    if (reading->zones[i].obstacle != RAKE_PHOTO_READABLE)
      json_text_string (json, names->pdata[i]);
  json_text_close (json, ']');
}

static void
write_reading (JsonText *json, const RakePhotoReading *reading, const GPtrArray *names)
{
  json_text_open (json, '{');
  json_text_name (json, "obstacle");
  json_text_string (json, rake_photo_obstacle_get_name (reading->obstacle));
  json_text_name (json, "advice");
  json_text_string (json, reading->advice);
  json_text_name (json, "low_spots");
  json_text_open (json, '[');
  for (guint i = 0; i < reading->spots->len; i++)
    write_spot (json, reading->spots->pdata[i]);
  json_text_close (json, ']');
  json_text_name (json, "scratches");
  json_text_open (json, '[');
  for (guint i = 0; i < reading->scratches->len; i++)
    write_scratch (json, reading->scratches->pdata[i]);
  json_text_close (json, ']');
  write_fractions (json, reading, names);
  json_text_name (json, "zones");
  json_text_open (json, '[');
  for (guint i = 0; i < reading->n_zones; i++)
    write_zone (json, &reading->zones[i], names->pdata[i]);
  json_text_close (json, ']');
  json_text_close (json, '}');
}

static RakePhotoPicture *
read_picture (const char *path, GError **error)
{
  g_autoptr (GMappedFile) file = g_mapped_file_new (path, FALSE, error);
  RakePhotoPicture *picture;

  if (file == NULL)
    return NULL;
  picture = rake_photo_picture_new (g_mapped_file_get_contents (file),
                                    g_mapped_file_get_length (file), 1, error);
  if (picture == NULL)
    g_prefix_error (error, "%s: ", path);
  return picture;
}

static RakePhotoReading *
ask (const Wishes *wishes, const RakePhotoPicture *picture, const PhotoScene *scene, GError **error)
{
  g_autoptr (RakePhotoFit) fit = rake_photo_fit_new (
      (const RakePhotoPair *) (const void *) scene->pairs->data, scene->pairs->len, scene->width,
      scene->height, RAKE_PHOTO_FIT_RADIAL, error);
  const RakePhotoQuestion question = {
    .picture = picture,
    .fit = fit,
    .outline = scene->outline,
    .holes = (const RakeShape *const *) scene->holes->pdata,
    .n_holes = scene->holes->len,
    .zones = (const RakeShape *const *) scene->zones->pdata,
    .n_zones = scene->zones->len,
    .stroke_deg = wishes->stroke_deg,
    .sensitivity = wishes->sensitivity,
  };

  return fit != NULL ? rake_photo_read (&question, NULL, NULL, NULL, error) : NULL;
}

static RakePhotoReading *
read_photo (const Wishes *wishes, const char *image, const char *scene_path, PhotoScene **scene_out,
            GError **error)
{
  g_autoptr (PhotoScene) scene = photo_scene_read (scene_path, error);
  g_autoptr (RakePhotoPicture) picture = scene != NULL ? read_picture (image, error) : NULL;
  RakePhotoReading *reading;

  if (picture == NULL)
    return NULL;
  if (rake_photo_picture_get_width (picture) != scene->width ||
      rake_photo_picture_get_height (picture) != scene->height)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA,
                   _ ("%s is of a picture of %d × %d pixels, but %s has %d × %d"), scene_path,
                   scene->width, scene->height, image, rake_photo_picture_get_width (picture),
                   rake_photo_picture_get_height (picture));
      return NULL;
    }
  reading = ask (wishes, picture, scene, error);
  if (reading == NULL)
    g_prefix_error (error, "%s: ", scene_path);
  else
    *scene_out = g_steal_pointer (&scene);
  return reading;
}

/* What the job knows of a photograph that lies on its face. */
static PhotoScene *
new_scene_of_photo (const RakePhoto *photo)
{
  PhotoScene *scene = photo_scene_new ();
  const GArray *pairs = photo->registration->registration.pairs;

  scene->width = (int) photo->entry->photo.width_px;
  scene->height = (int) photo->entry->photo.height_px;
  scene->outline = rake_shape_ref ((RakeShape *) photo->face->outline);
  for (guint i = 0; i < photo->face->zones->len; i++)
    {
      const RakeZone *zone = photo->face->zones->pdata[i];

      g_ptr_array_add (scene->zones, rake_shape_ref ((RakeShape *) zone->shape));
      g_ptr_array_add (scene->zone_names, g_strdup (zone->name));
    }
  for (guint i = 0; i < pairs->len; i++)
    {
      const RakePairSpec *spec = &g_array_index (pairs, RakePairSpec, i);
      const RakePhotoPair pair = { spec->x_px, spec->y_px, spec->x_mm, spec->y_mm };

      g_array_append_val (scene->pairs, pair);
    }
  return scene;
}

static RakePhotoReading *
read_from_job (const Wishes *wishes, RakeJobFile *file, const RakePhoto *photo, PhotoScene **scene,
               GError **error)
{
  g_autoptr (GBytes) bytes = rake_job_file_read_photo (file, photo->entry->photo.sha256, error);
  g_autoptr (RakePhotoPicture) picture = NULL;

  if (bytes != NULL)
    picture = rake_photo_picture_new_from_photo (bytes, NULL, error);
  if (picture == NULL)
    return NULL;
  *scene = new_scene_of_photo (photo);
  return ask (wishes, picture, *scene, error);
}

static void
say_reading (const char *name, const RakePhotoReading *reading, const GPtrArray *names)
{
  g_autofree char *spots = NULL, *scratches = NULL;

  if (reading->obstacle != RAKE_PHOTO_READABLE)
    {
      g_print ("%s: %s\n", name, reading->advice);
      return;
    }
  spots = g_strdup_printf (ngettext ("%u low spot", "%u low spots", reading->spots->len),
                           reading->spots->len);
  scratches = g_strdup_printf (ngettext ("%u scratch", "%u scratches", reading->scratches->len),
                               reading->scratches->len);
  g_print ("%s: %s, %s\n", name, spots, scratches);
  for (guint i = 0; i < reading->n_zones; i++)
    {
      const RakePhotoZone *zone = &reading->zones[i];

      if (zone->obstacle == RAKE_PHOTO_READABLE)
        g_print (_ ("  %s: %.1f %% glossy\n"), (const char *) names->pdata[i],
                 100 * zone->glossy_fraction);
      else
        g_print ("  %s: %s\n", (const char *) names->pdata[i], zone->advice);
    }
}

static void
sum_up_reading (JsonText *summary, const char *name, const RakePhotoReading *reading,
                const GPtrArray *names)
{
  json_text_open (summary, '{');
  json_text_name (summary, "name");
  json_text_string (summary, name);
  json_text_name (summary, "obstacle");
  json_text_string (summary, rake_photo_obstacle_get_name (reading->obstacle));
  json_text_name (summary, "low_spots");
  json_text_number (summary, reading->spots->len);
  json_text_name (summary, "scratches");
  json_text_number (summary, reading->scratches->len);
  write_fractions (summary, reading, names);
  json_text_close (summary, '}');
}

static CliExit
tell (const Wishes *wishes, const char *name, const RakePhotoReading *reading,
      const PhotoScene *scene, const char *out, JsonText *summary)
{
  g_autoptr (GError) error = NULL;
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  write_reading (&json, reading, scene->zone_names);
  if (out == NULL)
    return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
  if (!json_text_save (&json, out, &error))
    return cli_fail (CLI_OUTPUT, g_steal_pointer (&error));
  if (wishes->wants_json)
    sum_up_reading (summary, name, reading, scene->zone_names);
  else
    say_reading (name, reading, scene->zone_names);
  return CLI_DONE;
}

static CliExit
read_one (const Wishes *wishes, const char *name, const char *image, const char *scene_path,
          const char *out, JsonText *summary)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (PhotoScene) scene = NULL;
  g_autoptr (RakePhotoReading) reading = read_photo (wishes, image, scene_path, &scene, &error);

  if (reading == NULL)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  return tell (wishes, name, reading, scene, out, summary);
}

static CliExit
read_one_of_job (const Wishes *wishes, const char *path, const char *which, JsonText *summary)
{
  CliExit code = CLI_DONE;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &job, &code);
  const RakePhoto *photo = file != NULL ? cli_find_photo (job, which, &code) : NULL;
  g_autoptr (PhotoScene) scene = NULL;
  g_autoptr (RakePhotoReading) reading = NULL;

  if (photo == NULL)
    return code;
  if (photo->face == NULL || photo->registration == NULL)
    return cli_fail_with (CLI_INPUT, _ ("The photograph is not laid on its face; rakelight-cli "
                                        "photo register does that"));
  reading = read_from_job (wishes, file, photo, &scene, &error);
  if (reading == NULL)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  return tell (wishes, which, reading, scene, wishes->out, summary);
}

static char *
find_image (const char *folder, const char *name)
{
  static const char *const endings[] = { ".jpg", ".jpeg", ".png", ".JPG", ".JPEG", ".PNG" };

  for (gsize i = 0; i < G_N_ELEMENTS (endings); i++)
    {
      g_autofree char *file = g_strconcat (name, endings[i], NULL);
      g_autofree char *path = g_build_filename (folder, file, NULL);

      if (g_file_test (path, G_FILE_TEST_EXISTS))
        return g_steal_pointer (&path);
    }
  return NULL;
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(char *const *) a, *(char *const *) b);
}

/* The scenes of a folder by name, without their ending. */
static GPtrArray *
list_scenes (const char *folder, GError **error)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, error);
  GPtrArray *names = g_ptr_array_new_with_free_func (g_free);
  const char *file;

  while (dir != NULL && (file = g_dir_read_name (dir)) != NULL)
    if (g_str_has_suffix (file, ".json"))
      g_ptr_array_add (names, g_strndup (file, strlen (file) - strlen (".json")));
  g_ptr_array_sort (names, compare_names);
  return names;
}

/* Goes on after one that cannot be read; the exit code tells of the last such. */
static CliExit
read_folder (const Wishes *wishes, JsonText *summary)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) names = list_scenes (wishes->scene, &error);
  CliExit code = CLI_DONE;

  if (error != NULL)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  if (names->len == 0)
    return cli_fail_with (CLI_INPUT, _ ("There is no scene (NAME.json) in %s"), wishes->scene);
  for (guint i = 0; i < names->len; i++)
    {
      const char *name = names->pdata[i];
      g_autofree char *file = g_strconcat (name, ".json", NULL);
      g_autofree char *scene = g_build_filename (wishes->scene, file, NULL);
      g_autofree char *out = g_build_filename (wishes->out, file, NULL);
      g_autofree char *image = find_image (wishes->image, name);
      CliExit one;

      if (image == NULL)
        one = cli_fail_with (CLI_INPUT, _ ("There is no picture %s.jpg or %s.png in %s"), name,
                             name, wishes->image);
      else
        one = read_one (wishes, name, image, scene, out, summary);
      code = one != CLI_DONE ? one : code;
    }
  return code;
}

static gboolean
check_wishes (const Wishes *wishes, gboolean has_job, CliExit *code)
{
  gboolean is_folder =
      !has_job && wishes->scene != NULL && g_file_test (wishes->scene, G_FILE_TEST_IS_DIR);

  if (has_job ? wishes->image != NULL || wishes->scene != NULL
              : wishes->image == NULL || wishes->scene == NULL)
    *code = cli_fail_with (CLI_USAGE,
                           _ ("read-photo needs a job and a photograph, or --image and --scene"));
  else if (!has_job && is_folder != g_file_test (wishes->image, G_FILE_TEST_IS_DIR))
    *code = cli_fail_with (CLI_USAGE, _ ("--image and --scene are both files or both folders"));
  else if (is_folder && (wishes->out == NULL || !g_file_test (wishes->out, G_FILE_TEST_IS_DIR)))
    *code = cli_fail_with (CLI_USAGE, _ ("For folders, --out is a folder that exists"));
  else if (!(wishes->sensitivity >= 0 && wishes->sensitivity <= 1))
    *code = cli_fail_with (CLI_USAGE, _ ("The sensitivity is 0 to 1"));
  else if (!isnan (wishes->stroke_deg) && !(fabs (wishes->stroke_deg) <= 360))
    *code = cli_fail_with (CLI_USAGE, _ ("A direction is -360 to 360 degrees"));
  else
    return TRUE;
  return FALSE;
}

static CliExit
run (const Wishes *wishes, const char *job, const char *photo)
{
  g_auto (JsonText) summary = { 0 };
  CliExit code;

  json_text_init (&summary);
  json_text_open (&summary, '[');
  if (job != NULL)
    code = read_one_of_job (wishes, job, photo, &summary);
  else if (g_file_test (wishes->scene, G_FILE_TEST_IS_DIR))
    code = read_folder (wishes, &summary);
  else
    {
      g_autofree char *name = g_path_get_basename (wishes->image);

      code = read_one (wishes, name, wishes->image, wishes->scene, wishes->out, &summary);
    }
  json_text_close (&summary, ']');
  if (wishes->wants_json && wishes->out != NULL && !json_text_print (&summary))
    return CLI_OUTPUT;
  return code;
}

CliExit
cli_run_read_photo (int argc, char **argv)
{
  static const CliCommand command = {
    "read-photo", N_ ("Read low spots and scratches in a photograph under a low lamp"), NULL
  };
  Wishes wishes = { .stroke_deg = NAN,
                    .sensitivity = RAKE_PHOTO_USUAL_SENSITIVITY };
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "image", 'i', 0, G_OPTION_ARG_FILENAME, &wishes.image,
      N_ ("The picture, JPEG or PNG, or a folder of them"), N_ ("FILE") },
    { "scene", 's', 0, G_OPTION_ARG_FILENAME, &wishes.scene,
      N_ ("Its scene: outline, zones, pairs of points; or a folder of them"), N_ ("FILE") },
    { "out", 'o', 0, G_OPTION_ARG_FILENAME, &wishes.out,
      N_ ("Write the proposals to FILE or into a folder, else print them"), N_ ("FILE") },
    { "sensitivity", 0, 0, G_OPTION_ARG_DOUBLE, &wishes.sensitivity,
      N_ ("0 proposes least, 1 most, 0.5 is usual"), N_ ("NUMBER") },
    { "stroke", 0, 0, G_OPTION_ARG_DOUBLE, &wishes.stroke_deg,
      N_ ("Along which the last strokes went: degrees from the face's right, anticlockwise"), N_ ("DEG") },
    { "json", 'j', 0, G_OPTION_ARG_NONE, &wishes.wants_json,
      N_ ("Sum up as JSON what was written"), NULL },
    { 0 },
  };

  if (cli_parse (&command, "[JOB PHOTO]",
                 N_ ("Nothing is entered in any job: these are proposals. A photograph of a job is "
                     "given by its number in the list or its id, and must lie on its face."),
                 entries, &argc, &argv, 0, 2, &code))
    {
      gboolean has_job = argc == 3;

      if (argc == 2)
        code = cli_fail_with (CLI_USAGE, _ ("Give the photograph too: its number in the list, or "
                                            "its id"));
      else if (check_wishes (&wishes, has_job, &code))
        code = run (&wishes, has_job ? argv[1] : NULL, has_job ? argv[2] : NULL);
    }
  g_free (wishes.image);
  g_free (wishes.scene);
  g_free (wishes.out);
  return code;
}

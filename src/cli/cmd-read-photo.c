/* cmd-read-photo.c - what a photograph under a low lamp shows, as proposals. Nothing is entered. */
#include "rakelight-config.h"

#include "cmd-photo.h"
#include "photo-scene.h"
#include "read-photo-write.h"

#include <rakelight/photo-heif.h>
#include <rakelight/photo-intake.h>
#include <rakelight/photo-reading.h>

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

typedef struct
{
  char *image, *scene, *out;
  double stroke_deg, sensitivity;
  gboolean wants_json, are_together;
} Wishes;

static RakePhotoPicture *
read_picture (const char *path, GError **error)
{
  g_autoptr (GBytes) bytes = rake_photo_read_file (path, error);
  RakePhotoPicture *picture;

  if (bytes == NULL)
    return NULL;
  picture =
      rake_photo_picture_new (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes), 1, error);
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
  g_autoptr (GBytes) bytes =
      cli_photo_check_not_withdrawn (photo, error)
          ? rake_job_file_read_photo (file, photo->entry->photo.sha256, error)
          : NULL;
  g_autoptr (RakePhotoPicture) picture = NULL;

  if (bytes != NULL)
    picture = rake_photo_picture_new_from_photo (bytes, NULL, error);
  if (picture == NULL)
    return NULL;
  *scene = new_scene_of_photo (photo);
  return ask (wishes, picture, *scene, error);
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
  return read_photo_tell (name, reading, scene->zone_names, out, summary);
}

/* Frees readings and leaves room for as many as can be combined. */
static GPtrArray *
new_readings (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) rake_photo_reading_free);
}

static RakePhotoReading *
combine (const GPtrArray *readings, GError **error)
{
  return rake_photo_reading_combine ((const RakePhotoReading *const *) readings->pdata,
                                     readings->len, error);
}

/* One of the job's photographs into @readings. */
static CliExit
add_of_job (const Wishes *wishes, RakeJobFile *file, const RakeJob *job, const char *which,
            GPtrArray *readings, PhotoScene **scene, const RakeFace **face)
{
  CliExit code = CLI_DONE;
  g_autoptr (GError) error = NULL;
  const RakePhoto *photo = cli_find_photo (job, which, &code);
  g_autoptr (PhotoScene) its_scene = NULL;
  RakePhotoReading *reading;

  if (photo == NULL)
    return code;
  if (photo->face == NULL || photo->registration == NULL)
    return cli_fail_with (CLI_INPUT, _ ("The photograph is not laid on its face; rakelight-cli "
                                        "photo register does that"));
  if (*face != NULL && *face != photo->face)
    return cli_fail_with (CLI_INPUT,
                          _ ("Photographs that are read together show the same face; "
                             "%s shows another"),
                          which);
  *face = photo->face;
  reading = read_from_job (wishes, file, photo, &its_scene, &error);
  if (reading == NULL)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  g_ptr_array_add (readings, reading);
  if (*scene == NULL)
    *scene = g_steal_pointer (&its_scene);
  return CLI_DONE;
}

static CliExit
read_from_job_together (const Wishes *wishes, const char *path, char **which, guint n_which,
                        JsonText *summary)
{
  CliExit code = CLI_DONE;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &job, &code);
  g_autoptr (PhotoScene) scene = NULL;
  g_autoptr (GPtrArray) readings = new_readings ();
  g_autoptr (RakePhotoReading) together = NULL;
  g_autofree char *name = NULL;
  const RakeFace *face = NULL;

  if (file == NULL)
    return code;
  for (guint i = 0; i < n_which && code == CLI_DONE; i++)
    code = add_of_job (wishes, file, job, which[i], readings, &scene, &face);
  if (code != CLI_DONE || scene == NULL)
    return code;
  if (n_which == 1)
    return read_photo_tell (which[0], readings->pdata[0], scene->zone_names, wishes->out, summary);
  together = combine (readings, &error);
  if (together == NULL)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  name = g_strjoinv (" + ", which);
  return read_photo_tell (name, together, scene->zone_names, wishes->out, summary);
}

static CliExit
fail_without_image (const Wishes *wishes, const char *name)
{
  return cli_fail_with (CLI_INPUT, _ ("There is no picture %s.jpg or %s.png in %s"), name, name,
                        wishes->image);
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

static gboolean
are_same_shapes (const GPtrArray *a, const GPtrArray *b)
{
  if (a->len != b->len)
    return FALSE;
  for (guint i = 0; i < a->len; i++)
    if (!rake_shape_equal (a->pdata[i], b->pdata[i]))
      return FALSE;
  return TRUE;
}

static gboolean
are_of_one_body (const PhotoScene *a, const PhotoScene *b)
{
  if (!rake_shape_equal (a->outline, b->outline) || !are_same_shapes (a->holes, b->holes) ||
      !are_same_shapes (a->zones, b->zones))
    return FALSE;
  for (guint i = 0; i < a->zone_names->len; i++)
    if (strcmp (a->zone_names->pdata[i], b->zone_names->pdata[i]) != 0)
      return FALSE;
  return TRUE;
}

static char *
build_scene_path (const char *folder, const char *name)
{
  g_autofree char *file = g_strconcat (name, ".json", NULL);

  return g_build_filename (folder, file, NULL);
}

/* The names of the scenes that show what names[first] shows, that one first; each is cleared. */
static GPtrArray *
take_group (const Wishes *wishes, GPtrArray *names, guint first)
{
  GPtrArray *group = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *path = build_scene_path (wishes->scene, names->pdata[first]);
  g_autoptr (PhotoScene) scene = photo_scene_read (path, NULL);

  g_ptr_array_add (group, g_steal_pointer (&names->pdata[first]));
  for (guint i = first + 1; scene != NULL && i < names->len; i++)
    {
      g_autofree char *other_path = NULL;
      g_autoptr (PhotoScene) other = NULL;

      if (names->pdata[i] == NULL || group->len == RAKE_PHOTO_MAX_TOGETHER)
        continue;
      other_path = build_scene_path (wishes->scene, names->pdata[i]);
      other = photo_scene_read (other_path, NULL);
      if (other != NULL && are_of_one_body (scene, other))
        g_ptr_array_add (group, g_steal_pointer (&names->pdata[i]));
    }
  return group;
}

/* The pictures of one body, each of which gets what all show. One that cannot be read is left out. */
static CliExit
read_group (const Wishes *wishes, const GPtrArray *group, JsonText *summary)
{
  g_autoptr (GPtrArray) readings = new_readings ();
  g_autoptr (PhotoScene) scene = NULL;
  g_autoptr (RakePhotoReading) together = NULL;
  g_autoptr (GError) error = NULL;
  CliExit code = CLI_DONE;

  for (guint i = 0; i < group->len; i++)
    {
      g_autofree char *image = find_image (wishes->image, group->pdata[i]);
      g_autofree char *path = build_scene_path (wishes->scene, group->pdata[i]);
      g_autoptr (PhotoScene) its_scene = NULL;
      g_autoptr (GError) its_error = NULL;
      RakePhotoReading *reading;

      if (image == NULL)
        {
          code = fail_without_image (wishes, group->pdata[i]);
          continue;
        }
      reading = read_photo (wishes, image, path, &its_scene, &its_error);
      if (reading == NULL)
        {
          code = cli_fail (CLI_INPUT, g_steal_pointer (&its_error));
          continue;
        }
      g_ptr_array_add (readings, reading);
      if (scene == NULL)
        scene = g_steal_pointer (&its_scene);
    }
  together = readings->len > 0 ? combine (readings, &error) : NULL;
  if (error != NULL)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  for (guint i = 0; together != NULL && scene != NULL && i < group->len; i++)
    {
      g_autofree char *out = build_scene_path (wishes->out, group->pdata[i]);
      CliExit one = read_photo_tell (group->pdata[i], together, scene->zone_names, out, summary);

      code = one != CLI_DONE ? one : code;
    }
  return code;
}

static CliExit
read_one_of_folder (const Wishes *wishes, const char *name, JsonText *summary)
{
  g_autofree char *scene = build_scene_path (wishes->scene, name);
  g_autofree char *out = build_scene_path (wishes->out, name);
  g_autofree char *image = find_image (wishes->image, name);

  if (image == NULL)
    return fail_without_image (wishes, name);
  return read_one (wishes, name, image, scene, out, summary);
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
      CliExit one = CLI_DONE;

      if (wishes->are_together && names->pdata[i] != NULL)
        {
          g_autoptr (GPtrArray) group = take_group (wishes, names, i);
          one = read_group (wishes, group, summary);
        }
      else if (names->pdata[i] != NULL)
        one = read_one_of_folder (wishes, names->pdata[i], summary);
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
  else if (wishes->are_together && !is_folder)
    *code = cli_fail_with (CLI_USAGE, _ ("--together is of folders"));
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
run (const Wishes *wishes, const char *job, char **photos, guint n_photos)
{
  g_auto (JsonText) text = { 0 };
  JsonText *summary = wishes->wants_json ? &text : NULL;
  CliExit code;

  json_text_init (&text);
  json_text_open (&text, '[');
  if (job != NULL)
    code = read_from_job_together (wishes, job, photos, n_photos, summary);
  else if (g_file_test (wishes->scene, G_FILE_TEST_IS_DIR))
    code = read_folder (wishes, summary);
  else
    {
      g_autofree char *name = g_path_get_basename (wishes->image);

      code = read_one (wishes, name, wishes->image, wishes->scene, wishes->out, summary);
    }
  json_text_close (&text, ']');
  if (wishes->wants_json && wishes->out != NULL && !json_text_print (&text))
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
    { "together", 't', 0, G_OPTION_ARG_NONE, &wishes.are_together,
      N_ ("Of folders: read the pictures whose scenes have the same outline, cavities and zones as "
          "one"), NULL },
    { "json", 'j', 0, G_OPTION_ARG_NONE, &wishes.wants_json,
      N_ ("Sum up as JSON what was written"), NULL },
    { 0 },
  };

  if (cli_parse (&command, "[JOB PHOTO…]",
                 N_ ("Nothing is entered in any job: these are proposals. A photograph of a job is "
                     "given by its number in the list or its id, and must lie on its face. Several "
                     "of one face, with the lamp on different sides, are read as one."),
                 entries, &argc, &argv, 0, 1 + RAKE_PHOTO_MAX_TOGETHER, &code))
    {
      gboolean has_job = argc >= 3;

      if (argc == 2)
        code = cli_fail_with (CLI_USAGE, _ ("Give the photograph too: its number in the list, or "
                                            "its id"));
      else if (check_wishes (&wishes, has_job, &code))
        code = run (&wishes, has_job ? argv[1] : NULL, argv + 2, has_job ? (guint) argc - 2 : 0);
    }
  g_free (wishes.image);
  g_free (wishes.scene);
  g_free (wishes.out);
  return code;
}

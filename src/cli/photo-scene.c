/* photo-scene.c - see photo-scene.h. */
#include "rakelight-config.h"

#include "photo-scene.h"

#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <jansson.h>
#include <math.h>

#define MAX_BYTES (64u * 1024 * 1024)
#define MAX_POINTS 100000
#define MAX_HOLES 500
#define MAX_PAIRS 200
#define MAX_NAME 200

typedef json_t *Json;
G_DEFINE_AUTO_CLEANUP_FREE_FUNC (Json, json_decref, NULL)

static gboolean fail (GError **error, const char *format, ...) G_GNUC_PRINTF (2, 3);

static gboolean
fail (GError **error, const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  if (error != NULL && *error == NULL)
    {
      *error = g_error_new_valist (G_IO_ERROR, G_IO_ERROR_INVALID_DATA, format, arguments);
    }
  va_end (arguments);
  return FALSE;
}

static gboolean
read_place (json_t *value, double *x, double *y)
{
  json_t *first = json_array_get (value, 0), *second = json_array_get (value, 1);

  if (json_array_size (value) != 2 || !json_is_number (first) || !json_is_number (second))
    return FALSE;
  *x = json_number_value (first);
  *y = json_number_value (second);
  return isfinite (*x) && isfinite (*y);
}

/* @what names it in the sentence: "outline", "zone 2". */
static RakeShape *
read_ring (json_t *value, const char *what, GError **error)
{
  gsize n = json_array_size (value);
  g_autofree double *points = NULL;
  RakeShape *shape;

  if (n < 3 || n > MAX_POINTS)
    {
      fail (error, _ ("%s is not a list of 3 to %d places"), what, MAX_POINTS);
      return NULL;
    }
  points = g_new (double, 2 * n);
  for (gsize i = 0; i < n; i++)
    if (!read_place (json_array_get (value, i), &points[2 * i], &points[2 * i + 1]))
      {
        fail (error, _ ("%s: place %zu is not a pair of numbers"), what, i + 1);
        return NULL;
      }
  shape = rake_shape_new_area (points, (guint) n, error);
  if (shape == NULL)
    g_prefix_error (error, "%s: ", what);
  return shape;
}

static gboolean
read_size (json_t *root, PhotoScene *scene, GError **error)
{
  double width, height;

  if (!read_place (json_object_get (root, "image_size"), &width, &height) ||
      !(width >= 1 && width <= 65500 && height >= 1 && height <= 65500))
    return fail (error, _ ("image_size is not a width and a height in pixels"));
  scene->width = (int) width;
  scene->height = (int) height;
  return TRUE;
}

static gboolean
read_holes (json_t *list, PhotoScene *scene, GError **error)
{
  if (list == NULL)
    return TRUE;
  if (!json_is_array (list) || json_array_size (list) > MAX_HOLES)
    return fail (error, _ ("holes is not a list of at most %d"), MAX_HOLES);
  for (gsize i = 0; i < json_array_size (list); i++)
    {
      g_autofree char *what = g_strdup_printf (_ ("hole %zu"), i + 1);
      RakeShape *hole = read_ring (json_array_get (list, i), what, error);

      if (hole == NULL)
        return FALSE;
      g_ptr_array_add (scene->holes, hole);
    }
  return TRUE;
}

static gboolean
read_zones (json_t *list, PhotoScene *scene, GError **error)
{
  if (!json_is_array (list) || json_array_size (list) > PHOTO_SCENE_MAX_ZONES)
    return fail (error, _ ("zones is not a list of at most %d"), PHOTO_SCENE_MAX_ZONES);
  for (gsize i = 0; i < json_array_size (list); i++)
    {
      json_t *item = json_array_get (list, i);
      const char *name = json_string_value (json_object_get (item, "name"));
      g_autofree char *what = g_strdup_printf (_ ("zone %zu"), i + 1);
      RakeShape *zone;

      if (name == NULL || *name == '\0' || g_utf8_strlen (name, -1) > MAX_NAME)
        return fail (error, _ ("%s has no name"), what);
      for (guint k = 0; k < scene->zone_names->len; k++)
        if (g_str_equal (scene->zone_names->pdata[k], name))
          return fail (error, _ ("Two zones are called “%s”"), name);
      zone = read_ring (json_object_get (item, "polygon"), what, error);
      if (zone == NULL)
        return FALSE;
      g_ptr_array_add (scene->zones, zone);
      g_ptr_array_add (scene->zone_names, g_strdup (name));
    }
  return TRUE;
}

static gboolean
read_pairs (json_t *list, PhotoScene *scene, GError **error)
{
  if (!json_is_array (list) || json_array_size (list) > MAX_PAIRS)
    return fail (error, _ ("point_pairs is not a list of at most %d"), MAX_PAIRS);
  for (gsize i = 0; i < json_array_size (list); i++)
    {
      json_t *item = json_array_get (list, i);
      RakePhotoPair pair;

      if (!read_place (json_object_get (item, "image"), &pair.image_x_px, &pair.image_y_px) ||
          !read_place (json_object_get (item, "body"), &pair.body_x_mm, &pair.body_y_mm))
        return fail (error, _ ("point_pairs: pair %zu has no image or no body place"), i + 1);
      g_array_append_val (scene->pairs, pair);
    }
  return TRUE;
}

PhotoScene *
photo_scene_new (void)
{
  PhotoScene *scene = g_new0 (PhotoScene, 1);

  scene->holes = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  scene->zones = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  scene->zone_names = g_ptr_array_new_with_free_func (g_free);
  scene->pairs = g_array_new (FALSE, FALSE, sizeof (RakePhotoPair));
  return scene;
}

PhotoScene *
photo_scene_new_from_text (const char *text, gsize length, GError **error)
{
  json_error_t wrong;
  g_auto (Json) root = json_loadb (text, length, JSON_REJECT_DUPLICATES, &wrong);
  g_autoptr (PhotoScene) scene = photo_scene_new ();

  if (root == NULL)
    {
      fail (error, _ ("line %d, column %d: %s"), wrong.line, wrong.column, wrong.text);
      return NULL;
    }
  if (!read_size (root, scene, error))
    return NULL;
  scene->outline = read_ring (json_object_get (root, "outline"), _ ("outline"), error);
  if (scene->outline == NULL || !read_holes (json_object_get (root, "holes"), scene, error) ||
      !read_zones (json_object_get (root, "zones"), scene, error) ||
      !read_pairs (json_object_get (root, "point_pairs"), scene, error))
    return NULL;
  return g_steal_pointer (&scene);
}

PhotoScene *
photo_scene_read (const char *path, GError **error)
{
  g_autofree char *text = NULL;
  PhotoScene *scene;
  GStatBuf found;
  gsize length;

  if (g_stat (path, &found) == 0 && found.st_size > MAX_BYTES)
    {
      fail (error, _ ("%s is larger than %u MB; that is no scene"), path, MAX_BYTES >> 20);
      return NULL;
    }
  if (!g_file_get_contents (path, &text, &length, error))
    return NULL;
  scene = photo_scene_new_from_text (text, length, error);
  if (scene == NULL)
    g_prefix_error (error, "%s: ", path);
  return scene;
}

void
photo_scene_free (PhotoScene *scene)
{
  if (scene == NULL)
    return;
  g_clear_pointer (&scene->outline, rake_shape_unref);
  g_ptr_array_unref (scene->holes);
  g_ptr_array_unref (scene->zones);
  g_ptr_array_unref (scene->zone_names);
  g_array_unref (scene->pairs);
  g_free (scene);
}

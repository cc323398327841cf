/* photo-scene.h - a photograph's scene as JSON: the face it shows, and where its points are.
 *
 * {"image_size": [w, h], "outline": [[x, y] …], "holes": [[[x, y] …] …],
 *  "zones": [{"name": "…", "polygon": [[x, y] …]} …],
 *  "point_pairs": [{"image": [x, y], "body": [x, y]} …]}
 *
 * Lengths are millimetres of the face, x right, y down; image coordinates are pixels. Members with
 * other names are passed over, whatever they hold. */
#pragma once
#include <gio/gio.h>
#include <rakelight/photo-fit.h>
#include <rakelight/shape.h>

#define PHOTO_SCENE_MAX_ZONES 200

typedef struct
{
  int width, height;
  RakeShape *outline;
  GPtrArray *holes; /* RakeShape */
  GPtrArray *zones; /* RakeShape */
  GPtrArray *zone_names;
  GArray *pairs; /* RakePhotoPair */
} PhotoScene;

/* NULL with @error set to G_IO_ERROR_INVALID_DATA, or why the file could not be read. */
PhotoScene *photo_scene_read (const char *path, GError **error);
PhotoScene *photo_scene_new_from_text (const char *text, gsize length, GError **error);

/* One with nothing in it. */
PhotoScene *photo_scene_new (void);
void photo_scene_free (PhotoScene *scene);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (PhotoScene, photo_scene_free)

/* camera.c - see camera.h. Frames come in a thread of GStreamer's; the latest waits for the main thread. */
#include "camera.h"
#include "../camera/camera-module.h"
#include "../imaging/helper-file.h"

#include <gmodule.h>

#include "words.h"

/* What the camera's thread and the main thread share; it outlives both who ask for it. */
typedef struct
{
  GMutex mutex;
  RakeCamera *owner; /* NULL once it is not interested any more; the main thread's */
  GBytes *rgb;
  int width, height;
  char *failure;
  guint telling;
} Link;

struct _RakeCamera
{
  GObject parent_instance;

  RakeCameraState state;
  char *sentence;
  GStrv names;
  guint chosen;
  char *chosen_name;
  const RakeCameraModule *module;
  RakeCameraRun *run;
  Link *link;
  GBytes *rgb; /* shown now */
  int width, height;
  GdkTexture *texture;
};

enum
{
  CHANGED,
  FRAME,
  N_SIGNALS,
};

static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (RakeCamera, rake_camera, G_TYPE_OBJECT)

static void
set_state (RakeCamera *self, RakeCameraState state, const char *sentence)
{
  g_autofree char *before = g_steal_pointer (&self->sentence);

  self->state = state;
  self->sentence = g_strdup (sentence);
  g_signal_emit (self, signals[CHANGED], 0);
}

/* --- between the threads ------------------------------------------------------------------------------ */

static void
clear_link (gpointer data)
{
  Link *link = data;

  g_clear_pointer (&link->rgb, g_bytes_unref);
  g_free (link->failure);
  g_mutex_clear (&link->mutex);
}

static void
unref_link (gpointer link)
{
  g_atomic_rc_box_release_full (link, clear_link);
}

static void
take_frame (RakeCamera *self, GBytes *rgb, int width, int height)
{
  g_clear_pointer (&self->rgb, g_bytes_unref);
  g_clear_object (&self->texture);
  self->rgb = rgb;
  self->width = width;
  self->height = height;
  self->texture = gdk_memory_texture_new (width, height, GDK_MEMORY_R8G8B8, rgb, 3 * (gsize) width);
  if (self->state != RAKE_CAMERA_LIVE)
    set_state (self, RAKE_CAMERA_LIVE, NULL);
  g_signal_emit (self, signals[FRAME], 0);
}

static void
take_failure (RakeCamera *self, const char *failure)
{
  g_autofree char *sentence =
      *failure != '\0'
          ? g_strdup_printf (_ ("The camera stopped: %s. Look at its cable, then try again."),
                             failure)
          : g_strdup (_ ("The camera stopped. Look at its cable, then try again."));

  rake_camera_close (self);
  set_state (self, RAKE_CAMERA_NONE, sentence);
}

static gboolean
tell (gpointer user_data)
{
  Link *link = user_data;
  g_autoptr (GBytes) rgb = NULL;
  g_autofree char *failure = NULL;
  int width, height;

  g_mutex_lock (&link->mutex);
  rgb = g_steal_pointer (&link->rgb);
  width = link->width;
  height = link->height;
  failure = g_steal_pointer (&link->failure);
  link->telling = 0;
  g_mutex_unlock (&link->mutex);
  if (link->owner != NULL && rgb != NULL)
    take_frame (link->owner, g_steal_pointer (&rgb), width, height);
  if (link->owner != NULL && failure != NULL)
    take_failure (link->owner, failure);
  return G_SOURCE_REMOVE;
}

/* With the mutex held. */
static void
tell_soon (Link *link)
{
  if (link->telling == 0)
    link->telling =
        g_idle_add_full (G_PRIORITY_DEFAULT_IDLE, tell, g_atomic_rc_box_acquire (link), unref_link);
}

static void
on_frame (GBytes *rgb, int width, int height, gpointer user_data)
{
  Link *link = user_data;

  g_mutex_lock (&link->mutex);
  g_clear_pointer (&link->rgb, g_bytes_unref);
  link->rgb = g_bytes_ref (rgb);
  link->width = width;
  link->height = height;
  tell_soon (link);
  g_mutex_unlock (&link->mutex);
}

static void
on_failed (const char *sentence, gpointer user_data)
{
  Link *link = user_data;

  g_mutex_lock (&link->mutex);
  g_free (link->failure);
  link->failure = g_strdup (sentence);
  tell_soon (link);
  g_mutex_unlock (&link->mutex);
}

static Link *
new_link (RakeCamera *owner)
{
  Link *link = g_atomic_rc_box_new0 (Link);

  g_mutex_init (&link->mutex);
  link->owner = owner;
  return link;
}

/* --- opening, in a worker ------------------------------------------------------------------------------- */

typedef struct
{
  const RakeCameraModule *module; /* NULL: to be loaded */
  GStrv names;                    /* NULL: to be looked for */
  char *wanted;
  guint chosen;
  RakeCameraRun *run;
  Link *link;
} Opening;

static void
free_opening (gpointer data)
{
  Opening *opening = data;

  if (opening->run != NULL)
    opening->module->stop (opening->run);
  g_strfreev (opening->names);
  g_free (opening->wanted);
  unref_link (opening->link);
  g_free (opening);
}

/* It stays loaded: GStreamer does not like to be taken away. */
static const RakeCameraModule *
load_module (void)
{
  g_autofree char *path = rake_helper_find ("camera", "rakelight-camera.so");
  GModule *module =
      path != NULL ? g_module_open (path, G_MODULE_BIND_LAZY | G_MODULE_BIND_LOCAL) : NULL;
  const RakeCameraModule *(*get) (void) = NULL;
  const RakeCameraModule *found;

  if (module == NULL ||
      !g_module_symbol (module, RAKE_CAMERA_MODULE_SYMBOL, (gpointer *) (gpointer) &get))
    return NULL;
  g_module_make_resident (module);
  found = get ();
  return found->version == RAKE_CAMERA_MODULE_VERSION ? found : NULL;
}

static guint
find_wanted (const Opening *opening)
{
  for (guint i = 0; opening->wanted != NULL && opening->names[i] != NULL; i++)
    if (g_str_equal (opening->names[i], opening->wanted))
      return i;
  return 0;
}

static void
open_in_worker (GTask *task, gpointer source, gpointer task_data, GCancellable *cancellable)
{
  Opening *opening = task_data;
  g_autoptr (GError) error = NULL;

  if (opening->module == NULL)
    opening->module = load_module ();
  if (opening->module == NULL)
    {
      g_task_return_new_error (
          task, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED,
          _ ("This Rakelight was built without GStreamer, which shows what a camera sees. Take the "
             "picture with the camera itself, and add its file."));
      return;
    }
  opening->names = opening->module->list (&error);
  if (opening->names == NULL || opening->names[0] == NULL)
    {
      g_task_return_new_error (
          task, G_IO_ERROR, G_IO_ERROR_NOT_FOUND, "%s",
          _ ("No camera was found. Plug one in and try again, or take the picture with a phone "
             "and add its file."));
      return;
    }
  opening->chosen = find_wanted (opening);
  opening->run =
      opening->module->start (opening->chosen, on_frame, on_failed, opening->link, &error);
  if (opening->run != NULL)
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_FAILED,
                             _ ("The camera cannot be opened: %s. Another program may have it."),
                             error->message);
}

static void
opened (GObject *source, GAsyncResult *result, gpointer user_data)
{
  RakeCamera *self = RAKE_CAMERA (source);
  Opening *opening = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;
  gboolean is_open = g_task_propagate_boolean (G_TASK (result), &error);

  /* closed meanwhile, or opened anew: this run is stopped with the task */
  if (self->link != opening->link)
    return;
  self->module = opening->module;
  g_clear_pointer (&self->names, g_strfreev);
  self->names = g_steal_pointer (&opening->names);
  self->chosen = opening->chosen;
  if (is_open)
    {
      self->run = g_steal_pointer (&opening->run);
      g_signal_emit (self, signals[CHANGED], 0);
      return;
    }
  rake_camera_close (self);
  set_state (self, RAKE_CAMERA_NONE, error->message);
}

void
rake_camera_open (RakeCamera *self)
{
  g_autoptr (GTask) task = NULL;
  Opening *opening = g_new0 (Opening, 1);

  rake_camera_close (self);
  self->link = new_link (self);
  opening->module = self->module;
  opening->wanted = g_strdup (self->chosen_name);
  opening->link = g_atomic_rc_box_acquire (self->link);
  set_state (self, RAKE_CAMERA_LOOKING, NULL);
  task = g_task_new (self, NULL, opened, NULL);
  g_task_set_task_data (task, opening, free_opening);
  g_task_run_in_thread (task, open_in_worker);
}

void
rake_camera_close (RakeCamera *self)
{
  if (self->run != NULL)
    self->module->stop (g_steal_pointer (&self->run));
  if (self->link != NULL)
    self->link->owner = NULL;
  g_clear_pointer (&self->link, unref_link);
  g_clear_pointer (&self->rgb, g_bytes_unref);
  g_clear_object (&self->texture);
  if (self->state != RAKE_CAMERA_CLOSED)
    set_state (self, RAKE_CAMERA_CLOSED, NULL);
}

/* --- asked ------------------------------------------------------------------------------------------------ */

RakeCameraState
rake_camera_get_state (RakeCamera *self)
{
  return self->state;
}

const char *
rake_camera_get_sentence (RakeCamera *self)
{
  return self->sentence;
}

const char *const *
rake_camera_get_names (RakeCamera *self)
{
  static const char *const none[] = { NULL };

  return self->names != NULL ? (const char *const *) self->names : none;
}

guint
rake_camera_get_chosen (RakeCamera *self)
{
  return self->chosen;
}

void
rake_camera_choose (RakeCamera *self, guint index)
{
  if (self->names == NULL || index >= g_strv_length (self->names) || index == self->chosen)
    return;
  g_free (self->chosen_name);
  self->chosen_name = g_strdup (self->names[index]);
  rake_camera_open (self);
}

GdkTexture *
rake_camera_get_texture (RakeCamera *self)
{
  return self->texture;
}

GBytes *
rake_camera_take (RakeCamera *self, int *width, int *height)
{
  if (self->rgb == NULL)
    return NULL;
  *width = self->width;
  *height = self->height;
  return g_bytes_ref (self->rgb);
}

/* --- class -------------------------------------------------------------------------------------------------- */

RakeCamera *
rake_camera_new (void)
{
  return g_object_new (RAKE_TYPE_CAMERA, NULL);
}

static void
rake_camera_dispose (GObject *object)
{
  rake_camera_close (RAKE_CAMERA (object));
  G_OBJECT_CLASS (rake_camera_parent_class)->dispose (object);
}

static void
rake_camera_finalize (GObject *object)
{
  RakeCamera *self = RAKE_CAMERA (object);

  g_strfreev (self->names);
  g_free (self->chosen_name);
  g_free (self->sentence);
  G_OBJECT_CLASS (rake_camera_parent_class)->finalize (object);
}

static void
rake_camera_class_init (RakeCameraClass *klass)
{
  GType type = G_TYPE_FROM_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_camera_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_camera_finalize;
  signals[CHANGED] =
      g_signal_new ("changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[FRAME] =
      g_signal_new ("frame", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
rake_camera_init (RakeCamera *self)
{
}

/* camera-module.c - cameras by GStreamer. See camera-module.h.
 *
 * RAKELIGHT_CAMERA in the environment, a source as gst-launch-1.0 writes it, stands for all cameras: for
 * tests, and for a camera that GStreamer knows but does not list. */
#include "camera-module.h"

#include <gst/app/gstappsink.h>
#include <gst/gst.h>
#include <gst/video/video.h>
#include <gmodule.h>
#include <string.h>

#define MOST_PIXELS 12500000
#define LEAST_FRAMES_PER_S 5

/* Frames that nobody fetched are dropped: a queue would grow without end. */
#define SINK                                                                                       \
  "videoconvert ! appsink name=sink max-buffers=1 drop=true sync=false "                           \
  "caps=video/x-raw,format=RGB"

struct _RakeCameraRun
{
  GMutex mutex; /* over the next three: held while they are called, and when they are taken away */
  RakeCameraFrame frame;
  RakeCameraFailed failed;
  gpointer user_data;

  GstElement *pipeline;
};

G_LOCK_DEFINE_STATIC (cameras);
static GPtrArray *cameras; /* GstDevice, as listed last */

const RakeCameraModule *rake_camera_module (void);

static const char *
get_stand_in (void)
{
  const char *source = g_getenv ("RAKELIGHT_CAMERA");

  return source != NULL && *source != '\0' ? source : NULL;
}

/* --- which there are --------------------------------------------------------------------------------- */

static char **
name_cameras (void)
{
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();

  for (guint i = 0; i < cameras->len; i++)
    {
      g_autofree char *name = gst_device_get_display_name (cameras->pdata[i]);
      g_strv_builder_add (names, name);
    }
  return g_strv_builder_end (names);
}

static char **
list (GError **error)
{
  static const char *const stand_in[] = { "RAKELIGHT_CAMERA", NULL };
  g_autoptr (GstDeviceMonitor) monitor = NULL;
  GList *found;

  if (!gst_init_check (NULL, NULL, error))
    return NULL;
  if (get_stand_in () != NULL)
    return g_strdupv ((char **) stand_in);
  monitor = gst_device_monitor_new ();
  gst_device_monitor_add_filter (monitor, "Video/Source", NULL);
  found = gst_device_monitor_get_devices (monitor);
  G_LOCK (cameras);
  g_clear_pointer (&cameras, g_ptr_array_unref);
  cameras = g_ptr_array_new_with_free_func (gst_object_unref);
  for (GList *at = found; at != NULL; at = at->next)
    g_ptr_array_add (cameras, at->data);
  g_list_free (found);
  {
    char **names = name_cameras ();
    G_UNLOCK (cameras);
    return names;
  }
}

/* --- the largest picture that still moves ------------------------------------------------------------- */

static gboolean
moves (const GstStructure *format)
{
  const GValue *rate = gst_structure_get_value (format, "framerate");
  int numerator, denominator;

  if (!gst_structure_get_fraction (format, "framerate", &numerator, &denominator))
    return rate == NULL || !GST_VALUE_HOLDS_FRACTION (rate); /* a choice of rates, or none said */
  return denominator > 0 && numerator >= LEAST_FRAMES_PER_S * denominator;
}

static GstCaps *
choose_caps (GstDevice *camera)
{
  g_autoptr (GstCaps) all = gst_device_get_caps (camera);
  gint64 most = 0;
  guint best = 0;

  for (guint i = 0; all != NULL && i < gst_caps_get_size (all); i++)
    {
      const GstStructure *format = gst_caps_get_structure (all, i);
      int width, height;

      if (gst_structure_get_int (format, "width", &width) &&
          gst_structure_get_int (format, "height", &height) && moves (format) &&
          (gint64) width * height <= MOST_PIXELS && (gint64) width * height > most)
        {
          most = (gint64) width * height;
          best = i;
        }
    }
  return most > 0 ? gst_caps_copy_nth (all, best) : NULL;
}

/* --- the pipeline -------------------------------------------------------------------------------------- */

static GBytes *
copy_rows (const GstVideoFrame *video)
{
  gsize row = 3 * (gsize) GST_VIDEO_FRAME_WIDTH (video);
  gsize n_rows = (gsize) GST_VIDEO_FRAME_HEIGHT (video);
  const guint8 *from = GST_VIDEO_FRAME_PLANE_DATA (video, 0);
  gsize stride = (gsize) GST_VIDEO_FRAME_PLANE_STRIDE (video, 0);
  guint8 *rgb = g_malloc (row * n_rows);

  for (gsize y = 0; y < n_rows; y++)
    memcpy (rgb + y * row, from + y * stride, row);
  return g_bytes_new_take (rgb, row * n_rows);
}

static GstFlowReturn
on_sample (GstAppSink *sink, gpointer user_data)
{
  RakeCameraRun *self = user_data;
  g_autoptr (GstSample) sample = gst_app_sink_pull_sample (sink);
  GstVideoInfo info;
  GstVideoFrame video;

  if (sample == NULL || !gst_video_info_from_caps (&info, gst_sample_get_caps (sample)) ||
      !gst_video_frame_map (&video, &info, gst_sample_get_buffer (sample), GST_MAP_READ))
    return GST_FLOW_OK;
  g_mutex_lock (&self->mutex);
  if (self->frame != NULL)
    {
      g_autoptr (GBytes) rgb = copy_rows (&video);
      self->frame (rgb, GST_VIDEO_FRAME_WIDTH (&video), GST_VIDEO_FRAME_HEIGHT (&video),
                   self->user_data);
    }
  g_mutex_unlock (&self->mutex);
  gst_video_frame_unmap (&video);
  return GST_FLOW_OK;
}

static void
fail (RakeCameraRun *self, const char *sentence)
{
  g_mutex_lock (&self->mutex);
  if (self->failed != NULL)
    self->failed (sentence, self->user_data);
  self->failed = NULL; /* the first says it */
  g_mutex_unlock (&self->mutex);
}

static GstBusSyncReply
on_message (GstBus *bus, GstMessage *message, gpointer user_data)
{
  if (GST_MESSAGE_TYPE (message) == GST_MESSAGE_ERROR)
    {
      g_autoptr (GError) error = NULL;

      gst_message_parse_error (message, &error, NULL);
      fail (user_data, error->message);
    }
  else if (GST_MESSAGE_TYPE (message) == GST_MESSAGE_EOS)
    fail (user_data, "");
  gst_message_unref (message);
  return GST_BUS_DROP;
}

/* All of it or nothing: by itself a pipeline is built around what is lacking. */
static GstElement *
parse (const char *text, GError **error)
{
  return gst_parse_launch_full (text, NULL, GST_PARSE_FLAG_FATAL_ERRORS, error);
}

static GstElement *
make_of_device (GstDevice *camera, GError **error)
{
  g_autoptr (GstElement) pipeline = NULL;
  g_autoptr (GstElement) filter = NULL;
  g_autoptr (GstCaps) caps = choose_caps (camera);
  GstElement *source;

  pipeline = parse ("capsfilter name=filter ! decodebin ! " SINK, error);
  source = pipeline != NULL ? gst_device_create_element (camera, "source") : NULL;
  if (source == NULL)
    return NULL;
  filter = gst_bin_get_by_name (GST_BIN (pipeline), "filter");
  if (caps != NULL)
    g_object_set (filter, "caps", caps, NULL);
  gst_bin_add (GST_BIN (pipeline), source);
  return gst_element_link (source, filter) ? g_steal_pointer (&pipeline) : NULL;
}

static GstElement *
make_pipeline (guint index, GError **error)
{
  g_autofree char *text = NULL;
  GstElement *pipeline = NULL;

  if (get_stand_in () != NULL)
    {
      text = g_strdup_printf ("%s ! " SINK, get_stand_in ());
      return parse (text, error);
    }
  G_LOCK (cameras);
  if (cameras != NULL && index < cameras->len)
    pipeline = make_of_device (cameras->pdata[index], error);
  G_UNLOCK (cameras);
  return pipeline;
}

static void
free_run (RakeCameraRun *self)
{
  g_clear_object (&self->pipeline);
  g_mutex_clear (&self->mutex);
  g_free (self);
}

/* What a device does when it is shut may take as long as it likes. */
static gpointer
tear_down (gpointer user_data)
{
  RakeCameraRun *self = user_data;
  g_autoptr (GstBus) bus = gst_element_get_bus (self->pipeline);

  gst_element_set_state (self->pipeline, GST_STATE_NULL);
  gst_bus_set_sync_handler (bus, NULL, NULL, NULL);
  free_run (self);
  return NULL;
}

static void
stop (RakeCameraRun *self)
{
  g_mutex_lock (&self->mutex);
  self->frame = NULL;
  self->failed = NULL;
  g_mutex_unlock (&self->mutex);
  g_thread_unref (g_thread_new ("camera-stop", tear_down, self));
}

static RakeCameraRun *
start (guint index, RakeCameraFrame frame, RakeCameraFailed failed, gpointer user_data,
       GError **error)
{
  GstAppSinkCallbacks callbacks = { .new_sample = on_sample };
  g_autoptr (GstElement) sink = NULL;
  g_autoptr (GstBus) bus = NULL;
  GstElement *pipeline = make_pipeline (index, error);
  RakeCameraRun *self;

  if (pipeline == NULL)
    {
      if (error != NULL && *error == NULL)
        g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND, "no such camera");
      return NULL;
    }
  self = g_new0 (RakeCameraRun, 1);
  g_mutex_init (&self->mutex);
  self->frame = frame;
  self->failed = failed;
  self->user_data = user_data;
  self->pipeline = gst_object_ref_sink (pipeline);
  sink = gst_bin_get_by_name (GST_BIN (pipeline), "sink");
  gst_app_sink_set_callbacks (GST_APP_SINK (sink), &callbacks, self, NULL);
  bus = gst_element_get_bus (pipeline);
  gst_bus_set_sync_handler (bus, on_message, self, NULL);
  gst_element_set_state (pipeline, GST_STATE_PLAYING); /* a refusal comes as a message */
  return self;
}

G_MODULE_EXPORT const RakeCameraModule *
rake_camera_module (void)
{
  static const RakeCameraModule module = { RAKE_CAMERA_MODULE_VERSION, list, start, stop };

  return &module;
}

/* photo-ways.c - pictures chosen, dropped, pasted. */
#include "photo-ways.h"
#include "photo-desk.h"
#include "session-private.h"

#include "words.h"

#define CHUNK_BYTES (256 * 1024)

static const char *const picture_types[] = { "image/jpeg", "image/png", NULL };

/* Something on its way from another program, or from the chooser. */
typedef struct
{
  RakeSession *session;
  RakePhotoPlace *place;
  GByteArray *bytes;
  GdkDrop *drop; /* NULL: pasted */
  GtkFileChooserNative *chooser;
} Bringing;

static Bringing *
new_bringing (RakeSession *session, const RakePhotoPlace *place)
{
  Bringing *bringing = g_new0 (Bringing, 1);

  bringing->session = g_object_ref (session);
  bringing->place = rake_photo_place_copy (place);
  return bringing;
}

static void
free_bringing (Bringing *bringing)
{
  if (bringing->drop)
    gdk_drop_finish (bringing->drop, GDK_ACTION_COPY);
  g_clear_object (&bringing->drop);
  g_clear_object (&bringing->chooser);
  g_clear_pointer (&bringing->bytes, g_byte_array_unref);
  g_clear_pointer (&bringing->place, rake_photo_place_free);
  g_object_unref (bringing->session);
  g_free (bringing);
}

static void
fail (Bringing *bringing, const char *sentence)
{
  rake_session_say (bringing->session, _ ("Not added. %s"), sentence);
  free_bringing (bringing);
}

/* --- files ------------------------------------------------------------------------------------------ */

/* Nothing is fetched from the network. */
static gboolean
is_from_the_network (GFile *file)
{
  return g_file_has_uri_scheme (file, "http") || g_file_has_uri_scheme (file, "https") ||
         g_file_has_uri_scheme (file, "ftp");
}

static void
add_file (Bringing *bringing, GFile *file)
{
  if (is_from_the_network (file))
    rake_session_say (bringing->session,
                      _ ("Not added. Save the picture from the network first, then add the file"));
  else
    rake_photo_desk_add_file (rake_photo_desk_get (bringing->session), file, bringing->place);
}

static void
add_files (Bringing *bringing, const GValue *value)
{
  g_autoptr (GSList) files = gdk_file_list_get_files (g_value_get_boxed (value));

  for (GSList *at = files; at; at = at->next)
    add_file (bringing, at->data);
  free_bringing (bringing);
}

static void
on_chosen (GtkNativeDialog *dialog, int response, Bringing *bringing)
{
  g_autoptr (GListModel) files = NULL;

  if (response == GTK_RESPONSE_ACCEPT)
    files = gtk_file_chooser_get_files (GTK_FILE_CHOOSER (dialog));
  for (guint i = 0; files && i < g_list_model_get_n_items (files); i++)
    {
      g_autoptr (GFile) file = g_list_model_get_item (files, i);
      add_file (bringing, file);
    }
  free_bringing (bringing);
}

void
rake_photo_ways_choose (GtkWindow *parent, RakeSession *session, const RakePhotoPlace *place)
{
  Bringing *bringing;
  g_autoptr (GtkFileFilter) pictures = NULL;
  g_autoptr (GtkFileFilter) all = NULL;

  if (!rake_session_check_writable (session))
    return;
  bringing = new_bringing (session, place);
  bringing->chooser =
      gtk_file_chooser_native_new (_ ("Add photographs"), parent, GTK_FILE_CHOOSER_ACTION_OPEN,
                                   C_ ("photographs", "_Add"), NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (bringing->chooser), TRUE);
  gtk_file_chooser_set_select_multiple (GTK_FILE_CHOOSER (bringing->chooser), TRUE);
  pictures = gtk_file_filter_new ();
  gtk_file_filter_set_name (pictures, _ ("Photographs"));
  for (guint i = 0; picture_types[i]; i++)
    gtk_file_filter_add_mime_type (pictures, picture_types[i]);
  gtk_file_filter_add_mime_type (pictures, "image/heic");
  gtk_file_filter_add_mime_type (pictures, "image/heif");
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (bringing->chooser), pictures);
  all = gtk_file_filter_new ();
  gtk_file_filter_set_name (all, _ ("All files"));
  gtk_file_filter_add_pattern (all, "*");
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (bringing->chooser), all);
  g_signal_connect (bringing->chooser, "response", G_CALLBACK (on_chosen), bringing);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (bringing->chooser));
}

/* --- a picture's bytes ------------------------------------------------------------------------------ */

static void read_more (GInputStream *stream, Bringing *bringing);

static void
on_read (GObject *source, GAsyncResult *result, gpointer user_data)
{
  GInputStream *stream = G_INPUT_STREAM (source);
  Bringing *bringing = user_data;
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) part = g_input_stream_read_bytes_finish (stream, result, &error);
  g_autoptr (GBytes) whole = NULL;

  if (!part)
    {
      fail (bringing, error->message);
      return;
    }
  if (bringing->bytes->len + g_bytes_get_size (part) > RAKE_PHOTO_MAX_BYTES)
    {
      fail (bringing, _ ("The picture is too large to be kept"));
      return;
    }
  if (g_bytes_get_size (part) > 0)
    {
      g_byte_array_append (bringing->bytes, g_bytes_get_data (part, NULL),
                           (guint) g_bytes_get_size (part));
      read_more (stream, bringing);
      return;
    }
  whole = g_byte_array_free_to_bytes (g_steal_pointer (&bringing->bytes));
  rake_photo_desk_add_bytes (rake_photo_desk_get (bringing->session), whole, NULL,
                             rake_session_now_ms (), bringing->place);
  free_bringing (bringing);
}

static void
read_more (GInputStream *stream, Bringing *bringing)
{
  g_input_stream_read_bytes_async (stream, CHUNK_BYTES, G_PRIORITY_DEFAULT, NULL, on_read,
                                   bringing);
}

static void
begin_reading (GInputStream *stream, Bringing *bringing, const GError *error)
{
  if (!stream)
    {
      fail (bringing, error->message);
      return;
    }
  bringing->bytes = g_byte_array_new ();
  read_more (stream, bringing);
}

/* --- the clipboard ---------------------------------------------------------------------------------- */

static void
on_pasted_files (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GError) error = NULL;
  const GValue *value = gdk_clipboard_read_value_finish (GDK_CLIPBOARD (source), result, &error);

  if (value)
    add_files (user_data, value);
  else
    fail (user_data, error->message);
}

static void
on_pasted_picture (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GInputStream) stream =
      gdk_clipboard_read_finish (GDK_CLIPBOARD (source), result, NULL, &error);

  begin_reading (stream, user_data, error);
}

static gboolean
has_picture (GdkContentFormats *formats)
{
  for (guint i = 0; picture_types[i]; i++)
    if (gdk_content_formats_contain_mime_type (formats, picture_types[i]))
      return TRUE;
  return FALSE;
}

static gboolean
has_files (GdkContentFormats *formats)
{
  return gdk_content_formats_contain_mime_type (formats, "text/uri-list") ||
         gdk_content_formats_contain_gtype (formats, GDK_TYPE_FILE_LIST);
}

void
rake_photo_ways_paste (GtkWidget *widget, RakeSession *session, const RakePhotoPlace *place)
{
  GdkClipboard *clipboard = gtk_widget_get_clipboard (widget);
  GdkContentFormats *formats = gdk_clipboard_get_formats (clipboard);

  if (!rake_session_check_writable (session))
    return;
  if (has_files (formats))
    gdk_clipboard_read_value_async (clipboard, GDK_TYPE_FILE_LIST, G_PRIORITY_DEFAULT, NULL,
                                    on_pasted_files, new_bringing (session, place));
  else if (has_picture (formats))
    gdk_clipboard_read_async (clipboard, (const char **) picture_types, G_PRIORITY_DEFAULT, NULL,
                              on_pasted_picture, new_bringing (session, place));
  else
    rake_session_say (session, _ ("The clipboard holds no photograph. Copy a picture, or its file, "
                                  "then paste again"));
}

/* --- what is dropped -------------------------------------------------------------------------------- */

typedef struct
{
  RakePhotoDropAsk ask;
  gpointer user_data;
} Target;

static void
on_dropped_files (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GError) error = NULL;
  const GValue *value = gdk_drop_read_value_finish (GDK_DROP (source), result, &error);

  if (value)
    add_files (user_data, value);
  else
    fail (user_data, error->message);
}

static void
on_dropped_picture (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GInputStream) stream = gdk_drop_read_finish (GDK_DROP (source), result, NULL, &error);

  begin_reading (stream, user_data, error);
}

static gboolean
on_accept (GtkDropTargetAsync *controller, GdkDrop *drop, Target *target)
{
  g_autoptr (RakePhotoPlace) place = NULL;
  GdkContentFormats *formats = gdk_drop_get_formats (drop);

  return target->ask (target->user_data, &place) && (has_files (formats) || has_picture (formats));
}

static gboolean
on_drop (GtkDropTargetAsync *controller, GdkDrop *drop, double x, double y, Target *target)
{
  g_autoptr (RakePhotoPlace) place = NULL;
  RakeSession *session = target->ask (target->user_data, &place);
  Bringing *bringing;

  if (!session || !rake_session_check_writable (session))
    return FALSE;
  bringing = new_bringing (session, place);
  bringing->drop = g_object_ref (drop);
  if (has_files (gdk_drop_get_formats (drop)))
    gdk_drop_read_value_async (drop, GDK_TYPE_FILE_LIST, G_PRIORITY_DEFAULT, NULL, on_dropped_files,
                               bringing);
  else
    gdk_drop_read_async (drop, (const char **) picture_types, G_PRIORITY_DEFAULT, NULL,
                         on_dropped_picture, bringing);
  return TRUE;
}

static void
free_target (gpointer target, GClosure *closure)
{
  g_free (target);
}

void
rake_photo_ways_take_drops (GtkWidget *widget, RakePhotoDropAsk ask, gpointer user_data)
{
  GdkContentFormatsBuilder *builder = gdk_content_formats_builder_new ();
  GtkDropTargetAsync *controller;
  Target *target = g_new (Target, 1);

  *target = (Target){ ask, user_data };
  gdk_content_formats_builder_add_gtype (builder, GDK_TYPE_FILE_LIST);
  gdk_content_formats_builder_add_mime_type (builder, "text/uri-list");
  for (guint i = 0; picture_types[i]; i++)
    gdk_content_formats_builder_add_mime_type (builder, picture_types[i]);
  controller = gtk_drop_target_async_new (gdk_content_formats_builder_free_to_formats (builder),
                                          GDK_ACTION_COPY);
  g_signal_connect (controller, "accept", G_CALLBACK (on_accept), target);
  g_signal_connect_data (controller, "drop", G_CALLBACK (on_drop), target, free_target, 0);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (controller));
}

/* photo-watch.c - a folder watched for new pictures. */
#include "photo-watch.h"
#include "settings.h"

#include <string.h>

#define STILL_MS 2000
#define LOOK_MS 10000
#define MOST_ANSWERED 20000 /* lines that are remembered; the oldest are forgotten */

/* A picture in the folder, as the last look found it. */
typedef struct
{
  RakeOfferedPhoto photo;
  char *line;      /* what is remembered of it: size, date, path */
  gint64 seen_us;  /* since when it has been so, by the steady clock */
} Found;

struct _RakePhotoWatch
{
  GObject parent_instance;

  char *folder;
  GFileMonitor *monitor;
  guint looking_again;
  GCancellable *looking;     /* a list is being made */
  gboolean is_first_look;    /* what is found now was there before */
  gboolean is_look_wanted;
  guint still_ms, look_ms;
  GHashTable *found;         /* line → Found: not answered, still or not */
  GPtrArray *offered;        /* RakeOfferedPhoto of those that stand still, not owned */
  GHashTable *answered;      /* line → line */
  GPtrArray *answered_lines; /* the same in order */
};

static guint changed_signal;

G_DEFINE_FINAL_TYPE (RakePhotoWatch, rake_photo_watch, G_TYPE_OBJECT)

static void
free_found (gpointer data)
{
  Found *found = data;

  g_free (found->photo.path);
  g_free (found->line);
  g_free (found);
}

/* --- what was answered ------------------------------------------------------------------------------- */

static char *
get_answers_path (void)
{
  return g_build_filename (g_get_user_state_dir (), "rakelight", "photos-answered", NULL);
}

static void
note_answer (RakePhotoWatch *self, const char *line)
{
  char *kept;

  if (g_hash_table_contains (self->answered, line))
    return;
  kept = g_strdup (line);
  g_ptr_array_add (self->answered_lines, kept);
  g_hash_table_add (self->answered, kept);
}

static void
read_answers (RakePhotoWatch *self)
{
  g_autofree char *path = get_answers_path ();
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  if (!g_file_get_contents (path, &text, NULL, NULL))
    return;
  lines = g_strsplit (text, "\n", -1);
  for (char **line = lines; *line; line++)
    if (**line)
      note_answer (self, *line);
}

/* A comfort: when it cannot be written, some pictures are offered again another day. */
static void
write_answers (RakePhotoWatch *self)
{
  g_autofree char *path = get_answers_path ();
  g_autofree char *folder = g_path_get_dirname (path);
  g_autoptr (GString) text = g_string_new (NULL);
  g_autoptr (GError) error = NULL;
  guint n_lines = self->answered_lines->len;

  for (guint i = n_lines > MOST_ANSWERED ? n_lines - MOST_ANSWERED : 0; i < n_lines; i++)
    g_string_append_printf (text, "%s\n", (char *) self->answered_lines->pdata[i]);
  g_mkdir_with_parents (folder, 0700);
  if (!g_file_set_contents (path, text->str, (gssize) text->len, &error))
    g_printerr ("rakelight: %s\n", error->message);
}

/* --- looking ------------------------------------------------------------------------------------------- */

static gboolean
is_picture_name (const char *name)
{
  static const char *const endings[] = { ".jpg", ".jpeg", ".png", ".heic", ".heif" };
  g_autofree char *lower = g_ascii_strdown (name, -1);

  for (guint i = 0; i < G_N_ELEMENTS (endings); i++)
    if (g_str_has_suffix (lower, endings[i]))
      return name[0] != '.'; /* hidden: what a program has not finished yet */
  return FALSE;
}

static Found *
new_found (const char *folder, GFileInfo *info)
{
  g_autoptr (GDateTime) time = g_file_info_get_modification_date_time (info);
  Found *found = g_new0 (Found, 1);
  g_autofree char *escaped = NULL;

  found->photo.path = g_build_filename (folder, g_file_info_get_name (info), NULL);
  found->photo.n_bytes = g_file_info_get_size (info);
  found->photo.file_ms = time ? g_date_time_to_unix (time) * 1000 : 0;
  escaped = g_strescape (found->photo.path, NULL);
  found->line = g_strdup_printf ("%" G_GINT64_FORMAT " %" G_GINT64_FORMAT " %s",
                                 found->photo.n_bytes, found->photo.file_ms, escaped);
  return found;
}

/* In a worker: the folder may lie on another machine. */
static void
list_folder (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const char *path = data;
  g_autoptr (GFile) folder = g_file_new_for_path (path);
  g_autoptr (GPtrArray) list = g_ptr_array_new_with_free_func (free_found);
  GError *error = NULL;
  g_autoptr (GFileEnumerator) files =
      g_file_enumerate_children (folder,
                                 G_FILE_ATTRIBUTE_STANDARD_NAME "," G_FILE_ATTRIBUTE_STANDARD_SIZE
                                                                "," G_FILE_ATTRIBUTE_STANDARD_TYPE
                                                                "," G_FILE_ATTRIBUTE_TIME_MODIFIED,
                                 G_FILE_QUERY_INFO_NONE, cancellable, &error);
  GFileInfo *info;

  if (!files)
    {
      g_task_return_error (task, error);
      return;
    }
  while (g_file_enumerator_iterate (files, &info, NULL, cancellable, NULL) && info)
    if (g_file_info_get_file_type (info) == G_FILE_TYPE_REGULAR &&
        is_picture_name (g_file_info_get_name (info)))
      g_ptr_array_add (list, new_found (path, info));
  g_task_return_pointer (task, g_steal_pointer (&list), (GDestroyNotify) g_ptr_array_unref);
}

static int
compare_time (gconstpointer a, gconstpointer b)
{
  const RakeOfferedPhoto *one = *(RakeOfferedPhoto *const *) a,
                         *other = *(RakeOfferedPhoto *const *) b;

  if (one->file_ms != other->file_ms)
    return one->file_ms < other->file_ms ? -1 : 1;
  return strcmp (one->path, other->path);
}

static gboolean
are_same_offers (const GPtrArray *one, const GPtrArray *other)
{
  return one->len == other->len &&
         (one->len == 0 || memcmp (one->pdata, other->pdata, one->len * sizeof (gpointer)) == 0);
}

/* Which of those found may be offered. TRUE: some are still being written. */
static gboolean
sort_out (RakePhotoWatch *self)
{
  g_autoptr (GPtrArray) before = g_steal_pointer (&self->offered);
  gint64 still_before_us = g_get_monotonic_time () - (gint64) self->still_ms * 1000;
  gboolean is_any_moving = FALSE;
  GHashTableIter iter;
  gpointer value;

  self->offered = g_ptr_array_new ();
  g_hash_table_iter_init (&iter, self->found);
  while (g_hash_table_iter_next (&iter, NULL, &value))
    {
      Found *found = value;
      if (found->seen_us <= still_before_us && found->photo.n_bytes > 0)
        g_ptr_array_add (self->offered, &found->photo);
      else
        is_any_moving = TRUE;
    }
  g_ptr_array_sort (self->offered, compare_time);
  if (!are_same_offers (before, self->offered))
    g_signal_emit (self, changed_signal, 0);
  return is_any_moving;
}

static void
take_list (RakePhotoWatch *self, GPtrArray *list)
{
  GHashTable *found = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, free_found);

  for (guint i = 0; i < list->len; i++)
    {
      Found *one = list->pdata[i], *before = g_hash_table_lookup (self->found, one->line);

      if (self->is_first_look)
        note_answer (self, one->line);
      if (g_hash_table_contains (self->answered, one->line))
        continue;
      /* The same one keeps its place in memory: so "changed" is told only of a change. */
      if (before)
        g_hash_table_steal (self->found, before->line);
      else
        {
          before = g_new0 (Found, 1);
          before->photo = one->photo;
          before->photo.path = g_strdup (one->photo.path);
          before->line = g_strdup (one->line);
          before->seen_us = g_get_monotonic_time ();
        }
      g_hash_table_insert (found, before->line, before);
    }
  g_hash_table_unref (self->found);
  self->found = found;
  if (self->is_first_look)
    write_answers (self);
  self->is_first_look = FALSE;
}

static void look_later (RakePhotoWatch *self, guint after_ms);

static void
on_listed (GObject *source, GAsyncResult *result, gpointer user_data)
{
  RakePhotoWatch *self = RAKE_PHOTO_WATCH (source);
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) list = g_task_propagate_pointer (G_TASK (result), &error);
  gboolean is_any_moving = FALSE;

  if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    return;
  g_clear_object (&self->looking);
  if (list)
    {
      take_list (self, list);
      is_any_moving = sort_out (self);
    }
  if (self->is_look_wanted)
    rake_photo_watch_look (self);
  else
    look_later (self, is_any_moving ? MIN (self->still_ms, self->look_ms) : self->look_ms);
}

void
rake_photo_watch_look (RakePhotoWatch *self)
{
  g_autoptr (GTask) task = NULL;

  self->is_look_wanted = self->looking != NULL;
  if (!self->folder || self->looking)
    return;
  g_clear_handle_id (&self->looking_again, g_source_remove);
  self->looking = g_cancellable_new ();
  task = g_task_new (self, self->looking, on_listed, NULL);
  g_task_set_task_data (task, g_strdup (self->folder), g_free);
  g_task_run_in_thread (task, list_folder);
}

static gboolean
on_time (gpointer user_data)
{
  RakePhotoWatch *self = user_data;

  self->looking_again = 0;
  rake_photo_watch_look (self);
  return G_SOURCE_REMOVE;
}

static void
look_later (RakePhotoWatch *self, guint after_ms)
{
  g_clear_handle_id (&self->looking_again, g_source_remove);
  self->looking_again = g_timeout_add (after_ms, on_time, self);
}

/* --- the folder ---------------------------------------------------------------------------------------- */

static void
stop (RakePhotoWatch *self)
{
  if (self->looking)
    g_cancellable_cancel (self->looking);
  g_clear_object (&self->looking);
  g_clear_handle_id (&self->looking_again, g_source_remove);
  if (self->monitor)
    {
      g_file_monitor_cancel (self->monitor);
      g_signal_handlers_disconnect_by_data (self->monitor, self);
    }
  g_clear_object (&self->monitor);
  g_ptr_array_set_size (self->offered, 0);
  g_hash_table_remove_all (self->found);
  g_clear_pointer (&self->folder, g_free);
}

static void
begin (RakePhotoWatch *self, const char *path)
{
  g_autoptr (GFile) folder = g_file_new_for_path (path);

  self->folder = g_strdup (path);
  self->monitor = g_file_monitor_directory (folder, G_FILE_MONITOR_WATCH_MOVES, NULL, NULL);
  if (self->monitor)
    g_signal_connect_swapped (self->monitor, "changed", G_CALLBACK (rake_photo_watch_look), self);
  rake_photo_watch_look (self);
}

const char *
rake_photo_watch_get_folder (RakePhotoWatch *self)
{
  return self->folder;
}

void
rake_photo_watch_set_folder (RakePhotoWatch *self, const char *path)
{
  if (g_strcmp0 (path, self->folder) == 0)
    return;
  stop (self);
  rake_settings_set_text ("photos", "folder", path);
  self->is_first_look = TRUE;
  if (path)
    begin (self, path);
  g_signal_emit (self, changed_signal, 0);
}

GPtrArray *
rake_photo_watch_get_offered (RakePhotoWatch *self)
{
  return self->offered;
}

void
rake_photo_watch_answer (RakePhotoWatch *self)
{
  for (guint i = 0; i < self->offered->len; i++)
    {
      Found *found = self->offered->pdata[i]; /* the photograph is its first member */
      note_answer (self, found->line);
    }
  for (guint i = self->offered->len; i-- > 0;)
    g_hash_table_remove (self->found, ((Found *) self->offered->pdata[i])->line);
  g_ptr_array_set_size (self->offered, 0);
  write_answers (self);
  g_signal_emit (self, changed_signal, 0);
}

void
rake_photo_watch_set_patience (RakePhotoWatch *self, guint still_ms, guint look_ms)
{
  self->still_ms = still_ms;
  self->look_ms = look_ms;
}

/* --- class ------------------------------------------------------------------------------------------------ */

static void
rake_photo_watch_dispose (GObject *object)
{
  stop (RAKE_PHOTO_WATCH (object));
  G_OBJECT_CLASS (rake_photo_watch_parent_class)->dispose (object);
}

static void
rake_photo_watch_finalize (GObject *object)
{
  RakePhotoWatch *self = RAKE_PHOTO_WATCH (object);

  g_ptr_array_unref (self->offered);
  g_hash_table_unref (self->found);
  g_hash_table_unref (self->answered);
  g_ptr_array_unref (self->answered_lines);
  G_OBJECT_CLASS (rake_photo_watch_parent_class)->finalize (object);
}

static void
rake_photo_watch_class_init (RakePhotoWatchClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = rake_photo_watch_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_photo_watch_finalize;
  changed_signal = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
}

static void
rake_photo_watch_init (RakePhotoWatch *self)
{
  g_autofree char *folder = rake_settings_get_text ("photos", "folder");

  self->still_ms = STILL_MS;
  self->look_ms = LOOK_MS;
  self->offered = g_ptr_array_new ();
  self->found = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, free_found);
  self->answered = g_hash_table_new (g_str_hash, g_str_equal);
  self->answered_lines = g_ptr_array_new_with_free_func (g_free);
  read_answers (self);
  if (folder)
    begin (self, folder);
}

RakePhotoWatch *
rake_photo_watch_get (void)
{
  static RakePhotoWatch *watch;

  if (!watch)
    watch = g_object_new (RAKE_TYPE_PHOTO_WATCH, NULL);
  return watch;
}

/* bench.c - the id of this machine's bench, kept in the user's state folder. */
#include "store-private.h"

#include <errno.h>
#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

static gboolean
read_bench (const char *path, RakeId *bench)
{
  g_autofree char *text = NULL;

  if (!g_file_get_contents (path, &text, NULL, NULL))
    return FALSE;
  return rake_id_from_text (g_strchomp (text), bench) && !rake_id_is_nil (*bench);
}

static gboolean
write_bench (const char *path, RakeId bench, GError **error)
{
  char text[RAKE_ID_TEXT_LENGTH + 2];

  rake_id_to_text (bench, text);
  text[RAKE_ID_TEXT_LENGTH] = '\n';
  text[RAKE_ID_TEXT_LENGTH + 1] = '\0';
  return g_file_set_contents_full (path, text, RAKE_ID_TEXT_LENGTH + 1,
                                   G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE,
                                   0600, error);
}

/* Two processes that start at once for the first time must agree, so the folder is locked while one
 * of them writes; the other then reads what it wrote. */
static RakeId
make_bench (const char *folder, const char *path)
{
  g_autoptr (GError) error = NULL;
  RakeId bench = rake_id_new (rake_store_get_now_ms ());
  int folder_fd;

  g_mkdir_with_parents (folder, 0700);
  folder_fd = open (folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder_fd < 0 || flock (folder_fd, LOCK_EX) < 0)
    g_info ("no lock on %s: %s", folder, g_strerror (errno));
  if (!read_bench (path, &bench) && !write_bench (path, bench, &error))
    /* No harm to the record: this process is a bench of its own. */
    g_message ("this machine's bench cannot be remembered: %s", error->message);
  if (folder_fd >= 0)
    close (folder_fd);
  return bench;
}

RakeId
rake_bench_get (void)
{
  static gsize is_known = 0;
  static RakeId bench;

  if (g_once_init_enter (&is_known))
    {
      g_autofree char *folder = g_build_filename (g_get_user_state_dir (), "rakelight", NULL);
      g_autofree char *path = g_build_filename (folder, "bench", NULL);

      if (!read_bench (path, &bench))
        bench = make_bench (folder, path);
      g_once_init_leave (&is_known, 1);
    }
  return bench;
}

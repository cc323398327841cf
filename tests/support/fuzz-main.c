/* fuzz-main.c FOLDER N_COPIES - what libFuzzer does, for every run of the tests: feeds the files of a folder
 * to LLVMFuzzerTestOneInput() as they are, and each N_COPIES times with a few bytes damaged.
 *
 * RAKE_TEST_SEED: other damage. */
#include <glib.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput (const uint8_t *data, size_t size);

static void
run_damaged (GRand *random, const char *bytes, gsize n_bytes)
{
  /* A copy of just the right size, so that reading past it is seen. */
  g_autofree uint8_t *damaged = g_memdup2 (bytes, n_bytes);
  int n_changes = g_rand_int_range (random, 1, 4);

  for (int i = 0; i < n_changes && n_bytes > 0; i++)
    {
      gsize at = (gsize) g_rand_int_range (random, 0, (gint32) n_bytes);
      damaged[at] = g_rand_boolean (random)
                        ? (uint8_t) g_rand_int_range (random, 0, 256)
                        : (uint8_t) bytes[g_rand_int_range (random, 0, (gint32) n_bytes)];
    }
  LLVMFuzzerTestOneInput (damaged, n_bytes);
}

static gint
compare_names (gconstpointer a, gconstpointer b)
{
  return g_strcmp0 (*(char *const *) a, *(char *const *) b);
}

/* In the same order wherever the folder lies, so that a seed means the same damage. */
static GPtrArray *
list_files (const char *folder)
{
  GPtrArray *names = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    g_ptr_array_add (names, g_build_filename (folder, name, NULL));
  g_ptr_array_sort (names, compare_names);
  return names;
}

int
main (int argc, char **argv)
{
  const char *given = g_getenv ("RAKE_TEST_SEED");
  guint32 seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : 1;
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  g_autoptr (GPtrArray) paths = NULL;
  guint64 n_copies;

  if (argc != 3)
    return 2;
  paths = list_files (argv[1]);
  n_copies = g_ascii_strtoull (argv[2], NULL, 10);
  g_print ("seed %u\n", seed);
  for (guint i = 0; i < paths->len; i++)
    {
      g_autofree char *bytes = NULL;
      gsize n_bytes;

      if (!g_file_get_contents (paths->pdata[i], &bytes, &n_bytes, NULL))
        return 1;
      LLVMFuzzerTestOneInput ((const uint8_t *) bytes, n_bytes);
      for (guint64 k = 0; k < n_copies; k++)
        run_damaged (random, bytes, n_bytes);
    }
  g_print ("%u files\n", paths->len);
  return paths->len > 0 ? 0 : 1;
}
